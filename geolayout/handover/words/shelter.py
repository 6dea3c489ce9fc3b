"""Shelter of tree rows in words, for the screen and for paper."""

from collections.abc import Sequence

from geolayout.appraisal.trees.shelter import COMPETES, MEASURED, ShelterYear
from geolayout.plan.units import METRIC, Units

__all__ = ["shelter_lines"]


def shelter_lines(years: Sequence[ShelterYear], units: Units = METRIC) -> list[str]:
    """
    Say how much crop ground lies in the shelter of trees, year by year.

    Parameters
    ----------
    years : sequence of ShelterYear
        As `shelter_years` gives them.
    units : Units
        Units of the figures.
    """
    if not years:
        return []
    last = years[-1]
    winds = ", ".join(
        f"from {wind:.0f} degrees {_range(slow, fast)} %" for wind, slow, fast in last.by_wind
    )
    return [
        *(_line(one, units) for one in years),
        f"In year {last.year:g} by wind: {winds}.",
        f"Beside trees ({COMPETES[0]:g} to {COMPETES[1]:g} heights) crops lose to roots and shade.",
        f"Ranges are from slow to fast growth. What was published: {MEASURED}. It is no promise.",
    ]


def _line(one: ShelterYear, units: Units) -> str:
    """Say it of one year."""
    slow, fast = (units.length.said(height) for height in one.height_m)
    high = slow if slow == fast else f"{slow} to {fast}"
    return (
        f"Year {one.year:g}, trees {high} high: {_range(*one.sheltered_percent)} % of the crop "
        f"ground lies to leeward within reach, {_range(*one.beside_percent)} % right beside trees."
    )


def _range(low: float, high: float) -> str:
    """Say two figures, or one where they are the same."""
    a, b = f"{low:.0f}", f"{high:.0f}"
    return a if a == b else f"{a} to {b}"
