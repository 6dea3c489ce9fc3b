"""A block as the sweep sees it: land by its edges, a headland by a formula, what is driven."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.direction.pieces import Ends
from geolayout.appraisal.direction.rings import Rings, rings_of
from geolayout.appraisal.direction.tasks import Task, tasks_of
from geolayout.errors import LayoutError
from geolayout.land.terrain.terrain import Terrain, points_over
from geolayout.layout.headlands.edges import outer_parts
from geolayout.layout.headlands.headland import round_headland
from geolayout.layout.shapes.overlay import joined, without
from geolayout.plan.ground import Block, Headland
from geolayout.plan.plan import Plan
from geolayout.plan.weigh import Weigh

__all__ = ["SHORT", "Site", "site_of"]

SHORT = 50.0
"""A piece under this is short, whatever the headland (common practice, no source). [m]"""

SAMPLES = 30
"""Places at which the grade is looked at, along the longer side of the land, at least. [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """
    A block as the sweep sees it.

    Attributes
    ----------
    rings : Rings
        The land that rows cross; what a headland at the ends takes is not taken off.
    ends : Ends
        What happens where a piece ends.
    around : float
        Headland that lies there whichever way the rows run. [m2]
    tasks : tuple of Task
        What is driven.
    gradient : ndarray, shape (k, 2)
        How the ground rises to the east and the north, at places over the land; no rows without
        heights. [-]
    weigh : Weigh
        What else counts beside hours.
    """

    rings: Rings
    ends: Ends
    around: float
    tasks: tuple[Task, ...]
    gradient: Floats
    weigh: Weigh


def site_of(
    plan: Plan,
    block: Block | None,
    lands: tuple[BaseGeometry, BaseGeometry],
    terrain: Terrain | None,
) -> Site:
    """
    Return a block as the sweep sees it.

    Parameters
    ----------
    plan : Plan
        A plan without trials.
    block : plan.ground.Block or None
        The block, None where the field is one.
    lands : tuple of geometry
        All drivable land, and the block's part of it. [m]
    terrain : Terrain or None
        Heights, if they are known.

    Returns
    -------
    site : Site

    Raises
    ------
    LayoutError
        If the headland leaves no land.
    PlanError
        If no operation works here.
    """
    drivable, land = lands
    own = block.headland if block is not None else None
    headland = own or plan.headland
    width = plan.headland_width(headland)
    inner, around = _without_fixed(lands, headland, width, own is not None)
    if inner.is_empty:
        raise LayoutError(
            f"The headland takes {width:g} m ({headland.where}) and leaves no land.",
            "No row has room, whichever way it runs.",
            "Use a narrower headland.",
        )
    at_ends = width if headland.where == "ends" else 0.0
    guide = (block.guide if block is not None else None) or plan.guide
    pattern = plan.pattern(block.pattern if block is not None else None)
    name = block.name if block is not None else ""
    return Site(
        rings_of(inner, None if own is not None or headland.where != "ends" else drivable),
        Ends(at_ends, headland.steep, max(SHORT, 2.0 * width)),
        around,
        tasks_of(plan, pattern, float(np.sqrt(land.area)), name),
        _gradients(terrain, land),
        (guide.weigh if guide is not None else None) or Weigh(),
    )


def _without_fixed(
    lands: tuple[BaseGeometry, BaseGeometry], headland: Headland, width: float, own: bool
) -> tuple[BaseGeometry, float]:
    """Return the land without headland that hangs on no bearing, and how much that was."""
    drivable, land = lands
    fixed: list[BaseGeometry] = []
    measured = land if own else drivable
    if headland.where == "all round":
        fixed.append(round_headland(measured, width, corners=headland.corners))
    if headland.where != "none" and headland.round_obstacles:
        rings = [ring for part in outer_parts(measured) for ring in part.interiors]
        fixed += [Polygon(ring).buffer(width, join_style="mitre") for ring in rings]
    inner = without(land, joined(fixed)) if fixed else land
    return inner, float(land.area - inner.area)


def _gradients(terrain: Terrain | None, land: BaseGeometry) -> Floats:
    """Return how the ground rises at places over the land, where that is known."""
    if terrain is None:
        return np.empty((0, 2))
    xy = points_over(land, terrain.cell, SAMPLES)
    gradient = terrain.gradient(xy)
    return gradient[np.isfinite(gradient).all(axis=1)]
