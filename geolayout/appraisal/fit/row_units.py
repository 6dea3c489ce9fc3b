"""Rows under machines: headers, coulters, guess rows, and tracks that rows leave room for."""

from dataclasses import dataclass
from math import ceil

from geolayout.appraisal.fit.wheelings import straddle_room
from geolayout.appraisal.roles import Role, own_sowings, role_of
from geolayout.plan.machines import Header, Machine, Operation
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Sowing

__all__ = [
    "COULTER_LIMIT",
    "GUESS_LIMIT",
    "WIDE_ROWS",
    "HeaderFit",
    "bound_to_rows",
    "gathers",
    "guess_gap",
    "header_fit",
    "off_coulters",
    "rows_of_header",
    "stands_already",
    "straddles",
    "straddling_tracks",
]

GUESS_LIMIT = 0.05
"""How far the gap between two passes may differ from the row spacing. [m]"""

COULTER_LIMIT = 0.005
"""How far a row may be from a whole number of coulters. Our own choice. [m]"""

WIDE_ROWS = 0.4
"""From this spacing on a header is taken to be bound to rows. Our own choice. [m]"""


@dataclass(frozen=True, slots=True)
class HeaderFit:
    """
    A header over the rows of one strip.

    Attributes
    ----------
    rows_a_pass : float
        Rows it covers, whole or not. [-]
    whole : bool
        Whether it covers whole rows.
    passes : int
        Passes that gather every row of the strip, of whole rows each.
    last : int
        Rows that are left for the last of them.
    """

    rows_a_pass: float
    whole: bool
    passes: int
    last: int


def rows_of_header(width: float, spacing: float) -> float:
    """
    Return how many rows a header covers.

    Parameters
    ----------
    width, spacing : float
        Width of the header and between rows. [m]

    Examples
    --------
    >>> round(rows_of_header(5.4, 0.75), 1), round(rows_of_header(5.4, 0.60), 1)
    (7.2, 9.0)
    """
    return width / spacing


def header_fit(width: float, spacing: float, rows: int) -> HeaderFit:
    """
    Count the rows of a strip under a header.

    Parameters
    ----------
    width, spacing : float
        Width of the header and between rows. [m]
    rows : int
        Rows in the strip.

    Examples
    --------
    >>> header_fit(5.4, 0.60, 10)
    HeaderFit(rows_a_pass=9.0, whole=True, passes=2, last=1)
    """
    covered = rows_of_header(width, spacing)
    whole = abs(covered - round(covered)) * spacing <= GUESS_LIMIT
    a_pass = max(1, round(covered) if whole else int(covered))
    passes = ceil(rows / a_pass)
    return HeaderFit(round(covered, 9), whole, passes, rows - (passes - 1) * a_pass)


def bound_to_rows(header: Header, spacing: float) -> bool:
    """Whether a header must take whole rows: it is made for rows, or the rows are wide."""
    return header.rows is not None or spacing >= WIDE_ROWS


def gathers(header: Header, spacing: float) -> bool:
    """Whether a header takes whole rows of a spacing, or is not bound to rows."""
    rows = rows_of_header(header.width, spacing)
    fits = abs(rows - (header.rows or round(rows))) * spacing <= GUESS_LIMIT
    return fits or not bound_to_rows(header, spacing)


def off_coulters(spacing: float, step: float) -> float:
    """
    Return by how much rows miss a whole number of coulters, at least one. [m]

    Examples
    --------
    >>> off_coulters(0.25, 0.125), round(off_coulters(0.60, 0.75), 2)
    (0.0, 0.15)
    """
    return abs(spacing - max(1, round(spacing / step)) * step)


def guess_gap(machine: Machine) -> float | None:
    """Return the gap from row to row between two passes side by side; None without rows. [m]"""
    if machine.rows is None or machine.row_spacing is None:
        return None
    return machine.working_width - (machine.rows - 1) * machine.row_spacing


def straddles(track_width: float, spacing: float) -> bool:
    """
    Whether both wheels can run in the middle of gaps between rows, if the pass is put right.

    Examples
    --------
    >>> [straddles(track, 0.75) for track in (1.5, 1.8, 2.25)]
    [True, False, True]
    """
    return spacing / 2 - straddle_room(track_width, spacing) <= GUESS_LIMIT


def straddling_tracks(track_width: float, spacing: float) -> list[tuple[float, str]]:
    """
    Return the tracks next to a given one that straddle rows, and where their pass must run.

    Parameters
    ----------
    track_width, spacing : float
        Between the middles of the wheels, and between rows. [m]

    Returns
    -------
    tracks : list of (float, str)
        Tracks [m], each with "on a row" or "between two rows" for the middle of the pass: over an
        even number of gaps the wheels run in gaps only if the middle does.

    Examples
    --------
    >>> straddling_tracks(1.8, 0.75)
    [(1.5, 'between two rows'), (2.25, 'on a row')]
    """
    low = int(track_width / spacing)
    return [(k * spacing, "on a row" if k % 2 else "between two rows") for k in (low, low + 1) if k]


def stands_already(plan: Plan, operation: Operation, sowing: Sowing) -> bool:
    """
    Whether a sowing's rows stand already when an operation drives.

    What an operation sows itself comes after its wheels; what is sown later is not there when
    the first sowing is done; and what a harvest takes is taken before the wheels reach it.
    """
    if sowing.operation == operation.name:
        return False
    role = role_of(plan, operation)
    if role is Role.SOWS:
        early = any(own.when is None for own in own_sowings(plan, operation))
        return not (early and sowing.when is not None)
    return not (role is Role.HARVESTS and sowing.harvested and sowing.when is None)
