"""
The seed order: what to buy of each crop, variety and operation, in kilograms, seeds and packs.

Rates are per hectare of ground of the band, so the order is for that ground; where a crop's
territory, by the middle of the gaps, is another, it is said.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from geolayout.appraisal.growing import ground_stands
from geolayout.appraisal.quantities.territory import Territory
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.appraisal.seed.need import SeedNeed, seed_needs
from geolayout.appraisal.seed.rate import Span, packs_for, series_of
from geolayout.layout.build import Layout
from geolayout.plan.stand import Stand

__all__ = ["OrderLine", "SeedOrder", "order_of", "seed_order"]

TERRITORY_LIMIT = 5.0
"""Territory that differs from ground by more is told. [%]"""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """
    What to buy of one crop, variety and pack for one operation.

    Attributes
    ----------
    crop, variety, operation : str
        Which; "" where there is none.
    places : tuple of str
        "bands", "headland", "margin".
    ground_m2 : float
        Ground that it is sown on; what grows together shares it. [m2]
    kg, seeds : Span or None
        What the ground needs; None where something is missing.
    spare : float
        Ordered beyond. [%]
    kg_ordered, seeds_ordered : Span or None
        With the spare.
    pack : float or None
        What one pack holds.
    pack_unit : str
        "kg", "seeds" or "".
    packs : tuple of int or None
        Whole packs, least and most.
    missing, taken : tuple of str
        What nobody said, and what was taken from the crop sheet.
    """

    crop: str
    variety: str
    operation: str
    places: tuple[str, ...]
    ground_m2: float
    kg: Span | None
    seeds: Span | None
    spare: float
    kg_ordered: Span | None
    seeds_ordered: Span | None
    pack: float | None
    pack_unit: str
    packs: tuple[int, int] | None
    missing: tuple[str, ...]
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SeedOrder:
    """
    The order of a layout.

    Attributes
    ----------
    lines : tuple of OrderLine
        By crop, variety, operation and pack.
    notes : tuple of str
        What is in it, what is not, and how its ground is meant.
    """

    lines: tuple[OrderLine, ...]
    notes: tuple[str, ...]


def seed_order(layout: Layout, territories: Sequence[Territory]) -> SeedOrder:
    """
    Work out the order of a layout.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.
    territories : sequence of Territory
        Its ground by half gaps.

    Returns
    -------
    order : SeedOrder
    """
    lines = order_of(seed_needs(layout.plan, seed_amounts(layout)))
    notes = (*_headland_notes(layout), *_mixture_notes(layout), *_territory_notes(territories))
    return SeedOrder(lines, notes if lines else ())


def order_of(needs: Sequence[SeedNeed]) -> tuple[OrderLine, ...]:
    """
    Add needs up to lines: one for each crop, variety, operation and kind of pack.

    Parameters
    ----------
    needs : sequence of SeedNeed
        What the ground needs, in any order.

    Returns
    -------
    lines : tuple of OrderLine
        In the order in which they are first needed; needs that lack something add up to a line
        without figures, apart from those that are known.
    """
    groups: dict[tuple[object, ...], list[SeedNeed]] = defaultdict(list)
    for need in needs:
        known = (need.kg is not None, need.seeds is not None)
        pack = (need.lot.pack_kg, need.lot.pack_seeds)
        groups[need.crop, need.variety, need.operation, pack, need.spare, known].append(need)
    return tuple(_line(members) for members in groups.values())


def _line(needs: Sequence[SeedNeed]) -> OrderLine:
    """Add needs of one kind up."""
    first = needs[0]
    kg, seeds = Span.total([need.kg for need in needs]), Span.total([need.seeds for need in needs])
    beyond = 1 + first.spare / 100
    more_kg, more_seeds = (None if one is None else one * beyond for one in (kg, seeds))
    lot = first.lot
    pack, unit, amount = lot.pack_kg, "kg", more_kg
    if lot.pack_seeds is not None:
        pack, unit, amount = lot.pack_seeds, "seeds", more_seeds
    packs = None
    if pack is not None and amount is not None:
        packs = packs_for(amount.low, pack), packs_for(amount.high, pack)
    missing = dict.fromkeys(word for need in needs for word in need.missing)
    if pack is None:
        unit = ""
    return OrderLine(
        first.crop,
        first.variety,
        first.operation,
        tuple(dict.fromkeys(need.place for need in needs)),
        sum(need.ground_m2 for need in needs),
        kg,
        seeds,
        first.spare,
        more_kg,
        more_seeds,
        pack,
        unit,
        packs,
        tuple(missing),
        tuple(dict.fromkeys(word for need in needs for word in need.taken)),
    )


def _headland_notes(layout: Layout) -> list[str]:
    """Say whether the crop of the headland is in the order."""
    names = sorted(set(ground_stands(layout)[layout.ground.kind == "headland"]))
    where = "The headland" if len(names) == 1 else "Part of the headland"
    notes = []
    for name in names:
        grows = layout.plan.stand(name or None)
        sown = [one for one in grows.sowing if one.place != "standing"] if grows else []
        if not sown:
            what = f"grows {name}, which is not sown" if grows else "has no stand in the plan"
            notes.append(f"{where} {what}: no seed for it is in the order.")
        else:
            notes.append(f"{where} grows {name}: its seed is in the order.")
    return notes


def _mixture_notes(layout: Layout) -> list[str]:
    """Say of every mixture by shares whether it replaces or adds."""
    there = {*ground_stands(layout)}
    growing = [stand for stand in layout.plan.stands if stand.name in there]
    return [note for stand in growing for note in _series(stand)]


def _series(stand: Stand) -> list[str]:
    """Return what the shares of a stand make of it, where it has some."""
    shares = [
        one.rate.amount for one in stand.sowing if one.rate is not None and one.rate.unit == "share"
    ]
    if len(shares) < 2:
        return []
    meant = {
        "replacement": "each crop takes the place of the other",
        "additive": "more is sown than of one crop alone",
        "thinned": "less is sown than of one crop alone",
    }[series := series_of(shares)]
    return [f"Shares of {stand.name} add up to {sum(shares):g}, {series}: {meant}."]


def _territory_notes(territories: Sequence[Territory]) -> list[str]:
    """Say where a stand's territory is another than its ground."""
    return [
        f"Measured to the middle of the gaps, {one.stand} has {abs(one.difference_percent):.1f} % "
        f"{'more' if one.difference_percent > 0 else 'less'} ground than its bands; rates and "
        "order are per hectare of the bands."
        for one in territories
        if abs(one.difference_percent) > TERRITORY_LIMIT
    ]
