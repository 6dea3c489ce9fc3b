"""What to order for the trees, how far to rip and to fence, and what the plan leaves out."""

from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.trees.bands import planted_bands, species_counts
from geolayout.layout.build import Layout
from geolayout.plan.trees.planting import Planting

__all__ = ["SpeciesOrder", "TreeOrder", "ripped_lines", "tree_order"]

ROUNDING = 1e-9
"""Shares of a tree below this are rounding. [-]"""

GAP_STEPS = 1.5
"""Neighbours farther apart than so many steps have a gap between them. [-]"""


@dataclass(frozen=True, slots=True)
class SpeciesOrder:
    """
    One species of the order.

    Attributes
    ----------
    species : str
        What it is.
    trees : int
        How many are set.
    spares : int or None
        How many more are ordered, rounded up; None where the plan does not say.
    order : int
        Both together.
    """

    species: str
    trees: int
    spares: int | None
    order: int


@dataclass(frozen=True, slots=True)
class TreeOrder:
    """
    Everything that goes with the trees. None stands for what the plan does not say.

    Attributes
    ----------
    species : tuple of SpeciesOrder
        The trees.
    guards, stakes : int or None
        For the trees that are set.
    mulch_m3 : float or None
        [m3]
    water_m3, water_in_all_m3 : float or None
        At one watering, and at all of them. [m3]
    hose_m : float or None
        From the water to the farthest tree, straight. [m]
    fence_m : float or None
        Openings left out. [m]
    ripped_m : float or None
        Tree rows ripped, from half a step before the first tree to half a step behind the last
        one of each stretch. [m]
    missing : tuple of str
        What the plan does not say, one sentence each.
    """

    species: tuple[SpeciesOrder, ...]
    guards: int | None
    stakes: int | None
    mulch_m3: float | None
    water_m3: float | None
    water_in_all_m3: float | None
    hose_m: float | None
    fence_m: float | None
    ripped_m: float | None
    missing: tuple[str, ...]


def tree_order(layout: Layout) -> TreeOrder | None:
    """
    Reckon what to order.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    order : TreeOrder or None
        None where there are no trees.
    """
    trees, said = len(layout.trees), layout.plan.planting
    if not trees:
        return None
    water = _volume(trees, said.water_per_tree)
    return TreeOrder(
        _species(layout, said.spares_percent),
        _pieces(trees, said.guards_per_tree),
        _pieces(trees, said.stakes_per_tree),
        _volume(trees, said.mulch_per_tree),
        water,
        None if water is None else water * said.waterings,
        _hose(layout, said),
        _fence(layout, said),
        None if said.rip_depth is None else float(shapely.length(ripped_lines(layout)).sum()),
        _missing(said),
    )


def _species(layout: Layout, percent: float | None) -> tuple[SpeciesOrder, ...]:
    """Return the trees by species, each with its spares."""
    found = []
    for name, trees in species_counts(layout).items():
        spares = None if percent is None else ceil(trees * percent / 100.0 - ROUNDING)
        found.append(SpeciesOrder(name, trees, spares, trees + (spares or 0)))
    return tuple(found)


def _pieces(trees: int, each: int | None) -> int | None:
    """Return so many for every tree."""
    return None if each is None else trees * each


def _volume(trees: int, litres: float | None) -> float | None:
    """Return so many litres for every tree, in cubic metres. [m3]"""
    return None if litres is None else trees * litres / 1000.0


def _hose(layout: Layout, said: Planting) -> float | None:
    """Return the distance from the water to the farthest tree. [m]"""
    if said.water_from is None:
        return None
    (tap,) = layout.field.frame.metres(np.array([said.water_from]))
    return float(np.hypot(*(layout.trees.xy - tap).T).max())


def _fence(layout: Layout, said: Planting) -> float | None:
    """Return the length of the fence. [m]"""
    if said.fence is None:
        return None
    if said.fence == "field":
        length = float(layout.field.land.length)
    else:
        ground = layout.ground
        length = float(shapely.length(ground.geometry[ground.kind == "tree band"]).sum())
    return max(length - said.fence_opening, 0.0)


def ripped_lines(layout: Layout) -> NDArray[np.object_]:
    """
    Return the lines along which tree rows are ripped, shape (n,). [m]

    A stretch ends half a step behind its last tree, where the next one is farther than 1.5 steps.
    """
    found: list[BaseGeometry] = []
    for band in planted_bands(layout):
        step = band.trees.in_row_spacing
        xy, row = layout.trees.xy[band.which], layout.trees.row[band.which]
        apart = np.hypot(*np.diff(xy, axis=0).T)
        ends = np.flatnonzero((row[1:] != row[:-1]) | (apart > GAP_STEPS * step)) + 1
        forward = _forward(band.block.guides.direction(xy)) if len(xy) else xy
        for part in np.split(np.arange(len(xy)), ends):
            if len(part):
                first, last = part[0], part[-1]
                before = xy[first] - forward[first] * step / 2
                behind = xy[last] + forward[last] * step / 2
                found.append(shapely.LineString([before, *xy[part], behind]))
    return np.array(found, dtype=object)


def _forward(degrees: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return unit vectors of bearings, shape (n, 2)."""
    angle = np.radians(degrees)
    return np.stack([np.sin(angle), np.cos(angle)], axis=1)


def _missing(said: Planting) -> tuple[str, ...]:
    """Say what the plan does not say."""
    asked = {
        "spares_percent": "spares",
        "guards_per_tree": "guards",
        "stakes_per_tree": "stakes",
        "mulch_per_tree": "mulch",
        "water_per_tree": "water",
        "water_from": "the hose",
        "fence": "a fence",
        "rip_depth": "ripping",
    }
    return tuple(
        f"Nothing is said of {what}: {key} is not in [planting]."
        for key, what in asked.items()
        if getattr(said, key) is None
    )
