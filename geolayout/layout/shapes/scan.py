"""
Upright lines across turned land, all in one numpy pass over its edges.

An edge meets a line where the line's t lies in the edge's half-open range [low, high). So each
line enters and leaves the land in turn, a vertex is met once, and a line that runs along an edge
has one rule: land to higher t counts, land to lower t does not.

Rows and trees are counted on land grown by the slack, square to its edges. No grown polygon is
needed for that. A line at t meets the grown land where the lines at t - slack, t and t + slack
meet the land, each chord lengthened a little: past an edge at the angle a to the line the lines
beside it reach slack / tan(a) farther, and

    slack / tan(a) + slack * tan(a / 2) = slack / sin(a),

which is what an edge moved outwards by the slack adds.
"""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.plan.slack import EDGE_SLACK

__all__ = ["Chords", "chords_with_slack", "edges_of", "scan", "scan_edges"]

Floats: TypeAlias = NDArray[np.float64]
Edges: TypeAlias = tuple[Floats, Floats, Floats, Floats]


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
    s0: Floats
    s1: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Crossings:
    """Chords by line, with how much each end reaches farther in grown land."""

    line: NDArray[np.int64]
    s0: Floats
    s1: Floats
    more0: Floats
    more1: Floats


def scan(turned: BaseGeometry, t: Floats) -> Chords:
    """
    Return the chords of upright lines in turned land.

    Parameters
    ----------
    turned : Polygon or MultiPolygon
        Land with x = t and y = s. [m]
    t : ndarray, shape (k,)
        Places of the lines, never falling. [m]

    Returns
    -------
    chords : Chords
    """
    return scan_edges(edges_of(turned)[:4], t)


def scan_edges(edges: Edges, t: Floats) -> Chords:
    """Return the chords of upright lines between edges that close, given as t0, s0, t1, s1."""
    found = _crossings(edges, t)
    return Chords(found.line, found.s0, found.s1)


def chords_with_slack(turned: BaseGeometry, t: Floats) -> tuple[Chords, Chords]:
    """
    Return the chords that count, as they lie in the land and as they lie in the grown land.

    A line counts where it runs in the land grown by the slack, so that rounding never makes or
    loses a row. Chords that are one in the grown land are one.

    Parameters
    ----------
    turned : Polygon or MultiPolygon
        Land with x = t and y = s. [m]
    t : ndarray, shape (k,)
        Places of the lines, never falling. [m]

    Returns
    -------
    true, wide : Chords
        Equally long; chord i of `true` lies in chord i of `wide`. A line that runs outside by
        less than the slack has its wide chord in both.
    """
    edges = edges_of(turned)[:4]
    beside = np.concatenate([t - EDGE_SLACK, t, t + EDGE_SLACK])
    order = np.argsort(beside, kind="stable")
    found = _crossings(edges, beside[order])
    source = order[found.line]
    line = source % len(t) if len(t) else source
    wide = _united(line, found.s0 - found.more0, found.s1 + found.more1)
    own = source // max(len(t), 1) == 1
    true = Chords(line[own], found.s0[own], found.s1[own])
    return _within(true, wide), wide


def edges_of(
    turned: BaseGeometry | NDArray[np.object_],
) -> tuple[Floats, Floats, Floats, Floats, NDArray[np.int64]]:
    """Return the ends of every edge, holes included: t0, s0, t1, s1, and the geometry's index."""
    parts, owner = shapely.get_parts(turned, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    a, b = xy[:-1][same], xy[1:][same]
    return a[:, 0], a[:, 1], b[:, 0], b[:, 1], owner[part[ring[:-1][same]]]


def _crossings(edges: Edges, t: Floats) -> _Crossings:
    """Return where lines enter and leave, and what slack adds to each end."""
    t0, s0, t1, s1 = edges
    dt, ds = t1 - t0, s1 - s0
    first = np.searchsorted(t, np.minimum(t0, t1))
    hits = np.searchsorted(t, np.maximum(t0, t1)) - first
    edge = np.repeat(np.arange(len(hits)), hits)
    line = np.arange(len(edge)) + np.repeat(first - np.cumsum(hits) + hits, hits)
    # The part of the edge first: an edge almost along the lines has a slope beyond all numbers.
    s = s0[edge] + (t[line] - t0[edge]) / dt[edge] * ds[edge]
    # tan(a / 2) of the angle a between edge and line, from the edge's steps
    half = np.abs(dt) / np.maximum(np.hypot(dt, ds) + np.abs(ds), np.finfo(float).tiny)
    order = np.lexsort((s, line))
    s, line, more = s[order], line[order], EDGE_SLACK * half[edge[order]]
    keep = s[1::2] > s[::2]
    return _Crossings(
        line[::2][keep], s[::2][keep], s[1::2][keep], more[::2][keep], more[1::2][keep]
    )


def _united(line: NDArray[np.int64], s0: Floats, s1: Floats) -> Chords:
    """Join the stretches of each line that touch."""
    if not len(line):
        return Chords(line, s0, s1)
    order = np.lexsort((s0, line))
    line, s0, s1 = line[order], s0[order], s1[order]
    # Lines are set apart by more than any s, so that one running maximum serves all of them.
    apart = line * (2.0 * (np.abs(s0).max() + np.abs(s1).max() + 1.0))
    reached = np.maximum.accumulate(s1 + apart)
    begins = np.concatenate([[True], s0[1:] + apart[1:] > reached[:-1]])
    ends = np.concatenate([begins[1:], [True]])
    return Chords(line[begins], s0[begins], (reached - apart)[ends])


def _within(true: Chords, wide: Chords) -> Chords:
    """Return for each wide chord the stretch from its first to its last true ground."""
    count = len(wide.line)
    if not count or not len(true.line):
        return wide
    apart = 2.0 * (np.abs(wide.s0).max() + np.abs(wide.s1).max() + 1.0)
    starts = wide.line * apart + wide.s0
    owner = np.searchsorted(starts, true.line * apart + true.s0, side="right") - 1
    # Both sets are in order, so the first and last of each owner bound its ground.
    begins = np.concatenate([[True], owner[1:] != owner[:-1]])
    ends = np.concatenate([begins[1:], [True]])
    s0, s1 = wide.s0.copy(), wide.s1.copy()
    s0[owner[begins]], s1[owner[ends]] = true.s0[begins], true.s1[ends]
    return Chords(wide.line, s0, s1)
