"""
Spikes of a drawn boundary: places at which its line goes out and comes back on itself.

.. code-block:: text

    +-------------+
    |             |
    |    land     |          the tip is dropped, and the corner at its foot
    |             |          once it has become a repeat
    +-------------+--------+ tip
"""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

__all__ = ["without_spikes"]

SPIKE_WIDTH = 0.001
"""A line that goes out and comes back within this encloses nothing. [m]"""

METRES_PER_DEGREE = 111_320.0
"""Of latitude, near enough to judge a spike by. [m]"""


def without_spikes(drawn: Polygon) -> tuple[Polygon, list[NDArray[np.float64]]]:
    """
    Cut the spikes off a polygon.

    Parameters
    ----------
    drawn : Polygon
        In longitude and latitude, valid or not. [degrees]

    Returns
    -------
    trimmed : Polygon
        The polygon as drawn if it has no spike. [degrees]
    tips : list of ndarray, shape (2,)
        The corners at which the line turned back. [degrees]

    Notes
    -----
    A hole that is all spike is dropped. An outer ring that is all spike stays as drawn, for the
    caller to drop as a part of no area.
    """
    rings = [_trimmed_ring(ring) for ring in shapely.get_rings(drawn)]
    outer, *holes = (corners for corners, _ in rings)
    tips = [tip for _, ring_tips in rings for tip in ring_tips]
    if not tips or len(outer) < 4:
        return drawn, tips
    return Polygon(outer, [hole for hole in holes if len(hole) >= 4]), tips


def _trimmed_ring(ring: BaseGeometry) -> tuple[NDArray[np.float64], list[NDArray[np.float64]]]:
    """Cut the spikes off one ring; the closed corners that stay and the tips that went."""
    corners = shapely.get_coordinates(ring)[:-1]
    tips: list[NDArray[np.float64]] = []
    # Cutting a tip off may bare the next one, so go on until the ring has none.
    while len(corners) >= 3 and (spikes := _spikes(corners)).any():
        tip = int(np.flatnonzero(spikes)[0])
        tips.append(corners[tip])
        corners = np.delete(corners, tip, axis=0)
        corners = corners[(corners != np.roll(corners, 1, axis=0)).any(axis=1)]
    return np.concatenate((corners, corners[:1])), tips


def _spikes(corners: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell the corners of an open ring at which it goes back along its own line."""
    scale = METRES_PER_DEGREE * np.array([np.cos(np.radians(corners[:, 1].mean())), 1.0])
    metres = (corners - corners[0]) * scale
    back = np.roll(metres, 1, axis=0) - metres
    on = np.roll(metres, -1, axis=0) - metres
    longer = np.maximum(np.hypot(*back.T), np.hypot(*on.T))
    cross = np.abs(back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0])
    inward = (back * on).sum(axis=1) > 0.0
    # Cross product over the longer arm: how far the end of the shorter lies off the longer.
    spikes: NDArray[np.bool_] = inward & (cross <= SPIKE_WIDTH * longer)
    return spikes
