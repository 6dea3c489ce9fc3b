"""When nothing fits: a refusal that says how wide the headland could be."""

from typing import NoReturn

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.layout.ground import headland_within
from geolayout.layout.guides import Straight
from geolayout.plan.ground import Headland

__all__ = ["refuse_unfit"]

HALVINGS = 20


def refuse_unfit(
    lands: tuple[BaseGeometry, BaseGeometry],
    headland: Headland,
    width: float,
    guides: Straight,
    band: float,
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
    guides : Straight
        The block's guides.
    band : float
        Width of the narrowest way to lay one band. [m]

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
            f"The narrowest band takes {band:.1f} m.",
            "Use a narrower band, or another bearing.",
        )
    largest = _largest_headland(drivable, land, (headland, width), guides, band)
    remedy = (
        f"A headland of up to {largest:.1f} m would leave room for one."
        if largest > 0
        else "Even without headland there is no room: use a narrower band or another bearing."
    )
    raise LayoutError(
        f"No band fits: the headland takes {width:g} m ({headland.where}), and {across}.",
        "Nothing is left between the headlands.",
        remedy,
    )


def _largest_headland(
    drivable: BaseGeometry,
    land: BaseGeometry,
    headland: tuple[Headland, float],
    guides: Straight,
    band: float,
) -> float:
    """Return the largest headland that leaves ground for a band, to a decimetre below. [m]"""
    shape, high = headland
    low = 0.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        taken, _ends = headland_within(drivable, shape, middle, guides)
        left = shapely.difference(land, taken)
        fits = not left.is_empty and np.subtract(*guides.span(left)[::-1]) >= band
        low, high = (middle, high) if fits else (low, middle)
    return float(np.floor(low * 10) / 10)
