"""
How much light reaches places on the ground through crowns and past walls.

A crown is an ellipsoid of leaves on a bare stem. A ray is weakened by what it meets on its way:
``exp(-G * density * way)`` with G = 0.5, leaves that face every way alike. A wall is a stretch of
hedge or wood, thin, with a height and a share of light that it lets through.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["Crowns", "Walls", "past_walls", "through_crowns"]

FACING: Final = 0.5
"""Share of leaf area seen from any side, for leaves that face every way alike. [-]"""

CHUNK: Final = 4_000_000
"""Meetings of rays and crowns looked at at once, so that memory stays small. [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Crowns:
    """
    Crowns of one size.

    Attributes
    ----------
    foot : ndarray, shape (m, 3)
        Where the stems stand. [m]
    base, top : float
        Height above the foot from which and up to which there are leaves. [m]
    width : float
        Greatest width. [m]
    density : float
        Leaf area. [m2/m3]
    """

    foot: Floats
    base: float
    top: float
    width: float
    density: float

    @property
    def empty(self) -> bool:
        """Whether there is nothing to shade."""
        return not len(self.foot) or self.top <= self.base or self.width <= 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Walls:
    """
    Upright walls.

    Attributes
    ----------
    start, end : ndarray, shape (w, 2)
        Ends of each on the ground. [m]
    height : ndarray, shape (w,)
        [m]
    passed : ndarray, shape (w,)
        Share of light that each lets through. [-]
    """

    start: Floats
    end: Floats
    height: Floats
    passed: Floats


def through_crowns(cells: Floats, crowns: Crowns, up: Floats) -> Floats:
    """
    Return the share of light that reaches places from directions, through crowns.

    Parameters
    ----------
    cells : ndarray, shape (n, 3)
        Places. [m]
    crowns : Crowns
        What stands in the way.
    up : ndarray, shape (k, 3)
        Unit vectors towards the light, above the horizon.

    Returns
    -------
    share : ndarray, shape (n, k)
        From 0 to 1.

    Notes
    -----
    In space scaled so that crowns are unit balls, a ray that passes a middle at distance d < 1
    has a way of ``2 sqrt(1 - d^2)`` inside; on the ground that is divided by the length of the
    scaled direction. What a ray meets is added up over crowns.
    """
    share = np.ones((len(cells), len(up)))
    if crowns.empty or not len(up):
        return share
    scale = np.array([crowns.width, crowns.width, crowns.top - crowns.base]) / 2.0
    lifted = np.array([0.0, 0.0, (crowns.base + crowns.top) / 2.0])
    middle = (crowns.foot + lifted) / scale
    places, ways = cells / scale, up / scale
    stretch = np.sqrt((ways**2).sum(axis=1))
    ways = ways / stretch[:, None]
    apart = ((places[:, None, :] - middle[None, :, :]) ** 2).sum(axis=2)
    from_cell, from_middle = places @ ways.T, middle @ ways.T
    step = max(1, CHUNK // (len(cells) * len(middle)))
    thick = FACING * crowns.density * 2.0
    for first in range(0, len(up), step):
        chunk = slice(first, first + step)
        ahead = from_middle[None, :, chunk] - from_cell[:, None, chunk]
        left = 1.0 - apart[:, :, None] + ahead**2  # 1 - d^2
        cell, _, ray = met = np.nonzero((left > 0.0) & (ahead > 0.0))
        flat = cell * ahead.shape[2] + ray
        way = np.bincount(flat, np.sqrt(left[met]), minlength=len(cells) * ahead.shape[2])
        share[:, chunk] = np.exp(-thick * way.reshape(len(cells), -1) / stretch[chunk])
    return share


def past_walls(cells: Floats, walls: Walls, up: Floats) -> Floats:
    """
    Return the share of light that reaches places from directions, past walls.

    Parameters
    ----------
    cells : ndarray, shape (n, 3)
        Places. [m]
    walls : Walls
        What stands in the way; their feet are as high as the place.
    up : ndarray, shape (k, 3)
        Unit vectors towards the light, above the horizon.

    Returns
    -------
    share : ndarray, shape (n, k)
        From 0 to 1.
    """
    share = np.ones((len(cells), len(up)))
    for start, end, height, passed in zip(
        walls.start, walls.end, walls.height, walls.passed, strict=True
    ):
        along = end - start
        off = start - cells[:, :2]
        turned = up[:, 0] * along[1] - up[:, 1] * along[0]  # 0 where a ray runs along the wall
        with np.errstate(divide="ignore", invalid="ignore"):
            way = (off[:, 0] * along[1] - off[:, 1] * along[0])[:, None] / turned
            place = (off[:, 0, None] * up[:, 1] - off[:, 1, None] * up[:, 0]) / turned
        # `way` is in metres of the unit ray, `place` a share of the wall from its start.
        hit = (way > 0.0) & (place >= 0.0) & (place <= 1.0) & (way * up[:, 2] < height)
        share *= np.where(hit, passed, 1.0)
    return share
