"""A section with all that stands and drives on it: what a drawn cross-section needs to know."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.errors import MeasureError
from geolayout.plan.grows import season_shift, stand_on
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.passes import PassPlaces, place_passes
from geolayout.plan.section.rows import RowPlaces, TreeRowPlaces, place_rows, place_tree_rows
from geolayout.plan.section.section import Section, cut_section, shifted
from geolayout.plan.section.tracks import sown_places
from geolayout.plan.stand import Stand

__all__ = ["Profile", "profile_at", "profile_of", "shown_span"]

REST_SHOWN = 3.0
"""Width at which a band of width "rest" is shown where no field says it, our own choice. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """
    One section and what is on it.

    Attributes
    ----------
    plan : Plan
        The plan, for the names of operations and machines.
    pattern : Pattern
        The pattern that was cut.
    section : Section
        The cuts, near side first.
    stands : tuple of Stand or None
        What grows on each cut.
    rows : RowPlaces
        Where rows stand.
    left_out : RowPlaces
        Rows that are left out under wheel tracks.
    tree_rows : TreeRowPlaces
        Where tree rows stand.
    passes : PassPlaces
        Where machines pass.
    """

    plan: Plan
    pattern: Pattern
    section: Section
    stands: tuple[Stand | None, ...]
    rows: RowPlaces
    left_out: RowPlaces
    tree_rows: TreeRowPlaces
    passes: PassPlaces


def profile_of(
    plan: Plan,
    pattern: Pattern,
    span: tuple[float, float],
    *,
    season: Season | None = None,
    block: str = "",
    number_at_anchor: int | None = None,
) -> Profile:
    """
    Lay a pattern across a span, with rows, trees and passes.

    Parameters
    ----------
    plan : Plan
        A plan without trials.
    pattern : Pattern
        One of its patterns.
    span : tuple of float
        Near and far edge, as distances from the anchor. [m]
    season : Season, optional
        The season; without one each band grows its own stand.
    block : str, default ""
        Name of the block, for seasons that speak of one block only.
    number_at_anchor : int, optional
        Number of the band that begins at the anchor, where it is known already.

    Returns
    -------
    profile : Profile

    Raises
    ------
    MeasureError
        If the span is not a span, or rows do not fit their band.
    LayoutError
        If the pattern is a trial.
    """
    shift = season_shift(pattern, season)
    base = cut_section(pattern, (span[0] - shift, span[1] - shift), number_at_anchor)
    section = shifted(base, shift)
    stands = tuple(stand_on(plan, season, block, pattern, cut) for cut in section.cuts)
    return profile_at(plan, pattern, section, stands, shift)


def profile_at(
    plan: Plan,
    pattern: Pattern,
    section: Section,
    stands: Sequence[Stand | None],
    shift: float,
) -> Profile:
    """
    Put rows, trees and passes on a section that was cut before.

    Parameters
    ----------
    plan, pattern
        As for `profile_of`.
    section : Section
        The section, as the season has it.
    stands : sequence of Stand or None
        What grows on each of its cuts.
    shift : float
        How far the season moved it. [m]

    Returns
    -------
    profile : Profile
    """
    rows = place_rows(section.cuts, stands)
    passes = place_passes(plan, pattern, section, stands, shift)
    sown = sown_places(plan, stands, rows, passes)
    trees = place_tree_rows(section.cuts, pattern)
    kept, left_out = _only(rows, sown), _only(rows, ~sown)
    return Profile(plan, pattern, section, tuple(stands), kept, left_out, trees, passes)


def _only(rows: RowPlaces, which: NDArray[np.bool_]) -> RowPlaces:
    """Return some of the rows."""
    return RowPlaces(rows.t[which], rows.cut[which], rows.sowing[which], rows.row[which])


def shown_span(
    pattern: Pattern, *, start: float = 0.0, shift: float = 0.0, width: float | None = None
) -> tuple[float, float]:
    """
    Return the span to show where no field says it, as distances from the anchor. [m]

    Parameters
    ----------
    pattern : Pattern
        The pattern. Without a width one repeat of it is shown, closed as the pattern asks, and
        a band of width "rest" as a few metres.
    start : float, default 0
        From the near side to the first band. [m]
    shift : float, default 0
        How far the season moves the bands. [m]
    width : float, optional
        Width of land to show, from the near side. [m]

    Raises
    ------
    MeasureError
        If the width asked for ends before the first band.

    Examples
    --------
    >>> from geolayout.plan.pattern import Band
    >>> strips = Pattern(name="strips", bands=(Band(name="A", width=6.0, stand="none"),))
    >>> shown_span(strips), shown_span(strips, start=2.0, width=20.0)
    ((0.0, 6.0), (-2.0, 18.0))
    """
    if width is None:
        rest = REST_SHOWN if pattern.laid_once else 0.0
        return shift, shift + pattern.repeat_width + rest + _closing_width(pattern)
    if width <= start:
        raise MeasureError(
            f"A span of {width:g} m is asked for and the first band begins at {start:g} m.",
            "No band lies within it.",
            "Ask for a wider span.",
        )
    return -start, width - start


def _closing_width(pattern: Pattern) -> float:
    """Return what one repeat lacks to end with the band that closes the pattern. [m]"""
    names = [band.name for band in pattern.bands]
    if pattern.close_with is None or names[-1] == pattern.close_with or pattern.repeats == 1:
        return 0.0
    closing = pattern.bands[: names.index(pattern.close_with) + 1]
    return sum(float(band.width) for band in closing if band.width != "rest")
