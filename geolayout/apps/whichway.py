"""The command `which-way`: the ways of laying a field compared, three of them drawn."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import (
    Measure,
    bundled,
    layer_names,
    plan_units,
    plan_units_option,
)
from geolayout.errors import PlanError

if TYPE_CHECKING:
    from geolayout.jobs import Job
    from geolayout.jobs.direction import Implement, Ways

__all__ = ["which_way"]

PLAN = ".toml"
"""End of the name of a plan file."""

EXAMPLES = """
\b
Examples:
  geolayout which-way home.toml --picture ways.png
  geolayout which-way home.gpkg --width 6 --radius 6.5 --headland 12
  geolayout which-way home.toml --block north --wind-from 240
"""


@dataclass(frozen=True, slots=True)
class Bare:
    """What is said of a field without a plan."""

    layer: str | None
    field_id: str | None
    crs: str | None
    implement: "Implement | None"

    @property
    def said(self) -> bool:
        """Whether anything is."""
        given = (self.layer, self.field_id, self.crs, self.implement)
        return any(one is not None for one in given)


def _bare(  # noqa: PLR0913  (one parameter an option)
    *,
    layer: str | None,
    field_id: str | None,
    crs: str | None,
    width: float | None,
    radius: float | None,
    speed: float | None,
    headland: float | None,
) -> Bare:
    """Make one value of what is said of a field without a plan."""
    from geolayout.jobs.direction import Implement  # noqa: PLC0415  (start-up time)

    if width is None:
        if radius is not None or speed is not None or headland is not None:
            raise click.UsageError("Give --width too: it says how far apart the passes lie.")
        return Bare(layer, field_id, crs, None)
    return Bare(layer, field_id, crs, Implement(width, radius, speed, headland or 0.0))


BARE_OPTIONS = {
    "width": click.option("--width", type=Measure(), help="Working width, for a bare field."),
    "radius": click.option("--radius", type=Measure(), help="Turning radius of that machine."),
    "speed": click.option(
        "--speed", type=click.FloatRange(0, 40, min_open=True), help="Its speed. [km/h]"
    ),
    "headland": click.option(
        "--headland", type=Measure(zero=True), help="Headland at the ends of the rows."
    ),
    "layer": click.option("--layer", shell_complete=layer_names, help="Layer of the file."),
    "field_id": click.option("--id", "field_id", help="Field in the file, by its id or name."),
    "crs": click.option("--crs", help="Coordinate system of a file that states none."),
}


@click.command("which-way", epilog=EXAMPLES)
@click.argument("field", type=click.Path(path_type=Path))
@bundled("bare", _bare, BARE_OPTIONS)
@click.option("--block", metavar="NAME", help="Look at one block only.")
@click.option(
    "--wind-from",
    type=click.FloatRange(0, 360, max_open=True),
    help="Bearing that a wind comes from; rows are told against it. [degrees]",
)
@click.option("--picture", type=click.Path(path_type=Path), help="Draw them too (.png or .svg).")
@plan_units_option
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def which_way(  # noqa: PLR0913  (one parameter an option)
    *,
    field: Path,
    bare: Bare,
    block: str | None,
    wind_from: float | None,
    picture: Path | None,
    units: str | None,
    in_json: bool,
) -> None:
    """
    Compare every direction of rows on FIELD, a plan or a boundary file.

    The best few are laid out; three are shown, the fewest hours first.
    """
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415  (start-up time)
    from geolayout.apps.ways import ways_parts  # noqa: PLC0415
    from geolayout.jobs.direction import which_way as compare  # noqa: PLC0415
    from geolayout.jobs.direction import which_way_dict  # noqa: PLC0415

    with progress() as say:
        say("Reading")
        job = _job(field, bare)
        say("Looking at every direction")
        found = compare(job, block, wind_from)
        if picture is not None:
            say(f"Drawing {picture}")
            _draw(found, picture)
    if in_json:
        blocks = [which_way_dict(ways) for ways in found]
        click.echo(json.dumps({"field": str(field), "blocks": blocks}, ensure_ascii=False))
    else:
        shown = plan_units(units, job.plan)
        show_parts([part for ways in found for part in ways_parts(ways, shown)])
    if picture is not None:
        click.echo(f"Written to {picture}", err=True)


def _job(path: Path, bare: Bare) -> "Job":
    """Read a plan, or a boundary and one machine."""
    from geolayout import jobs  # noqa: PLC0415  (start-up time)
    from geolayout.jobs.direction import bare_job  # noqa: PLC0415
    from geolayout.land.readers import read_boundary  # noqa: PLC0415

    if path.suffix.lower() == PLAN:
        if bare.said:
            raise PlanError(
                f"{path.name} is a plan, and a machine or a field is said beside it.",
                "A plan names its own field and machines.",
                "Write them there, or name the boundary file instead.",
            )
        return jobs.read(path)
    if bare.implement is None:
        raise PlanError(
            f"{path.name} is a boundary and no plan.",
            "Nothing says how wide the passes are.",
            "Add --width, such as --width 6, and --radius and --headland if you know them.",
        )
    drawn = read_boundary(path, layer=bare.layer, field_id=bare.field_id, crs=bare.crs)
    return bare_job(drawn, bare.implement)


def _draw(found: "Sequence[Ways]", path: Path) -> None:
    """Write the picture of the one block there is."""
    from geolayout.handover.pictures.direction import WaysView, ways_picture  # noqa: PLC0415

    if len(found) > 1:
        raise PlanError(
            f"The plan has {len(found)} blocks.",
            "A picture shows the ways of one.",
            f"Add --block NAME, such as --block {found[0].block!r}.",
        )
    ways = found[0]
    told = tuple(
        (letter, option, ways.way(option), ways.told(option)) for letter, option in ways.best
    )
    view = WaysView(ways.field, ways.block, ways.compared, told, tuple(ways.beside))
    ways_picture(view, path)
