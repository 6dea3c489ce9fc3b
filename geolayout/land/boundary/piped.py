"""Boundaries that come through a pipe, one feature at a time."""

from dataclasses import dataclass
from pathlib import PurePosixPath

import numpy as np
import shapely
from pyproj import CRS
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.inner import polygons_of
from geolayout.land.boundary.outline import lines_of, outlined
from geolayout.land.files.geojson import read_geojson
from geolayout.land.files.limits import MAX_TEXT
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.frames.lonlat import on_earth, user_crs
from geolayout.land.readers import DrawnBoundary

__all__ = ["piped_boundary"]


@dataclass(frozen=True, slots=True)
class _Piped(Source):
    """A text that is at hand and stands in no file."""

    text: bytes = b""

    def content(self, most: int = MAX_TEXT) -> bytes:  # noqa: ARG002  (it is at hand)
        """Give the text."""
        return self.text


def piped_boundary(text: str, number: int, crs: str | int | CRS | None = None) -> DrawnBoundary:
    """
    Read the boundary of one field from the text of a feature.

    Parameters
    ----------
    text : str
        GeoJSON: a feature, a geometry, or a collection of one.
    number : int
        Its place among the features, from 1, for messages.
    crs : anything pyproj reads, optional
        Its coordinate system, where that is not longitude and latitude.

    Returns
    -------
    boundary : DrawnBoundary
        A GeoJSON id stands among its columns as ``id``, unless they have one.

    Raises
    ------
    FileError
        If it is no GeoJSON, or not one feature.
    BoundaryError
        If it holds no shape, or one that does not lie on earth.
    """
    label = f"Feature {number} of the input"
    stated = None if crs is None else user_crs(crs)
    sheet = read_geojson(_Piped(PurePosixPath(label), text=text.encode()))
    if stated is None:
        _check_degrees(sheet)
    row = _only_row(on_earth(sheet, stated))
    if row.geometry is None:
        raise BoundaryError(
            f"{label} has no shape.", "A field needs a boundary.", "Leave the feature out."
        )
    name = row.label(f"field {number}")
    geometry, said = _closed(row.geometry, name)
    return DrawnBoundary(geometry, name, (*sheet.findings, *said), row.columns())


def _only_row(sheet: Sheet) -> Row:
    """Take the one feature of a text."""
    if len(sheet.rows) != 1:
        raise FileError(
            f"{sheet.label} holds {len(sheet.rows)} features.",
            "One is read at a time, and a collection within another is not opened.",
            "Pipe the features themselves.",
        )
    return sheet.rows[0]


def _closed(geometry: BaseGeometry, name: str) -> tuple[BaseGeometry, tuple[Finding, ...]]:
    """Close a boundary that is drawn as lines."""
    lines = lines_of(geometry)
    if polygons_of(geometry) or not lines:
        return geometry, ()
    areas, said = outlined(lines, name=name)
    return MultiPolygon(areas), said


def _check_degrees(sheet: Sheet) -> None:
    """Say what to do about metres that come through a pipe as if they were degrees."""
    if sheet.crs is not WGS84:
        return
    corners = shapely.get_coordinates([row.geometry for row in sheet.rows])
    far = np.abs(corners).max(axis=1, initial=0.0) > 180.0
    if far.any():
        x, y = corners[far][0].tolist()
        raise BoundaryError(
            f"{sheet.label} has a corner at {x:.7g}, {y:.7g}.",
            "That looks like metres, and features in a pipe are longitude and latitude.",
            "Add --dst-crs EPSG:4326 to fio cat, or state its system with --crs.",
        )
