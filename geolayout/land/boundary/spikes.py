"""
Spikes of a drawn boundary: places at which its line goes out and comes back on itself.

.. code-block:: text

    +-------------+
    |             |
    |    land     |          the tip is dropped, and the corner at its foot
    |             |          once it has become a repeat
    +-------------+--------+ tip
"""

from collections import deque
from math import hypot

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
    while len(corners) >= 3 and _spikes(corners).any():
        kept, cut = _walked(_metres(corners).tolist())
        tips.extend(corners[cut])
        corners = corners[kept]
    return np.concatenate((corners, corners[:1])), tips


def _walked(metres: list[list[float]]) -> tuple[list[int], list[int]]:
    """
    Walk round a ring once and cut each tip as soon as it shows, and those that it bares.

    One corner at a time, for a tip may bare the next: the time grows with the corners alone.
    """
    kept: deque[int] = deque()
    tips: list[int] = []
    for number, corner in enumerate(metres):
        while len(kept) >= 2 and _is_spike(metres[kept[-2]], metres[kept[-1]], corner):
            tips.append(kept.pop())
        if not kept or metres[kept[-1]] != corner:
            kept.append(number)
    while len(kept) >= 3 and (end := _end_to_cut(kept, metres)):
        number = kept.pop() if end == "last" else kept.popleft()
        if metres[number] not in (metres[kept[0]], metres[kept[-1]]):
            tips.append(number)
    return list(kept), tips


def _end_to_cut(kept: deque[int], metres: list[list[float]]) -> str:
    """Tell which end of the walk is a tip, or a repeat, where the ring closes; "" for neither."""
    first, last = metres[kept[0]], metres[kept[-1]]
    if first == last or _is_spike(metres[kept[-2]], last, first):
        return "last"
    return "first" if _is_spike(last, first, metres[kept[1]]) else ""


def _is_spike(before: list[float], tip: list[float], after: list[float]) -> bool:
    """Tell whether the line goes back along itself at one corner."""
    back, on = (before[0] - tip[0], before[1] - tip[1]), (after[0] - tip[0], after[1] - tip[1])
    cross = abs(back[0] * on[1] - back[1] * on[0])
    longer = max(hypot(*back), hypot(*on))
    return back[0] * on[0] + back[1] * on[1] > 0.0 and cross <= SPIKE_WIDTH * longer


def _metres(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Measure corners from the first, near enough to judge a spike by. [m]"""
    scale = METRES_PER_DEGREE * np.array([np.cos(np.radians(corners[:, 1].mean())), 1.0])
    metres: NDArray[np.float64] = (corners - corners[0]) * scale
    return metres


def _spikes(corners: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell the corners of an open ring at which it goes back along its own line."""
    metres = _metres(corners)
    back = np.roll(metres, 1, axis=0) - metres
    on = np.roll(metres, -1, axis=0) - metres
    longer = np.maximum(np.hypot(*back.T), np.hypot(*on.T))
    cross = np.abs(back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0])
    inward = (back * on).sum(axis=1) > 0.0
    # Cross product over the longer arm: how far the end of the shorter lies off the longer.
    spikes: NDArray[np.bool_] = inward & (cross <= SPIKE_WIDTH * longer)
    return spikes
