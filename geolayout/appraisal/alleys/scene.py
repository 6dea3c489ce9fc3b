"""An alley in a year: its trees as high and as wide as they are then, and what drives past them."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from geolayout.appraisal.works import Work, work_of
from geolayout.errors import PlanError
from geolayout.plan.section.profile import Profile
from geolayout.plan.section.section import Cut, CutKind
from geolayout.plan.trees.growth import FAST, SLOW
from geolayout.plan.trees.trees import BandTrees

__all__ = ["AlleyScene", "ScenePass", "SceneTree", "alley_scene"]

HIGH_UP = (Work.SPRAY, Work.SPREAD, Work.HARVEST)
"""Works whose machine reaches out above the ground, a boom or a header."""


@dataclass(frozen=True, slots=True)
class SceneTree:
    """
    A tree row in a year.

    Attributes
    ----------
    t : float
        Its place. [m]
    heights : tuple of float or None
        On a slow and on a fast site, equal where the plan gives heights; None where nobody knows.
        [m]
    crowns : tuple of float or None
        Widths of the crown likewise. [m]
    crown_base : float
        Up to where the stem is pruned. [m]
    guard : float
        Radius of its guard. [m]
    """

    t: float
    heights: tuple[float, float] | None
    crowns: tuple[float, float] | None
    crown_base: float
    guard: float


@dataclass(frozen=True, slots=True)
class ScenePass:
    """
    A pass in the alley.

    Attributes
    ----------
    operation : str
        What is done.
    high : bool
        Whether it is a boom or a header, which reaches out above the ground.
    reach0, reach1 : float
        How far the machine reaches. [m]
    """

    operation: str
    high: bool
    reach0: float
    reach1: float


@dataclass(frozen=True, slots=True)
class AlleyScene:
    """
    An alley between two tree strips, in a year.

    Attributes
    ----------
    year : float
        Years after planting.
    strips : tuple of (float, float)
        The two tree strips. [m]
    names : tuple of str
        What they are called.
    trees : tuple of SceneTree
        Their rows.
    passes : tuple of ScenePass
        What reaches into the alley.
    """

    year: float
    strips: tuple[tuple[float, float], tuple[float, float]]
    names: tuple[str, str]
    trees: tuple[SceneTree, ...]
    passes: tuple[ScenePass, ...]

    @property
    def alley(self) -> tuple[float, float]:
        """The crop land between the strips. [m]"""
        return self.strips[0][1], self.strips[1][0]

    @property
    def over_crop(self) -> float | None:
        """How far a crown of a fast site reaches over the crop, at most. [m]"""
        low, high = self.alley
        reaches = [
            max(tree.t + tree.crowns[1] / 2 - low, 0.0)
            if tree.t < low
            else max(high - (tree.t - tree.crowns[1] / 2), 0.0)
            for tree in self.trees
            if tree.crowns is not None
        ]
        return max(reaches, default=None)

    @property
    def room(self) -> float | None:
        """From a boom or header to the guard of a tree, at least; under 0 it hits. [m]"""
        gaps = [
            max(one.reach0 - tree.t, tree.t - one.reach1) - tree.guard
            for one in self.passes
            if one.high
            for tree in self.trees
        ]
        return min(gaps, default=None)


def alley_scene(profile: Profile, year: float) -> AlleyScene:
    """
    Return the first whole alley of a section in a year.

    Parameters
    ----------
    profile : Profile
        The section.
    year : float
        Years after planting.

    Raises
    ------
    PlanError
        If no two tree strips lie beside each other in it.
    """
    cuts = profile.section.cuts
    strips = [i for i, cut in enumerate(cuts) if cut.kind is CutKind.TREE_BAND and cut.grows]
    pairs = [(a, b) for a, b in pairwise(strips) if b > a + 1]
    if not pairs:
        raise PlanError(
            f"Pattern {profile.pattern.name} shows no alley.",
            "An alley lies between two tree strips with crop between them.",
            "Show more of the land with --span, or another block.",
        )
    first, last = (cuts[i] for i in pairs[0])
    return AlleyScene(
        year,
        ((first.t0, first.t1), (last.t0, last.t1)),
        (f"{first.band} {first.number}", f"{last.band} {last.number}"),
        tuple(_trees(profile, pairs[0], year)),
        tuple(_passes(profile, first, last)),
    )


def _trees(profile: Profile, pair: tuple[int, int], year: float) -> list[SceneTree]:
    """Return the tree rows of two strips."""
    found = []
    for t, cut in zip(profile.tree_rows.t.tolist(), profile.tree_rows.cut.tolist(), strict=True):
        trees = profile.pattern.bands[profile.section.cuts[cut].index].trees
        if cut in pair and trees is not None:
            found.append(_tree(t, trees, year))
    return found


def _tree(t: float, trees: BandTrees, year: float) -> SceneTree:
    """Return a tree row in a year."""
    growth, guard = trees.growth, trees.guard_radius or 0.0
    slow, fast = (growth.height_in(year, trees.mature_height, pace) for pace in (SLOW, FAST))
    if slow is None or fast is None:
        return SceneTree(t, None, None, growth.crown_base, guard)
    crowns = (growth.crown_in(year, slow), growth.crown_in(year, fast))
    return SceneTree(t, (slow, fast), crowns, growth.crown_base, guard)


def _passes(profile: Profile, first: Cut, last: Cut) -> list[ScenePass]:
    """Return the passes that reach into the alley."""
    passes, plan = profile.passes, profile.plan
    inside = (passes.reach1 > first.t1) & (passes.reach0 < last.t0)
    found = []
    for i in np.flatnonzero(inside).tolist():
        operation = plan.operations[int(passes.operation[i])]
        high = work_of(plan, operation) in HIGH_UP
        reach = (float(passes.reach0[i]), float(passes.reach1[i]))
        found.append(ScenePass(operation.name, high, *reach))
    return found
