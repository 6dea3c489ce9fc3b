"""When nothing fits: a refusal that says how wide the headland could be."""

from typing import NoReturn

import numpy as np
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError, MeasureError
from geolayout.layout.ground import headland_within
from geolayout.layout.guides.guide import Guides
from geolayout.layout.headlands.edge_widths import HeadlandWish
from geolayout.layout.shapes.overlay import without
from geolayout.plan.pattern import Pattern
from geolayout.plan.section.section import cut_section

__all__ = ["refuse_unfit"]

HALVINGS = 20


def refuse_unfit(
    lands: tuple[BaseGeometry, BaseGeometry],
    wish: HeadlandWish,
    guides: Guides,
    pattern: Pattern,
) -> NoReturn:
    """
    Refuse a layout in which no band and no tree row finds room.

    Parameters
    ----------
    lands : tuple of geometry
        All drivable land, and the block's part of it. [m]
    wish : HeadlandWish
        The headland as the plan has it.
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
    if wish.is_none:
        raise LayoutError(
            f"No band fits: {across}.",
            f"Pattern {pattern.name} lays no band in that width.",
            "Use a narrower band, or another bearing.",
        )
    share = _largest_share(drivable, land, wish, guides, pattern)
    raise LayoutError(
        f"No band fits: the headland takes {_taken(wish)}, and {across}.",
        f"Pattern {pattern.name} lays no band on what is left.",
        _remedy(wish, share),
    )


def _taken(wish: HeadlandWish) -> str:
    """Say how wide the headland is, and where."""
    where = wish.headland.where
    edges = [f"{edge.width:g} m on {edge.label}" for edge in wish.headland.edges]
    own = [] if where == "none" else [f"{wish.width:g} m ({where})"]
    return " and ".join([*own, *edges])


def _remedy(wish: HeadlandWish, share: float) -> str:
    """Say how much of the headland would leave room."""
    if wish.headland.edges:
        percent = int(share * 100)
        if percent > 0:
            return f"With all its widths at {percent} % of that there would be room for one."
    else:
        largest = float(np.floor(share * wish.width * 10) / 10)
        if largest > 0:
            return f"A headland of up to {largest:.1f} m would leave room for one."
    return "Even without headland there is no room: use a narrower band or another bearing."


def _largest_share(
    drivable: BaseGeometry,
    land: BaseGeometry,
    wish: HeadlandWish,
    guides: Guides,
    pattern: Pattern,
) -> float:
    """Return the largest share of the headland's widths that leaves ground for a band. [-]"""
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        taken = headland_within(drivable, wish.scaled(middle), guides).ground
        fits = _lays_a_band(pattern, without(land, taken), guides)
        low, high = (middle, high) if fits else (low, middle)
    return low


def _lays_a_band(pattern: Pattern, land: BaseGeometry, guides: Guides) -> bool:
    """Whether a pattern that begins at the near edge of the land lays any band on it."""
    if land.is_empty:
        return False
    near, far = guides.span(land)
    try:
        return bool(cut_section(pattern, (0.0, far - near)).bands)
    except MeasureError:  # the bands beside one that takes the rest need more than there is
        return False
