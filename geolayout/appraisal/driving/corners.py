"""Rounds as lines: corners, where a closed one is begun, quarter turns, and ways over."""

from math import acos, atan2, ceil, pi, sqrt, tan

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.layout.shapes.lines import Lines

__all__ = ["begun_near", "corner_length", "quarter_turn", "rounded", "shift_ahead", "shift_length"]

TIGHT = 3.0
"""A line is at a corner where it bends tighter than this many turning radii over half a radius. Our
own choice. [-]"""

CRUMB = 1e-6
"""Places on a line nearer than this are one. [m]"""

STRAIGHT = 1e-3
"""A line that turns by less goes straight on. [rad]"""

ARC = 0.5
"""Points of an arc are no farther apart than this. [m]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


def quarter_turn(radius: float, trip: Floats | float) -> Floats:
    """
    Return how far it is along a headland with a quarter turn at one end of the way.

    Parameters
    ----------
    radius : float
        Turning radius. [m]
    trip : ndarray or float
        The way without the turn. [m]

    Returns
    -------
    length : ndarray
        [m]

    Examples
    --------
    >>> round(float(quarter_turn(6.0, 106.0)), 2)
    109.42
    """
    return np.asarray(pi * radius / 2.0 + np.maximum(np.asarray(trip) - radius, 0.0))


def shift_length(radius: float, over: float) -> float:
    """
    Return how far an S is that sets a machine over beside its line: two arcs.

    Parameters
    ----------
    radius : float
        Turning radius. [m]
    over : float
        From line to line. [m]

    Returns
    -------
    length : float
        ``2 R a`` with ``cos a = 1 - over / (2 R)``; with a straight between two quarter turns
        where that is more than a quarter turn each. [m]

    Examples
    --------
    >>> round(shift_length(6.0, 6.0), 2)  # two arcs of 60 degrees
    12.57
    """
    if over >= 2.0 * radius:
        return pi * radius + over - 2.0 * radius
    return 2.0 * radius * acos(1.0 - over / (2.0 * radius))


def corner_length(lines: Lines, which: Whole, radius: float) -> Floats:
    """
    Return how much of each line is corner: arcs about as tight as a machine turns.

    Parameters
    ----------
    lines : Lines
        Rounds.
    which : ndarray of int, shape (n,)
        Which of them.
    radius : float
        Turning radius. [m]

    Returns
    -------
    length : ndarray, shape (n,)
        The radius times the angle turned through. [m]
    """
    spans = [(lines.offsets[i], lines.offsets[i + 1]) for i in which.tolist()]
    return np.array([_corners(lines.xy[first:last], radius) for first, last in spans])


def begun_near(xy: Floats, near: Floats) -> Floats:
    """
    Return a closed line begun where it is nearest to one of some places.

    Parameters
    ----------
    xy : ndarray, shape (n, 2)
        Vertices of a closed line. [m]
    near : ndarray, shape (k, 2)
        Places; with none the line stays as it is. [m]

    Returns
    -------
    xy : ndarray, shape (m, 2)
        [m]
    """
    if not len(near):
        return xy
    ring = shapely.LineString(xy)
    points = shapely.points(near)
    nearest = points[int(np.argmin(shapely.distance(ring, points)))]
    run = float(shapely.line_locate_point(ring, nearest))
    begin = shapely.get_coordinates(shapely.line_interpolate_point(ring, run))
    runs = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    ahead, behind = xy[:-1][runs[:-1] > run + CRUMB], xy[1:][runs[1:] < run - CRUMB]
    return np.concatenate([begin, ahead, xy[:1], behind, begin])


def shift_ahead(radius: float, over: float) -> float:
    """Return how far ahead an S that sets a machine over brings it along its line. [m]"""
    if over >= 2.0 * radius:
        return 2.0 * radius
    return sqrt(over * (4.0 * radius - over))


def rounded(xy: Floats, radius: float) -> Floats:
    """
    Return a line with an arc at each corner, tighter where its stretches are too short.

    Parameters
    ----------
    xy : ndarray, shape (n, 2)
        Vertices. [m]
    radius : float
        Of the arcs. [m]

    Returns
    -------
    xy : ndarray, shape (m, 2)
        With a point on every half metre of arc. [m]

    Examples
    --------
    >>> line = rounded(np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 20.0]]), 6.0)
    >>> round(float(np.hypot(*np.diff(line, axis=0).T).sum()), 1)  # 14 + 9.4 + 14
    37.4
    """
    last = len(xy) - 1
    arcs = [_arc(xy[k - 1 : k + 2], radius, (k == 1, k == last - 1)) for k in range(1, last)]
    return np.concatenate([xy[:1], *arcs, xy[-1:]])


def _arc(three: Floats, radius: float, outer: tuple[bool, bool]) -> Floats:
    """Return an arc in place of the middle of three vertices; outer stretches may be used whole."""
    legs = np.diff(three, axis=0)
    long = np.hypot(*legs.T)
    unit = legs / long[:, None]
    cross = float(unit[0, 0] * unit[1, 1] - unit[0, 1] * unit[1, 0])
    angle = abs(atan2(cross, float((unit[0] * unit[1]).sum())))
    room = min(long[0] if outer[0] else long[0] / 2.0, long[1] if outer[1] else long[1] / 2.0)
    if angle < STRAIGHT:
        return three[1:2]
    side = min(radius * tan(angle / 2.0), room)
    bend = side / tan(angle / 2.0)
    begin = three[1] - unit[0] * side
    normal = np.array([-unit[0, 1], unit[0, 0]]) * np.sign(cross)
    turned = np.linspace(0.0, angle, max(ceil(bend * angle / ARC), 1) + 1)[:, None]
    return np.asarray(begin + bend * (np.sin(turned) * unit[0] + (1.0 - np.cos(turned)) * normal))


def _corners(xy: Floats, radius: float) -> float:
    """Return how much of one line is corner. [m]"""
    closed = bool((xy[0] == xy[-1]).all())
    if closed:
        xy = np.concatenate([xy, xy[1:2]])
    step = np.diff(xy, axis=0)
    chord = np.hypot(*step.T)
    turn = np.diff(np.unwrap(np.arctan2(step[:, 1], step[:, 0])))
    run = np.cumsum(chord)[:-1]
    bent = _bent(run, turn, float(chord[1:].sum()) if closed else 0.0, radius / 4.0)
    mean = (chord[:-1] + chord[1:]) / 2.0
    tight = np.abs(bent) > radius / 2.0 / (TIGHT * radius)
    return float(np.minimum(radius * np.abs(turn), mean)[tight].sum())


def _bent(run: Floats, turn: Floats, round_length: float, reach: float) -> Floats:
    """Return how far a line turns near each vertex; a round goes on past its last one. [rad]"""
    if round_length:
        run = np.concatenate([run - round_length, run, run + round_length])
        turn = np.tile(turn, 3)
    total = np.concatenate([[0.0], np.cumsum(turn)])
    first = np.searchsorted(run, run - reach, side="left")
    last = np.searchsorted(run, run + reach, side="right")
    bent = total[last] - total[first]
    return np.asarray(np.split(bent, 3)[1] if round_length else bent)
