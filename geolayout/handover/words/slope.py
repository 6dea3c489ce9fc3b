"""Rows and passes on sloping ground in words, for the screen and for paper."""

from collections.abc import Sequence

from geolayout.appraisal.slope.lengths import SlopeFigures
from geolayout.plan.units import METRIC, Units

__all__ = ["slope_lines"]


def slope_lines(figures: Sequence[SlopeFigures], units: Units = METRIC) -> list[str]:
    """
    Say how long rows and passes are along the ground beside the plan, and how steep they run.

    Parameters
    ----------
    figures : sequence of SlopeFigures
        One for each kind of line.
    units : Units
        Units of the figures.
    """
    return [_line(one, units) for one in figures]


def _line(one: SlopeFigures, units: Units) -> str:
    """Say it of one kind of line."""
    over = f", {one.over_percent:.0f} % of it over the grade that keeps soil" if one.limit else ""
    longer = one.ground_length_m - one.length_m
    return (
        f"{one.what}: {units.distance.said(one.length_m)} on the plan, "
        f"{units.length.said(longer)} more along the ground; steepest "
        f"{one.steepest_percent:.1f} %{over}."
    )
