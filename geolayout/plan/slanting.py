"""
Turns where the passes meet the edge aslant: the next pass ends earlier or later than this one.

Passes w apart that meet an edge at an angle phi end w / tan(phi) apart along themselves. The turn
is the same curve whichever of the two is driven first, so one of them is looked at::

          edge      Ways forward, R the turning radius, d = w / tan(phi):
        /    p1     U        an arc on each pass, a straight between them as the edge runs
      /      |      bulb     out to one side, straight on, and round on the other pass's circle
    p0  ...  d      omega    out, round a third circle, and back in
    |<- w ->|

The bulb needs passes 2 R apart along the edge. Depth is square to the edge, from the line on which
the passes end to the machine's centre; at 90 degrees everything is as in `geolayout.plan.turns`.
"""

from math import acos, asin, cos, hypot, pi, radians, sin, sqrt, tan

from geolayout.plan.turns import TurnWay, turn_depth, turn_length

__all__ = ["headland_needed_aslant", "turn_depth_aslant", "turn_length_aslant"]

SQUARE = 89.95
"""An edge met at this angle or a steeper one is square to the passes. [degrees]"""


def turn_depth_aslant(
    radius: float, spacing: float, angle: float, way: TurnWay = "forward"
) -> float:
    """
    Return how far beyond a slanting edge of passes the turn into another pass goes.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, square to them. [m]
    angle : float
        Between passes and edge, above 0 to 90. [degrees]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    depth : float
        Square to the edge. [m]

    Notes
    -----
    A U and a bulb take ``R (1 + cos phi)``. An omega takes
    ``R + sqrt(4 R^2 - D^2 / 4) (w / sin phi + 2 R sin phi) / D`` with
    ``D^2 = (w + 2 R)^2 + (w / tan phi)^2``; of bulb and omega the shorter is driven. A three-point
    turn first drives on until both ends are level, and takes the greater of
    ``R (sin phi + cos phi)`` and ``R + (w - R) cos phi``.

    Examples
    --------
    >>> [round(turn_depth_aslant(6.5, 6.0, angle), 1) for angle in (90.0, 60.0, 45.0)]
    [15.4, 14.7, 13.9]
    """
    if angle >= SQUARE:
        return turn_depth(radius, spacing, way)
    phi = radians(angle)
    if spacing >= 2.0 * radius or (way == "forward" and _bulb(radius, spacing, phi)):
        return radius * (1.0 + cos(phi))
    if way == "three-point":
        return radius * max(sin(phi) + cos(phi), 1.0 + (spacing / radius - 1.0) * cos(phi))
    away = _middles_apart(radius, spacing, phi)
    out = sqrt(4.0 * radius**2 - away**2 / 4.0)
    return radius + out * (spacing / sin(phi) + 2.0 * radius * sin(phi)) / away


def turn_length_aslant(
    radius: float, spacing: float, angle: float, way: TurnWay = "forward"
) -> float:
    """
    Return how far a machine's centre drives in the turn between passes that end aslant.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, square to them. [m]
    angle : float
        Between passes and edge, above 0 to 90. [degrees]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    length : float
        [m]

    Examples
    --------
    >>> [round(turn_length_aslant(6.5, 6.0, angle), 2) for angle in (90.0, 60.0)]
    [39.96, 39.49]
    """
    if angle >= SQUARE:
        return turn_length(radius, spacing, way)
    phi = radians(angle)
    if way == "three-point":
        return turn_length(radius, spacing, way) + spacing / tan(phi)
    if spacing >= 2.0 * radius:
        return pi * radius + hypot(spacing - 2.0 * radius, spacing / tan(phi))
    omega, bulb = _omega_length(radius, spacing, phi), _bulb_length(radius, spacing, phi)
    return min(omega, bulb)


def headland_needed_aslant(
    radius: float, spacing: float, working_width: float, angle: float, way: TurnWay = "forward"
) -> float:
    """
    Return the headland that a turn takes where passes meet the edge aslant.

    Half the implement stands out beyond the machine's centre; and a pass covers its strip to the
    end, so it drives on by half a working width times ``cos phi``, square to the edge.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, square to them. [m]
    working_width : float
        Of the implement. [m]
    angle : float
        Between passes and edge, above 0 to 90. [degrees]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    width : float
        [m]

    Examples
    --------
    >>> [round(headland_needed_aslant(6.5, 13.0, 6.0, angle), 2) for angle in (90.0, 60.0)]
    [9.5, 14.25]
    """
    over = 0.0 if angle >= SQUARE else cos(radians(angle))
    depth = turn_depth_aslant(radius, spacing, angle, way)
    return depth + working_width / 2.0 * (1.0 + over)


def _middles_apart(radius: float, spacing: float, phi: float) -> float:
    """Return how far apart the outer circles of an omega are. [m]"""
    return hypot(spacing + 2.0 * radius, spacing / tan(phi))


def _bulb(radius: float, spacing: float, phi: float) -> bool:
    """Whether a bulb is shorter than an omega."""
    return _bulb_length(radius, spacing, phi) < _omega_length(radius, spacing, phi)


def _omega_length(radius: float, spacing: float, phi: float) -> float:
    """Return the length of an omega, without end where its outer circles are too far apart. [m]"""
    away = _middles_apart(radius, spacing, phi)
    if away > 4.0 * radius:
        return float("inf")
    out = acos(away / (4.0 * radius))
    if out < asin(spacing / tan(phi) / away):
        return float("inf")  # the last arc would go all the way round
    return radius * (pi + 4.0 * out)


def _bulb_length(radius: float, spacing: float, phi: float) -> float:
    """Return the length of a bulb, without end where its circles are too near each other. [m]"""
    apart = spacing / sin(phi)
    if apart < 2.0 * radius:
        return float("inf")
    out = asin(2.0 * radius / apart) - phi
    return radius * (pi + 2.0 * out) + sqrt(apart**2 - 4.0 * radius**2)
