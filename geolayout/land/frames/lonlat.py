"""From the coordinate system of a file to longitude and latitude; never by a guess."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.repair import check_lonlat
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.frames.datum import shift_findings
from geolayout.land.places import place

__all__ = ["check_region", "crs_name", "on_earth", "shape_findings", "user_crs"]

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
    drawn = _geometries(sheet.rows)
    geometries = _lonlat(drawn, crs)
    said = shift_findings(drawn, crs)
    rows = []
    for number, (row, geometry) in enumerate(zip(sheet.rows, geometries, strict=True), start=1):
        if geometry is not None:
            check_lonlat(geometry, name=row.label(f"Shape {number} of {sheet.label}"))
        rows.append(replace(row, geometry=geometry))
    return replace(sheet, rows=tuple(rows), findings=(*sheet.findings, *said))


def crs_name(crs: CRS | None) -> str:
    """
    Name a coordinate system, with its code where it has one; "" for none.

    Examples
    --------
    >>> crs_name(CRS.from_epsg(25832))
    'ETRS89 / UTM zone 32N (EPSG:25832)'
    """
    if crs is None:
        return ""
    authority = crs.to_authority()
    return crs.name if authority is None else f"{crs.name} ({':'.join(authority)})"


def check_region(
    geometry: BaseGeometry, region: tuple[float, float, float, float] | None, *, name: str
) -> tuple[Finding, ...]:
    """
    Hold a place against the region it is said to lie in.

    Parameters
    ----------
    geometry : shapely geometry
        In longitude and latitude, or what is taken for it. [degrees]
    region : (float, float, float, float) or None
        West, south, east, north; None where nobody said. [degrees]
    name : str
        What the message calls it.

    Returns
    -------
    findings : tuple of Finding
        One if the place lies outside the region, either way round.

    Raises
    ------
    BoundaryError
        If it lies outside, and inside once longitude and latitude change places.
    """
    if region is None or geometry.is_empty:
        return ()
    lon, lat = shapely.get_coordinates(shapely.point_on_surface(geometry))[0]
    if _in(region, lon, lat):
        return ()
    found = f"{name} lies at {place(lon, lat)}, outside the country the plan names."
    if _in(region, lat, lon):
        raise BoundaryError(
            found,
            "With longitude and latitude exchanged it lies inside: the file has latitude first.",
            "Put longitude first, or export the file again as RFC 7946 GeoJSON.",
        )
    asked = f"Does {name} lie in that country, and is its coordinate system the right one?"
    return (Finding("outside the country", found, 0.0, ((float(lon), float(lat)),), asked),)


def shape_findings(shape: BaseGeometry | None, crs: CRS | None) -> tuple[Finding, ...]:
    """
    Say what turning one shape to longitude and latitude did to it.

    Parameters
    ----------
    shape : shapely geometry or None
        As the file has it. [unit of the system]
    crs : CRS or None
        The system of the file.

    Returns
    -------
    findings : tuple of Finding
        Heights left out, if there were any but nought; corners added to long edges.
    """
    if shape is None or crs is None:
        return ()
    return (*_heights(shape), *_long_edges(shape, crs))


def _heights(shape: BaseGeometry) -> tuple[Finding, ...]:
    heights = shapely.get_coordinates(shape, include_z=True)[:, 2]
    heights = heights[np.isfinite(heights) & (heights != 0.0)]
    if not len(heights):
        return ()
    sentence = (
        f"Heights from {heights.min():.1f} to {heights.max():.1f} were left out,"
        " for a boundary lies flat."
    )
    return (Finding("heights", sentence),)


def _long_edges(shape: BaseGeometry, crs: CRS) -> tuple[Finding, ...]:
    metres = float(crs.axis_info[0].unit_conversion_factor)
    longest = _longest_edge(shape) * metres
    if not crs.is_projected or longest <= LONG_EDGE:
        return ()
    sentence = (
        f"The longest edge is {longest:.0f} m: edges got corners at most {EDGE_STEP:g} m apart, so"
        f" that they stay the straight lines they are in {crs.name}."
    )
    return (Finding("long edge", sentence),)


def _in(region: tuple[float, float, float, float], lon: float, lat: float) -> bool:
    west, south, east, north = region
    if west > east:  # over the 180th meridian
        return south <= lat <= north and (lon >= west or lon <= east)
    return west <= lon <= east and south <= lat <= north


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
    short = geometries.copy()
    short[long] = shapely.segmentize(geometries[long], EDGE_STEP / metres)
    return short


def _longest_edge(geometry: BaseGeometry | None) -> float:
    """Measure the longest edge of any ring or line, in the units of the geometry."""
    parts = shapely.get_parts(shapely.get_parts(geometry))
    area = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    lines = np.concatenate((shapely.get_rings(parts[area]), parts[~area]))
    corners, line = shapely.get_coordinates(lines, return_index=True)
    steps = np.hypot(*np.diff(corners, axis=0).T)[line[1:] == line[:-1]]
    return float(steps.max(initial=0.0))
