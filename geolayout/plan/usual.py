"""
Rates so far from the usual that a unit was mistaken: a thousand times too much, or too little.

The usual comes from the crop sheet. The ranges are wide on purpose: they find grams written for
kilograms, or plants of a square metre for those of a hectare, and say nothing about what is good
husbandry.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from geolayout.errors import MeasureError
from geolayout.plan.crops.crop import FIGURES, Crop, Figure
from geolayout.plan.crops.sheet import CropSheet, shipped_sheet
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Rate, Sowing, rate_of

__all__ = ["UsualRate", "accept_key", "check_rates", "rate_key", "usual_of", "usual_rate"]

TIMES = 1000.0
"""How many times the usual a rate is before it is taken for a mistaken unit. [-]"""

MOST = 1e9
"""No rate is more; what is, is refused as odd all the same. [unit of the rate]"""

COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True)
class UsualRate:
    """
    The rates at which a crop is usually sown.

    Attributes
    ----------
    unit : str
        The key of the rate.
    low, high : float
        The usual range, in the unit that the key says.
    source : str
        Where the range comes from.
    crop : str
        The crop of the sheet; "" where any crop may be meant.
    """

    unit: str
    low: float
    high: float
    source: str = COMMON
    crop: str = ""


_ANY_CROP = {
    "plants_per_ha": UsualRate("plants_per_ha", 1_000, 10_000_000),
    "seeds_per_m2": UsualRate("seeds_per_m2", 1, 5_000),
    "kg_per_ha": UsualRate("kg_per_ha", 0.5, 5_000),
}


def usual_rate(name: str, unit: str, sheet: CropSheet | None = None) -> UsualRate:
    """
    Return the usual range of a crop's rate; that of every crop where the sheet has none.

    Parameters
    ----------
    name : str
        What the plan calls the crop.
    unit : str
        "plants_per_ha", "seeds_per_m2" or "kg_per_ha".
    sheet : CropSheet, optional
        The crop sheet; that of the package if nothing is said.

    Examples
    --------
    >>> usual_rate("fodder maize", "plants_per_ha").high
    110000.0
    """
    crop = (sheet or shipped_sheet()).find(name)
    usual = usual_of(crop, unit) if crop is not None else None
    return usual or _ANY_CROP[unit]


def usual_of(crop: Crop, unit: str) -> UsualRate | None:
    """Return the usual range of a rate from the values of the sheet; None where they are not."""
    plants, lives, weight = crop.plants_per_m2, crop.establishment, crop.tgw
    if unit == "kg_per_ha" and crop.kg_per_ha is not None:
        return UsualRate(unit, *_range(crop.kg_per_ha), crop.kg_per_ha.source, crop.name)
    if plants is None:
        return None
    if unit == "plants_per_ha":
        low, high = _range(plants)
        return UsualRate(unit, 1e4 * low, 1e4 * high, plants.source, crop.name)
    if lives is None or (unit == "kg_per_ha" and weight is None):
        return None
    low, high = 100 * plants.low / lives.high, 100 * plants.high / lives.low
    parts = [plants.source, lives.source]
    if unit == "kg_per_ha" and weight is not None:
        low, high = low * weight.low / 100, high * weight.high / 100
        parts.append(weight.source)
    return UsualRate(unit, low, high, "; ".join(dict.fromkeys(parts)), crop.name)


def _range(figure: Figure) -> tuple[float, float]:
    """Return the two ends of a figure."""
    return figure.low, figure.high


def rate_key(sowing: Sowing) -> str:
    """
    Return the key by which an odd rate is accepted.

    Examples
    --------
    >>> rate_key(Sowing(crop="field beans", spacing=0.25))
    'field-beans-rate'
    """
    return accept_key(sowing.label, "rate")


def accept_key(name: str, what: str) -> str:
    """Return the key by which an odd figure is accepted: small words and dashes."""
    return f"{'-'.join(name.lower().split())}-{what.replace('_', '-')}"


def check_rates(plan: Plan, accepted: Collection[str] = ()) -> None:
    """
    Refuse a plan with a rate, or a value of its own crops, a thousand times the usual or less.

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
    for error, key in (*_odd_values(plan), *_odd_weights(plan), *_odd_rates(plan)):
        if key not in accepted:
            raise error


def _odd(amount: float, low: float, high: float) -> bool:
    """Whether a figure is a thousand times the least that is usual, or a thousandth of the most."""
    return (amount >= TIMES * low and amount > high) or (amount <= high / TIMES and amount < low)


def _odd_values(plan: Plan) -> Iterator[tuple[MeasureError, str]]:
    """Yield the values of a user's crops that are far from those of the package."""
    for own in plan.crops:
        known = shipped_sheet().find(own.name)
        for name in FIGURES:
            usual: Figure | None = getattr(known, name, None)
            said: Figure | None = getattr(own, name)
            if said is None or usual is None:
                continue
            odd = [amount for amount in _range(said) if _odd(amount, usual.low, usual.high)]
            if odd:
                found = f"Crop {own.name} has {name} {odd[0]:,.12g} {UNITS[name]}."
                key = accept_key(own.name, name)
                yield _error(found, _range(usual), UNITS[name], usual.source, key)


def _odd_weights(plan: Plan) -> Iterator[tuple[MeasureError, str]]:
    """Yield the thousand grain weights of lots that are far from the usual."""
    for stand in plan.stands:
        for sowing in stand.sowing:
            crop = plan.sheet.find(sowing.crop)
            lots = [] if sowing.seed is None else [sowing.seed, *sowing.seed.varieties]
            usual = None if crop is None else crop.tgw
            for lot in lots:
                if lot.tgw is None or usual is None or not _odd(lot.tgw, usual.low, usual.high):
                    continue
                found = f"Seed of {sowing.label} has tgw = {lot.tgw:,.12g} g."
                key = accept_key(sowing.label, "tgw")
                yield _error(found, _range(usual), "g", usual.source, key)


def _odd_rates(plan: Plan) -> Iterator[tuple[MeasureError, str]]:
    """Yield the rates that are far from the usual."""
    for label, name, rate, key in _rates(plan):
        usual = usual_rate(name, rate.unit, plan.sheet)
        low, high = usual.low, usual.high
        if not usual.crop:  # any crop may be meant, so only what fits none is odd
            low, high = high, low
        if _odd(rate.amount, low, high):
            found = f"{label} is sown at {rate.amount:,.12g} {UNITS[rate.unit]}."
            ends = (usual.low, usual.high)
            yield _error(found, ends, UNITS[rate.unit], usual.source, key)


def _rates(plan: Plan) -> Iterator[tuple[str, str, Rate, str]]:
    """Yield every rate that is no share: whose it is, of which crop, and the key to accept it."""
    for crop in plan.crops:
        if crop.sole_rate is not None:
            yield crop.name, crop.name, crop.sole_rate, accept_key(crop.name, "rate")
    for stand in plan.stands:
        for sowing in stand.sowing:
            for rate in (sowing.rate, sowing.sole_rate):
                if rate is not None and rate.unit != "share":
                    yield sowing.label, sowing.crop, rate, rate_key(sowing)
            yield from _zone_rates(plan, sowing)


def _zone_rates(plan: Plan, sowing: Sowing) -> Iterator[tuple[str, str, Rate, str]]:
    """Yield the rates of a sowing in the rate zones, class by class."""
    own = rate_of(sowing)
    if plan.rate_zones is None or own is None or plan.rate_zones.rate_for(sowing) is None:
        return
    factors = plan.rate_zones.factors(sowing)
    for name, factor in zip(plan.rate_zones.classes, factors, strict=True):
        rate = Rate(**{own.unit: min(own.amount * factor, MOST)})
        yield f"{sowing.label} in class {name}", sowing.crop, rate, rate_key(sowing)


def _error(
    found: str, usual: tuple[float, float], unit: str, source: str, key: str
) -> tuple[MeasureError, str]:
    """Return the error of an implausible figure, and the key to accept it."""
    low, high = usual
    error = MeasureError(
        found,
        f"The usual is {low:,.12g} to {high:,.12g} {unit} ({source}), so a unit may have been "
        "mistaken.",
        f"Mend it, or pass --accept {key} if it is meant so.",
    )
    return error, key


UNITS = {
    "plants_per_ha": "plants/ha",
    "seeds_per_m2": "seeds/m2",
    "kg_per_ha": "kg/ha",
    "plants_per_m2": "plants/m2",
    "row_spacing": "m",
    "depth": "m",
    "tgw": "g",
    "establishment": "%",
}
