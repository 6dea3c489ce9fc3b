"""
Seed that follows from rate and true ground alone.

This is what must reach the ground, not what must be ordered: germination, thousand-grain weight,
packs and spare belong to the order, in `seedorder`.
"""

from collections import defaultdict
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.fit.wheelings import wheel_ground
from geolayout.appraisal.growing import Sown, ground_stands, sown, square_rate
from geolayout.layout.build import Layout
from geolayout.plan.stand import Sowing

__all__ = [
    "HALF_EACH_WAY",
    "NOT_AN_ORDER",
    "SeedAmount",
    "VarietyShare",
    "class_ground",
    "seed_amounts",
]

NOT_AN_ORDER = (
    "These amounts are rate times ground and no seed order: germination, thousand-grain weight, "
    "packs and spare are in the order."
)

HALF_EACH_WAY = "Cross drilled: half of it each way, so the drill is set to half the rate."

_PLACES = {"band": "bands", "tree band": "bands", "headland": "headland", "margin": "margin"}


@dataclass(frozen=True, slots=True)
class VarietyShare:
    """
    One variety of a mix.

    Attributes
    ----------
    variety : str
        Its name.
    share : float
        Its share by weight. [-]
    amount : float or None
        Its amount, where the rate is a weight. [kg]
    """

    variety: str
    share: float
    amount: float | None


@dataclass(frozen=True, slots=True)
class SeedAmount:
    """
    What one sowing of one stand puts on its ground.

    Attributes
    ----------
    crop, sowing, stand : str
        What and where.
    place : str
        "bands", "headland" or "margin".
    ground_m2 : float
        True ground it is sown on, wheel tracks that it leaves out taken off. [m2]
    plain_m2 : float
        Ground that takes as much at the plan's own rate; another only with rate zones. [m2]
    rate : float or None
        The plan's own, a share multiplied out; None where no rate was given.
    rate_unit : str
        "plants_per_ha", "seeds_per_m2", "kg_per_ha" or "".
    amount : float or None
        Rate times ground, zone by zone; None where no rate was given.
    unit : str
        What the amount counts: "plants", "seeds", "kg" or "".
    varieties : tuple of VarietyShare
        The mix, where there is one.
    note : str
        What is missing or left aside.
    """

    crop: str
    sowing: str
    stand: str
    place: str
    ground_m2: float
    plain_m2: float
    rate: float | None
    rate_unit: str
    amount: float | None
    unit: str
    varieties: tuple[VarietyShare, ...]
    note: str


def seed_amounts(layout: Layout) -> tuple[SeedAmount, ...]:
    """
    Multiply each sowing's rate by its true ground.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    amounts : tuple of SeedAmount
        By stand, sowing and place; a crop that stands already is left out.
    """
    ground, by_class = _stand_ground(layout), class_ground(layout)
    wheels = _wheel_ground(layout)
    found = []
    for stand in layout.plan.stands:
        for j, sowing in enumerate(stand.sowing):
            for place in dict.fromkeys(_PLACES.values()):
                area = ground[stand.name, place]
                if place == "bands":
                    area -= wheels[stand.name, j]
                if area > 0.0 and sowing.place != "standing":
                    factor = _mean_factor(layout, sowing, by_class[stand.name, place])
                    amount = _amount(stand.name, sowing, place, (area, area * factor))
                    crossed = layout.plan.ways_of(sowing) > 1 and place == "bands"
                    found.append(_crossed(amount) if crossed else amount)
    return tuple(found)


def _stand_ground(layout: Layout) -> dict[tuple[str, str], float]:
    """Return the ground of each stand on bands, headland and margin. [m2]"""
    sums: dict[tuple[str, str], float] = defaultdict(float)
    pieces = zip(
        ground_stands(layout), layout.ground.kind, layout.ground.area.tolist(), strict=True
    )
    for stand, kind, area in pieces:
        if kind in _PLACES:
            sums[stand, _PLACES[kind]] += area
    return sums


def _wheel_ground(layout: Layout) -> dict[tuple[str, int], float]:
    """Return the ground each broadcast sowing leaves out for wheel tracks. [m2]"""
    groups: dict[tuple[str, int, int], list[Sown]] = defaultdict(list)
    for entry in sown(layout):
        if entry.sowing.place == "broadcast" and entry.sowing.skip:
            groups[entry.stand.name, entry.index, entry.block].append(entry)
    sums: dict[tuple[str, int], float] = defaultdict(float)
    for (stand, index, _), entries in groups.items():
        sums[stand, index] += wheel_ground(layout, entries)
    return sums


def class_ground(layout: Layout) -> dict[tuple[str, str], NDArray[np.float64]]:
    """
    Return the ground of each stand by rate zone.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    ground : dict of (str, str) to ndarray, shape (n,)
        By stand and by "bands", "headland" or "margin": its ground in each class, wheel tracks not
        taken off; empty where the plan has no rate zones. [m2]
    """
    crossed = layout.zones
    count = 0 if crossed is None else len(crossed.zones.classes)
    sums: dict[tuple[str, str], NDArray[np.float64]] = defaultdict(lambda: np.zeros(count))
    if crossed is None:
        return sums
    stands, kinds = ground_stands(layout)[crossed.piece], layout.ground.kind[crossed.piece]
    for stand, kind, zone, area in zip(stands, kinds, crossed.zone, crossed.area, strict=True):
        if kind in _PLACES:
            sums[stand, _PLACES[kind]][zone] += area
    return sums


def _mean_factor(layout: Layout, sowing: Sowing, ground: NDArray[np.float64]) -> float:
    """Return by what a sowing's rate is multiplied over ground in several zones. [-]"""
    asked = layout.plan.rate_zones
    if layout.zones is None or asked is None or asked.rate_for(sowing) is None:
        return 1.0
    return float(ground @ np.array(asked.factors(sowing)) / ground.sum())


def _amount(stand: str, sowing: Sowing, place: str, areas: tuple[float, float]) -> SeedAmount:
    """Return the amount of one sowing on its ground, and on that at the plan's own rate."""
    rate = square_rate(sowing)
    area, plain = areas
    amount = None if rate is None else rate.per_m2 * plain
    unit = "" if rate is None else rate.counts
    weighed = amount if unit == "kg" else None
    varieties = tuple(
        VarietyShare(name, share, None if weighed is None else weighed * share)
        for name, share in sowing.mix.items()
    )
    return SeedAmount(
        sowing.crop,
        sowing.label,
        stand,
        place,
        area,
        plain,
        None if rate is None else rate.amount,
        "" if rate is None else rate.unit,
        amount,
        unit,
        varieties,
        _note(sowing, unit),
    )


def _crossed(amount: SeedAmount) -> SeedAmount:
    """Say that an amount is sown in two ways."""
    return replace(amount, note=" ".join(filter(None, [amount.note, HALF_EACH_WAY])))


def _note(sowing: Sowing, unit: str) -> str:
    """Say what is missing from an amount, or left aside in it."""
    notes = []
    if not unit:
        given = "A share of an unknown sole rate" if sowing.rate is not None else "No rate"
        notes.append(f"{given} was given, so no amount follows.")
    if sowing.mix and unit in ("seeds", "plants"):
        notes.append("The mix is by weight; parting a count takes the thousand-grain weights.")
    if sowing.in_rows and sowing.skip and unit:
        notes.append("Rows left out for wheel tracks are not taken off.")
    return " ".join(notes)
