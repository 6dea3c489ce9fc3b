"""What trees cost and bring year by year, brought to the year of planting."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from geolayout.appraisal.money.croploss import LessCrops
from geolayout.appraisal.money.discount import even_yearly, paid_back, present_value, running
from geolayout.plan.money.money import Flow, Money

__all__ = ["Standing", "TreeFlows", "TreeYear", "tree_flows"]

HECTARE = 1e4
"""[m2]"""

Standing = Callable[[int, str | None], int]
"""How many trees of a species, or of all, stand in a year."""


@dataclass(frozen=True, slots=True)
class TreeYear:
    """
    One year.

    Attributes
    ----------
    year : int
        After planting; 0 is the planting.
    trees : int
        That stand, if none failed.
    costs, income, net : float
        [coin]
    running : float
        All net sums up to this year, at the discount if there is one. [coin]
    """

    year: int
    trees: int
    costs: float
    income: float
    net: float
    running: float


@dataclass(frozen=True, slots=True)
class TreeFlows:
    """
    The trees over the years, then less what crops lose to them.

    Attributes
    ----------
    discount_percent : float or None
        The yearly rate; None where sums of all years count alike. [%]
    years : tuple of TreeYear
        From planting on.
    worth : float
        Of all years, in the year of planting. [coin]
    paid_back : int or None
        The first year from which the running worth stays nought or more.
    even_yearly : float
        The worth as one equal sum at the end of each year. [coin]
    tree_bands_m2 : float
        Ground that trees take. [m2]
    less_crops : tuple of LessCrops
        The same less what crops lose, by the plan's own outlook or each published course.
    left_out : tuple of str
        Why there is none of a course.
    """

    discount_percent: float | None
    years: tuple[TreeYear, ...]
    worth: float
    paid_back: int | None
    even_yearly: float
    tree_bands_m2: float
    less_crops: tuple[LessCrops, ...] = ()
    left_out: tuple[str, ...] = ()


def tree_flows(money: Money, standing: Standing, tree_bands_m2: float) -> TreeFlows | None:
    """
    Add up what trees cost and bring, year by year.

    Parameters
    ----------
    money : Money
        What the user says.
    standing : callable
        How many trees of a species, or of all, stand in a year.
    tree_bands_m2 : float
        Ground of tree bands. [m2]

    Returns
    -------
    flows : TreeFlows or None
        None where no flow is given.
    """
    if not money.flows:
        return None
    last = money.years or max(1, *(flow.years[-1] for flow in money.flows))
    paid, earned = (
        [_sum(money.flows, kind, year, standing, tree_bands_m2) for year in range(last + 1)]
        for kind in ("cost", "income")
    )
    net = [income - cost for cost, income in zip(paid, earned, strict=True)]
    rate = (money.discount or 0.0) / 100.0
    worth = running(net, rate)
    years = tuple(
        TreeYear(year, standing(year, None), paid[year], earned[year], net[year], worth[year])
        for year in range(last + 1)
    )
    value = present_value(net, rate)
    evenly = even_yearly(value, rate, last)
    return TreeFlows(money.discount, years, value, paid_back(net, rate), evenly, tree_bands_m2)


def _sum(
    flows: Sequence[Flow], kind: str, year: int, standing: Standing, tree_bands_m2: float
) -> float:
    """Add up one kind of flow in one year. [coin]"""
    total = 0.0
    for flow in flows:
        if flow.kind == kind and year in flow.years:
            counted = {
                "tree": standing(year, flow.species) if flow.price.per == "tree" else 0,
                "ha": tree_bands_m2 / HECTARE,
                "field": 1.0,
            }
            total += flow.price.amount * counted[flow.price.per]
    return total
