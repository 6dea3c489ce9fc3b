"""
Rates so far from the usual that a unit was mistaken: a thousand times too much, or too little.

The ranges are wide on purpose. They find grams written for kilograms, or plants of a square metre
for those of a hectare, and say nothing about what is good husbandry.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from geolayout.errors import MeasureError
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Rate, Sowing

__all__ = ["UsualRate", "check_rates", "rate_key", "usual_rate"]

TIMES = 1000.0
"""How many times the usual a rate is before it is taken for a mistaken unit. [-]"""

COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True)
class UsualRate:
    """
    The rates at which a crop is usually sown.

    Attributes
    ----------
    words : tuple of str
        Words that the crop's name holds; none fits every crop.
    unit : str
        The key of the rate.
    low, high : float
        The usual range, in the unit that the key says.
    source : str
        Where the range comes from.
    """

    words: tuple[str, ...]
    unit: str
    low: float
    high: float
    source: str = COMMON


_CEREALS = ("wheat", "barley", "oat", "rye", "triticale", "spelt")
_LEGUMES = ("bean", "pea", "soya", "lupin", "lentil", "vetch")
_SMALL = ("clover", "grass", "ryegrass", "rape", "lucerne", "linseed", "mustard", "phacelia")

# Named crops before "every crop": the first line that fits a crop and its unit counts.
_USUAL = (
    UsualRate(
        ("maize",),
        "plants_per_ha",
        65_000,
        110_000,
        "IGP Polska, maize seed-spacing table, rows of 75 cm",
    ),
    UsualRate(("maize",), "seeds_per_m2", 5, 15),
    UsualRate(("maize",), "kg_per_ha", 15, 40),
    UsualRate(_SMALL, "kg_per_ha", 2, 50),
    UsualRate(
        _CEREALS,
        "kg_per_ha",
        53,
        193,
        "PGG Wrightson Grain, cereal seed sowing rates, 100 to 300 plants/m2",
    ),
    UsualRate(_CEREALS, "seeds_per_m2", 100, 500),
    UsualRate(_CEREALS, "plants_per_ha", 1_000_000, 5_000_000),
    UsualRate(_LEGUMES, "kg_per_ha", 30, 300),
    UsualRate(_LEGUMES, "seeds_per_m2", 15, 150),
    UsualRate(_LEGUMES, "plants_per_ha", 150_000, 1_500_000),
    UsualRate(("sunflower",), "plants_per_ha", 50_000, 75_000),
    UsualRate(("potato",), "kg_per_ha", 1_500, 4_000),
    UsualRate(("beet",), "plants_per_ha", 70_000, 130_000),
    UsualRate((), "plants_per_ha", 1_000, 10_000_000),
    UsualRate((), "seeds_per_m2", 1, 5_000),
    UsualRate((), "kg_per_ha", 0.5, 5_000),
)


def usual_rate(crop: str, unit: str) -> UsualRate:
    """
    Return the usual range of a crop's rate; that of every crop where its name is not known.

    Examples
    --------
    >>> usual_rate("fodder maize", "plants_per_ha").high
    110000
    """
    named = crop.lower().split()
    return next(
        usual
        for usual in _USUAL
        if usual.unit == unit
        and (not usual.words or any(part.startswith(usual.words) for part in named))
    )


def rate_key(sowing: Sowing) -> str:
    """
    Return the key by which an odd rate is accepted.

    Examples
    --------
    >>> rate_key(Sowing(crop="field beans", spacing=0.25))
    'field-beans-rate'
    """
    return f"{'-'.join(sowing.label.lower().split())}-rate"


def check_rates(plan: Plan, accepted: Collection[str] = ()) -> None:
    """
    Refuse a plan with a rate a thousand times the usual, or a thousandth.

    Parameters
    ----------
    plan : Plan
        The plan.
    accepted : collection of str
        Keys of odd rates that are meant so.

    Raises
    ------
    MeasureError
        If a rate is implausible and its key is not accepted.
    """
    for sowing, rate in _rates(plan):
        usual = usual_rate(sowing.crop, rate.unit)
        odd = rate.amount >= TIMES * usual.low and rate.amount > usual.high
        odd |= rate.amount <= usual.high / TIMES and rate.amount < usual.low
        if not usual.words:  # any crop may be meant, so only what fits none is odd
            odd = rate.amount >= TIMES * usual.high or rate.amount <= usual.low / TIMES
        if odd and rate_key(sowing) not in accepted:
            raise _odd_rate(sowing, rate, usual)


def _rates(plan: Plan) -> Iterator[tuple[Sowing, Rate]]:
    """Yield every rate that is no share, with its sowing."""
    for stand in plan.stands:
        for sowing in stand.sowing:
            for rate in (sowing.rate, sowing.sole_rate):
                if rate is not None and rate.unit != "share":
                    yield sowing, rate


def _odd_rate(sowing: Sowing, rate: Rate, usual: UsualRate) -> MeasureError:
    unit = _UNITS[rate.unit]
    return MeasureError(
        f"{sowing.label} is sown at {rate.amount:,.12g} {unit}.",
        f"The usual is {usual.low:,.12g} to {usual.high:,.12g} {unit} ({usual.source}), so a unit "
        "may have been mistaken.",
        f"Mend the rate, or pass --accept {rate_key(sowing)} if it is meant so.",
    )


_UNITS = {"plants_per_ha": "plants/ha", "seeds_per_m2": "seeds/m2", "kg_per_ha": "kg/ha"}
