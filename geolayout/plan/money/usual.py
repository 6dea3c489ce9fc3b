"""
Prices and yields so far from all the others that a unit was mistaken: kilograms for tonnes.

Coins differ too much for a usual price, so prices are held against each other: what a hectare
earns with one crop against what it earns with the others, and against what a hectare costs.
"""

from collections.abc import Collection, Iterator
from statistics import median

from geolayout.errors import MeasureError
from geolayout.plan.money.money import Money, Price
from geolayout.plan.plan import Plan
from geolayout.plan.usual import accept_key

__all__ = ["check_money"]

MOST_YIELD = 250.0
"""More than any crop yields: sugar cane, the heaviest, stays under it (from memory). [t/ha]"""

TIMES = 300.0
"""How far sums of a hectare may lie apart: under the thousand of a mistaken unit, over the hundred
that may lie between hay and saffron. Our own choice. [-]"""

PER_TONNE = {"t": 1.0, "kg": 1000.0}


def check_money(plan: Plan, accepted: Collection[str] = ()) -> None:
    """
    Refuse a plan with a price or yield that a mistaken unit would explain.

    Parameters
    ----------
    plan : Plan
        The plan.
    accepted : collection of str
        Keys of odd figures that are meant so.

    Raises
    ------
    MeasureError
        If a figure is implausible and its key is not accepted.
    """
    if plan.money is None:
        return
    for error, key in (*_odd_yields(plan.money), *_odd_prices(plan.money), *_odd_costs(plan.money)):
        if key not in accepted:
            raise error


def _odd_yields(money: Money) -> Iterator[tuple[MeasureError, str]]:
    """Yield the yields that no crop has."""
    said = [(one.crop, one.yields) for one in money.products]
    said += [(f"{one.crop} alone", one.yields) for one in money.soles]
    for name, yields in said:
        most = yields[1] if isinstance(yields, tuple) else yields
        if most > MOST_YIELD:
            yield _error(
                f"{name} yields {most:,.12g} t/ha.",
                f"No crop yields over {MOST_YIELD:g} t/ha, so kilograms may be meant.",
                accept_key(name, "yield"),
            )


def _odd_prices(money: Money) -> Iterator[tuple[MeasureError, str]]:
    """Yield the products that bring far more or less by the hectare than all others."""
    incomes = _incomes(money)
    for name, income in incomes.items():
        others = [other for of, other in incomes.items() if of != name]
        if others and _apart(income, median(others)):
            yield _error(
                f"A hectare of {name} brings {income:,.0f} {money.coin}, of the others "
                f"{median(others):,.0f}.",
                "One is more than 300 times the other, so per tonne and per kilogram may have been "
                "mistaken.",
                accept_key(name, "price"),
            )


def _odd_costs(money: Money) -> Iterator[tuple[MeasureError, str]]:
    """Yield the costs of a hectare that are far more than any crop brings there."""
    most = max(_incomes(money).values(), default=0.0)
    costs = [(cost.name, cost.price, cost.times) for cost in money.costs]
    costs += [(work.operation, work.price, 1.0) for work in money.works]
    costs += [(f"{one.crop} alone", one.costs, 1.0) for one in money.soles if one.costs is not None]
    for name, price, times in costs:
        if price.per == "ha" and most > 0 and price.amount * times > TIMES * most:
            yield _error(
                f"{name} costs {price.amount * times:,.12g} {money.coin} a hectare.",
                f"The crop that brings most brings {most:,.0f}, so a unit may have been mistaken.",
                accept_key(name, "cost"),
            )


def _incomes(money: Money) -> dict[str, float]:
    """Return what a hectare brings with each product that brings anything."""
    found: dict[str, float] = {}
    for one in money.products:
        income = _middle(one.yields) * _per_tonne(one.price)
        if income > 0:
            name = f"{one.name} of {one.crop}" if one.name else one.crop
            found[name] = max(income, found.get(name, 0.0))
    return found


def _middle(yields: float | tuple[float, float]) -> float:
    """Return the middle of a yield. [t/ha]"""
    return sum(yields) / 2 if isinstance(yields, tuple) else yields


def _per_tonne(price: Price | None) -> float:
    """Return a price by the tonne; nought where there is none."""
    return 0.0 if price is None else price.amount * PER_TONNE[price.per]


def _apart(one: float, other: float) -> bool:
    """Whether one sum is far from another."""
    return max(one, other) > TIMES * min(one, other)


def _error(found: str, why: str, key: str) -> tuple[MeasureError, str]:
    """Return the error of an implausible figure, and the key to accept it."""
    return MeasureError(found, why, f"Mend it, or pass --accept {key} if it is meant so."), key
