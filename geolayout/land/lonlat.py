"""From the coordinate system of a file to longitude and latitude; never by a guess."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.finding import Finding
from geolayout.land.repair import check_lonlat

__all__ = ["on_earth", "user_crs"]

LONG_EDGE = 500.0
"""A longer edge of a projected file bows off its line when only its ends are moved. [m]"""

EDGE_STEP = 200.0
"""Longest piece such an edge is cut into before it is moved. [m]"""


def user_crs(crs: str | int | CRS) -> CRS:
    """
    Make a coordinate system of what the user wrote.

    Raises
    ------
    FileError
        If it is none that is known here.
    """
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


def on_earth(sheet: Sheet, stated: CRS | None = None) -> Sheet:
    """
    Turn all shapes of a sheet to longitude and latitude, and check that they are.

    Parameters
    ----------
    sheet : Sheet
        As the file has it.
    stated : CRS, optional
        What the user says of its coordinate system; goes before what the file says.

    Returns
    -------
    sheet : Sheet
        Flat shapes on WGS 84, longitude first. [degrees]

    Raises
    ------
    FileError
        If nobody states a coordinate system, or it cannot be turned into degrees.
    BoundaryError
        If a shape does not lie on earth.
    """
    sheet = _with_crs(sheet, stated)
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
