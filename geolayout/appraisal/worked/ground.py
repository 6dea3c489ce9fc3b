"""
Overlays of ground that is only measured: work as recorded lies on no grid, and may be of any shape.

Everything is put on a grid of a thousandth of a millimetre first. Floating unions of strips whose
edges differ by rounding can lose a whole strip; on a grid they do not, and no area changes by more
than its outline times that.
"""

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.polygons import polygon_parts

__all__ = ["areas_of", "merged", "outside", "shared"]

GRID = 1e-6
"""Width of the grid: far below what any receiver tells, far above rounding. [m]"""


def areas_of(geometry: BaseGeometry) -> BaseGeometry:
    """Return the polygons of a geometry as one, valid and on the grid."""
    sound = geometry if geometry.is_valid else shapely.make_valid(geometry)
    parts = polygon_parts(shapely.set_precision(sound, GRID))
    return shapely.MultiPolygon(list(parts)) if len(parts) != 1 else parts[0]


def shared(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return the ground of both shapes."""
    return areas_of(shapely.intersection(one, other, grid_size=GRID))


def outside(ground: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return the ground that lies outside of the other shape."""
    return areas_of(shapely.difference(ground, other, grid_size=GRID))


def merged(several: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the ground of all shapes together."""
    there = [areas_of(one) for one in several]
    return areas_of(shapely.union_all(there, grid_size=GRID)) if there else shapely.Polygon()
