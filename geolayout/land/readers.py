"""
Boundaries and features out of the files people bring.

A reader reads and computes nothing but longitude and latitude. It never guesses a coordinate
system, and what it passed over it says in a ``Finding``. Shapes come out as drawn; making them
sound is left to ``geolayout.land.boundary.repair``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from pyproj import CRS
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError
from geolayout.land.boundary.choice import chosen_rows, several
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.inner import (
    MOST_PAIRS,
    Inner,
    lying_within,
    nested,
    polygons_of,
    settled,
)
from geolayout.land.boundary.outline import lines_of, outlined
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.frames.lonlat import crs_name, on_earth, shape_findings, user_crs
from geolayout.land.places import inner_points, named

__all__ = ["DrawnBoundary", "read_boundaries", "read_boundary", "read_shapes"]


@dataclass(frozen=True, slots=True, eq=False)
class DrawnBoundary:
    """
    One boundary as drawn.

    Attributes
    ----------
    geometry : shapely geometry
        On WGS 84, longitude first, not yet made sound. [degrees]
    name : str
        From a name column, else from the file.
    findings : tuple of Finding
        What reading the file brought up.
    properties : dict
        The columns of its row; a GeoJSON id is ``id`` among them, unless one is called so.
    source : str
        The file, and the archive that holds it.
    crs : str
        Name and code of the coordinate system that was followed.
    plane_area : float, optional
        Area in the file's own flat grid, as drawn; None where degrees or lines are drawn. [m2]
    """

    geometry: BaseGeometry
    name: str
    findings: tuple[Finding, ...] = ()
    properties: dict[str, Any] = field(default_factory=dict)
    source: str = ""
    crs: str = ""
    plane_area: float | None = None


def read_boundary(
    path: str | Path,
    *,
    layer: str | None = None,
    field_id: str | int | None = None,
    attribute: tuple[str, object] | None = None,
    crs: str | int | CRS | None = None,
    inner: Inner | None = None,
) -> DrawnBoundary:
    """
    Read the boundary of one field.

    Parameters
    ----------
    path : path
        A file of a kind that ``geolayout.land.files.formats`` lists, or a zip of some.
    layer : str, optional
        Layer of the file, or file in the zip. Needed only where there are several.
    field_id : str or int, optional
        Met by the GeoJSON id, else by column ``field_id``, ``id``, ``name`` or ``fid``.
    attribute : (str, value), optional
        A column and the value it must have.
    crs : anything pyproj reads, optional
        Coordinate system of the file, where the file does not say or is wrong.
    inner : {"hole", "field"}, optional
        What shapes drawn within the field are: cut out of it, or ground of it drawn again.
        Needed only where the file has some.

    Returns
    -------
    boundary : DrawnBoundary

    Raises
    ------
    FileError
        If the file cannot be read, states no coordinate system, or the choice does not leave
        one field.
    BoundaryError
        If what is chosen is no polygon and no line that closes, or does not lie on earth, or
        if shapes lie within it and nobody says what they are.
    """
    layer_read = _read(path, layer, crs)
    sheet = layer_read.sheet
    everything = field_id is None and attribute is None
    rows = list(sheet.rows) if everything else chosen_rows(sheet, field_id, attribute)
    areas = [row for row in rows if polygons_of(row.geometry)]
    if not areas:
        return layer_read.of_lines(rows, inner)
    row, said = _the_field(sheet, areas)
    return layer_read.of_area(row, inner, (*_passed_over(sheet, rows, areas), *said))


def read_boundaries(
    path: str | Path, *, layer: str | None = None, crs: str | int | CRS | None = None
) -> list[DrawnBoundary]:
    """
    Read the boundaries of all fields in a file.

    Parameters
    ----------
    path, layer, crs
        As for ``read_boundary``.

    Returns
    -------
    boundaries : list of DrawnBoundary
        In the order of the file. Each carries what reading the file brought up.

    Raises
    ------
    FileError
        If the file cannot be read or states no coordinate system.
    BoundaryError
        If it holds no polygon, or a polygon does not lie on earth.
    """
    layer_read = _read(path, layer, crs)
    sheet = layer_read.sheet
    areas = [row for row in sheet.rows if polygons_of(row.geometry)]
    if not areas:
        return layer_read.one_by_one()
    passed_over = _passed_over(sheet, sheet.rows, areas)
    names = [layer_read.name_of(row, len(areas) == 1, i) for i, row in enumerate(areas, start=1)]
    said = _overlaid(areas, names)
    return [
        layer_read.drawn(row, row.geometry, name, (*passed_over, *mine))
        for row, name, mine in zip(areas, names, said, strict=True)
        if row.geometry is not None
    ]


def read_shapes(
    path: str | Path,
    *,
    layer: str | None = None,
    shape_id: str | int | None = None,
    attribute: tuple[str, object] | None = None,
    crs: str | int | CRS | None = None,
) -> list[tuple[str, BaseGeometry]]:
    """
    Read points, lines and polygons, such as the features of a field.

    Parameters
    ----------
    path, layer, crs
        As for ``read_boundary``.
    shape_id : str or int, optional
        Met as ``field_id`` of ``read_boundary`` is; several shapes may meet it.
    attribute : (str, value), optional
        A column and the value it must have; several shapes may have it.

    Returns
    -------
    shapes : list of (str, shapely geometry)
        Name, "" where there is none, and geometry on WGS 84, longitude first. [degrees]

    Raises
    ------
    FileError
        If the file cannot be read or states no coordinate system, or nothing meets the choice.
    BoundaryError
        If a shape does not lie on earth.
    """
    sheet = _read(path, layer, crs).sheet
    rows = chosen_rows(sheet, shape_id, attribute, "shape")
    return [(row.label(""), row.geometry) for row in rows if row.geometry is not None]


def _read(path: str | Path, layer: str | None, crs: str | int | CRS | None) -> "_Layer":
    """Read one layer and bring it to longitude and latitude."""
    stated = None if crs is None else user_crs(crs)
    raw = read_sheet(Path(path), layer)
    if empty := sum(row.geometry is None for row in raw.rows):
        sentence = f"{empty} of {len(raw.rows)} rows of {raw.label} have no shape."
        raw = replace(raw, findings=(*raw.findings, Finding("no shape", sentence)))
    sheet = on_earth(raw, stated)
    as_filed = {id(row): old for row, old in zip(sheet.rows, raw.rows, strict=True)}
    return _Layer(sheet, as_filed)


@dataclass(frozen=True, slots=True, eq=False)
class _Layer:
    """A layer on earth, and each of its rows as the file has it."""

    sheet: Sheet
    as_filed: dict[int, Row]

    def drawn(
        self, row: Row, geometry: BaseGeometry, name: str, findings: tuple[Finding, ...]
    ) -> DrawnBoundary:
        """Make a boundary of a row, with what reading the file brought up."""
        source = self.sheet.source
        label = source.name if source.archive is None else f"{source.archive.name}, {source.file}"
        turned = shape_findings(self.as_filed[id(row)].geometry, self.sheet.crs)
        said = (*self.sheet.findings, *turned, *findings)
        crs, area = crs_name(self.sheet.crs), self._plane_area(row)
        return DrawnBoundary(geometry, name, said, row.columns(), label, crs, area)

    def name_of(self, row: Row, is_only: bool, number: int = 1) -> str:
        """Name a row: by its column, else by the file."""
        stem = self.sheet.source.file.stem
        return row.label(stem if is_only else f"{stem} {number}")

    def of_area(self, row: Row, inner: Inner | None, said: tuple[Finding, ...]) -> DrawnBoundary:
        """Make a boundary of one row that holds polygons, and settle what lies within it."""
        name = self.name_of(row, is_only=True)
        inside = _rows_within(self.sheet, row)
        shapes = [(shape.label("a shape without a name"), shape.geometry) for shape in inside]
        geometry, cut = settled(row.geometry, shapes, name=name, inner=inner)
        geometry, parted = _parts_settled(geometry, name, inner)
        return self.drawn(row, geometry, name, (*said, *cut, *parted))

    def of_lines(self, rows: Sequence[Row], inner: Inner | None) -> DrawnBoundary:
        """Make a boundary of all lines of some rows."""
        lined = [row for row in rows if lines_of(row.geometry)]
        if not lined:
            raise _no_polygon(self.sheet, rows)
        stem = self.sheet.source.file.stem
        name = lined[0].label(stem) if len(lined) == 1 else stem
        lines = [line for row in lined for line in lines_of(row.geometry)]
        areas, said = outlined(lines, name=name)
        drawn = areas[0] if len(areas) == 1 else MultiPolygon(areas)
        geometry, parted = _parts_settled(drawn, name, inner)
        passed_over = _passed_over(self.sheet, rows, lined)
        return self.drawn(lined[0], geometry, name, (*passed_over, *said, *parted))

    def one_by_one(self) -> list[DrawnBoundary]:
        """Make a boundary of each line, or one of all where one alone does not close."""
        lined = [row for row in self.sheet.rows if lines_of(row.geometry)]
        if not lined:
            raise _no_polygon(self.sheet, self.sheet.rows)
        try:
            return [self.of_lines([row], None) for row in lined]
        except BoundaryError:
            return [self.of_lines(self.sheet.rows, None)]

    def _plane_area(self, row: Row) -> float | None:
        """Measure a row in the flat grid of the file, without a word on its sense."""
        crs, shape = self.sheet.crs, self.as_filed[id(row)].geometry
        if crs is None or not crs.is_projected or not polygons_of(shape):
            return None
        unit = float(crs.axis_info[0].unit_conversion_factor)
        return float(sum(part.area for part in polygons_of(shape))) * unit**2


def _no_polygon(sheet: Sheet, rows: Sequence[Row]) -> BoundaryError:
    kinds = sorted({row.geometry.geom_type for row in rows if row.geometry is not None})
    return BoundaryError(
        f"{sheet.label} holds no polygon, only {' and '.join(kinds) or 'rows without a shape'}.",
        "A boundary is a closed area, and points alone do not say their order.",
        "Draw or export the boundary as a polygon.",
    )


def _passed_over(sheet: Sheet, rows: Sequence[Row], used: Sequence[Row]) -> tuple[Finding, ...]:
    """Say how many shapes of other kinds the rows hold."""
    other = sum(row.geometry is not None for row in rows) - len(used)
    if not other:
        return ()
    kinds = "points or lines" if polygons_of(used[0].geometry) else "points"
    sentence = f"{other} shapes of {sheet.label} that are {kinds} were passed over."
    if other == 1:
        sentence = f"1 shape of {sheet.label} that is no area was passed over."
    return (Finding("passed over", sentence),)


# Shapes upon shapes


def _the_field(sheet: Sheet, areas: list[Row]) -> tuple[Row, tuple[Finding, ...]]:
    """Take the one row that all others lie within, or that they draw again."""
    if len(areas) == 1:
        return areas[0], ()
    found = nested([row.geometry for row in areas if row.geometry is not None])
    again = {second for _, second in found.twins}
    left = [number for number in range(len(areas)) if number not in again]
    within = set(found.within)
    for number in left:
        if all((other, number) in within for other in left if other != number):
            return areas[number], _drawn_again(sheet, len(again))
    raise several(sheet, areas)


def _drawn_again(sheet: Sheet, times: int) -> tuple[Finding, ...]:
    if not times:
        return ()
    sentence = f"{sheet.label} draws the same shape {times + 1} times; it was taken once."
    return (Finding("drawn twice", sentence),)


def _rows_within(sheet: Sheet, row: Row) -> list[Row]:
    """Find the other shapes of a file that lie within one; the first of those drawn twice."""
    others = [other for other in sheet.rows if other is not row and polygons_of(other.geometry)]
    if row.geometry is None or not others:
        return []
    shapes = [other.geometry for other in others if other.geometry is not None]
    return [others[number] for number in lying_within(row.geometry, shapes)]


def _parts_settled(
    geometry: BaseGeometry, name: str, inner: Inner | None
) -> tuple[BaseGeometry, tuple[Finding, ...]]:
    """Settle the parts of one shape that lie within another of its parts, once it is said how."""
    parts = polygons_of(geometry)
    found = nested(parts) if inner is not None and len(parts) > 1 else None
    if found is None or not found.within:
        return geometry, ()
    inside = {i for i, _ in found.within}
    outer = MultiPolygon([part for i, part in enumerate(parts) if i not in inside])
    shapes = [("a part", part) for i, part in enumerate(parts) if i in inside]
    return settled(outer, shapes, name=name, inner=inner)


def _overlaid(areas: Sequence[Row], names: Sequence[str]) -> list[tuple[Finding, ...]]:
    """Say of each field of a file which others lie within it, or draw it again."""
    found = nested([row.geometry for row in areas if row.geometry is not None])
    more: tuple[Finding, ...] = ()
    if not found.is_whole:
        sentence = f"Shapes lie over each other over {MOST_PAIRS:,} times; not all were looked at."
        more = (Finding("drawn twice", sentence, question="Are there several maps in one file?"),)
    said = [more] * len(areas)
    inside: dict[int, list[int]] = {}
    for number, outer in found.within:
        inside.setdefault(outer, []).append(number)
    for outer, numbers in inside.items():
        said[outer] += (_within(areas, names, outer, numbers),)
    for first, second in found.twins:
        sentence = f"{names[second]} draws the same ground as {names[first]}."
        where = inner_points([areas[second].geometry])
        asked = f"Which of {names[first]} and {names[second]} is to go?"
        said[second] += (Finding("drawn twice", sentence, 0.0, where, asked),)
    return said


def _within(
    areas: Sequence[Row], names: Sequence[str], outer: int, inside: Sequence[int]
) -> Finding:
    what = named(names[i] for i in inside)
    return Finding(
        "shape within",
        f"{what} {'lies' if len(inside) == 1 else 'lie'} within {names[outer]};"
        " the ground counts in both.",
        0.0,
        inner_points(areas[i].geometry for i in inside),
        f"Is {what} a hole in {names[outer]}, or ground of it drawn again?",
    )
