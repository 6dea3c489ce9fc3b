"""
Upright lines across turned land, all in one numpy pass over its edges.

An edge meets a line where the line's t lies in the edge's half-open range [low, high). So each
line enters and leaves the land in turn, a vertex is met once, and a line that runs along an edge
has one rule: land to higher t counts, land to lower t does not.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.slackland import grown

__all__ = ["Chords", "chords_with_slack", "scan"]


@dataclass(frozen=True, slots=True, eq=False)
class Chords:
    """
    Where lines run inside land.

    Attributes
    ----------
    line : ndarray of int, shape (n,)
        Index of the line, never falling.
    s0, s1 : ndarray of float, shape (n,)
        Where it enters and leaves, s0 < s1, growing along each line. [m]
    """

    line: NDArray[np.int64]
    s0: NDArray[np.float64]
    s1: NDArray[np.float64]


def scan(turned: BaseGeometry, t: NDArray[np.float64]) -> Chords:
    """
    Return the chords of upright lines in turned land.

    Parameters
    ----------
    turned : Polygon or MultiPolygon
        Land with x = t and y = s. [m]
    t : ndarray, shape (k,)
        Increasing places of the lines. [m]

    Returns
    -------
    chords : Chords
    """
    x0, y0, x1, y1 = _edges(turned)
    low, high = np.minimum(x0, x1), np.maximum(x0, x1)
    first, last = np.searchsorted(t, low), np.searchsorted(t, high)
    hits = last - first
    edge = np.repeat(np.arange(len(hits)), hits)
    start = np.repeat(first - np.concatenate([[0], np.cumsum(hits)[:-1]]), hits)
    line = (np.arange(len(edge)) + start).astype(np.int64)
    slope = np.divide(y1 - y0, x1 - x0, out=np.zeros_like(x0), where=x1 != x0)
    s = y0[edge] + (t[line] - x0[edge]) * slope[edge]
    order = np.lexsort((s, line))
    s, line = s[order], line[order]
    keep = s[1::2] > s[::2]
    return Chords(line[::2][keep], s[::2][keep], s[1::2][keep])


def _edges(turned: BaseGeometry) -> tuple[NDArray[np.float64], ...]:
    """Return the ends of every edge of every ring, holes included."""
    rings = shapely.get_rings(shapely.get_parts(turned))
    if not len(rings):
        none = np.empty(0)
        return none, none, none, none
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    a, b = xy[:-1][same], xy[1:][same]
    return a[:, 0], a[:, 1], b[:, 0], b[:, 1]


def chords_with_slack(turned: BaseGeometry, t: NDArray[np.float64]) -> tuple[Chords, Chords]:
    """
    Return the chords that count, as they lie in the land and as they lie in the grown land.

    A line counts where it runs in the land grown by the slack, square to the edge, so that
    rounding never makes or loses a row. Chords that are one in the grown land are one.

    Parameters
    ----------
    turned : Polygon or MultiPolygon
        Land with x = t and y = s. [m]
    t : ndarray, shape (k,)
        Increasing places of the lines. [m]

    Returns
    -------
    true, wide : Chords
        Equally long; chord i of `true` lies in chord i of `wide`.
    """
    wide = scan(grown(turned), t)
    true = scan(turned, t)
    owner = _owners(true, wide)
    s0 = np.full(len(wide.line), np.inf)
    s1 = np.full(len(wide.line), -np.inf)
    np.minimum.at(s0, owner, true.s0)
    np.maximum.at(s1, owner, true.s1)
    along_edge = ~np.isfinite(s0)  # runs along an edge, outside by less than the slack
    s0 = np.where(along_edge, wide.s0, s0)
    s1 = np.where(along_edge, wide.s1, s1)
    return Chords(wide.line, s0, s1), wide


def _owners(true: Chords, wide: Chords) -> NDArray[np.int64]:
    """Return for each chord of the land the chord of the grown land that holds it."""
    middle = (true.s0 + true.s1) / 2
    if not len(middle):
        return np.empty(0, dtype=np.int64)
    # One key orders chords by line and then by s: lines are set apart by more than any s.
    gap = 2 * (np.abs(wide.s1).max() + np.abs(wide.s0).max() + np.abs(middle).max() + 1)
    starts = wide.line * gap + wide.s0
    found = np.searchsorted(starts, true.line * gap + middle, side="right") - 1
    return np.asarray(found, dtype=np.int64)
