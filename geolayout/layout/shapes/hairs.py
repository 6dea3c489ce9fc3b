"""
Hairs: spikes of no width that overlays leave along an edge, where rounding moved a crossing.

They hold no ground, yet a row or a pass would follow them to the corner of the field.
"""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["without_hairs"]

HAIR = 1e-6
"""A spike thinner than this is rounding. [m]"""


def without_hairs(polygons: NDArray[np.object_]) -> NDArray[np.object_]:
    """
    Return polygons without their hairs.

    Parameters
    ----------
    polygons : ndarray of Polygon, shape (n,)
        Valid polygons. [m]

    Returns
    -------
    polygons : ndarray of Polygon, shape (n,)
        The very same where nothing was cut, or where cutting would spoil one.
    """
    trimmed = np.array([_trimmed(polygon) for polygon in polygons], dtype=object)
    sound = shapely.is_valid(trimmed) & ~shapely.is_empty(trimmed) if len(trimmed) else trimmed
    return np.where(sound.astype(bool), trimmed, polygons)


def _trimmed(polygon: BaseGeometry) -> BaseGeometry:
    """Return a polygon without the tips of its hairs, the same one if it has none."""
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_rings(polygon)]
    cut = [_ring_without_tips(ring) for ring in rings]
    if all(after is before for after, before in zip(cut, rings, strict=True)):
        return polygon
    kept = [ring for ring in cut[1:] if len(ring) > 3]
    return shapely.Polygon(cut[0], kept) if len(cut[0]) > 3 else shapely.Polygon()


def _ring_without_tips(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a closed ring with the tips of hairs taken out, again and again."""
    open_ring = ring[:-1]
    while len(open_ring) > 3:
        tips = _tips(open_ring)
        if not tips.any():
            break
        open_ring = np.delete(open_ring, np.flatnonzero(tips)[0], axis=0)
    if len(open_ring) == len(ring) - 1:
        return ring
    return np.concatenate([open_ring, open_ring[:1]])


def _tips(ring: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell at which vertices an open ring turns back on itself."""
    before = np.roll(ring, 1, axis=0) - ring
    after = np.roll(ring, -1, axis=0) - ring
    along = np.einsum("ij,ij->i", before, after)
    area = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])
    longer = np.maximum(np.hypot(*before.T), np.hypot(*after.T))
    return np.asarray((along > 0) & (area < HAIR * longer), dtype=np.bool_)
