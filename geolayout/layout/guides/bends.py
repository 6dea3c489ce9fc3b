"""
A drawn line made fit to drive along: smoothed once, each bend an arc whose radius is known.

Corners of a surveyed edge are no curve yet. Each becomes the largest arc that touches both of its
edges, begins no farther than their middles, and stays within a stated distance of the corner.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from geolayout.errors import LayoutError

__all__ = ["Bends", "smoothed"]

TURN = 0.5
"""Largest turn at a vertex of a smoothed line. At t = 200 m a line is then 2 mm off. [degrees]"""

STRAIGHT_ON = 0.01
"""A smaller turn is no bend: it moves a line 1 km on by 17 cm. [degrees]"""

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Bends:
    """
    A smoothed line and its bends.

    Attributes
    ----------
    xy : ndarray of float, shape (n, 2)
        The line; it turns by at most half a degree at each vertex. [m]
    first, last : ndarray of int, shape (m,)
        Vertices at which each bend begins and ends.
    radius : ndarray of float, shape (m,)
        Of each bend. [m]
    turn : ndarray of float, shape (m,)
        How far each bend turns, to the right positive. [degrees]
    moved : float
        Largest distance from the line as drawn. [m]
    """

    xy: Points
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    radius: Points
    turn: Points
    moved: float


def smoothed(line: LineString, deviation: float) -> Bends:
    """
    Smooth a drawn line.

    Parameters
    ----------
    line : LineString
        As drawn. [m]
    deviation : float
        How far it may be moved: half of it by leaving out corners (the rule of Douglas and
        Peucker), half by rounding those that stay. [m]

    Returns
    -------
    bends : Bends

    Raises
    ------
    LayoutError
        If it has no length, or crosses itself.
    """
    drawn = shapely.remove_repeated_points(line)
    if drawn.length == 0.0 or not drawn.is_simple:
        what = "crosses itself" if drawn.length else "has no length"
        raise LayoutError(
            f"The line to lay along {what}.",
            "Nothing can lie parallel to it.",
            "Draw it from one end to the other, once.",
        )
    xy = shapely.get_coordinates(shapely.simplify(drawn, deviation / 2))
    turn = _turns(xy)
    xy, turn = xy[_kept(turn)], turn[_kept(turn)[1:-1]]
    return _rounded(xy, turn, deviation / 2, drawn)


def _turns(xy: Points) -> Points:
    """Return the turn at each inner corner, to the right positive. [degrees]"""
    east, north = np.diff(xy, axis=0).T
    turn = np.diff(np.degrees(np.arctan2(east, north)))
    return np.asarray((turn + 180.0) % 360.0 - 180.0)


def _kept(turn: Points) -> NDArray[np.bool_]:
    """Return which corners turn at all; both ends stay."""
    return np.concatenate([[True], np.abs(turn) >= STRAIGHT_ON, [True]])


def _rounded(xy: Points, turn: Points, deviation: float, drawn: LineString) -> Bends:
    """Put an arc in the place of every inner corner."""
    length = np.hypot(*np.diff(xy, axis=0).T)
    angle = np.radians(np.abs(turn))
    room = np.minimum(length[:-1], length[1:]) / 2.0
    back = np.minimum(room, deviation / np.tan(angle / 4.0))
    radius = back / np.tan(angle / 2.0)
    pieces, begins, ends, count = [xy[:1]], [], [], 1
    for i in range(len(turn)):
        arc = _arc(xy[i : i + 3], back[i], radius[i], np.radians(turn[i]))
        begins.append(count)
        count += len(arc)
        ends.append(count - 1)
        pieces.append(arc)
    line = np.concatenate([*pieces, xy[-1:]])
    off = shapely.distance(shapely.points(shapely.get_coordinates(drawn)), LineString(line))
    whole = np.asarray(begins, dtype=np.int64), np.asarray(ends, dtype=np.int64)
    return Bends(line, *whole, radius, turn, float(off.max()))


def _arc(corner: Points, back: float, radius: float, turn: float) -> Points:
    """
    Return the arc at the middle of three points, turning to the right where `turn` is above 0.

    Its vertices lie on tangents, a little outside the arc, so that its first and last edge run
    along the edges of the corner and each vertex turns by the same angle.
    """
    forward = (corner[1] - corner[0]) / np.hypot(*(corner[1] - corner[0]))
    right = np.array([forward[1], -forward[0]]) * np.sign(turn)
    start = corner[1] - back * forward
    steps = int(np.ceil(abs(np.degrees(turn)) / TURN))
    each = abs(turn) / steps
    middles = (np.arange(steps) + 0.5) * each
    reach = radius / np.cos(each / 2.0)
    x, y = reach * np.sin(middles), radius - reach * np.cos(middles)
    return np.asarray(start + x[:, None] * forward + y[:, None] * right)
