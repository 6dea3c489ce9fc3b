"""
Money in words: a few lines for the summary, and a page with every sum visible.

Sums are whole coins, prices two decimals; a range is its least and its most. The page never takes
the land equivalent ratio for money.
"""

from collections.abc import Sequence

from geolayout.appraisal.money.budget import PartialBudget
from geolayout.appraisal.money.instead import Instead, LandRatio
from geolayout.appraisal.money.lines import CostLine, ProductLine
from geolayout.appraisal.money.margins import Margin
from geolayout.appraisal.money.reckoning import MoneyFigures
from geolayout.appraisal.money.sensitivity import Sensitivity
from geolayout.appraisal.seed.rate import Span
from geolayout.handover.words.tree_money import tree_money_lines, tree_money_parts, whole_coins
from geolayout.plan.units import HECTARE, METRIC, Units

__all__ = [
    "LAND_NOT_MONEY",
    "NO_PRICES",
    "MoneyPart",
    "money_lines",
    "money_parts",
    "short_money",
    "sum_words",
]

MoneyPart = tuple[str, tuple[str, ...], tuple[str, ...], tuple[tuple[str, ...], ...]]
"""Title, lines, head and rows of a table."""

LAND_NOT_MONEY = "The ratio counts land, not money: prices and costs are not in it."

NO_PRICES = "The plan says nothing of money: add [money] with coin, date, yields and prices."

ONE_WAY = "Labour, machines of one's own, rent and support are in no margin unless given as a cost."


def sum_words(sums: Span) -> str:
    """
    Return a sum of money in whole coins; a range where it is one.

    Examples
    --------
    >>> sum_words(Span(1234.4, 1234.4)), sum_words(Span(-20.0, 35.2))
    ('1,234', '-20 to 35')
    """
    low, high = whole_coins(sums.low), whole_coins(sums.high)
    return low if low == high else f"{low} to {high}"


def money_lines(money: MoneyFigures | None, units: Units = METRIC) -> list[str]:
    """
    Return the money of a layout in a few lines; one of them where the plan says nothing of it.

    Parameters
    ----------
    money : MoneyFigures or None
        The figures.
    units : Units
        Units of ground.
    """
    if money is None:
        return [NO_PRICES]
    return [
        f"Sums in {money.coin}, prices of {money.day} unless a price has its own day.",
        *(_margin_line(one, units) for one in money.crops if one.margin is not None),
        *_field_line(money.field, units),
        *_missing_lines(money.missing),
        *_land_lines(money.instead.land, units),
        *(_budget_line(one) for one in money.instead.budgets),
        *_even_lines(money.instead),
        *tree_money_lines(money.trees, units),
        *money.notes,
    ]


def short_money(money: MoneyFigures | None, units: Units = METRIC) -> list[str]:
    """Return the margin of the field and what is missing for it; nothing without prices."""
    if money is None:
        return []
    field = [f"In {money.coin}. {line}" for line in _field_line(money.field, units)]
    return [*field, *_missing_lines(money.missing)]


def money_parts(money: MoneyFigures, units: Units = METRIC) -> list[MoneyPart]:
    """
    Return the page of money, part by part.

    Parameters
    ----------
    money : MoneyFigures
        The figures.
    units : Units
        Units of ground.

    Returns
    -------
    parts : list of (title, lines, head, rows)
        Parts without a table have an empty head.
    """
    coin = money.coin
    said = f"Sums in {coin}; every price has its day. {ONE_WAY}"
    parts: list[MoneyPart] = [
        ("Money", (said, *_missing_lines(money.missing), *money.notes), (), ()),
        _products_part(money.products, units),
        _costs_part(money.costs),
        _margins_part(money, units),
        ("Land", tuple(_land_lines(money.instead.land, units)), (), ()),
        _budgets_part(money.instead),
        *_sensitivity_parts(money.sensitivity),
        *tree_money_parts(money.trees, units),
    ]
    return [part for part in parts if part[1] or part[3]]


def _priced(value: float | None) -> str:
    """Return a price; empty where there is none."""
    return "" if value is None else f"{value:,.2f}"


def _or_empty(sums: Span | None) -> str:
    """Return a sum; empty where it is not known."""
    return "" if sums is None else sum_words(sums)


def _amount(amount: Span | None, decimals: int = 2) -> str:
    """Return an amount of something; empty where it is not known."""
    if amount is None:
        return ""
    low, high = (f"{value:,.{decimals}f}" for value in (amount.low, amount.high))
    return low if low == high else f"{low} to {high}"


def _ratio(ratio: Span) -> str:
    """Return a ratio to two decimals."""
    return _amount(ratio)


def _by_ground(by_ha: Span | None, units: Units) -> str:
    """Return a sum by the hectare, or by the acre; empty where it is not known."""
    if by_ha is None:
        return ""
    return f"{sum_words(by_ha * (units.ground.size / HECTARE))}{units.count_rate.word}"


def _margin_line(one: Margin, units: Units) -> str:
    """Say the margin of a crop."""
    return (
        f"{one.of}: income {_or_empty(one.income)}, its own costs {_or_empty(one.costs)}, "
        f"gross margin {_or_empty(one.margin)}; {_by_ground(one.margin_per_ha, units)} of its "
        "ground."
    )


def _field_line(one: Margin, units: Units) -> list[str]:
    """Say the margin of the field, where it is known."""
    if one.income is None or one.costs is None or one.margin is None:
        return []
    told = (
        f"Field: income {sum_words(one.income)}, costs {sum_words(one.costs)}, gross margin "
        f"{sum_words(one.margin)}; {_by_ground(one.margin_per_ha, units)} of the field."
    )
    return [told]


def _missing_lines(missing: Sequence[str]) -> list[str]:
    """Say what nobody said."""
    return [f"Missing, so what needs it stays empty: {'; '.join(missing)}."] if missing else []


def _land_lines(land: LandRatio | None, units: Units) -> list[str]:
    """Say the land equivalent ratio, and that it is not money."""
    if land is None:
        return []
    parts = ", ".join(f"{one.crop} {_ratio(one.ratio)}" for one in land.partials)
    over = f"over {units.ground.said(land.land_m2)} of crops and tree bands"
    if land.ratio is None:
        lacks = "; ".join(land.missing)
        told = f"Land equivalent ratio {over}: not added up, missing {lacks}"
        return [f"{told}. Parts known: {parts}." if parts else f"{told}."]
    times = _ratio(land.ratio)
    told = (
        f"Land equivalent ratio {times} {over} ({parts}): grown alone, the same harvest takes "
        f"{times} times the land. {LAND_NOT_MONEY}"
    )
    return [told]


def _net_words(net: Span) -> str:
    """Say what a change brings."""
    if net.low >= 0:
        return f"{sum_words(net)} more"
    if net.high <= 0:
        return f"{sum_words(Span(-net.high, -net.low))} less"
    return f"between {whole_coins(-net.low)} less and {whole_coins(net.high)} more"


def _budget_line(one: PartialBudget) -> str:
    """Say a partial budget with its four sums."""
    return (
        f"Against {one.instead_of}: {_net_words(one.net)} (added income "
        f"{sum_words(one.added_income)} + saved cost {sum_words(one.saved_cost)} - added cost "
        f"{sum_words(one.added_cost)} - lost income {sum_words(one.lost_income)})."
    )


def _even_lines(instead: Instead) -> list[str]:
    """Say how far yields may fall before the same land shares alone earn as much."""
    even = instead.break_even
    if even is None:
        return []
    ratio = "" if even.ratio is None else f", at a land equivalent ratio of {even.ratio:.2f}"
    told = (
        f"With all its yields times {even.yields_times:.2f} it earns what each crop alone on its "
        f"own share earns{ratio}."
    )
    return [told]


def _products_part(products: Sequence[ProductLine], units: Units) -> MoneyPart:
    """Return what is sold."""
    head = ("crop", "stand", units.ground.word, "t/ha", "t", "price/t", "day", "income")
    rows = tuple(
        (
            f"{one.crop}, {one.product}" if one.product else one.crop,
            one.stand,
            units.ground.figure(one.ground_m2),
            _amount(one.yield_t_per_ha),
            _amount(one.tonnes),
            _priced(one.price_per_t) if one.day else "",
            one.day,
            _or_empty(one.income),
        )
        for one in products
    )
    return "What is sold", (), head, rows


def _costs_part(
    costs: Sequence[CostLine],
) -> MoneyPart:
    """Return what is paid."""
    head = ("for", "kind", "of", "amount", "per", "price", "day", "cost")
    rows = tuple(
        (
            one.name,
            one.kind,
            one.crop or one.stand or "field",
            _amount(one.amount),
            one.per,
            _priced(one.price),
            one.day,
            _or_empty(one.cost),
        )
        for one in costs
    )
    return "What it costs", (), head, rows


def _margins_part(money: MoneyFigures, units: Units) -> MoneyPart:
    """Return margins of crops and of the field."""
    head = ("of", "income", "costs", "margin", f"margin{units.count_rate.word}")
    said = "A crop has the costs that are its alone; the field has all of them."
    rows = tuple(
        (
            one.of,
            _or_empty(one.income),
            _or_empty(one.costs),
            _or_empty(one.margin),
            _by_ground(one.margin_per_ha, units).removesuffix(units.count_rate.word),
        )
        for one in (*money.crops, money.field)
    )
    return "Gross margins", (said,), head, rows


def _budgets_part(
    instead: Instead,
) -> MoneyPart:
    """Return the partial budgets."""
    head = ("against", "added income", "saved cost", "added cost", "lost income", "net")
    rows = tuple(
        (
            one.instead_of,
            sum_words(one.added_income),
            sum_words(one.saved_cost),
            sum_words(one.added_cost),
            sum_words(one.lost_income),
            sum_words(one.net),
        )
        for one in instead.budgets
    )
    return "If this takes the place of", tuple(_even_lines(instead)), head, rows


def _sensitivity_parts(
    found: Sensitivity | None,
) -> list[MoneyPart]:
    """Return the margin by changes of prices and yields, then product by product."""
    if found is None:
        return []
    steps = tuple(f"{step:+.0%}" if step else "as said" for step in found.steps)
    grid = tuple(
        (yields, *(whole_coins(margin) for margin in row))
        for yields, row in zip(steps, found.margins, strict=True)
    )
    said = "Down: all yields change together. Across: all prices change together."
    swings = tuple(
        (
            f"{one.crop}, {one.product}" if one.product else one.crop,
            _priced(one.price_per_t),
            "at no price"
            if one.price_for_nothing_left < 0
            else _priced(one.price_for_nothing_left),
        )
        for one in found.products
    )
    head = ("product", "price/t", "nothing is left at")
    return [
        ("The field's margin if prices and yields change", (said,), ("yields", *steps), grid),
        ("One price alone", (), head, swings),
    ]
