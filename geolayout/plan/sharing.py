"""Strips on the contour: the narrow last one of a block shared out, where all stay alike."""

from dataclasses import replace

from geolayout.plan.pattern import Pattern
from geolayout.plan.section.section import GaveWay, Section, cut_section

__all__ = ["WIDEST_SHARE", "contour_section"]

WIDEST_SHARE = 0.10
"""
How much wider than written strips may become, so that all row-crop strips of a slope are within
10 % of each other: Conservation Technology Information Center, strip cropping on the contour. [-]
"""


def contour_section(
    pattern: Pattern, span: tuple[float, float], number_at_anchor: int | None
) -> Section:
    """
    Lay a pattern between baselines on the contour.

    What is left beside the last whole band would be a narrow strip. It is shared out over the
    others where that makes none of them more than 10 % wider; else it stays, cut. A pattern that
    says another remainder than "cut" is laid as it says.

    Parameters
    ----------
    pattern : Pattern
        Its bands.
    span : tuple of float
        Upper and lower edge of the land, as distances from the baseline. [m]
    number_at_anchor : int or None
        Number of the band that begins at the anchor.

    Returns
    -------
    section : Section
        Whose strips that stay unlike are told in what gave way.
    """
    cut = cut_section(pattern, span, number_at_anchor)
    if pattern.remainder != "cut" or not _narrow(pattern, cut):
        return cut
    spread = pattern.model_copy(update={"remainder": "spread"})
    shared = cut_section(spread, span, number_at_anchor)
    if shared.bands and _alike(pattern, shared):
        return shared
    return replace(cut, gave_way=(*cut.gave_way, _unlike(pattern, cut)))


def _unlike(pattern: Pattern, section: Section) -> GaveWay:
    """Say that the last strip stays narrower than the others."""
    last = section.bands[-1]
    width, written = last.t1 - last.t0, _written(pattern, last.index)
    return GaveWay(
        f"The last strip stays {width:.2f} m where {written:.2f} m are written: shared out it "
        f"would make others more than {100 * WIDEST_SHARE:.0f} % wider, so these strips are not "
        "alike.",
        written - width,
    )


def _narrow(pattern: Pattern, section: Section) -> bool:
    """Whether the last band is narrower than the others by more than they may differ."""
    bands = [one for one in section.cuts if one.grows]
    if not bands:
        return False
    last = bands[-1]
    return last.t1 - last.t0 < (1.0 - WIDEST_SHARE) * _written(pattern, last.index)


def _alike(pattern: Pattern, section: Section) -> bool:
    """Whether no band is wider than written by more than they may differ."""
    return all(
        one.t1 - one.t0 <= (1.0 + WIDEST_SHARE) * _written(pattern, one.index)
        for one in section.cuts
        if one.grows
    )


def _written(pattern: Pattern, index: int) -> float:
    """Return the width of a band as written; 0 where it takes the rest. [m]"""
    width = pattern.bands[index].width
    return 0.0 if width == "rest" else float(width)
