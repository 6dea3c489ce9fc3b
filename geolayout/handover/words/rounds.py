"""Rounds on headlands in words, for the screen and for paper."""

from collections.abc import Sequence

from geolayout.appraisal.quantities.rounds import CORNERS, RoundFigures
from geolayout.handover.words.counting import counted
from geolayout.plan.units import METRIC, Units

__all__ = ["round_lines"]

LEAST_MISSED = 0.5
"""Ground below this is not worth a word. [m2]"""

LEAST_BEYOND = 0.05
"""Length below this is none. [m]"""


def round_lines(figures: Sequence[RoundFigures], units: Units = METRIC) -> list[str]:
    """
    Say how often each operation drives round, how far, and what it misses.

    Parameters
    ----------
    figures : sequence of RoundFigures
        One an operation.
    units : Units
        Units of the figures.
    """
    return [_line(one, units) for one in figures]


def _line(one: RoundFigures, units: Units) -> str:
    """Say it of one operation."""
    width = f"{units.width.short(one.working_width_m)} {units.width.word}"
    name = f"{one.operation} ({one.machine}, {width})"
    if one.turning_radius_m is None:
        return (
            f"{name}: no rounds, for the plan has no turning_radius of {one.machine}; "
            f"{units.ground.said(one.headland_m2)} of headland to work."
        )
    if not one.rounds:
        return (
            f"{name}: no rounds fit, for it turns at {units.length.said(one.turning_radius_m)}; "
            f"{units.ground.said(one.headland_m2)} of headland to work."
        )
    return (
        f"{name}: {counted(one.rounds, 'round', 'rounds')} in "
        f"{counted(one.pieces, 'piece', 'pieces')}, {units.distance.said(one.length_m)}, "
        f"worked {one.worked}{_missed(one, units)}{_twice(one, units)}{_beyond(one, units)}."
    )


def _missed(one: RoundFigures, units: Units) -> str:
    """Say what the rounds miss and what can be done about it."""
    if one.missed_m2 < LEAST_MISSED:
        return ""
    return (
        f"; misses {units.patch.said(one.missed_m2)} in corners and beside obstacles, "
        f"{one.missed_percent:.1f} % of the headland: {CORNERS}"
    )


def _twice(one: RoundFigures, units: Units) -> str:
    """Say what the rounds work twice."""
    if one.worked_twice_m2 < LEAST_MISSED:
        return ""
    return f"; {units.patch.said(one.worked_twice_m2)} worked twice"


def _beyond(one: RoundFigures, units: Units) -> str:
    """Say how much lies beyond the edge, where rounds reach the last ground of a slanting end."""
    if one.beyond_edge_m < LEAST_BEYOND:
        return ""
    return f"; {units.length.said(one.beyond_edge_m)} beyond the edge"
