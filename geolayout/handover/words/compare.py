"""Plans beside each other in words and tables, on a terminal and on a page to print."""

from dataclasses import replace

from geolayout.appraisal.comparing import WARNING_TOTALS, Comparison, Line
from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Part, Sentence, Table
from geolayout.handover.sheets.pdf import pages_pdf
from geolayout.plan.units import HECTARE, METRIC, Scale, Units

__all__ = ["MARK", "compared_pdf", "compared_tables"]

MARK = "*"
"""Before a figure that is not that of the first plan."""

ComparedTable = tuple[str, tuple[str, ...], tuple[str, ...], tuple[tuple[str, ...], ...]]
"""Title, lines, head and rows of a table."""


def compared_tables(
    found: Comparison, units: Units = METRIC, *, only_differences: bool = False
) -> list[ComparedTable]:
    """
    Return a comparison part by part: what it is of, then a table for each part.

    Parameters
    ----------
    found : Comparison
        The plans.
    units : Units
        Units of ground, seed and ways; fuel is in litres in all.
    only_differences : bool, default False
        Whether figures that are the same in all plans are left out.

    Returns
    -------
    parts : list of (title, lines, head, rows)
        The first has no table.
    """
    plans = ", ".join(
        name if year is None else f"{name} (harvest {year})"
        for name, year in zip(found.names, found.seasons, strict=True)
    )
    marked = f"{MARK} marks what is not as in {found.names[0]}."
    head = ("", *found.names, "unit")
    shown = [line for line in found.lines if line.differs or not only_differences]
    parts = dict.fromkeys(line.part for line in shown)
    return [
        (f"{found.field}: {plans}", (marked, *found.notes), (), ()),
        *(
            (
                part.capitalize(),
                (),
                head,
                tuple(_row(one, units) for one in shown if one.part == part),
            )
            for part in parts
        ),
    ]


def compared_pdf(
    found: Comparison, units: Units = METRIC, *, only_differences: bool = False
) -> bytes:
    """
    Return a comparison as a page to print; a second one where plans have very much in them.

    Kinds of warnings that all plans have as often are left to the table in a file.

    Parameters
    ----------
    found, units, only_differences
        As for `compared_tables`.

    Returns
    -------
    data : bytes
        PDF.
    """
    lines = tuple(one for one in found.lines if one.differs or not _kind_of_warning(one))
    short = replace(found, lines=lines)
    (title, said, _, _), *tables = compared_tables(short, units, only_differences=only_differences)
    field, _, plans = title.partition(": ")
    rows = tuple(
        ("" if k else part, *row) for part, _, _, table in tables for k, row in enumerate(table)
    )
    if len(lines) < len(found.lines):
        said = (*said, "Kinds of warnings that all plans have as often are left out.")
    parts = [
        Part("How to read it", tuple(Sentence(line) for line in said)),
        Part("Figures", (Table(("", "", *found.names, "unit"), rows),)),
    ]
    name = f"Plans beside each other: {field}"
    return pages_pdf(name, set_pages(name, plans, parts, name))


def _kind_of_warning(line: Line) -> bool:
    """Whether a line counts one kind of warning, not all of them."""
    return line.part == "warnings" and line.what not in WARNING_TOTALS


def _row(line: Line, units: Units) -> tuple[str, ...]:
    """Return a figure of all plans."""
    unit, size, decimals = _unit(line.unit, units)
    cells = [_cell(one, size, decimals) for one in line.figures]
    marks = ["" if not moved else MARK for moved in line.moved]
    return line.what, *(f"{cell}{mark}" for cell, mark in zip(cells, marks, strict=True)), unit


def _unit(unit: str, units: Units) -> tuple[str, float, int | None]:
    """Return the word of a unit, its size, and its decimals; None where its size decides."""
    scales: dict[str, tuple[Scale, float]] = {
        "ha": (units.ground, HECTARE),
        "km": (units.distance, 1000.0),
        "kg": (units.mass, 1.0),
        "/ha": (units.count_rate, 1.0),
    }
    if unit in scales:
        scale, base = scales[unit]
        return scale.word, scale.size / base, scale.decimals if unit == "ha" else None
    if unit.endswith("/ha"):
        return unit.removesuffix("/ha") + units.count_rate.word, units.count_rate.size, None
    return unit, 1.0, None


def _cell(figure: tuple[float, float] | None, size: float, decimals: int | None) -> str:
    """Return a figure; a range where it is one, nothing where there is none."""
    if figure is None:
        return ""
    low, high = (_number(one / size, decimals) for one in figure)
    return low if low == high else f"{low} to {high}"


def _number(value: float, decimals: int | None) -> str:
    """
    Return a number, with as many decimals as its size asks for where none are said.

    Examples
    --------
    >>> [_number(value, None) for value in (3.0, 0.12345, 12.345, 1234.5, -0.04)]
    ['3', '0.123', '12.3', '1,234', '-0.040']
    """
    if decimals is not None:
        return f"{value:.{decimals}f}"
    if value == round(value):
        return f"{round(value):,d}"
    if abs(value) < 10:
        return f"{value:.3f}"
    return f"{value:,.1f}" if abs(value) < 1000 else f"{value:,.0f}"
