"""
The plan against its crops grown alone: land by the equivalent ratio, money by partial budgets.

The two are told apart: the ratio counts land and says nothing of prices and costs.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from geolayout.appraisal.money.budget import Account, PartialBudget, added, change
from geolayout.appraisal.money.equivalent import land_equivalent, partial_ratio
from geolayout.appraisal.money.land import Land
from geolayout.appraisal.money.lines import CostLine, ProductLine, span_of
from geolayout.appraisal.money.margins import field_margin
from geolayout.appraisal.money.soles import sole_account
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.money.money import Money

__all__ = ["BreakEven", "Instead", "LandRatio", "Partial", "instead"]

HECTARE = 1e4
"""[m2]"""

SAME_SHARES = "each crop alone on its own share of this land"


@dataclass(frozen=True, slots=True)
class Partial:
    """
    The part of one crop in the land equivalent ratio.

    Attributes
    ----------
    crop : str
        The crop.
    tonnes : Span
        Harvested in the plan. [t]
    yield_t_per_ha : Span
        The same over all the land compared. [t/ha]
    sole_t_per_ha : Span
        Grown alone. [t/ha]
    ratio : Span
        The one over the other. [-]
    """

    crop: str
    tonnes: Span
    yield_t_per_ha: Span
    sole_t_per_ha: Span
    ratio: Span


@dataclass(frozen=True, slots=True)
class LandRatio:
    """
    The land equivalent ratio of a plan.

    Attributes
    ----------
    land_m2 : float
        Ground of the crops that are sold, and of tree bands. [m2]
    partials : tuple of Partial
        Crop by crop.
    ratio : Span or None
        Their sum; None where a crop has no sole yield. [-]
    missing : tuple of str
        What nobody said.
    """

    land_m2: float
    partials: tuple[Partial, ...]
    ratio: Span | None
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BreakEven:
    """
    How far the plan's yields may fall until the crops alone, on the same shares, earn as much.

    Attributes
    ----------
    yields_times : float
        All its yields times this, in the middle of all ranges. [-]
    ratio : float or None
        The land equivalent ratio there; not 1 but by chance. [-]
    """

    yields_times: float
    ratio: float | None


@dataclass(frozen=True, slots=True)
class Instead:
    """
    What the plan does against its crops alone.

    Attributes
    ----------
    land : LandRatio or None
        None where no sole crop is given.
    budgets : tuple of PartialBudget
        Against each sole crop on all the land compared, then against the same land shares.
    break_even : BreakEven or None
        Against the same land shares.
    missing : tuple of str
        What nobody said.
    """

    land: LandRatio | None
    budgets: tuple[PartialBudget, ...]
    break_even: BreakEven | None
    missing: tuple[str, ...]


def instead(
    money: Money, land: Land, sold: Sequence[ProductLine], costs: Sequence[CostLine]
) -> Instead:
    """
    Compare a plan with its crops grown alone on the same land.

    Parameters
    ----------
    money : Money
        What the user says; its sole crops.
    land : Land
        The ground.
    sold, costs : sequence
        All lines of the plan.

    Notes
    -----
    Ground that sells nothing and has no trees, such as a grass headland, is in neither side, nor
    is its part of what a crop or stand costs. Tree bands are land compared; trees bring nothing
    yet.
    """
    if not money.soles:
        return Instead(None, (), None, ())
    selling = land.sold_stands(money)
    kept = selling | frozenset(land.below_trees)
    sold = [one for one in sold if one.stand in kept]
    costs = [one for cost in costs for one in _compared_part(cost, land, selling)]
    ground = _compared(land, selling)
    ratio = _land_ratio(money, sold, ground)
    mine = field_margin(land, sold, costs)
    shares = _on_shares(money, land, sold, kept)
    missing = [*mine.missing, *shares[1]]
    if mine.account is None:
        return Instead(ratio, (), None, tuple(dict.fromkeys(missing)))
    budgets = []
    for sole in money.soles:
        account, lacks = sole_account(money, sole, ground)
        missing += lacks
        if account is not None:
            budgets.append(change(mine.account, account))
    even = None
    if shares[0] is not None:
        budgets.append(change(mine.account, shares[0]))
        even = _break_even(mine.account, shares[0], costs, ratio.ratio)
    return Instead(ratio, tuple(budgets), even, tuple(dict.fromkeys(missing)))


def _compared(land: Land, selling: frozenset[str]) -> float:
    """Return the ground of crops that are sold and of tree bands, bare ones too. [m2]"""
    beside = sum(land.stands[stand] - land.below_trees.get(stand, 0.0) for stand in selling)
    return beside + land.tree_m2


def _compared_part(cost: CostLine, land: Land, selling: frozenset[str]) -> list[CostLine]:
    """Return the part of a cost that is for land compared; nothing where there is none."""
    if cost.cost is None or not (cost.crop or cost.stand) or cost.per == "t":
        return [cost]
    stands = {cost.stand} if cost.stand else {g.stand for g in land.grown if g.crop == cost.crop}
    whole = sum(land.stands.get(stand, 0.0) for stand in stands)
    part = sum(land.compared_in(stand, selling) for stand in stands if stand in land.stands)
    return [replace(cost, cost=cost.cost * (part / whole))] if part > 0 else []


def _first_product(sold: Sequence[ProductLine], crop: str) -> list[ProductLine]:
    """Return the lines of a crop's first product, that sole yields are of."""
    mine = [one for one in sold if one.crop == crop]
    return [one for one in mine if one.product == mine[0].product]


def _land_ratio(money: Money, sold: Sequence[ProductLine], ground: float) -> LandRatio:
    """Return the land equivalent ratio; its parts only where a crop has no sole yield."""
    soles = {one.crop: one for one in money.soles}
    partials, missing = [], []
    yielding = [one for one in sold if one.tonnes is None or one.tonnes.high > 0]
    for crop in dict.fromkeys(one.crop for one in yielding):
        tonnes = [one.tonnes for one in _first_product(sold, crop)]
        known = [one for one in tonnes if one is not None]
        if crop not in soles or span_of(soles[crop].yields).low <= 0 or len(known) < len(tonnes):
            missing.append(f"yield of {crop} alone")
            continue
        alone = span_of(soles[crop].yields)
        here = added(known) / (ground / HECTARE)
        partials.append(Partial(crop, added(known), here, alone, partial_ratio(here, alone)))
    whole = land_equivalent([one.ratio for one in partials]) if not missing and partials else None
    return LandRatio(ground, tuple(partials), whole, tuple(missing))


def _on_shares(
    money: Money, land: Land, sold: Sequence[ProductLine], kept: frozenset[str]
) -> tuple[Account | None, list[str]]:
    """Return the account of all crops, each alone on its share of the land, and what is missing."""
    soles = {one.crop: one for one in money.soles}
    selling = {(one.crop, one.stand) for one in sold if one.tonnes is None or one.tonnes.high > 0}
    accounts, missing = [], []
    for grown in land.grown:
        if grown.stand not in kept or (grown.crop, grown.stand) not in selling:
            continue
        if grown.share is None:
            missing.append(f"share of {grown.crop} in the ground of {grown.stand}")
        elif grown.crop not in soles:
            missing.append(f"{grown.crop} alone")
        else:
            part = grown.ground_m2 * grown.share
            account, lacks = sole_account(money, soles[grown.crop], part)
            missing += lacks
            accounts += [account] if account is not None else []
    if missing or not accounts:
        return None, missing
    income, costs = added(one.income for one in accounts), added(one.costs for one in accounts)
    return Account(SAME_SHARES, income, costs), []


def _break_even(
    mine: Account, other: Account, costs: Sequence[CostLine], ratio: Span | None
) -> BreakEven | None:
    """Return the yields at which two accounts earn the same; None where yields earn nothing."""
    harvest = [one for one in costs if one.kind == "cost" and one.per == "t"]
    by_tonne = added(one.cost for one in harvest if one.cost is not None)
    earned = mine.income.middle - by_tonne.middle
    fixed = mine.costs.middle - by_tonne.middle
    if earned <= 0:
        return None
    times = (other.margin.middle + fixed) / earned
    return BreakEven(times, times * ratio.middle if ratio is not None else None)
