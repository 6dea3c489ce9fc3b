"""The command `compare`: several plans on one field, figure by figure."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from geolayout.appraisal.comparing import Line
    from geolayout.apps.show import Part
    from geolayout.jobs.compare import Comparison

__all__ = ["compare"]

EXAMPLES = """
\b
Examples:
  geolayout compare strips.toml mixture.toml alleys.toml
  geolayout compare home_2027 home_2028 --csv compared.csv
"""

MARK = "*"
"""Before a figure that is not that of the first plan."""


@click.command(epilog=EXAMPLES)
@click.argument("plans", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--season", type=int, help="Harvest year of plan files; the first if not said.")
@click.option("--csv", "table", type=click.Path(path_type=Path), help="Write a table too.")
@click.option("--differences", is_flag=True, help="Show only what differs.")
@click.option("--accept", multiple=True, metavar="KEY", help="Accept an odd figure by its key.")
@click.option("--json", "in_json", is_flag=True, help="Print one JSON object.")
def compare(
    *,
    plans: tuple[Path, ...],
    season: int | None,
    table: Path | None,
    differences: bool,
    accept: tuple[str, ...],
    in_json: bool,
) -> None:
    """
    Compare PLANS on one field: plan files, or folders that `lay` wrote.

    Land, seed, trees, work, money, light, grade and warnings; what differs from the first plan is
    marked with a star.
    """
    from geolayout.apps.show import progress, show_parts  # noqa: PLC0415  (start-up time)
    from geolayout.jobs.compare import compare as compare_plans  # noqa: PLC0415
    from geolayout.jobs.compare import comparison_csv, comparison_dict  # noqa: PLC0415
    from geolayout.jobs.newfile import save_table  # noqa: PLC0415

    with progress() as say:
        say(f"Laying {len(plans)} plans out")
        found = compare_plans(plans, season, accepted=accept)
    if table is not None:
        save_table(table, comparison_csv(found))
    if in_json:
        click.echo(json.dumps(comparison_dict(found), ensure_ascii=False))
    else:
        show_parts(_parts(found, only=differences))
    if table is not None:
        click.echo(f"Written to {table}", err=True)


def _parts(found: "Comparison", *, only: bool) -> "list[Part]":
    """Return the table part by part."""
    from geolayout.apps.show import Part  # noqa: PLC0415  (start-up time)

    plans = ", ".join(
        name if year is None else f"{name} (harvest {year})"
        for name, year in zip(found.names, found.seasons, strict=True)
    )
    marked = f"{MARK} marks what is not as in {found.names[0]}."
    head = ("", *found.names, "unit")
    shown = [line for line in found.lines if line.differs or not only]
    parts = {line.part: [one for one in shown if one.part == line.part] for line in shown}
    return [
        Part(f"{found.field}: {plans}", (marked, *found.notes)),
        *(
            Part(part.capitalize(), (), head, tuple(_row(line) for line in lines))
            for part, lines in parts.items()
        ),
    ]


def _row(line: "Line") -> tuple[str, ...]:
    """Return a figure of all plans."""
    cells = [_cell(one, line.unit) for one in line.figures]
    marks = ["" if cells[0] == cell or not line.differs else MARK for cell in cells]
    return line.what, *(f"{cell}{mark}" for cell, mark in zip(cells, marks, strict=True)), line.unit


def _cell(figure: tuple[float, float] | None, unit: str) -> str:
    """Return a figure; a range where it is one, nothing where there is none."""
    if figure is None:
        return ""
    low, high = (f"{one:.3f}" if unit == "ha" else _short(one) for one in figure)
    return low if low == high else f"{low} to {high}"


def _short(value: float) -> str:
    """
    Return a number with as many decimals as its size asks for.

    Examples
    --------
    >>> [_short(value) for value in (3.0, 0.12345, 12.345, 1234.5)]
    ['3', '0.123', '12.3', '1,234']
    """
    if value == round(value):
        return f"{round(value):,d}"
    if abs(value) < 10:
        return f"{value:.3f}"
    return f"{value:,.1f}" if abs(value) < 1000 else f"{value:,.0f}"
