"""The long edges of land, that a driver sees: which rows run along one, and what that costs."""

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.direction.rings import Rings
from geolayout.layout.headlands.sides import nearest_side

__all__ = ["landmark", "long_bearings", "runs_along", "to_an_edge"]

LONG = 0.04
"""Edges of at least this share of the boundary are landmarks. Our own choice. [-]"""

BESIDE = 0.05
"""Rows that turn from an edge by less run along it. [degrees]"""

NEARBY = 2.0
"""Rows that turn from an edge by no more could as well run along it. Our own choice. [degrees]"""

WORTH = 0.01
"""Rows along an edge are told if they cost a smaller share more. Our own choice. [-]"""

Floats = NDArray[np.float64]


def landmark(rings: Rings, bearing: float) -> tuple[float, str]:
    """
    Return by how much rows turn from the nearest long edge, and the side that it faces.

    Parameters
    ----------
    rings : Rings
        The land.
    bearing : float
        Of the rows, from the frame's north. [degrees]

    Returns
    -------
    off : float
        0 to 90. [degrees]
    side : str
        Compass word.
    """
    east, north = rings.way.T
    length, long = np.hypot(east, north), _long(rings)
    along = np.degrees(np.arctan2(east, north))
    off = np.abs((along - bearing + 90.0) % 180.0 - 90.0)
    # of edges equally near the longest, so that a name does not hang on a hair
    nearest = int(np.lexsort((-length, np.where(long, np.round(off, 2), 180.0)))[0])
    outward = float(np.degrees(np.arctan2(north[nearest], -east[nearest])))
    return float(off[nearest]), nearest_side(outward)


def long_bearings(rings: Rings) -> Floats:
    """Return the bearings of the long edges, from the frame's north. [degrees]"""
    return np.unique(np.degrees(np.arctan2(*rings.way[_long(rings)].T)) % 180.0 % 180.0)


def _long(rings: Rings) -> NDArray[np.bool_]:
    """Return which edges belong to a long one; there is one at least."""
    length = np.hypot(*rings.way.T)
    return np.asarray(length >= min(LONG * rings.lengths.sum(), length.max()))


def runs_along(rings: Rings, bearing: float) -> bool:
    """Whether rows of a bearing from the frame's north [degrees] run along a long edge."""
    return landmark(rings, bearing)[0] < BESIDE


def to_an_edge(rings: Rings, bearing: float, others: Floats, more: Floats) -> int | None:
    """
    Return which of other rows run along a long edge nearby for little more.

    Parameters
    ----------
    rings : Rings
        The land.
    bearing : float
        Of the rows, from the frame's north. [degrees]
    others : ndarray, shape (n,)
        Bearings of the others. [degrees]
    more : ndarray, shape (n,)
        What each costs more, as a share. [-]

    Returns
    -------
    place : int or None
        The cheapest of them; None where there is none, or the rows run along an edge themselves.
    """
    if runs_along(rings, bearing):
        return None
    turn = np.abs((others - bearing + 90.0) % 180.0 - 90.0)
    able = np.flatnonzero((turn <= NEARBY) & (more < WORTH))
    along = [int(i) for i in able if runs_along(rings, float(others[i]))]
    return min(along, key=lambda i: float(more[i]), default=None)
