"""
Turns at the end of a pass: how deep they go, how long they are, what headland they take.

A machine that turns into a pass at least two radii away drives two quarter circles and a straight
between them, a U. Nearer passes take an omega: it swings out, round, and back in. A three-point
turn goes forward a quarter circle, back, and forward another: no deeper than a U, but it stops
twice, and a trailed implement may not follow it backwards. Depth is square to the pass, from its
end to the machine's centre; half the implement stands out beyond that.
"""

from math import acos, ceil, pi, sqrt
from typing import Literal

from geolayout.plan.slack import ACROSS_SLACK

__all__ = [
    "TurnWay",
    "headland_for_turn",
    "headland_needed",
    "turn_depth",
    "turn_length",
    "turn_word",
]

TurnWay = Literal["forward", "three-point"]
"""Whether a turn goes forward only, or back once."""


def turn_word(radius: float, spacing: float, way: TurnWay = "forward") -> str:
    """
    Return what the turn into a pass is called: "U", "omega" or "three-point".

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, centre to centre. [m]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Examples
    --------
    >>> turn_word(6.5, 13.0), turn_word(6.5, 6.0), turn_word(6.5, 6.0, "three-point")
    ('U', 'omega', 'three-point')
    """
    if spacing >= 2.0 * radius:
        return "U"
    return "omega" if way == "forward" else way


def turn_depth(radius: float, spacing: float, way: TurnWay = "forward") -> float:
    """
    Return how far a machine's centre goes beyond the end of its pass to turn into another.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, centre to centre. [m]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    depth : float
        [m]

    Notes
    -----
    An omega takes ``sqrt(4 R^2 - (R + w/2)^2) + R``; a U and a three-point turn take ``R``.

    Examples
    --------
    >>> round(turn_depth(6.5, 6.0), 1), turn_depth(6.5, 13.0), turn_depth(6.5, 6.0, "three-point")
    (15.4, 6.5, 6.5)
    """
    if turn_word(radius, spacing, way) != "omega":
        return radius
    return sqrt(4.0 * radius**2 - (radius + spacing / 2.0) ** 2) + radius


def turn_length(radius: float, spacing: float, way: TurnWay = "forward") -> float:
    """
    Return how far a machine's centre drives in a turn, from the end of one pass to the next.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, centre to centre. [m]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    length : float
        [m]

    Notes
    -----
    A U is ``pi R + w - 2 R``; an omega ``R (pi + 4 alpha)`` with ``cos alpha = (R + w/2) / 2 R``;
    a three-point turn ``pi R + 2 R - w``, of which ``2 R - w`` backwards.

    Examples
    --------
    >>> [round(turn_length(6.5, w), 2) for w in (6.0, 13.0, 20.0)]
    [39.96, 20.42, 27.42]
    >>> round(turn_length(6.5, 6.0, "three-point"), 2)
    27.42
    """
    if turn_word(radius, spacing, way) == "omega":
        return radius * (pi + 4.0 * acos((radius + spacing / 2.0) / (2.0 * radius)))
    return pi * radius + abs(spacing - 2.0 * radius)


def headland_needed(
    radius: float, spacing: float, working_width: float, way: TurnWay = "forward"
) -> float:
    """
    Return the headland that a turn takes, half the implement included.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    spacing : float
        Between the two passes, centre to centre. [m]
    working_width : float
        Of the implement. [m]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    width : float
        [m]

    Examples
    --------
    >>> [round(headland_needed(6.5, spacing, 6.0), 1) for spacing in (6.0, 12.0, 13.0)]
    [18.4, 13.1, 9.5]
    """
    return turn_depth(radius, spacing, way) + working_width / 2.0


def headland_for_turn(
    radius: float, step: int, working_width: float, way: TurnWay = "forward"
) -> float:
    """
    Return the least number of whole working widths, in metres, that holds a turn.

    Parameters
    ----------
    radius : float
        Smallest turning radius. [m]
    step : int
        Which pass it turns into: 1 for the neighbouring one.
    working_width : float
        Of the implement. [m]
    way : {"forward", "three-point"}
        Whether the machine may go back.

    Returns
    -------
    width : float
        [m]

    Examples
    --------
    >>> [headland_for_turn(6.5, step, 6.0) for step in (1, 2, 3)]
    [24.0, 18.0, 12.0]
    """
    needed = headland_needed(radius, step * working_width, working_width, way)
    return ceil((needed - ACROSS_SLACK) / working_width) * working_width
