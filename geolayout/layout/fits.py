"""When nothing fits: a refusal that says how wide the headland could be."""

from typing import NoReturn

import numpy as np
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError, MeasureError
from geolayout.layout.ground import headland_within
from geolayout.layout.guides import Guides
from geolayout.layout.overlay import without
from geolayout.plan.ground import Headland
from geolayout.plan.pattern import Pattern
from geolayout.plan.section import cut_section

__all__ = ["refuse_unfit"]

HALVINGS = 20


def refuse_unfit(
    lands: tuple[BaseGeometry, BaseGeometry],
    headland: Headland,
    width: float,
    guides: Guides,
    pattern: Pattern,
) -> NoReturn:
    """
    Refuse a layout in which no band and no tree row finds room.

    Parameters
    ----------
    lands : tuple of geometry
        All drivable land, and the block's part of it. [m]
    headland : Headland
        As the plan has it.
    width : float
        Its width. [m]
    guides : Guides
        The block's guides.
    pattern : Pattern
        What was to be laid.

    Raises
    ------
    LayoutError
        Always: headland, width across, and the largest headland that would leave one band.
    """
    drivable, land = lands
    low, high = guides.span(land) if not land.is_empty else (0.0, 0.0)
    across = f"the land is {high - low:.1f} m across the rows"
    if headland.where == "none":
        raise LayoutError(
            f"No band fits: {across}.",
            f"Pattern {pattern.name} lays no band in that width.",
            "Use a narrower band, or another bearing.",
        )
    largest = _largest_headland(drivable, land, (headland, width), guides, pattern)
    remedy = (
        f"A headland of up to {largest:.1f} m would leave room for one."
        if largest > 0
        else "Even without headland there is no room: use a narrower band or another bearing."
    )
    raise LayoutError(
        f"No band fits: the headland takes {width:g} m ({headland.where}), and {across}.",
        f"Pattern {pattern.name} lays no band on what is left.",
        remedy,
    )


def _largest_headland(
    drivable: BaseGeometry,
    land: BaseGeometry,
    headland: tuple[Headland, float],
    guides: Guides,
    pattern: Pattern,
) -> float:
    """Return the largest headland that leaves ground for a band, to a decimetre below. [m]"""
    shape, high = headland
    low = 0.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        taken, _ends = headland_within(drivable, shape, middle, guides)
        fits = _lays_a_band(pattern, without(land, taken), guides)
        low, high = (middle, high) if fits else (low, middle)
    return float(np.floor(low * 10) / 10)


def _lays_a_band(pattern: Pattern, land: BaseGeometry, guides: Guides) -> bool:
    """Whether a pattern that begins at the near edge of the land lays any band on it."""
    if land.is_empty:
        return False
    near, far = guides.span(land)
    try:
        return bool(cut_section(pattern, (0.0, far - near)).bands)
    except MeasureError:  # the bands beside one that takes the rest need more than there is
        return False
