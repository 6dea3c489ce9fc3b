"""
Seed that the ground needs, in kilograms and in seeds: rate, weight and what comes up.

What the plan does not say comes from the crop sheet as a range with its source; what neither says
is missing, and so is every figure that hangs on it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from geolayout.appraisal.seed.amounts import SeedAmount
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.crops.crop import Crop, Figure
from geolayout.plan.crops.seedlot import Seed, SeedLot
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Sowing

__all__ = ["Rated", "SeedNeed", "rated", "seed_needs"]

RATES = ("kg_per_ha", "plants_per_m2")
"""Values of the sheet that a share may be of, the first that is there."""


@dataclass(frozen=True, slots=True)
class SeedNeed:
    """
    What one variety of one sowing needs on one kind of ground.

    Attributes
    ----------
    crop, variety, sowing, stand, place, operation : str
        Which; the variety is "" where there is no mix, the operation where none sows it.
    ground_m2 : float
        Ground that it is sown on. [m2]
    kg, seeds : Span or None
        Mass [kg] and number; None where something is missing.
    lot : SeedLot
        The lot it is taken from.
    spare : float
        What is ordered beyond. [%]
    missing : tuple of str
        What neither plan nor sheet says.
    taken : tuple of str
        What was taken from the sheet, with its source.
    """

    crop: str
    variety: str
    sowing: str
    stand: str
    place: str
    operation: str
    ground_m2: float
    kg: Span | None
    seeds: Span | None
    lot: SeedLot
    spare: float
    missing: tuple[str, ...]
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rated:
    """
    A rate per square metre.

    Attributes
    ----------
    per_m2 : Span
        [1/m2] or [kg/m2]
    counts : str
        "plants", "seeds" or "kg".
    taken : tuple of str
        What was taken from the sheet.
    """

    per_m2: Span
    counts: str
    taken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Part:
    """One variety of a sowing: its share by weight, weight of a thousand seeds, what comes up."""

    variety: str
    share: float
    lot: SeedLot
    tgw: Span | None
    lives: Span | None


def rated(plan: Plan, sowing: Sowing) -> Rated | None:
    """
    Return the rate of a sowing; a share of an unknown sole rate is one of the sheet's.

    Parameters
    ----------
    plan : Plan
        The plan, for its crop sheet.
    sowing : Sowing
        The sowing.

    Returns
    -------
    rated : Rated or None
        None where no rate is said, or a share of what nobody knows.
    """
    rate, sole = sowing.rate, sowing.sole_rate
    if rate is None:
        return None
    if rate.unit != "share":
        return _per_m2(Span.of(rate.amount), rate.unit)
    if sole is not None:
        return _per_m2(Span.of(rate.amount * sole.amount), sole.unit)
    crop = plan.sheet.find(sowing.crop)
    for key in RATES:
        figure: Figure | None = getattr(crop, key, None)
        if crop is not None and figure is not None:
            span = Span(figure.low, figure.high) * rate.amount
            return _per_m2(span, key, (_told(crop, "rate when grown alone", key, figure),))
    return None


def _per_m2(amount: Span, unit: str, taken: tuple[str, ...] = ()) -> Rated:
    """Return a rate per square metre."""
    per_m2 = amount * 1e-4 if unit.endswith("_ha") else amount
    return Rated(per_m2, unit.split("_", maxsplit=1)[0], taken)


def seed_needs(plan: Plan, amounts: Sequence[SeedAmount]) -> tuple[SeedNeed, ...]:
    """
    Turn rates on ground into kilograms and seeds.

    Parameters
    ----------
    plan : Plan
        The plan.
    amounts : sequence of SeedAmount
        Sowings on their ground.

    Returns
    -------
    needs : tuple of SeedNeed
        One a variety, in the order of the amounts.
    """
    return tuple(need for amount in amounts for need in _needs(plan, amount))


def _needs(plan: Plan, amount: SeedAmount) -> list[SeedNeed]:
    """Return the needs of one sowing on one kind of ground, variety by variety."""
    stand = plan.stand(amount.stand)
    sowing = stand.find(amount.sowing) if stand is not None else None
    if sowing is None:
        return []
    rate, crop, seed = rated(plan, sowing), plan.sheet.find(sowing.crop), sowing.seed or Seed()
    notes = _Notes(crop)
    mix = sowing.mix or {"": 1.0}
    counts = "" if rate is None else rate.counts
    parts = [notes.part(name, share, seed.lot(name), counts) for name, share in mix.items()]
    if rate is None:
        notes.missing.append("rate" if sowing.rate is None else "rate when grown alone")
        found: list[_Found] = [(None, None) for _ in parts]
    else:
        found = _parted(rate.per_m2 * amount.plain_m2, rate.counts, parts)
        notes.taken[:0] = rate.taken
    missing, taken = tuple(dict.fromkeys(notes.missing)), tuple(dict.fromkeys(notes.taken))
    return [
        SeedNeed(
            crop=sowing.crop,
            variety=part.variety,
            sowing=sowing.label,
            stand=amount.stand,
            place=amount.place,
            operation=sowing.operation or "",
            ground_m2=amount.ground_m2,
            kg=kg,
            seeds=seeds,
            lot=part.lot,
            spare=seed.spare,
            missing=missing,
            taken=taken,
        )
        for part, (seeds, kg) in zip(parts, found, strict=True)
    ]


_Found = tuple[Span | None, Span | None]
"""Seeds and kilograms."""


class _Notes:
    """What was missing and what was taken from the sheet, gathered while lots are looked at."""

    def __init__(self, crop: Crop | None) -> None:
        self.crop = crop
        self.missing: list[str] = []
        self.taken: list[str] = []

    def part(self, variety: str, share: float, lot: SeedLot, counts: str) -> _Part:
        """Return a variety with its weight, and what comes up where plants are asked for."""
        lives = self.lives(lot) if counts == "plants" else None
        return _Part(variety, share, lot, self.weight(lot, counts), lives)

    def weight(self, lot: SeedLot, counts: str) -> Span | None:
        """Return the thousand grain weight, the sheet's only where the order hangs on it. [g]"""
        if lot.tgw is not None:
            return Span.of(lot.tgw)
        by_mass = counts in ("", "kg") and lot.pack_seeds is None
        return None if by_mass else self.known("tgw", "thousand grain weight")

    def lives(self, lot: SeedLot) -> Span | None:
        """Return the share of the seeds that become plants. [-]"""
        if lot.establishment is not None:
            return Span.of(lot.establishment / 100)
        given = [one for one in (lot.germination, lot.emergence) if one is not None]
        if len(given) == 2:
            return Span.of(given[0] * given[1] / 1e4)
        sheet = self.known("establishment", "establishment")
        if sheet is None or not given:
            return None if sheet is None else sheet / 100.0
        most = given[0]
        return Span(min(sheet.low, most), min(sheet.high, most)) / 100.0

    def known(self, key: str, word: str) -> Span | None:
        """Return a value of the sheet, and note that it was taken or is missing."""
        figure: Figure | None = getattr(self.crop, key, None)
        if self.crop is None or figure is None:
            self.missing.append(word)
            return None
        self.taken.append(_told(self.crop, word, key, figure))
        return Span(figure.low, figure.high)


_UNITS = {"tgw": "g", "establishment": "%", "kg_per_ha": "kg/ha", "plants_per_m2": "plants/m2"}


def _told(crop: Crop, word: str, key: str, figure: Figure) -> str:
    """Say which value of the sheet was taken."""
    ends = f"{figure.low:g} to {figure.high:g}" if figure.low < figure.high else f"{figure.low:g}"
    return f"{word} of {crop.name}, {ends} {_UNITS[key]} ({figure.source})"


def _parted(total: Span, counts: str, parts: Sequence[_Part]) -> list[_Found]:
    """Part an amount by weight among varieties, in seeds and kilograms."""
    if counts == "kg":
        return [_weighed(total * part.share, part.tgw) for part in parts]
    if all((part.tgw, part.lives) == (parts[0].tgw, parts[0].lives) for part in parts):
        return _counted_alike(total, counts, parts)
    return _counted(total, counts, parts)


def _weighed(kg: Span, tgw: Span | None) -> _Found:
    """Return the seeds of a mass, and the mass."""
    return (None if tgw is None else kg * 1e6 / tgw), kg


def _counted_alike(total: Span, counts: str, parts: Sequence[_Part]) -> list[_Found]:
    """Part a number among varieties of one weight, so that shares by weight are those by number."""
    tgw, lives = parts[0].tgw, parts[0].lives
    if counts == "plants" and lives is None:
        return [(None, None) for _ in parts]
    seeds = total if lives is None else total / lives
    return [
        (seeds * part.share, None if tgw is None else seeds * part.share * tgw * 1e-6)
        for part in parts
    ]


def _counted(total: Span, counts: str, parts: Sequence[_Part]) -> list[_Found]:
    """
    Part a number among varieties by weight.

    A kilogram of the mix holds, of each variety, its share over its weight, and as many plants as
    come up of these; the number wanted over that of a kilogram is the mass.
    """
    held = Span.of(0.0)
    for part in parts:
        if part.tgw is None or (counts == "plants" and part.lives is None):
            return [(None, None) for _ in parts]
        held = held + Span.of(1e6 * part.share) / part.tgw * (part.lives or 1.0)
    return [_weighed(total / held * part.share, part.tgw) for part in parts]
