"""
Corners in a text table: one a line, or whole outlines as well-known text.

A table has no standard. The names of its columns say what is what; the order of the lines is
the order round the field. What the names leave open is an error.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from reprlib import repr as brief

import shapely

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.columns import Places, Roles, roles
from geolayout.land.files.degrees import is_angle, parse_angle, parse_number
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.files.table import Line, Table, read_table
from geolayout.land.files.wkt import read_wkt

__all__ = ["read_corners"]

_AXES = ("longitude", "latitude")


@dataclass(frozen=True, slots=True)
class _Ring:
    """The lines of one ring, and the field and ring they say they are of."""

    field: str
    ring: str
    lines: tuple[Line, ...]


def read_corners(source: Source, layer: str | None) -> Sheet:
    """
    Read the corners of fields out of a text table.

    Parameters
    ----------
    source : Source
        CSV, or text parted by semicolons, tabs, bars or blanks, with names in its first line.
    layer : str or None
        Its own name; such a file has no other layer.

    Returns
    -------
    sheet : Sheet
        One row for each field; its columns are those that say the same on all its lines. The
        system is WGS 84 where the table holds longitude and latitude, else none.

    Raises
    ------
    FileError
        If it is no such table, a number in it cannot be read, or the lines make no rings.
    """
    source.check_layer(layer)
    name = source.name
    table = read_table(source.content(), name, lambda cells: roles(cells).are_known)
    what = roles(table.columns)
    if not table.lines:
        raise FileError(
            f"{name} has columns but no lines.", "Nothing is drawn in it.", "Export it again."
        )
    if what.wkt is not None:
        rows, crs, said = read_wkt(table, what.wkt, name)
        return Sheet(source, rows, crs, said)
    return _corner_sheet(source, table, what)


def _corner_sheet(source: Source, table: Table, what: Roles) -> Sheet:
    name = source.name
    places = what.places
    assert places is not None  # noqa: S101  # read_table asked for it
    degrees = places.kind == "degrees" or _has_angles(table, places)
    said = _decimal_commas(table, places, name)
    rings = _rings(table, what, name)
    said += _out_of_order(rings, what, name)
    rows = []
    for _, of_field in groupby(rings, key=lambda ring: ring.field):
        parts = list(of_field)
        outlines = [_outline(ring, table, places, degrees, name) for ring in parts]
        shape = outlines[0] if len(outlines) == 1 else shapely.MultiPolygon(outlines)
        rows.append(Row(shape, _shared(parts, table, places), parts[0].field or None))
    return Sheet(source, tuple(rows), WGS84 if degrees else None, said)


def _has_angles(table: Table, places: Places) -> bool:
    """Tell whether columns called x and y hold degrees for certain."""
    cells = (line.cells[i] for line in table.lines for i in (places.east, places.north))
    return places.kind == "either" and any(is_angle(cell) for cell in cells)


def _decimal_commas(table: Table, places: Places, name: str) -> tuple[Finding, ...]:
    """Say that commas are decimal; refuse a table that has points in its figures too."""
    cells = [line.cells[i] for line in table.lines for i in (places.east, places.north)]
    with_comma = next((cell for cell in cells if "," in cell), None)
    with_point = next((cell for cell in cells if "." in cell), None)
    if with_comma is None:
        return ()
    if with_point is not None:
        raise FileError(
            f"{name} holds {brief(with_comma)} and {brief(with_point)}.",
            "A comma there may be a decimal sign or part thousands.",
            "Save it with one decimal sign and no marks for thousands.",
        )
    sentence = f"Commas in the figures of {name} were read as decimal signs: {brief(with_comma)}."
    return (Finding("decimal comma", sentence),)


# Which lines make a ring


def _rings(table: Table, what: Roles, name: str) -> list[_Ring]:
    """Part the lines into rings, in the order of the file."""
    field = what.field if what.field is not None else _naming_column(table, what.names)
    if field is None and what.ring is None and table.gaps:
        raise FileError(
            f"Line {table.gaps[0]} of {name} is empty, with corners before and after it.",
            "It may part two rings, or mean nothing.",
            "Delete it, or number the rings in a column called ring.",
        )

    def key(line: Line) -> tuple[str, str]:
        return (
            "" if field is None else line.cells[field],
            "" if what.ring is None else line.cells[what.ring],
        )

    rings = [_Ring(*keys, tuple(lines)) for keys, lines in groupby(table.lines, key=key)]
    _check_together(rings, table, field, name)
    return rings


def _naming_column(table: Table, names: Sequence[int]) -> int | None:
    """
    Find a column called id or name that names the field, not the corner.

    The number of a corner is another on every line.
    """
    for column in names:
        values = [line.cells[column] for line in table.lines]
        if all(values) and len(set(values)) < len(values):
            return column
    return None


def _check_together(rings: Sequence[_Ring], table: Table, field: int | None, name: str) -> None:
    """Refuse a field or a ring that goes on after another."""
    seen: set[tuple[str, ...]] = set()
    last: tuple[str, ...] = ()
    for ring in rings:
        begun = [(ring.field,)] if (ring.field,) != last[:1] else []
        for part in (*begun, (ring.field, ring.ring)):
            if part in seen:
                column = "ring" if field is None else table.columns[field]
                raise FileError(
                    f"Line {ring.lines[0].number} of {name} goes on with {brief(' '.join(part))}, "
                    "after lines of another.",
                    f"The column {brief(column)} parts the lines into rings, each in one piece.",
                    "Keep the lines of a ring together, or call that column note.",
                )
            seen.add(part)
        last = (ring.field, ring.ring)


def _out_of_order(rings: Sequence[_Ring], what: Roles, name: str) -> tuple[Finding, ...]:
    """Ask about corners whose numbers do not rise; a table may have been sorted since."""
    if what.order is None:
        return ()
    for ring in rings:
        cells = [line.cells[what.order] for line in ring.lines]
        if not all(cell.isdecimal() for cell in cells):
            continue
        numbers = [int(cell[:18]) for cell in cells]
        falls = [i for i, (a, b) in enumerate(pairwise(numbers), start=1) if b <= a]
        if falls and (len(falls) > 1 or falls[0] < len(numbers) - 1):
            line = ring.lines[falls[0]].number
            return (
                Finding(
                    "corner order",
                    f"The corner numbers of {name} do not rise at line {line}; the corners were "
                    "taken in the order of the lines.",
                    question="Is the order of the lines the order round the field?",
                ),
            )
    return ()


# From lines to an outline


def _outline(
    ring: _Ring, table: Table, places: Places, degrees: bool, name: str
) -> shapely.Polygon:
    axes = _AXES if degrees else ("", "")
    columns = (places.east, places.north)
    corners = [
        tuple(
            _figure(line, column, axis, table, name)
            for column, axis in zip(columns, axes, strict=True)
        )
        for line in ring.lines
    ]
    if len(set(corners)) < 3:
        of = f" of {brief(' '.join((ring.field, ring.ring)).strip())}" if ring.field else ""
        raise FileError(
            f"{name} has {len(set(corners))} corners{of}, from line {ring.lines[0].number}.",
            "A ring has three at least.",
            "See that each line is one corner, and that no column called field, ring, id or name "
            "tells the corners apart.",
        )
    return shapely.Polygon(corners)


def _figure(line: Line, column: int, axis: str, table: Table, name: str) -> float:
    cell = line.cells[column]
    try:
        number = parse_angle(cell, axis) if axis else parse_number(cell)
        if not math.isfinite(number):
            raise ValueError(f"is {brief(cell)}, which is no place")
    except ValueError as error:
        raise FileError(
            f"{brief(table.columns[column])} in line {line.number} of {name} {error}.",
            "A corner out of place moves the edge.",
            "Write it as a plain number, or as degrees, minutes and seconds.",
        ) from error
    return number


def _shared(rings: Sequence[_Ring], table: Table, places: Places) -> dict[str, str]:
    """Keep what all lines of a field say alike."""
    lines = [line for ring in rings for line in ring.lines]
    kept = {}
    for i, column in enumerate(table.columns):
        same = {line.cells[i] for line in lines}
        if i not in (places.east, places.north) and column and len(same) == 1:
            kept[column] = same.pop()
    return kept
