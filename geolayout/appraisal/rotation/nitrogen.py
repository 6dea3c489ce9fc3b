"""Nitrogen that a legume leaves to the next crop, as published: a range and what it rests on."""

from dataclasses import dataclass
from typing import Final

from geolayout.appraisal.rotation.years import Grown, Piece, pieces_of
from geolayout.layout.build import Layout
from geolayout.plan.plan import Plan

__all__ = ["CREDITS", "SANDS", "Credit", "NitrogenCredit", "nitrogen_credits"]

POUNDS: Final = 1.12085
"""One pound an acre in kilograms a hectare. [kg/ha]"""

SANDS: Final = (
    "on sands 56 kg/ha less is reckoned (University of Wisconsin, Late summer planting legumes "
    "to produce nitrogen credits)"
)


@dataclass(frozen=True, slots=True)
class Credit:
    """
    What is published for one legume.

    Attributes
    ----------
    crop : str
        Its name in the crop sheet.
    years : int
        How many years after it.
    low, high : float
        [kg/ha]
    basis : str
        What the range rests on.
    source : str
        Title and year.
    """

    crop: str
    years: int
    low: float
    high: float
    basis: str
    source: str


CREDITS: Final = (
    Credit(
        "red clover",
        1,
        50 * POUNDS,
        100 * POUNDS,
        "after a small grain, where it stands 30 cm high or weighs 1,100 kg/ha dry",
        "Practical Farmers of Iowa, Estimating an N-credit from legume cover crops, 2021",
    ),
    Credit(
        "soya",
        1,
        0.0,
        60 * POUNDS,
        "22 to 67 kg/ha by what recommends it, or none: it is measured against maize after maize, "
        "which needs more",
        "agprofessional.com, The science behind N credit for soybeans",
    ),
    Credit(
        "lucerne",
        1,
        0.0,
        150 * POUNDS,
        "at most, in the first year after a good stand",
        "University of Minnesota Extension, corn after alfalfa",
    ),
    Credit(
        "lucerne",
        2,
        0.0,
        75 * POUNDS,
        "at most, in the second year after it",
        "University of Minnesota Extension, corn after alfalfa",
    ),
)
"""The credits whose source was seen. What 20 lb/ac to none leaves of soya is told as from 0."""


@dataclass(frozen=True, slots=True)
class NitrogenCredit:
    """
    What a legume may leave to a crop of this season.

    Attributes
    ----------
    legume : str
        The legume, as the plan calls it.
    year : int
        When it was harvested, or stood.
    after : tuple of str
        Crops that stand there now.
    bands : tuple of str
        Where they stand.
    width_m : float
        Across all such strips. [m]
    low_kg_per_ha, high_kg_per_ha : float or None
        The published range; None where none is known here.
    basis, source : str
        What it rests on.
    """

    legume: str
    year: int
    after: tuple[str, ...]
    bands: tuple[str, ...]
    width_m: float
    low_kg_per_ha: float | None
    high_kg_per_ha: float | None
    basis: str
    source: str


def nitrogen_credits(layout: Layout) -> tuple[NitrogenCredit, ...]:
    """
    Return what legumes of the two years before may leave to this season's crops.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    credits : tuple of NitrogenCredit
        By legume and year; ground that bears a legume again is left out.
    """
    if layout.season is None:
        return ()
    plan, year = layout.plan, layout.season.year
    found: dict[tuple[str, int], list[tuple[Piece, Grown]]] = {}
    for block in layout.blocks:
        for piece in pieces_of(plan, block):
            now = next((one for one in piece.years if one.year == year), None)
            if now is None or not now.crops or _legumes(plan, now):
                continue
            for before in piece.years:
                for legume in _legumes(plan, before) if 0 < year - before.year <= 2 else ():
                    found.setdefault((legume, before.year), []).append((piece, now))
    return tuple(
        credit
        for (legume, before), places in found.items()
        if (credit := _credit(plan, (legume, before, year - before), places)) is not None
    )


def _credit(
    plan: Plan, which: tuple[str, int, int], places: list[tuple[Piece, Grown]]
) -> NitrogenCredit | None:
    """Return one credit over all its ground; None where nothing is told of a second year."""
    legume, before, years = which
    name = plan.sheet.find(legume)
    known = next(
        (one for one in CREDITS if name and (one.crop, one.years) == (name.name, years)), None
    )
    if known is None and years > 1:
        return None
    return NitrogenCredit(
        legume,
        before,
        tuple(dict.fromkeys(crop for _, now in places for crop in now.crops)),
        tuple(dict.fromkeys(now.band for _, now in places)),
        sum(piece.width for piece, _ in places),
        known.low if known is not None else None,
        known.high if known is not None else None,
        known.basis if known is not None else "no published range is known here",
        known.source if known is not None else "",
    )


def _legumes(plan: Plan, grown: Grown) -> list[str]:
    """Return the crops of a year that fix nitrogen, by the crop sheet."""
    found = []
    for crop in grown.crops:
        known = plan.sheet.find(crop)
        fact = known.nitrogen_fixing if known is not None else None
        if fact is not None and fact.value is True:
            found.append(crop)
    return found
