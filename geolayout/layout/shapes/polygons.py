"""The polygons of whatever an overlay leaves."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["polygon_parts", "subdivided"]

MOST_CORNERS = 64
"""Corners from which on a polygon is parted for looking things up in it. Ours. [-]"""


def polygon_parts(geometry: BaseGeometry | NDArray[np.object_]) -> NDArray[np.object_]:
    """Return the polygons of a geometry or array, singly and without lines or points."""
    parts = shapely.get_parts(shapely.get_parts(np.atleast_1d(geometry)))
    keep = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(parts)
    return np.asarray(parts[keep], dtype=object)


def subdivided(polygons: NDArray[np.object_]) -> NDArray[np.object_]:
    """
    Return polygons of few corners that cover the same ground, for overlays with small shapes.

    An overlay walks along every corner of both shapes; of a long zone and a small bit beside it
    nearly all of that walk is for nothing.

    Parameters
    ----------
    polygons : ndarray of Polygon, shape (n,)
        They keep their order no further.

    Returns
    -------
    pieces : ndarray of Polygon, shape (m,)
        Halved across their longer side until none has more than ``MOST_CORNERS`` corners.
    """
    done: list[NDArray[np.object_]] = []
    todo = polygons
    while len(todo):
        large = shapely.get_num_coordinates(todo) > MOST_CORNERS
        done.append(todo[~large])
        todo = polygon_parts(shapely.intersection(np.repeat(todo[large], 2), _halves(todo[large])))
    return np.concatenate(done) if done else polygons


def _halves(polygons: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return the two halves of the box round each polygon, one after the other, shape (2 n,)."""
    low_x, low_y, high_x, high_y = shapely.bounds(polygons).T
    wide = high_x - low_x >= high_y - low_y
    x, y = (low_x + high_x) / 2.0, (low_y + high_y) / 2.0
    first = shapely.box(low_x, low_y, np.where(wide, x, high_x), np.where(wide, high_y, y))
    second = shapely.box(np.where(wide, x, low_x), np.where(wide, low_y, y), high_x, high_y)
    return np.asarray(np.stack([first, second], axis=1).ravel(), dtype=object)
