"""
Overlays of ground on one fine grid, so that what is cut apart fits together again.

An overlay of floating numbers puts a new corner not quite on the edge that it cuts, and the next
overlay finds a sliver between the two that no clipping survives. On a grid the edge is bent
through the corner instead, by less than the grid is wide, and there is no sliver.

Land that comes in lies on the grid. So where there is nothing to overlay it with, it goes out as
it came: most fields have no margin and no obstacle, and an overlay with nothing takes as long.
"""

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.polygons import polygon_parts

__all__ = ["added", "common", "joined", "on_grid", "without"]

GRID = 1e-10
"""Width of the grid: far below any survey, far above the rounding of a field's numbers. [m]"""


def on_grid(land: BaseGeometry) -> BaseGeometry:
    """Return land with its corners on the grid."""
    return _areas(shapely.set_precision(land, GRID))


def common(land: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return the ground that two shapes share."""
    if land.is_empty or other.is_empty:
        return shapely.Polygon()
    return _areas(shapely.intersection(land, other, grid_size=GRID))


def without(land: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return the ground of the land that the other shape leaves."""
    if other.is_empty:
        return land
    return _areas(shapely.difference(land, other, grid_size=GRID))


def joined(several: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the ground of all shapes together."""
    there = [shape for shape in several if not shape.is_empty]
    return there[0] if len(there) == 1 else _areas(shapely.union_all(there, grid_size=GRID))


def added(land: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return the ground of two shapes together, each of them sound; one overlay and no more."""
    if land.is_empty or other.is_empty:
        return other if land.is_empty else land
    return _areas(shapely.union(land, other, grid_size=GRID))


def _areas(geometry: BaseGeometry) -> BaseGeometry:
    """Return the polygons of a geometry as one, without the lines and points of touching."""
    parts = polygon_parts(geometry)
    return shapely.MultiPolygon(list(parts)) if len(parts) != 1 else parts[0]
