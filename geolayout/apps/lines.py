"""The command that saves reference lines, to lie along again next year."""

from math import inf
from pathlib import Path

import click

from geolayout.apps.options import Measure

__all__ = ["line"]


@click.command(
    epilog="For example: geolayout line home_2026 --out home_line.geojson, and in next year's "
    'plan [guide] line = "home_line.geojson".'
)
@click.argument("source", metavar="PLAN|FOLDER", type=click.Path(path_type=Path))
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path, allow_dash=True),
    help="GeoJSON to write; - for standard output.",
)
@click.option(
    "--shift",
    type=Measure(-inf, zero=True),
    default=0.0,
    help="Move the line so far away from the side that bands are counted from; negative "
    "towards it. A bare number is metres.",
)
@click.option("--block", metavar="NAME", help="The line of one block; of each if not said.")
@click.option("--name", help="What to call the line; the field's and block's name if not said.")
def line(*, source: Path, out: Path, shift: float, block: str | None, name: str | None) -> None:
    """Save the reference line of PLAN, or of a FOLDER laid out before."""
    from geolayout.apps.show import progress  # noqa: PLC0415  (start-up time)
    from geolayout.jobs.lines import lines_text  # noqa: PLC0415
    from geolayout.jobs.newfile import save_lines  # noqa: PLC0415

    with progress() as say:
        say("Laying out")
        text = lines_text(source, shift=shift, block=block, name=name)
    if str(out) == "-":
        click.echo(text, nl=False)
        return
    save_lines(out, text)
    click.echo(f"Written to {out}", err=True)
