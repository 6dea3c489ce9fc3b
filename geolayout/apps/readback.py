"""The command `readback`: what a handover holds, and whether it is the plan's."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from geolayout.apps.show import Part
    from geolayout.jobs.readback import ReadBack

__all__ = ["readback"]


@click.command(epilog="For example: geolayout readback home_2027/handover.zip")
@click.argument("source", metavar="FOLDER|ZIP", type=click.Path(path_type=Path))
@click.option("--season", type=int, help="Harvest year; the folder's own if not said.")
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def readback(*, source: Path, season: int | None, in_json: bool) -> None:
    """
    Read a handover back: field, reference lines, guidance and rates.

    Its plan is laid again, and what its files hold is held against that.
    """
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415  (start-up time)
    from geolayout.jobs.readback import back_dict, read_back  # noqa: PLC0415

    with progress() as say:
        say("Reading the handover")
        found = read_back(source, season=season)
    if in_json:
        click.echo(json.dumps(back_dict(found), ensure_ascii=False))
        return
    show_parts(_parts(found))


def _parts(found: "ReadBack") -> "list[Part]":
    """Return everything that is shown."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    field = found.layout.field
    same = ("All of it is the plan's.",)
    return [
        Part("Field", (f"{field.name}, {field.area / 1e4:.3f} ha.",)),
        Part(
            "Reference lines",
            (),
            ("line", "bearing", "fixed to", "off m"),
            tuple(
                (
                    one.name,
                    "" if one.true_bearing is None else f"{one.true_bearing:.4f}",
                    one.frame or "not said",
                    f"{one.off_m:.3f}",
                )
                for one in found.references
            ),
        ),
        Part(
            "Guidance",
            (),
            ("file", "lines", "planned", "off m"),
            tuple(
                (one.file, str(one.lines), str(one.planned), f"{one.off_m:.3f}")
                for one in found.guidance
            ),
        ),
        Part(
            "Rates",
            (),
            ("file", "product", "rate", "unit", "ha"),
            tuple(
                (one.file, one.product, f"{rate:g}", one.unit, f"{area:.4f}")
                for one in found.rates
                for rate, area in one.rates
            ),
        ),
        Part(
            "The same in other files",
            (),
            ("file", "field ha", "lines", "planned", "off m", "rates"),
            tuple(
                (
                    one.file,
                    f"{one.area_m2 / 1e4:.3f}",
                    str(one.lines),
                    str(one.planned),
                    f"{one.off_m:.3f}",
                    ", ".join(rate.product for rate in one.rates),
                )
                for one in found.copies
            ),
        ),
        Part("Against the plan", found.differences or same),
    ]
