"""What rate zones come to: the ground of every class, and what each sowing puts on it."""

from dataclasses import dataclass

from geolayout.appraisal.growing import square_rate
from geolayout.appraisal.seed.amounts import SeedAmount, class_ground, seed_amounts
from geolayout.layout.build import Layout
from geolayout.plan.ratezones import RateZones

__all__ = ["ClassArea", "ClassSeed", "ZoneFigures", "ZoneSowing", "zone_figures"]


@dataclass(frozen=True, slots=True)
class ClassArea:
    """
    One class on the field.

    Attributes
    ----------
    name : str
        The class.
    above, below : float or None
        Values it lies between, the lower one its own; None at the ends and for words.
    drawn_m2, area_m2 : float
        As the map has it, and smoothed. [m2]
    """

    name: str
    above: float | None
    below: float | None
    drawn_m2: float
    area_m2: float


@dataclass(frozen=True, slots=True)
class ClassSeed:
    """
    One sowing in one class.

    Attributes
    ----------
    name : str
        The class.
    rate : float
        In the unit of its sowing.
    ground_m2 : float
        Its ground there; wheel tracks left out are taken off all classes alike. [m2]
    amount : float
        Rate times ground, in what the sowing counts.
    """

    name: str
    rate: float
    ground_m2: float
    amount: float


@dataclass(frozen=True, slots=True)
class ZoneSowing:
    """
    One sowing on bands, headland or margin, class by class.

    Attributes
    ----------
    crop, sowing, stand, place : str
        Which, as in the amounts of seed.
    rate_unit, unit : str
        Of the rates, and what amounts count.
    classes : tuple of ClassSeed
        The lowest class first; they add up to the amount of seed.
    """

    crop: str
    sowing: str
    stand: str
    place: str
    rate_unit: str
    unit: str
    classes: tuple[ClassSeed, ...]


@dataclass(frozen=True, slots=True)
class ZoneFigures:
    """
    What rate zones come to.

    Attributes
    ----------
    source, quantity, unit : str
        The map.
    narrowest_m, smallest_m2 : float
        The least a zone may be.
    uncovered_m2 : float
        Ground that the map does not cover. [m2]
    classes : tuple of ClassArea
        They add up to the field.
    sowings : tuple of ZoneSowing
        Those with rates by class.
    notes : tuple of str
        What a person should know of the map.
    """

    source: str
    quantity: str
    unit: str
    narrowest_m: float
    smallest_m2: float
    uncovered_m2: float
    classes: tuple[ClassArea, ...]
    sowings: tuple[ZoneSowing, ...]
    notes: tuple[str, ...]


def zone_figures(layout: Layout) -> ZoneFigures | None:
    """
    Measure the rate zones of a layout.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : ZoneFigures or None
        None where the plan has none.
    """
    asked, crossed = layout.plan.rate_zones, layout.zones
    if asked is None or crossed is None:
        return None
    zones = crossed.zones
    return ZoneFigures(
        asked.source,
        asked.quantity,
        asked.unit,
        zones.least.width,
        zones.least.area,
        zones.uncovered_m2,
        tuple(
            ClassArea(one.name, one.above, one.below, one.drawn_m2, one.area_m2)
            for one in zones.classes
        ),
        _sowings(layout, asked),
        zones.notes,
    )


def _sowings(layout: Layout, asked: RateZones) -> tuple[ZoneSowing, ...]:
    """Part the amounts of seed by class."""
    ground = class_ground(layout)
    found = []
    for amount in seed_amounts(layout):
        by_class = ground[amount.stand, amount.place]
        share = amount.ground_m2 / by_class.sum()
        classes = _classes(layout, asked, amount, (by_class * share).tolist())
        if classes:
            one = ZoneSowing(
                amount.crop,
                amount.sowing,
                amount.stand,
                amount.place,
                amount.rate_unit,
                amount.unit,
                classes,
            )
            found.append(one)
    return tuple(found)


def _classes(
    layout: Layout, asked: RateZones, amount: SeedAmount, ground: list[float]
) -> tuple[ClassSeed, ...]:
    """Return what one sowing puts on the ground of each class; none without rates by class."""
    stand = layout.plan.stand(amount.stand)
    sowing = stand.find(amount.sowing) if stand is not None else None
    rate = square_rate(sowing) if sowing is not None else None
    if sowing is None or rate is None or asked.rate_for(sowing) is None:
        return ()
    return tuple(
        ClassSeed(name, rate.amount * factor, area, rate.per_m2 * factor * area)
        for name, factor, area in zip(asked.classes, asked.factors(sowing), ground, strict=True)
    )
