"""
Spirals: a round field worked from its edge inwards without one turn.

First once round along the edge, then inwards by one working width a turn, until the spiral is as
tight as the machine turns. In the first turn the spiral still overlaps the round along the edge.
"""

from dataclasses import dataclass
from math import asinh, hypot, pi, sqrt

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.errors import LayoutError

__all__ = ["Circle", "circle_of", "once_round", "spiral", "spiral_length", "worked_twice"]

CHORD = 0.002
"""A chord lies off the spiral by this at most. [m]"""

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Circle:
    """
    A round edge.

    Attributes
    ----------
    x, y : float
        Its middle. [m]
    radius : float
        From the middle to the nearest place of the edge. [m]
    """

    x: float
    y: float
    radius: float


def circle_of(edge: Points, allowed: float) -> Circle:
    """
    Return the circle that an edge is, within some distance.

    Parameters
    ----------
    edge : ndarray, shape (n, 2)
        The edge, closed. [m]
    allowed : float
        How far it may lie outside the greatest circle within it. [m]

    Raises
    ------
    LayoutError
        If it lies farther outside somewhere.
    """
    middle = shapely.maximum_inscribed_circle(shapely.Polygon(edge), tolerance=0.01)
    x, y = shapely.get_coordinates(middle)[0].tolist()
    radius = float(shapely.length(middle))
    off = np.hypot(*(edge - [x, y]).T) - radius
    if off.max() > allowed:
        raise LayoutError(
            f"The edge lies up to {off.max():.1f} m outside the greatest circle within it, which "
            f"has a radius of {radius:.1f} m.",
            f"A spiral works a round field; {allowed:.1f} m, half the narrowest pass, may be left.",
            "Take spiral away: rings follow any edge.",
        )
    return Circle(x, y, radius)


def once_round(circle: Circle, radius: float) -> Points:
    """Return a circle of a radius about the middle of another, closed, from the east. [m]"""
    step = 2.0 * sqrt(2.0 * CHORD / radius)
    angle = np.linspace(0.0, 2.0 * pi, int(np.ceil(2.0 * pi / step)) + 1)
    around = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    around[-1] = around[0]
    return np.asarray([circle.x, circle.y] + radius * around)


def spiral(circle: Circle, outer: float, pitch: float, inner: float) -> Points:
    """
    Return a spiral about the middle of a circle, inwards and anticlockwise from the east.

    Parameters
    ----------
    circle : Circle
        Its middle counts.
    outer, inner : float
        Radii where it begins and ends. [m]
    pitch : float
        How much nearer to the middle it comes in one turn. [m]

    Returns
    -------
    xy : ndarray, shape (n, 2)
        Its vertices. [m]

    Examples
    --------
    >>> xy = spiral(Circle(0.0, 0.0, 100.0), 97.0, 6.0, 10.0)
    >>> xy[0].tolist(), round(float(np.hypot(*xy[-1])), 6)
    ([97.0, 0.0], 10.0)
    """
    turned = 2.0 * pi * (outer - inner) / pitch
    step = 2.0 * sqrt(2.0 * CHORD / outer)
    angle = np.linspace(0.0, turned, max(int(np.ceil(turned / step)) + 1, 2))
    radius = outer - pitch * angle / (2.0 * pi)
    around = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return np.asarray([circle.x, circle.y] + radius[:, None] * around)


def spiral_length(outer: float, pitch: float, inner: float) -> float:
    """
    Return the length of a spiral in closed form. [m]

    Notes
    -----
    ``[r sqrt(a^2 + r^2) / a + a asinh(r / a)] / 2`` from the inner to the outer radius r, with
    ``a = pitch / 2 pi``: the arc of Archimedes' spiral.

    Examples
    --------
    >>> round(spiral_length(97.0, 6.0, 10.0), 1)
    4875.3
    """
    a = pitch / (2.0 * pi)

    def arc(r: float) -> float:
        return (r * hypot(a, r) / a + a * asinh(r / a)) / 2.0

    return arc(outer) - arc(inner)


def worked_twice(radius: float, width: float) -> float:
    """
    Return the ground that a spiral works again in its first turn, beside the round at the edge.

    Parameters
    ----------
    radius : float
        Of the field. [m]
    width : float
        Working width, and what the spiral comes in by a turn. [m]

    Returns
    -------
    area : float
        [m2]

    Notes
    -----
    At the turn's angle v its outer edge is at ``R - w v / 2 pi`` and the round's inner edge at
    ``R - w``: the integral of half the difference of their squares over a turn.

    Examples
    --------
    >>> round(worked_twice(100.0, 6.0), 0)
    1810.0
    """
    r, w = radius, width
    return pi * (r**2 - r * w + w**2 / 3.0 - (r - w) ** 2)
