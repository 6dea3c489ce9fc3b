"""
Necks: places where a piece of ground hangs together and no machine passes.

A neck is a place where no chord square to the guide is as wide as the machine, between two places
where one is. Tips at slanting ends are no necks: nothing wide enough lies beyond them.
"""

from collections.abc import Callable

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.layout.guides.guide import Guides
from geolayout.layout.guides.rings import Rings
from geolayout.layout.shapes.cut import Pieces, cut_generic
from geolayout.layout.shapes.scan import edges_of, scan_edges
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["cut_at_necks", "neck_places"]

KINK = 1e-6
"""How far beside a corner chords are measured, at most. [m]"""


def cut_at_necks(
    pieces: Pieces, guides: Guides, width_of: Callable[[int], float]
) -> tuple[Pieces, int]:
    """
    Part pieces at their necks, each by one line square to the guide where it is narrowest.

    Parameters
    ----------
    pieces : Pieces
        Pieces of land.
    guides : Guides
        Their guides.
    width_of : callable
        Narrowest machine that works an interval. [m]

    Returns
    -------
    pieces : Pieces
        The same ground, in the same order, in as many or more pieces.
    necks : int
        Number of necks that were cut.
    """
    if not len(pieces.geometry) or isinstance(guides, Rings):  # rings themselves end at necks
        return pieces, 0
    bent = np.flatnonzero(~_convex(pieces.geometry))
    widths = np.array([width_of(int(label)) for label in pieces.interval[bent]])
    which, places = neck_places(guides.turn(pieces.geometry[bent]), widths)
    if not len(which):
        return pieces, 0
    parts = [np.array([piece], dtype=object) for piece in pieces.geometry]
    for i in np.unique(which):
        piece = pieces.geometry[bent[i]]
        parts[bent[i]] = cut_generic(piece, guides.square, places[which == i]).geometry
    labels = np.repeat(pieces.interval, [len(part) for part in parts])
    return Pieces(np.concatenate(parts), labels), len(which)


def _convex(polygons: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Tell which polygons bulge nowhere inwards, within rounding."""
    hull = shapely.area(shapely.convex_hull(polygons))
    return np.asarray(hull - shapely.area(polygons) <= 1e-9 * hull, dtype=np.bool_)


def neck_places(
    turned: NDArray[np.object_], width: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """
    Return where turned polygons are cut at their necks.

    The widest chord of a polygon is piecewise linear in s, with its kinks at corners, so it is
    enough to look beside them. All polygons are looked at in one pass, set apart along s.

    Parameters
    ----------
    turned : ndarray of Polygon, shape (n,)
        Polygons in the turned frame, x = t and y = s. [m]
    width : ndarray, shape (n,)
        Narrowest chord that a machine passes, for each. [m]

    Returns
    -------
    polygon : ndarray of int, shape (m,)
        Index of the polygon of each neck.
    s : ndarray, shape (m,)
        Where it is cut, growing along each polygon. [m]
    """
    none = np.empty(0, dtype=np.int64), np.empty(0)
    if not len(turned):
        return none
    s_range = shapely.bounds(turned)[:, [1, 3]]
    apart = np.concatenate([[0.0], np.cumsum(np.diff(s_range, axis=1)[:, 0] + 1.0)])[:-1]
    moves = apart - s_range[:, 0]
    xy, owner = shapely.get_coordinates(turned, return_index=True)
    kinks, first = np.unique(xy[:, 1] + moves[owner], return_index=True)
    polygon = owner[first]
    same = polygon[1:] == polygon[:-1]
    low, high, polygon = kinks[:-1][same], kinks[1:][same], polygon[:-1][same]
    step = np.minimum(KINK, (high - low) / 4)
    s = np.stack([low + step, high - step], axis=1).ravel()
    polygon = np.repeat(polygon, 2)
    chords = _widest_chords(turned, moves, s)
    found = _narrowest_between(polygon, chords, width)
    return polygon[found], s[found] - moves[polygon[found]]


def _widest_chords(
    turned: NDArray[np.object_], moves: NDArray[np.float64], s: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the widest single chord at each s of polygons moved apart, shape (n,). [m]"""
    t0, s0, t1, s1, owner = edges_of(turned)
    found = scan_edges((s0 + moves[owner], t0, s1 + moves[owner], t1), s)
    widest = np.zeros(len(s))
    np.maximum.at(widest, found.line, found.s1 - found.s0)
    return widest


def _narrowest_between(
    polygon: NDArray[np.int64], chords: NDArray[np.float64], width: NDArray[np.float64]
) -> list[int]:
    """Return the narrowest place of each run of impassable chords between passable ones."""
    passable = np.flatnonzero(chords >= width[polygon] - ACROSS_SLACK)
    gaps = np.flatnonzero(np.diff(passable) > 1)
    return [
        int(a + 1 + np.argmin(chords[a + 1 : b]))
        for a, b in zip(passable[gaps].tolist(), passable[gaps + 1].tolist(), strict=True)
        if polygon[a] == polygon[b]
    ]
