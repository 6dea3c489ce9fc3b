"""Prices of the farm's file, put under those of a plan."""

from collections.abc import Iterable, Mapping
from typing import Any

from geolayout.errors import PlanError
from geolayout.plan.money.money import Money

__all__ = ["check_farm_money", "with_farm_money"]

TOLD_BY = {
    "product": ("crop", "stand", "name"),
    "seed": ("crop", "variety"),
    "cost": ("name", "crop", "stand"),
    "work": ("operation",),
    "sole": ("crop",),
}
"""Lists of prices that a farm may share, and the keys that tell their entries apart."""


def check_farm_money(money: Money) -> None:
    """
    See that a farm's prices are of what fields share.

    Raises
    ------
    PlanError
        If there are flows of trees among them.
    """
    if money.flows:
        raise PlanError(
            "The farm's [money] has flows of trees.",
            "Trees stand on one field, and their years count from their planting.",
            "Write flow into the plan of that field.",
        )


def with_farm_money(data: Mapping[str, Any], money: Money) -> dict[str, Any]:
    """
    Return the [money] of a plan with the farm's prices under its own.

    Parameters
    ----------
    data : mapping
        The plan as it was read, not checked yet.
    money : Money
        The farm's. Only what names crops, stands and operations of the plan is taken; its prices
        keep their own day.

    Returns
    -------
    money : dict
        The table of the plan, to be checked.

    Raises
    ------
    PlanError
        If the two reckon in different money.
    """
    own = data.get("money", {})
    coin = own.get("coin", money.coin)
    if coin != money.coin:
        raise PlanError(
            f"The plan reckons in {coin}, the farm's prices are in {money.coin}.",
            "Sums in different money cannot be added up.",
            "Give both in one money.",
        )
    said = money.model_dump(by_alias=True, exclude_unset=True)
    merged = {key: value for key, value in said.items() if key not in TOLD_BY} | dict(own)
    known = _known(data)
    for key, names in TOLD_BY.items():
        mine = own.get(key, [])
        taken = {tuple(one.get(name) for name in names) for one in _tables(mine)}
        under = [
            _dated(one, money)
            for one in said.get(key, ())
            if _of_plan(one, known) and tuple(one.get(name) for name in names) not in taken
        ]
        if isinstance(mine, list) and (mine or under):
            merged[key] = [*mine, *under]
    return merged


def _tables(value: object) -> list[dict[str, Any]]:
    """Return the tables of a list; what else may stand there is found when it is checked."""
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def _known(data: Mapping[str, Any]) -> dict[str, set[object]]:
    """Return the names that a plan has, as it was read."""
    stands = _tables(data.get("stand"))
    sowings = [one for stand in stands for one in _tables(stand.get("sowing"))]
    return {
        "crop": _named(sowings, "crop"),
        "stand": _named(stands, "name"),
        "operation": _named(_tables(data.get("operation")), "name"),
    }


def _named(tables: Iterable[Mapping[str, Any]], key: str) -> set[object]:
    """Return what tables have under a key."""
    return {one[key] for one in tables if isinstance(one.get(key), str)}


def _of_plan(one: Mapping[str, Any], known: Mapping[str, set[object]]) -> bool:
    """Whether all that an entry names is in the plan."""
    return all(one[key] in names for key, names in known.items() if one.get(key) is not None)


def _dated(one: Mapping[str, Any], money: Money) -> dict[str, Any]:
    """Return an entry whose prices have their day: the plan's common day is another."""
    dated = dict(one)
    for key in ("price", "costs"):
        if dated.get(key) is not None:
            dated[key] = {"date": money.date, **dated[key]}
    return dated
