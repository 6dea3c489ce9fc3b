"""
Steps of a map finer than any machine follows, drawn straight before the map is smoothed.

A map of polygons made out of cells has a corner for each of them. Where a raster's cells are put
together by their mean, its polygons get the same: a step that is as small as such a cell becomes a
straight line. Both zones beside it take the same line, so that no ground is lost between them.
"""

from collections.abc import Sequence
from math import sqrt
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.polygons import polygon_parts

__all__ = ["MANY_CORNERS", "finest_step", "thinned"]

MANY_CORNERS: Final = 2000
"""Corners from which on steps are drawn straight; fewer take no time. Our own choice."""

FINEST: Final = 0.25
"""Share of a pass up to which a step is drawn straight: two cells of a raster that go into half
a pass are put together as well. [-]"""


def finest_step(width: float) -> float:
    """Return the largest step that is drawn straight, by the width of a pass. [m]"""
    return FINEST * width


def thinned(zones: Sequence[BaseGeometry], width: float) -> tuple[BaseGeometry, ...]:
    """
    Return a partition with its fine steps drawn straight; its outer edge stays as it is.

    Parameters
    ----------
    zones : sequence of Polygon or MultiPolygon
        A partition of a field. [m]
    width : float
        Width of a pass. [m]

    Returns
    -------
    zones : tuple of Polygon or MultiPolygon
        As many, in the same order.

    Notes
    -----
    Of a corner and its two neighbours the triangle is left out up to half the square of the step:
    what a corner of such a cell leaves out.
    """
    faces, zone_of = _faces(zones)
    least = finest_step(width) / sqrt(2.0)
    lines = shapely.coverage_simplify(faces, least, simplify_boundary=False)
    return tuple(_one(lines[zone_of == k]) for k in range(len(zones)))


def _faces(zones: Sequence[BaseGeometry]) -> tuple[NDArray[np.object_], NDArray[np.intp]]:
    """Return the faces between all edges, which share their corners, and the zone of each."""
    edges = shapely.union_all([shapely.boundary(zone) for zone in zones if not zone.is_empty])
    faces = polygon_parts(shapely.polygonize([edges]))
    inner = shapely.point_on_surface(faces)
    zone_of = np.full(len(faces), -1, dtype=np.intp)
    for k, zone in enumerate(zones):
        shapely.prepare(zone)
        zone_of[shapely.contains(zone, inner)] = k
    mine = zone_of >= 0  # a hole in the field is a face of none
    return faces[mine], zone_of[mine]


def _one(faces: NDArray[np.object_]) -> BaseGeometry:
    """Return faces that share their corners as one shape."""
    if not len(faces):
        return shapely.Polygon()
    parts = polygon_parts(np.atleast_1d(shapely.coverage_union_all(faces)))
    return shapely.MultiPolygon(list(parts)) if len(parts) != 1 else parts[0]
