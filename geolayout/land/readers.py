"""
Boundaries and features out of the files people bring: GeoJSON, shapefile, GeoPackage, KML.

A reader reads and computes nothing but longitude and latitude. It never guesses a coordinate
system, and what it passed over it says in a ``Finding``. Shapes come out as drawn; making them
sound is left to ``geolayout.land.repair``.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.land.geojson import read_geojson
from geolayout.land.repair import Finding, check_lonlat
from geolayout.land.sheet import GEOJSON_SUFFIXES, WGS84, Row, Sheet, find_source, read_layer

__all__ = ["DrawnBoundary", "read_boundaries", "read_boundary", "read_shapes"]

LONG_EDGE = 500.0
"""A longer edge of a projected file bows off its line when only its ends are moved. [m]"""

EDGE_STEP = 200.0
"""Longest piece such an edge is cut into before it is moved. [m]"""

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
    stated = None if crs is None else _user_crs(crs)
    source, layer = find_source(Path(path), layer)
    is_geojson = source.suffix in GEOJSON_SUFFIXES
    own_names = (None, source.file.stem, source.file.name, str(source.file))
    if is_geojson and layer not in own_names:
        raise FileError(
            f"Layer {layer!r} of {Path(path).name} is asked for.",
            "A GeoJSON file has no layers of other names than its own.",
            "Leave the layer out.",
        )
    sheet = read_geojson(source) if is_geojson else read_layer(source, layer)
    if empty := sum(row.geometry is None for row in sheet.rows):
        sentence = f"{empty} of {len(sheet.rows)} rows of {sheet.label} have no shape."
        sheet = replace(sheet, findings=(*sheet.findings, Finding("no shape", sentence)))
    return _on_earth(_with_crs(sheet, stated))


def _user_crs(crs: str | int | CRS) -> CRS:
    try:
        return CRS.from_user_input(crs)
    except CRSError as error:
        raise FileError(
            f"'{crs}' is not a coordinate system that is known here.",
            "Without one a unit may be a metre, a foot or a degree.",
            "Write it as an EPSG code, for example EPSG:25832.",
        ) from error


def _with_crs(sheet: Sheet, stated: CRS | None) -> Sheet:
    """Settle the coordinate system: the user's word first, then the file's."""
    if stated is None and sheet.crs is None:
        raise _no_crs(sheet)
    if stated is None or sheet.crs is None or stated.equals(sheet.crs, ignore_axis_order=True):
        return replace(sheet, crs=stated or sheet.crs)
    sentence = f"Read as {stated.name}, as you said; {sheet.label} itself is in {sheet.crs.name}."
    findings = (*sheet.findings, Finding("coordinate system", sentence))
    return replace(sheet, crs=stated, findings=findings)


def _no_crs(sheet: Sheet) -> FileError:
    found = f"{sheet.label} states no coordinate system."
    corners = shapely.get_coordinates(_geometries(sheet.rows))
    if len(corners) and (np.abs(corners) <= (180.0, 90.0)).all():
        return FileError(
            found,
            "Its numbers look like degrees, but that is a guess.",
            "Add its .prj file, or state EPSG:4326 if they are longitude and latitude.",
        )
    return FileError(
        found,
        "Without one a unit may be a metre or a foot, anywhere on earth.",
        "Add its .prj file, or state the system, for example EPSG:32631.",
    )


def _on_earth(sheet: Sheet) -> Sheet:
    """Turn all shapes to longitude and latitude, and check that they are."""
    crs = sheet.crs
    if crs is None or not (crs.is_geographic or crs.is_projected):
        raise _no_crs(sheet)
    geometries = _lonlat(_geometries(sheet.rows), crs)
    rows = []
    for number, (row, geometry) in enumerate(zip(sheet.rows, geometries, strict=True), start=1):
        if geometry is not None:
            check_lonlat(geometry, name=row.label(f"Shape {number} of {sheet.label}"))
        rows.append(replace(row, geometry=geometry))
    return replace(sheet, rows=tuple(rows))


def _geometries(rows: Sequence[Row]) -> NDArray[np.object_]:
    geometries = np.empty(len(rows), dtype=object)
    geometries[:] = [row.geometry for row in rows]
    flat: NDArray[np.object_] = shapely.force_2d(geometries)
    return flat


def _lonlat(geometries: NDArray[np.object_], crs: CRS) -> NDArray[np.object_]:
    """Transform vertex by vertex; long straight edges get vertices first."""
    if crs.equals(WGS84, ignore_axis_order=True):
        return geometries
    if crs.is_projected:
        geometries = _with_short_edges(geometries, crs.axis_info[0].unit_conversion_factor)
    try:
        transformer = Transformer.from_crs(crs, WGS84, always_xy=True)
    except ProjError as error:
        raise FileError(
            f"The coordinate system {crs.name} cannot be turned into longitude and latitude.",
            "No way from one to the other is known here.",
            "Export the file in EPSG:4326.",
        ) from error
    moved: NDArray[np.object_] = shapely.transform(geometries, _columns(transformer))
    return moved


def _columns(transformer: Transformer) -> Callable[[NDArray[np.float64]], NDArray[np.float64]]:
    def moved(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(transformer.transform(xy[:, 0], xy[:, 1]))

    return moved


def _with_short_edges(geometries: NDArray[np.object_], metres: float) -> NDArray[np.object_]:
    """
    Add vertices to shapes with an edge over 500 m, so that it stays the line that was drawn.

    ``metres`` is the length of one unit of the coordinate system.
    """
    longest = np.array([_longest_edge(geometry) for geometry in geometries]) * metres
    long = longest > LONG_EDGE
    geometries[long] = shapely.segmentize(geometries[long], EDGE_STEP / metres)
    return geometries


def _longest_edge(geometry: BaseGeometry | None) -> float:
    """Measure the longest edge of any ring or line, in the units of the geometry."""
    parts = shapely.get_parts(shapely.get_parts(geometry))
    area = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    lines = np.concatenate((shapely.get_rings(parts[area]), parts[~area]))
    corners, line = shapely.get_coordinates(lines, return_index=True)
    steps = np.hypot(*np.diff(corners, axis=0).T)[line[1:] == line[:-1]]
    return float(steps.max(initial=0.0))
