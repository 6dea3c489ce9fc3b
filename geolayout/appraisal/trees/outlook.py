"""
What crops may yield beside trees as these grow: published courses, and land equivalents.

What was published differs by more than any plan does: no loss over a whole field of wide alleys, a
few points a year in European trials, a third over all trials of one review. Each is a scenario with
its source, none a forecast. The land equivalent adds what crop and trees yield, each over its sole
crop: above 1 the same would take more land apart. It says nothing of money.
"""

from dataclasses import dataclass
from typing import Final

from geolayout.layout.build import Layout

__all__ = ["SCENARIOS", "OutlookYear", "Scenario", "outlook_years"]

FARTHEST: Final = 21.0
"""Years that the European trials run; beyond them a straight line says nothing. [years]"""


@dataclass(frozen=True, slots=True)
class Scenario:
    """
    A published course of crop yields beside trees.

    Attributes
    ----------
    name : str
        What it is called in tables.
    at_planting : float
        Yield over that of the sole crop in year 0. [-]
    a_year : float
        What it gains each year. [-]
    until : float or None
        Last year that it holds for; None for all.
    source : str
        Where it comes from.
    """

    name: str
    at_planting: float
    a_year: float
    until: float | None
    source: str

    def in_year(self, year: float) -> float | None:
        """Return the crop's yield over that of the sole crop; None beyond its years. [-]"""
        if self.until is not None and year > self.until:
            return None
        return max(self.at_planting + self.a_year * year, 0.0)


SCENARIOS: Final = (
    Scenario(
        "no loss over the field",
        1.0,
        0.0,
        None,
        "Swieter and others 2018, Agroforestry Systems, abstract: wheat and rape in alleys of 48 "
        "and 96 m between coppice strips, long-term; at 1 m from the trees wheat lost 55 %, rape "
        "77 %",
    ),
    Scenario(
        "96 %, 2.6 points less a year",
        0.96,
        -0.026,
        FARTHEST,
        "Crop yields in European agroforestry systems, a meta-analysis, Frontiers in Sustainable "
        "Food Systems 2021, abstract: trials of up to 21 years",
    ),
    Scenario(
        "70 %",
        0.7,
        0.0,
        None,
        "Panozzo, Vamerali and others, a meta-analysis of alley cropping in temperate climates, "
        "abstract: 30 % less in the mean of all trials; less loss from one tree height off",
    ),
)
"""Published courses, the mildest first; seen as abstracts."""


@dataclass(frozen=True, slots=True)
class OutlookYear:
    """
    One year of one scenario.

    Attributes
    ----------
    scenario : str
        Its name; "your own" for the plan's figures.
    year : float
        After planting.
    crop : float
        Yield of the crop for a hectare of its ground, over that of the sole crop. [-]
    crop_part : float
        The same for a hectare of crop and tree ground together. [-]
    trees_part : float or None
        What the trees yield there over a plantation, by the plan; None where it says nothing. [-]
    land_equivalent : float or None
        Their sum. [-]
    """

    scenario: str
    year: float
    crop: float
    crop_part: float
    trees_part: float | None
    land_equivalent: float | None


def outlook_years(layout: Layout) -> tuple[OutlookYear, ...]:
    """
    Tell every scenario for the years that a plan asks for.

    Parameters
    ----------
    layout : Layout
        Without an `outlook` in its plan, or without both crop and tree ground, nothing is told.

    Returns
    -------
    years : tuple of OutlookYear
        The plan's own figures first, where there are some; by scenario, then year.
    """
    asked, share = layout.plan.outlook, _crop_share(layout)
    if asked is None or share is None:
        return ()
    courses = [("your own", asked.crop_in)] if asked.crop is not None else []
    courses += [(one.name, one.in_year) for one in SCENARIOS]
    found = []
    for name, course in courses:
        for year in asked.years:
            crop, trees = course(year), asked.trees_in(year)
            if crop is None:
                continue
            both = None if trees is None else crop * share + trees
            found.append(OutlookYear(name, year, crop, crop * share, trees, both))
    return tuple(found)


def _crop_share(layout: Layout) -> float | None:
    """Return the share of crop ground in crop and tree ground; None where either is missing."""
    kind, area = layout.ground.kind, layout.ground.area
    crop, trees = float(area[kind == "band"].sum()), float(area[kind == "tree band"].sum())
    return crop / (crop + trees) if crop and trees else None
