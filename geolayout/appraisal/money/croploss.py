"""
What crops lose to trees year by year, taken off what the trees are worth.

Two things are lost: the crop's margin on the tree bands, and a part of its yield beside the trees.
The part is the user's own outlook, else every published course, the mildest to the hardest: they
differ too widely for one figure. Both are reckoned from the crop alone, in the middle of ranges.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from geolayout.appraisal.money.budget import Account
from geolayout.appraisal.money.discount import even_yearly, paid_back, running
from geolayout.appraisal.money.land import Land
from geolayout.appraisal.money.soles import sole_account
from geolayout.appraisal.trees.outlook import SCENARIOS
from geolayout.plan.money.money import Money
from geolayout.plan.trees.outlook import Outlook

__all__ = ["LessCrops", "less_crops"]

HECTARE = 1e4
"""[m2]"""

OWN = "your own"
"""What the course of the plan's own figures is called."""

Course = tuple[str, str, Callable[[float], float | None]]
"""Name, source, and the crop's yield over that of the sole crop by year; None beyond its years."""


@dataclass(frozen=True, slots=True)
class LessCrops:
    """
    Trees over the years less what crops lose, by one course of yields beside trees.

    Attributes
    ----------
    course : str
        Its name; "your own" for the plan's figures.
    source : str
        Where it comes from.
    on_tree_bands : float
        Margin that crops would have on the tree bands, each year from the first harvest on. [coin]
    beside : tuple of float
        Income that crops lose beside the trees, by year; nought in the year of planting. [coin]
    running : tuple of float
        Worth of the trees less both up to each year, in the year of planting. [coin]
    worth : float
        The last of them. [coin]
    paid_back : int or None
        The first year from which it stays nought or more.
    even_yearly : float
        The worth as one equal sum at the end of each year. [coin]
    """

    course: str
    source: str
    on_tree_bands: float
    beside: tuple[float, ...]
    running: tuple[float, ...]
    worth: float
    paid_back: int | None
    even_yearly: float


def less_crops(
    money: Money, land: Land, outlook: Outlook | None, net: Sequence[float]
) -> tuple[tuple[LessCrops, ...], tuple[str, ...]]:
    """
    Take what crops lose off what trees bring.

    Parameters
    ----------
    money : Money
        The sole crops, their prices and costs; the discount.
    land : Land
        The ground beside trees, and that of tree bands.
    outlook : Outlook or None
        The user's own course of yields beside trees.
    net : sequence of float
        What trees bring less what they cost, by year, the first in the year of planting. [coin]

    Returns
    -------
    courses : tuple of LessCrops
        One for the user's own course, else one for each published; empty where something is
        missing.
    left_out : tuple of str
        What is missing, and courses that end before the years do.
    """
    accounts, ground, missing = _alone(money, land)
    if missing:
        return (), tuple(dict.fromkeys(missing))
    income = sum(one.income.middle for one in accounts)
    margin = sum(one.margin.middle for one in accounts) * (land.tree_m2 / ground)
    last, rate = len(net) - 1, (money.discount or 0.0) / 100.0
    found, left_out = [], []
    for name, source, course in _courses(outlook):
        yields = [course(year) for year in range(1, last + 1)]
        known = [one for one in yields if one is not None]
        if len(known) < len(yields):
            left_out.append(f'"{name}", which tells {len(known)} years only')
            continue
        beside = (0.0, *((1.0 - one) * income for one in known))
        lost = (0.0, *(margin + one for one in beside[1:]))
        flows = [brought - gone for brought, gone in zip(net, lost, strict=True)]
        so_far = tuple(running(flows, rate))
        ends = (so_far[-1], paid_back(flows, rate), even_yearly(so_far[-1], rate, last))
        found.append(LessCrops(name, source, margin, beside, so_far, *ends))
    return tuple(found), tuple(left_out)


def _courses(outlook: Outlook | None) -> list[Course]:
    """Return the user's own course, else all that are published."""
    if outlook is not None and outlook.crop is not None:
        return [(OWN, "the plan's own outlook", outlook.crop_in)]
    return [(one.name, one.source, one.in_year) for one in SCENARIOS]


def _alone(money: Money, land: Land) -> tuple[list[Account], float, list[str]]:
    """Return the crops beside trees as if alone there, their ground, and what is missing. [m2]"""
    soles = {one.crop: one for one in money.soles}
    selling = land.sold_stands(money) & frozenset(land.beside_trees)
    accounts: list[Account] = []
    missing, ground = [], 0.0
    for one in land.grown:
        if one.stand not in selling or not one.harvested:
            continue
        if one.share is None:
            missing.append(f"share of {one.crop} in the ground of {one.stand}")
        elif one.crop not in soles:
            missing.append(f"{one.crop} alone")
        else:
            part = land.beside_trees[one.stand] * one.share
            account, lacks = sole_account(money, soles[one.crop], part)
            missing += lacks
            accounts += [account] if account is not None else []
            ground += part
    if not accounts and not missing:
        missing.append("a crop beside the trees that is sold")
    return accounts, ground, missing
