"""All of the money of one layout: what is sold, what it costs, what is left, what is missing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.money.croploss import less_crops
from geolayout.appraisal.money.instead import Instead, instead
from geolayout.appraisal.money.land import Land, land_of
from geolayout.appraisal.money.lines import (
    CostLine,
    ProductLine,
    Worked,
    cost_lines,
    product_lines,
    seed_lines,
    work_lines,
)
from geolayout.appraisal.money.margins import Margin, crop_margins, field_margin, single_crops
from geolayout.appraisal.money.sensitivity import Sensitivity, sensitivity
from geolayout.appraisal.money.treeflows import Standing, TreeFlows, tree_flows
from geolayout.appraisal.quantities.passes import OperationFigures
from geolayout.appraisal.quantities.rounds import RoundFigures
from geolayout.appraisal.seed.order import OrderLine
from geolayout.appraisal.seed.rate import Span
from geolayout.appraisal.trees.bands import species_of_trees
from geolayout.appraisal.trees.years import standing
from geolayout.layout.build import Layout
from geolayout.plan.money.money import Money

__all__ = ["MoneyFigures", "money_figures", "reckoned"]


@dataclass(frozen=True, slots=True)
class MoneyFigures:
    """
    The money of a layout; every sum in the plan's coin.

    Attributes
    ----------
    coin : str
        The money.
    day : str
        The day of prices that have none of their own, as YYYY-MM-DD.
    products : tuple of ProductLine
        What is sold.
    costs : tuple of CostLine
        Seed, other costs, work.
    crops : tuple of Margin
        Of each crop, with the costs that are its own.
    field : Margin
        Of all.
    instead : Instead
        Against the crops alone.
    sensitivity : Sensitivity or None
        Around the margin of the field.
    trees : TreeFlows or None
        Trees over the years.
    missing : tuple of str
        What nobody said; figures that need it are empty.
    notes : tuple of str
        What is left out, and how figures are meant.
    """

    coin: str
    day: str
    products: tuple[ProductLine, ...]
    costs: tuple[CostLine, ...]
    crops: tuple[Margin, ...]
    field: Margin
    instead: Instead
    sensitivity: Sensitivity | None
    trees: TreeFlows | None
    missing: tuple[str, ...]
    notes: tuple[str, ...]


def money_figures(
    layout: Layout,
    order: Sequence[OrderLine],
    operations: Sequence[OperationFigures],
    rounds: Sequence[RoundFigures],
) -> MoneyFigures | None:
    """
    Reckon the money of a layout.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.
    order : sequence of OrderLine
        Its seed order.
    operations, rounds : sequence
        Its passes, and its rounds on headlands.

    Returns
    -------
    figures : MoneyFigures or None
        None where the plan says nothing of money.
    """
    money = layout.plan.money
    if money is None:
        return None
    land = land_of(layout, money)
    trees = _trees(layout, money, land)
    notes = (*_unpriced(money, operations), *_without_trees(money, land))
    worked = _worked(operations, rounds, _hours(layout, money))
    return reckoned(money, land, order, worked, (trees, notes))


def reckoned(
    money: Money,
    land: Land,
    order: Sequence[OrderLine],
    worked: Sequence[Worked],
    beside: tuple[TreeFlows | None, tuple[str, ...]] = (None, ()),
) -> MoneyFigures:
    """
    Reckon the money of some land.

    Parameters
    ----------
    money : Money
        What the user says.
    land : Land
        The ground.
    order : sequence of OrderLine
        Its seed order.
    worked : sequence of Worked
        What operations do there.
    beside : (TreeFlows or None, tuple of str)
        Trees over the years, and notes.
    """
    sold = product_lines(money, land)
    costs = (
        *seed_lines(money, order),
        *cost_lines(money, land, sold, single_crops(land)),
        *work_lines(money, worked),
    )
    field = field_margin(land, sold, costs)
    against = instead(money, land, sold, costs)
    trees, notes = beside
    return MoneyFigures(
        money.coin,
        money.date.isoformat(),
        sold,
        costs,
        crop_margins(land, sold, costs),
        field,
        against,
        sensitivity(field, sold, costs),
        trees,
        tuple(dict.fromkeys((*field.missing, *against.missing))),
        notes,
    )


def _worked(
    operations: Sequence[OperationFigures],
    rounds: Sequence[RoundFigures],
    hours: Mapping[str, Span],
) -> list[Worked]:
    """Return what each operation does, rows and rounds together."""
    found = []
    for one in operations:
        mine = [r for r in rounds if r.operation == one.operation]
        passes = one.passes + sum(r.rounds for r in mine)
        length = one.length_m + sum(r.length_m for r in mine)
        width, time = one.working_width_m, hours.get(one.operation)
        found.append(Worked(one.operation, passes, length, width, time))
    return found


def _hours(layout: Layout, money: Money) -> dict[str, Span]:
    """Return the hours in the field of every operation, where any is paid by the hour. [h]"""
    if not any(work.price.per == "hour" and work.hours is None for work in money.works):
        return {}
    found = {one.operation: one.hours.total for one in driving_of(layout)}
    return {name: Span(time.least, time.most) for name, time in found.items()}


def _trees(layout: Layout, money: Money, land: Land) -> TreeFlows | None:
    """Return trees over the years, with what crops lose to them."""
    trees = tree_flows(money, _counter(layout), land.tree_m2)
    if trees is None:
        return None
    net = [one.net for one in trees.years]
    courses, left_out = less_crops(money, land, layout.plan.outlook, net)
    return replace(trees, less_crops=courses, left_out=left_out)


def _counter(layout: Layout) -> Standing:
    """Return a count of trees by year and species."""
    species = species_of_trees(layout)

    def count(year: int, name: str | None) -> int:
        stands = standing(layout, year)
        return int((stands & (species == name)).sum() if name is not None else stands.sum())

    return count


def _unpriced(money: Money, operations: Sequence[OperationFigures]) -> tuple[str, ...]:
    """Say which work has no price."""
    priced = {work.operation for work in money.works}
    left = [one.operation for one in operations if one.operation not in priced and one.passes]
    if not left:
        return ()
    return (f"Work without a price is in no sum: {', '.join(left)}.",)


def _without_trees(money: Money, land: Land) -> tuple[str, ...]:
    """Say that a ratio over tree bands lacks what the trees yield."""
    if not money.soles or not land.tree_m2:
        return ()
    return ("What trees yield is not in the land equivalent ratio; their ground is.",)
