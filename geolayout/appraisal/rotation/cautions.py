"""The same crop on its own land, or beside it; volunteers; nitrogen that is no certainty."""

from collections.abc import Iterator, Sequence
from typing import Final

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.places import listed
from geolayout.appraisal.rotation.nitrogen import SANDS, NitrogenCredit, nitrogen_credits
from geolayout.appraisal.rotation.years import WHOLE, Grown, Piece, holds, pairs_of_years, pieces_of
from geolayout.layout.build import Layout
from geolayout.plan.plan import Plan

__all__ = ["returning", "rotation_cautions"]

SEEN: Final = 0.01
"""A share of a crop's ground under this is rounding. Our own choice. [-]"""

WALKING: Final = (
    "Practical Farmers of Iowa, Strip intercropping: taking advantage, 2000, and Walking and "
    "jumping in a dry year, 2001"
)


def rotation_cautions(layout: Layout) -> list[Caution]:
    """
    Warn of crops that come back to their own ground, and say what last year leaves.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field; the year before must be a season or history.

    Returns
    -------
    cautions : list of Caution
    """
    if layout.season is None:
        return []
    year = layout.season.year
    pieces = [pieces_of(layout.plan, block) for block in layout.blocks]
    pairs = [
        (b, *pair)
        for b, some in enumerate(pieces)
        for pair in pairs_of_years(some)
        if pair[2].year == year
    ]
    crops = dict.fromkeys(crop for _, _, _, now in pairs for crop in _returning(layout.plan, now))
    own = {crop: list(_own_land(layout.plan, crop, [pair[1:] for pair in pairs])) for crop in crops}
    found = [caution for some in own.values() for caution in some]
    moved = [crop for crop, some in own.items() if not some]
    found += _beside_own(layout.plan, moved, year, pieces)
    found += _volunteers(layout.plan, [pair[1:] for pair in pairs])
    return [*found, *map(_credit, nitrogen_credits(layout))]


def returning(plan: Plan, crop: str) -> bool:
    """Whether it matters that a crop comes again: not of grass, trees and what is not harvested."""
    sowings = [
        one
        for stand in plan.stands
        for one in stand.sowing
        if one.crop == crop and one.place != "standing"
    ]
    known = plan.sheet.find(crop)
    if sowings and not any(one.harvested for one in sowings):
        return False
    return known is not None and known.kind == "field crop"


def _returning(plan: Plan, grown: Grown) -> list[str]:
    """Return the crops of a year of which it matters that they come again."""
    return [crop for crop in grown.crops if returning(plan, crop)]


Pair = tuple[Piece, Grown, Grown]


def _own_land(plan: Plan, crop: str, pairs: list[Pair]) -> Iterator[Caution]:
    """Return the warning of a crop on land that bore it the year before."""
    mine = [pair for pair in pairs if holds(plan, pair[2], crop)]
    again = [pair for pair in mine if holds(plan, pair[1], crop)]
    whole = sum(piece.width for piece, _, _ in mine)
    share = sum(piece.width for piece, _, _ in again) / whole if whole else 0.0
    if share <= SEEN:
        return
    before, now = again[0][1].year, again[0][2].year
    bands = listed(list(dict.fromkeys(pair[2].band for pair in again)))
    two = _two_crops(pairs)
    yield Caution(
        key="same-crop-again",
        severity=WARNING,
        sentence=f"{100 * share:.0f} % of the {crop} of {now} ({bands}) stands where {crop} stood "
        f"in {before}: its pests and diseases are there already.",
        remedy=(
            "Exchange the two stands, or shift by one strip: with two crops that alone is a full "
            "change of land, and 1.5 strips put half of a crop on its own land."
            if two
            else "Let another stand grow there (`grows`), or shift by so many strips that no crop "
            "meets its own land."
        ),
        source="Plain geometry; " + WALKING,
        code="W26",
        value=100 * share,
        threshold=100 * SEEN,
        unit="%",
        count=len(again),
    )


def _two_crops(pairs: list[Pair]) -> bool:
    """Whether two stands share the land."""
    return len({now.stand for _, _, now in pairs if now.crops}) == 2


def _beside_own(
    plan: Plan, crops: Sequence[str], year: int, pieces: list[tuple[Piece, ...]]
) -> list[Caution]:
    """Return the note of crops that lie right beside where they stood the year before."""
    counts = {crop: _touching(plan, crop, year, pieces) for crop in crops}
    told = [
        f"{touching} of {stands} strips of {crop}"
        for crop, (touching, stands) in counts.items()
        if touching
    ]
    if not told:
        return []
    grown = [now for some in pieces for piece in some if (now := _two(piece, year)[1]) is not None]
    two = len({one.stand for one in grown if one.crops}) == 2
    total = sum(touching for touching, _ in counts.values())
    return [
        Caution(
            key="beside-last-year",
            severity=NOTE,
            sentence=f"{listed(told)} lie beside where the same crop stood in {year - 1}: its "
            "pests walk across the border.",
            remedy=(
                "With two crops it cannot lie elsewhere; look at the borders first."
                if two
                else "A shift of 1.5 strips or more took them apart in one set of trials; with "
                "this many crops it can."
            ),
            source=WALKING,
            code="W26",
            value=float(total),
            unit="strips",
            count=total,
        )
    ]


def _touching(plan: Plan, crop: str, year: int, pieces: list[tuple[Piece, ...]]) -> tuple[int, int]:
    """Return how many strips of a crop lie beside its own old land, and how many there are."""
    touching = stands = 0
    for some in pieces:
        told = [_two(piece, year) for piece in some]
        for i, (_, now) in enumerate(told):
            if now is None or not holds(plan, now, crop):
                continue
            stands += 1
            near = [told[j][0] for j in (i - 1, i + 1) if 0 <= j < len(told)]
            touching += any(
                before is not None and before.band != WHOLE and holds(plan, before, crop)
                for before in near
            )
    return touching, stands


def _two(piece: Piece, year: int) -> tuple[Grown | None, Grown | None]:
    """Return what a piece grew in the year before and in a year."""
    by_year = {grown.year: grown for grown in piece.years}
    return by_year.get(year - 1), by_year.get(year)


def _volunteers(plan: Plan, pairs: list[Pair]) -> list[Caution]:
    """Return the note of what last year's crops leave in this year's."""
    found: dict[tuple[str, str], list[str]] = {}
    for _, before, now in pairs:
        for crop in _returning(plan, before):
            if now.crops and not holds(plan, now, crop):
                found.setdefault((crop, now.stand), []).append(now.band)
    if not found:
        return []
    last, this = pairs[0][1].year, pairs[0][2].year
    told = [
        f"{crop} in {stand} ({listed(list(dict.fromkeys(bands)))})"
        for (crop, stand), bands in found.items()
    ]
    return [
        Caution(
            key="volunteers",
            severity=NOTE,
            sentence=f"Volunteers of {last} come up in {this}: {'; '.join(told)}.",
            remedy="Take the map of last year along; see that what is used against them spares "
            "the strip beside.",
            source="Common practice, no source.",
            code="W27",
            value=float(len(found)),
            unit="crops",
        )
    ]


def _credit(credit: NitrogenCredit) -> Caution:
    """Return the warning that nitrogen of a legume is no certainty, with its range."""
    where = f"{listed(credit.after)} in {listed(credit.bands)}"
    low, high = credit.low_kg_per_ha, credit.high_kg_per_ha
    if low is None or high is None:
        amount, less = f"no published range of what it leaves to {where} is known here", ""
    else:
        amount = (
            f"it may leave {low:.0f} to {high:.0f} kg/ha of nitrogen to {where} ({credit.basis})"
        )
        less = f"; {SANDS}"
    return Caution(
        key="nitrogen-credit",
        severity=WARNING,
        sentence=f"{credit.legume[:1].upper()}{credit.legume[1:]} stood there in {credit.year}: "
        f"{amount}; no such figure is certain.",
        remedy=f"Measure in the soil, or leave a strip without fertiliser{less}.",
        source=credit.source or "The crop sheet says that it fixes nitrogen.",
        code="W33",
    )
