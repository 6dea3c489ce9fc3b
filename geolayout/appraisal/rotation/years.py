"""
What grew on each piece of ground year after year: stands move, bands shift, trees stay.

Everything is told across the bands, in one dimension: a season's pattern is laid over the same span
as that of any other, and ground that was the same in every year is one piece.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from geolayout.appraisal.calendar.undersown import is_crop
from geolayout.layout.blocks.block import Block
from geolayout.layout.blocks.years import season_cuts, seasons_in_order
from geolayout.layout.build import Layout
from geolayout.plan.grows import season_shift, stand_on
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.section import Cut, cut_section, shifted
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Stand

__all__ = [
    "WHOLE",
    "Grown",
    "Piece",
    "RotationRow",
    "holds",
    "pairs_of_years",
    "pieces_of",
    "rotation_rows",
    "section_pieces",
]

WHOLE: Final = "all"
"""Band of a harvest for which no bands are known."""


@dataclass(frozen=True, slots=True)
class Grown:
    """
    What one piece of ground grew in one year.

    Attributes
    ----------
    year : int
        Year of the harvest.
    band : str
        The band it was part of; "" where no band was, "all" in the plan's history.
    stand : str
        Name of the stand; "" where it was bare or is not known by that name.
    crops : tuple of str
        Crops sown for this harvest.
    """

    year: int
    band: str
    stand: str
    crops: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """
    Ground across the bands that was one thing in each year.

    Attributes
    ----------
    t0, t1 : float
        Its edges, as distances from the anchor. [m]
    years : tuple of Grown
        Year by year.
    """

    t0: float
    t1: float
    years: tuple[Grown, ...]

    @property
    def width(self) -> float:
        """Its width. [m]"""
        return self.t1 - self.t0


@dataclass(frozen=True, slots=True)
class RotationRow:
    """
    All ground of a block with one story.

    Attributes
    ----------
    block : str
        Name of the block, "" where the plan has none.
    years : tuple of Grown
        Year by year.
    strips : int
        Pieces that have it.
    width_m : float
        Of them all, across. [m]
    """

    block: str
    years: tuple[Grown, ...]
    strips: int
    width_m: float


def rotation_rows(layout: Layout) -> tuple[RotationRow, ...]:
    """
    Tell what grew where, year by year.

    Parameters
    ----------
    layout : Layout
        Any season of the plan; its span counts.

    Returns
    -------
    rows : tuple of RotationRow
        None where fewer than two years are known.
    """
    found: dict[tuple[str, tuple[Grown, ...]], list[float]] = {}
    for block in layout.blocks:
        for piece in pieces_of(layout.plan, block):
            if len(piece.years) > 1:
                found.setdefault((block.name, piece.years), []).append(piece.width)
    return tuple(
        RotationRow(name, years, len(widths), sum(widths))
        for (name, years), widths in found.items()
    )


def pieces_of(plan: Plan, block: Block) -> tuple[Piece, ...]:
    """Return the ground of a block, cut wherever a season has an edge; none for crossings."""
    seasons = [(season, season_cuts(plan, block, season)) for season in seasons_in_order(plan)]
    return _pieces(plan, block.part_of, seasons)


def section_pieces(plan: Plan, pattern: Pattern, span: tuple[float, float]) -> tuple[Piece, ...]:
    """
    Return the ground of a pattern over a span, for a plan without blocks.

    Parameters
    ----------
    plan : Plan
        The plan.
    pattern : Pattern
        The pattern.
    span : tuple of float
        From and to, as distances from the anchor. [m]
    """
    seasons = []
    for season in seasons_in_order(plan):
        shift = season_shift(pattern, season)
        section = cut_section(pattern, (span[0] - shift, span[1] - shift))
        cuts = shifted(section, shift).cuts
        seasons.append((season, [(cut, stand_on(plan, season, "", pattern, cut)) for cut in cuts]))
    return _pieces(plan, "", seasons)


def _pieces(
    plan: Plan, block: str, seasons: Sequence[tuple[Season, list[tuple[Cut, Stand | None]]]]
) -> tuple[Piece, ...]:
    """Cut ground wherever some season has an edge, and tell each piece's years."""
    before = _history(plan, block, {season.year for season, _ in seasons})
    edges = sorted({t for _, cuts in seasons for cut, _ in cuts for t in (cut.t0, cut.t1)})
    found: list[Piece] = []
    for t0, t1 in pairwise(edges):
        middle = (t0 + t1) / 2.0
        own = [
            _grown(season.year, cut, stand)
            for season, cuts in seasons
            for cut, stand in cuts
            if cut.t0 <= middle < cut.t1
        ]
        years = tuple(sorted((*before, *own), key=lambda grown: grown.year))
        if t1 - t0 <= ACROSS_SLACK:  # rounding, or edges that are meant to be one
            found[-1:] = [Piece(one.t0, t1, one.years) for one in found[-1:]]
        elif found and found[-1].years == years and _same_cut(seasons, found[-1], middle):
            found[-1] = Piece(found[-1].t0, t1, years)
        else:
            found.append(Piece(t0, t1, years))
    return tuple(found)


def _same_cut(
    seasons: Sequence[tuple[Season, list[tuple[Cut, Stand | None]]]], piece: Piece, t: float
) -> bool:
    """Whether a place lies in the same cut as a piece before it in every season."""
    middle = (piece.t0 + piece.t1) / 2.0
    return all(
        any(cut.t0 <= middle < cut.t1 and cut.t0 <= t < cut.t1 for cut, _ in cuts)
        for _, cuts in seasons
    )


def _history(plan: Plan, block: str, known: set[int]) -> list[Grown]:
    """Return what grew before, where the plan has no season for that year."""
    years = sorted({one.year for one in plan.history} - known)
    found = []
    for year in years:
        mine = [one for one in plan.history if one.year == year and one.block in (None, block)]
        closest = [one for one in mine if one.block == block] or mine
        crops = tuple(dict.fromkeys(crop for one in closest for crop in one.crops))
        if crops:
            found.append(Grown(year, WHOLE, "", crops))
    return found


def _grown(year: int, cut: Cut, stand: Stand | None) -> Grown:
    """Return what a cut grows in a year."""
    sowings = stand.sowing if stand is not None else ()
    crops = tuple(dict.fromkeys(one.crop for one in sowings if one.place != "standing"))
    return Grown(year, cut.band, stand.name if stand is not None else "", crops)


def pairs_of_years(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Grown, Grown]]:
    """Return each piece with every two harvests that follow each other by one year."""
    for piece in pieces:
        for before, after in pairwise(piece.years):
            if after.year == before.year + 1:
                yield piece, before, after


def holds(plan: Plan, grown: Grown, crop: str) -> bool:
    """Whether a crop was among those of a year, under any of its names."""
    return any(is_crop(plan, one, crop) for one in grown.crops)
