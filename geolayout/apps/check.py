"""The command `check`: what a field is, before anything is planned on it."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from geolayout.apps.options import bundled, layer_names, plan_units, plan_units_option
from geolayout.apps.refusals import NOT_ACKNOWLEDGED, REFUSED
from geolayout.errors import PlanError

if TYPE_CHECKING:
    from geolayout.jobs.checking import Checked, Choice, Refused
    from geolayout.land.boundary.inner import Inner

__all__ = ["check"]


def _choice(
    layer: str | None,
    field_id: str | None,
    attribute: str | None,
    crs: str | None,
    inner: "Inner | None",
) -> "Choice":
    """Make the choice of a field of what was said on the command line."""
    from geolayout.jobs.checking import Choice  # noqa: PLC0415  (start-up time)

    return Choice(layer, field_id, _column_value(attribute), crs, inner)


def _column_value(text: str | None) -> tuple[str, str] | None:
    """Split COLUMN=VALUE."""
    if text is None:
        return None
    column, equals, value = text.partition("=")
    if not (column.strip() and equals):
        raise click.BadParameter(f"{text!r} is not COLUMN=VALUE, such as parcel=12.")
    return column.strip(), value.strip()


CHOICE_OPTIONS = {
    "layer": click.option(
        "--layer", shell_complete=layer_names, help="Layer of the file, or file in the zip."
    ),
    "field_id": click.option("--id", "field_id", help="One field of the file, by its id or name."),
    "attribute": click.option("--attribute", metavar="COLUMN=VALUE", help="Or by a column."),
    "crs": click.option(
        "--crs", help="Coordinate system of a file that states none, such as EPSG:25832."
    ),
    "inner": click.option(
        "--inner",
        type=click.Choice(["hole", "field"]),
        help="What shapes drawn within the field are.",
    ),
}

EXAMPLES = """
\b
Examples:
  geolayout check farm.gpkg
  geolayout check farm.gpkg --id "Long Piece" --picture long_piece.png
  geolayout check corners.shp --crs EPSG:25832 --strict
"""


@click.command(epilog=EXAMPLES)
@click.argument("field", type=click.Path(path_type=Path))
@bundled("choice", _choice, CHOICE_OPTIONS)
@click.option("--picture", type=click.Path(path_type=Path), help="Draw it too (.png or .svg).")
@plan_units_option
@click.option("--strict", is_flag=True, help="Exit with 3 where something awaits an answer.")
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def check(
    *,
    field: Path,
    choice: "Choice",
    picture: Path | None,
    units: str | None,
    strict: bool,
    in_json: bool,
) -> None:
    """
    Say what FIELD is: a boundary file, or a plan file with its features.

    Of many fields in one file each is a line. Nothing is written but the picture.
    """
    from geolayout.apps.show import progress  # noqa: PLC0415
    from geolayout.jobs.checking import check as look_at  # noqa: PLC0415

    with progress() as say:
        say("Looking at the field")
        fields = look_at(field, choice)
        if picture is not None:
            _draw(fields, picture)
    if in_json:
        _print_json(field, fields)
    else:
        _show(fields, units)
    if picture is not None:
        click.echo(f"Written to {picture}", err=True)
    _end(fields, strict=strict)


def _draw(fields: "Sequence[Checked | Refused]", path: Path) -> None:
    """Write a picture of the one field there is."""
    from geolayout.handover.pictures.field import FieldView, field_picture  # noqa: PLC0415
    from geolayout.jobs.checking import Checked  # noqa: PLC0415

    if len(fields) > 1 or not isinstance(fields[0], Checked):
        raise PlanError(
            f"The file holds {len(fields)} fields.",
            "A picture shows one.",
            "Choose it with --id or --attribute.",
        )
    one = fields[0]
    field_picture(FieldView(one.field, one.report, one.drawn, one.hazards), path)


def _print_json(path: Path, fields: "Sequence[Checked | Refused]") -> None:
    """Print fields as one JSON object."""
    from geolayout.jobs.checking import checked_dict  # noqa: PLC0415

    click.echo(json.dumps(checked_dict(path, fields), ensure_ascii=False))


def _show(fields: "Sequence[Checked | Refused]", units: str | None) -> None:
    """Print one field in full, or many in a table."""
    from geolayout.apps.fieldreport import field_parts, fields_parts  # noqa: PLC0415
    from geolayout.apps.show import show_parts  # noqa: PLC0415
    from geolayout.jobs.checking import Checked  # noqa: PLC0415

    if len(fields) == 1 and isinstance(fields[0], Checked):
        show_parts(field_parts(fields[0], plan_units(units, fields[0].plan)))
    else:
        show_parts(fields_parts(fields, plan_units(units, None)))


def _end(fields: "Sequence[Checked | Refused]", *, strict: bool) -> None:
    """Exit with 2 where a field could not be read, with 3 where one asks and that matters."""
    from geolayout.jobs.checking import Refused  # noqa: PLC0415

    refused = [one for one in fields if isinstance(one, Refused)]
    if refused:
        click.echo(f"{len(refused)} of {len(fields)} fields cannot be read.", err=True)
        click.get_current_context().exit(REFUSED)
    waiting = sum(one.open for one in fields if not isinstance(one, Refused))
    if strict and waiting:
        things = "1 thing awaits" if waiting == 1 else f"{waiting} things await"
        click.echo(f"{things} an answer.", err=True)
        click.get_current_context().exit(NOT_ACKNOWLEDGED)
