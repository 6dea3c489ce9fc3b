"""
Widths along a slope: how much plan a metre across the rows takes.

Screens and maps measure level, wheels and hoes do not. Where rows run along a slope, a working
width of 6 m laid on ground that rises by 30 % across them is 5.75 m on the plan. Planned level,
passes then leave a gap on the ground; so a plan may ask that widths be measured along it.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import PlanError
from geolayout.land.terrain.terrain import Terrain, points_over
from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.guide import Guides
from geolayout.plan.section.section import GaveWay

__all__ = ["Flatness", "flat_said", "flatness"]

ACROSS = 60
"""Points looked at along the longer side of the land, at least."""


@dataclass(frozen=True, slots=True)
class Flatness:
    """
    Metres on the plan for a metre along the ground, square to the rows.

    Attributes
    ----------
    mean : float
        Over all the land. [-]
    least : float
        Where the ground is steepest across the rows. [-]
    slope : float
        Mean slope across the rows. [%]
    spread : tuple of float
        Least and steepest slope across the rows. [%]
    """

    mean: float
    least: float
    slope: float
    spread: tuple[float, float]


def flatness(terrain: Terrain | None, land: BaseGeometry, guides: Guides) -> Flatness:
    """
    Return how much plan a metre across the rows takes on sloping land.

    Parameters
    ----------
    terrain : Terrain or None
        Heights.
    land : Polygon or MultiPolygon
        The land. [m]
    guides : Guides
        What the rows follow.

    Raises
    ------
    PlanError
        If there are no heights, or none under the land.

    Notes
    -----
    With g the rise across the rows for a metre on the plan, ``1 / sqrt(1 + g^2)`` at each point.

    Examples
    --------
    A slope of 30 % across the rows: cos(atan 0.3) = 0.9578.
    """
    if terrain is None:
        raise PlanError(
            'The guide has widths = "ground" and the field no terrain.',
            "Nobody knows how the ground lies.",
            'Add [field] terrain = "heights.tif", or take widths away.',
        )
    xy = points_over(shapely.union_all(land), terrain.cell, ACROSS)
    rise = terrain.gradient(xy)
    bearing = np.radians(guides.direction(xy) + 90.0)
    across = (rise * np.stack([np.sin(bearing), np.cos(bearing)], axis=1)).sum(axis=1)
    across = across[np.isfinite(across)]
    if not len(across):
        raise PlanError(
            f"{terrain.source} has no heights under the land.",
            'The guide has widths = "ground", and nobody knows how it lies.',
            "Use heights that cover the field, or take widths away.",
        )
    flat = 1.0 / np.sqrt(1.0 + across**2)
    slope = 100.0 * np.abs(across)
    spread = float(slope.min()), float(slope.max())
    return Flatness(float(flat.mean()), float(flat.min()), float(slope.mean()), spread)


def flat_said(terrain: Terrain | None, block: Block) -> list[GaveWay]:
    """
    Say how widths along the ground lie on the plan; nothing where they are measured level.

    Parameters
    ----------
    terrain : Terrain or None
        Heights.
    block : Block
        A block.
    """
    flat = block.guide.flat
    if flat is None or terrain is None or block.land.is_empty:
        return []
    here = flatness(terrain, block.land, block.guides)
    gap = flat / here.least - 1.0
    return [
        GaveWay(
            f"Widths are measured along the slope: 10 m across the rows are {10.0 * flat:.2f} m on "
            f"the plan, by a mean slope across them of {here.slope:.0f} % (from "
            f"{here.spread[0]:.0f} to {here.spread[1]:.0f} %). At the steepest a pass "
            f"of 10 m leaves a gap of {max(10.0 * gap, 0.0):.2f} m on the ground, and where it is "
            "flat passes overlap.",
            0.0,
        )
    ]
