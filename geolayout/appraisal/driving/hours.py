"""
Hours of one operation from what it drives, as ranges, and its field efficiency.

hours = rows / speed + rounds / speed + turns / turning speed + stops
      + (way + trips) / trip speed + fills

Corners of rounds are driven at work, and no faster than a turn. The way is the one in by the
gateway, from block to block, between rows and rounds, and out.

Area capacity is width times speed times efficiency; the efficiency is that of the hours found, and
stands beside the published range for such a machine.
"""

from dataclasses import dataclass

from geolayout.appraisal.driving.speeds import METRES, STOP, TURNING, Speed, working_speed
from geolayout.plan.machines import Machine

__all__ = [
    "FILL",
    "TRIP",
    "Driven",
    "Range",
    "WorkHours",
    "area_capacity",
    "field_efficiency",
    "hours_driven",
]

TRIP = Speed(5.0, 8.0, 12.0)
"""Speed along the headland: in, out, to fill or to tip. Our own choice; none was found."""

SECONDS = 3600.0
"""In an hour. [s/h]"""

HECTARE = 1e4
"""[m2]"""


@dataclass(frozen=True, slots=True)
class Range:
    """
    A figure that is not known to the digit.

    Attributes
    ----------
    least, usual, most : float
        In one unit.
    """

    least: float
    usual: float
    most: float

    def __add__(self, other: "Range") -> "Range":
        """Add another, least to least and most to most."""
        return Range(self.least + other.least, self.usual + other.usual, self.most + other.most)

    def __mul__(self, times: float) -> "Range":
        """Multiply all three."""
        return Range(self.least * times, self.usual * times, self.most * times)


FILL = Range(5.0, 10.0, 20.0)
"""Standing to fill or to tip once. Our own choice; no published one was found. [min]"""


@dataclass(frozen=True, slots=True)
class Driven:
    """
    What one operation drives in a season.

    Attributes
    ----------
    rows, rounds : float
        At work, on the rows and on the headland's rounds. [m]
    turning : float
        From row to row and from round to round. [m]
    carting : float
        To fill or to tip, there and back. [m]
    stops : int
        Changes between forward and backward.
    fills : int
        How often it fills or tips.
    way : float
        In, from block to block, between rows and rounds, and out. [m]
    corners : float
        Of the rounds, on the arcs of their corners. [m]
    """

    rows: float
    rounds: float
    turning: float
    carting: float = 0.0
    stops: int = 0
    fills: int = 0
    way: float = 0.0
    corners: float = 0.0

    @property
    def empty(self) -> float:
        """Driven without working, trips to fill or tip left out. [m]"""
        return self.turning + self.way


@dataclass(frozen=True, slots=True)
class WorkHours:
    """
    Hours in the field, by what they go on.

    Attributes
    ----------
    rows, rounds : Range
        At work, on rows and on rounds. [h]
    turning, way : Range
        In turns; in, out, and between rows and rounds. [h]
    carting, filling : Range
        On the way to fill or tip; standing there. [h]
    """

    rows: Range
    rounds: Range
    turning: Range
    way: Range
    carting: Range
    filling: Range

    @property
    def working(self) -> Range:
        """At work, on rows and rounds. [h]"""
        return self.rows + self.rounds

    @property
    def total(self) -> Range:
        """All of them. [h]"""
        return self.working + self.turning + self.way + self.carting + self.filling

    @property
    def turning_share(self) -> float:
        """Share of the usual hours that goes on turns. [-]"""
        return self.turning.usual / self.total.usual


def hours_driven(machine: Machine, driven: Driven) -> WorkHours:
    """
    Return the hours that a machine takes.

    Parameters
    ----------
    machine : Machine
        With its speed, if it says one.
    driven : Driven
        What it drives.

    Returns
    -------
    hours : WorkHours

    Examples
    --------
    >>> drill = Machine(name="drill", working_width=3.0, speed=8.0)
    >>> hours = hours_driven(drill, Driven(8000.0, 0.0, 500.0))
    >>> hours.working.usual, hours.turning.usual
    (1.0, 0.1)
    """
    stops = driven.stops * STOP / SECONDS
    speed = working_speed(machine)
    straight = _at(speed, driven.rounds - driven.corners)
    return WorkHours(
        _at(speed, driven.rows),
        straight + _at(speed.no_faster(TURNING), driven.corners),
        _at(TURNING, driven.turning) + Range(stops, stops, stops),
        _at(TRIP, driven.way),
        _at(TRIP, driven.carting),
        FILL * (driven.fills / 60.0),
    )


def area_capacity(width: float, speed: float, efficiency: float = 1.0) -> float:
    """
    Return how much ground a machine works in an hour.

    Parameters
    ----------
    width : float
        Working width. [m]
    speed : float
        [km/h]
    efficiency : float, default 1
        Field efficiency. [-]

    Returns
    -------
    capacity : float
        [ha/h]

    Notes
    -----
    ``C = w v e / 10``, the metric form of the one in Iowa State University Extension, Ag Decision
    Maker A3-24.

    Examples
    --------
    >>> round(area_capacity(4.0, 4.5, 0.70), 2)
    1.26
    """
    return width * speed * efficiency / 10.0


def field_efficiency(machine: Machine, area: float, hours: float) -> float:
    """
    Return the share of a machine's full width and speed that its hours come to.

    Parameters
    ----------
    machine : Machine
        The machine.
    area : float
        Ground that it works. [m2]
    hours : float
        That it takes. [h]

    Returns
    -------
    efficiency : float
        [-]
    """
    full = area_capacity(machine.working_width, working_speed(machine).usual)
    return area / HECTARE / full / hours


def _at(speed: Speed, length: float) -> Range:
    """Return the hours of a way at a speed."""
    kilometres = length / METRES
    return Range(kilometres / speed.fast, kilometres / speed.usual, kilometres / speed.slow)
