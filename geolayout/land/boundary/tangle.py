"""Scribble told from a boundary, before anything is done that takes gigabytes of it."""

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.errors import BoundaryError

__all__ = ["AT_ONCE", "MOST_CROSSINGS", "check_tangle", "edges_of"]

MOST_CROSSINGS = 40_000
"""
Lines that cross more often than this are scribble. A boundary of 20,000 corners 6 cm apart that
stray by 30 cm crosses itself some 28,000 times. [-]
"""

MOST_NEAR = 3_000_000
"""Pairs of edges whose bounds meet: more of them are scribble too, and take long to look at. [-]"""

AT_ONCE = 50
"""Shapes that are held against all others at a time, so that memory stays small. [-]"""


def edges_of(lines: NDArray[np.object_]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """
    Give the edges of lines or rings.

    Parameters
    ----------
    lines : ndarray of LineString or LinearRing
        In any unit.

    Returns
    -------
    starts, ends : ndarray, shape (n, 2)
    """
    corners, line = shapely.get_coordinates(lines, return_index=True)
    same = line[1:] == line[:-1]
    return corners[:-1][same], corners[1:][same]


def check_tangle(lines: NDArray[np.object_], *, name: str) -> None:
    """
    Refuse lines that cross far more often than any pen or receiver makes them.

    Parameters
    ----------
    lines : ndarray of LineString or LinearRing
        Of one boundary.
    name : str
        What the message calls it.

    Raises
    ------
    BoundaryError
        If they cross over 40,000 times.
    """
    drawn, times = _each_once(*edges_of(lines))
    edges = shapely.linestrings(drawn)
    tree = shapely.STRtree(edges)
    near = 0
    met = int((times * (times - 1)).sum())
    # Edges on top of one another are all near to all: few at once then, for memory and time.
    step = max(1, min(AT_ONCE, MOST_NEAR // 10 // max(1, len(edges))))
    for first in range(0, len(edges), step):
        one, other = tree.query(edges[first : first + step])
        near += len(one)
        if near > MOST_NEAR or met > 2 * MOST_CROSSINGS:  # each is met from both its lines
            break
        met += int(shapely.crosses(edges[first + one], edges[other]).sum())
    if near > MOST_NEAR or met > 2 * MOST_CROSSINGS:
        raise BoundaryError(
            f"The line of {name} crosses itself over {MOST_CROSSINGS:,} times, or runs on itself.",
            "What lies inside and what outside cannot be told.",
            "Draw the boundary anew, or export it again.",
        )


def _each_once(
    starts: NDArray[np.float64], ends: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Give edges as start and end, each once, and how often each is drawn, either way round."""
    turned = (starts[:, 0] > ends[:, 0]) | (
        (starts[:, 0] == ends[:, 0]) & (starts[:, 1] > ends[:, 1])
    )
    first = np.where(turned[:, None], ends, starts)
    last = np.where(turned[:, None], starts, ends)
    edges = np.column_stack((first, last))
    edges = edges[np.lexsort(edges.T)]
    new = np.ones(len(edges), dtype=bool)
    new[1:] = (edges[1:] != edges[:-1]).any(axis=1)
    times = np.diff(np.append(np.flatnonzero(new), len(edges)))
    return edges[new].reshape(-1, 2, 2), times
