"""
Boundaries and features out of the files people bring: GeoJSON, shapefile, GeoPackage, KML.

A reader reads and computes nothing but longitude and latitude. It never guesses a coordinate
system, and what it passed over it says in a ``Finding``. Shapes come out as drawn; making them
sound is left to ``geolayout.land.repair``.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import shapely
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.finding import Finding
from geolayout.land.lonlat import on_earth, user_crs

__all__ = ["DrawnBoundary", "read_boundaries", "read_boundary", "read_shapes"]

_ID_COLUMNS = ("field_id", "id", "name", "fid")


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
        The columns of its row.
    """

    geometry: BaseGeometry
    name: str
    findings: tuple[Finding, ...]
    properties: dict[str, Any]


def read_boundary(
    path: str | Path,
    *,
    layer: str | None = None,
    field_id: str | int | None = None,
    attribute: tuple[str, object] | None = None,
    crs: str | int | CRS | None = None,
) -> DrawnBoundary:
    """
    Read the boundary of one field.

    Parameters
    ----------
    path : path
        GeoJSON, shapefile, GeoPackage or KML; a zip may hold one of them, in a folder or not.
    layer : str, optional
        Layer of the file, or file in the zip. Needed only where there are several.
    field_id : str or int, optional
        Met by the GeoJSON id, else by column ``field_id``, ``id``, ``name`` or ``fid``.
    attribute : (str, value), optional
        A column and the value it must have.
    crs : anything pyproj reads, optional
        Coordinate system of the file, where the file does not say or is wrong.

    Returns
    -------
    boundary : DrawnBoundary

    Raises
    ------
    FileError
        If the file cannot be read, states no coordinate system, or the choice does not leave
        one field.
    BoundaryError
        If what is chosen is no polygon, or does not lie on earth.
    """
    sheet = _read(path, layer, crs)
    everything = field_id is None and attribute is None
    rows = _polygon_rows(sheet) if everything else _chosen(sheet, field_id, attribute)
    if len(rows) > 1:
        raise _several(sheet, rows)
    return _drawn(sheet, rows, sheet.findings)[0]


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
    sheet = _read(path, layer, crs)
    rows = _polygon_rows(sheet)
    findings = sheet.findings
    if other := sum(row.geometry is not None for row in sheet.rows) - len(rows):
        sentence = f"{other} shapes of {sheet.label} that are points or lines were passed over."
        findings += (Finding("passed over", sentence),)
    return _drawn(sheet, rows, findings)


def read_shapes(
    path: str | Path, *, layer: str | None = None, crs: str | int | CRS | None = None
) -> list[tuple[str, BaseGeometry]]:
    """
    Read points, lines and polygons, such as the features of a field.

    Parameters
    ----------
    path, layer, crs
        As for ``read_boundary``.

    Returns
    -------
    shapes : list of (str, shapely geometry)
        Name, "" where there is none, and geometry on WGS 84, longitude first. [degrees]

    Raises
    ------
    FileError
        If the file cannot be read or states no coordinate system.
    BoundaryError
        If a shape does not lie on earth.
    """
    sheet = _read(path, layer, crs)
    return [(row.label(""), row.geometry) for row in sheet.rows if row.geometry is not None]


def _chosen(
    sheet: Sheet, field_id: str | int | None, attribute: tuple[str, object] | None
) -> list[Row]:
    """Take the rows that meet the id and the attribute."""
    rows = list(sheet.rows)
    if field_id is not None:
        rows = _with_id(rows, field_id)
    if attribute is not None:
        rows = _with_attribute(sheet, rows, attribute)
    if not rows:
        wanted = [str(field_id)] if field_id is not None else []
        wanted += [f"{attribute[0]} = {attribute[1]}"] if attribute else []
        raise FileError(
            f"No field of {sheet.label} answers to {' and '.join(wanted)}.",
            f"It holds {len(sheet.rows)}; {_first_ids(sheet.rows)}.",
            "Choose one of these.",
        )
    return rows


def _with_id(rows: list[Row], field_id: str | int) -> list[Row]:
    """Take the rows with an id; the first column that knows it decides."""
    found = [row for row in rows if _same(row.given_id, field_id)]
    for name in _ID_COLUMNS:
        found = found or [row for row in rows if _same(row.column(name), field_id)]
    return found


def _with_attribute(sheet: Sheet, rows: list[Row], attribute: tuple[str, object]) -> list[Row]:
    column, value = attribute
    columns = {key for row in sheet.rows for key in row.properties}
    if column.casefold() not in {key.casefold() for key in columns}:
        raise FileError(
            f"{sheet.label} has no column '{column}'.",
            f"Its columns are: {', '.join(sorted(columns)) or 'none'}.",
            "Choose one of these.",
        )
    return [row for row in rows if _same(row.column(column), value)]


def _same(value: object, wanted: object) -> bool:
    """Compare as text, and as numbers where the column holds numbers: 7 is 7.0."""
    if value is None:
        return False
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return str(value).strip() == str(wanted).strip() or value == wanted


def _first_ids(rows: Sequence[Row]) -> str:
    names = [row.label(row.number or "without a name") for row in rows[:5]]
    return f"the first are: {', '.join(names)}"


def _several(sheet: Sheet, rows: Sequence[Row]) -> FileError:
    return FileError(
        f"{sheet.label} leaves a choice of {len(rows)} fields; {_first_ids(rows)}.",
        "A layout is for one field.",
        "Choose one by its id, or by a column and its value.",
    )


def _polygon_rows(sheet: Sheet) -> list[Row]:
    """Take the rows that hold a polygon; one at least must."""
    rows = [row for row in sheet.rows if _holds_polygon(row.geometry)]
    if not rows:
        raise _no_polygon(sheet, sheet.rows)
    return rows


def _holds_polygon(geometry: BaseGeometry | None) -> bool:
    if geometry is None:
        return False
    # Two calls, for the folders of a KML file may nest collections.
    parts = shapely.get_parts(shapely.get_parts(geometry))
    return bool((shapely.get_type_id(parts) == shapely.GeometryType.POLYGON).any())


def _no_polygon(sheet: Sheet, rows: Iterable[Row]) -> BoundaryError:
    kinds = sorted({row.geometry.geom_type for row in rows if row.geometry is not None})
    return BoundaryError(
        f"{sheet.label} holds no polygon, only {' and '.join(kinds) or 'rows without a shape'}.",
        "A boundary is a closed area: a line may stop short of its start.",
        "Draw or export the boundary as a polygon.",
    )


def _drawn(sheet: Sheet, rows: Sequence[Row], findings: tuple[Finding, ...]) -> list[DrawnBoundary]:
    stem = sheet.source.file.stem
    boundaries = []
    for number, row in enumerate(rows, start=1):
        if row.geometry is None or not _holds_polygon(row.geometry):
            raise _no_polygon(sheet, [row])
        name = row.label(stem if len(rows) == 1 else f"{stem} {number}")
        boundaries.append(DrawnBoundary(row.geometry, name, findings, row.properties))
    return boundaries


def _read(path: str | Path, layer: str | None, crs: str | int | CRS | None) -> Sheet:
    """Read one layer and bring it to longitude and latitude."""
    stated = None if crs is None else user_crs(crs)
    sheet = read_sheet(Path(path), layer)
    if empty := sum(row.geometry is None for row in sheet.rows):
        sentence = f"{empty} of {len(sheet.rows)} rows of {sheet.label} have no shape."
        sheet = replace(sheet, findings=(*sheet.findings, Finding("no shape", sentence)))
    return on_earth(sheet, stated)
