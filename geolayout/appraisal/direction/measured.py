"""The same hours and counts, taken from a layout: what was really laid, bends and all."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.direction.hours import Driven, Hours, hours_of, summed
from geolayout.appraisal.direction.rings import Rings, rings_of
from geolayout.appraisal.direction.site import Site
from geolayout.appraisal.direction.tasks import Task
from geolayout.layout.build import Layout
from geolayout.layout.guides.guide import Straight
from geolayout.layout.headlands.edges import ANGLE_SLACK
from geolayout.plan.section.passes import worked_cuts

__all__ = ["Measured", "measured"]

BACK = 4.0
"""How many working widths back from its end a bent line is taken for straight. [-]"""

REACH = 1.0
"""How far beyond the headland a line is followed to find what it ends on. [m]"""

STEEPEST = 2.0
"""A headland takes up to so many of its widths from a row: 1 / sin(30 degrees). [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """
    What a layout comes to.

    Attributes
    ----------
    hours : Hours
        Of all operations.
    passes : dict of str to int
        Passes by operation.
    turns : dict of str to int
        Turns by what they are called, of all operations.
    pieces, short, point : int
        Pieces of passes; those that are short; those that run out on a side.
    headland : float
        [m2]
    double : float
        Ground worked twice by one operation, all of them together. [m2]
    work : float
        Ground that operations are there to work, headland too, all of them together. [m2]
    """

    hours: Hours[float]
    passes: dict[str, int]
    turns: dict[str, int]
    pieces: int
    short: int
    point: int
    headland: float
    double: float
    work: float


@dataclass(frozen=True, slots=True, eq=False)
class _Own:
    """The pieces of one operation on one block, pass after pass: ends, places across, length."""

    start: Floats
    end: Floats
    centre: Floats
    number: NDArray[np.int32]
    length: Floats

    @property
    def slant(self) -> float:
        """Drive along slanting ends from each pass to the next, which is at one end of both. [m]"""
        first = np.flatnonzero(np.diff(self.number, prepend=-1))
        last = np.append(first[1:], len(self.number))[: len(first)] - 1
        gap = np.abs(np.diff(self.centre[first]))
        apart = [np.hypot(*np.diff(xy, axis=0).T) for xy in (self.start[first], self.end[last])]
        beside = [np.sqrt(np.maximum(distance**2 - gap**2, 0.0)) for distance in apart]
        return float((beside[0] + beside[1]).sum() / 2.0)


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """One operation: what it drives, its passes, and the crop land it is there to work [m2]."""

    task: Task
    driven: Driven[float]
    passes: int
    fresh: float

    @property
    def double(self) -> float:
        """Ground that it works twice. [m2]"""
        return max(0.0, self.task.machine.working_width * self.driven.length - self.fresh)


def measured(layout: Layout, site: Site) -> Measured:
    """
    Measure a layout of one block.

    Parameters
    ----------
    layout : Layout
        One block of the plan, laid out; bends may have parted it.
    site : Site
        The block as the sweep sees it, for what is driven and what counts as short.

    Returns
    -------
    measured : Measured
    """
    ground = layout.ground
    headland = float(ground.area[ground.kind == "headland"].sum())
    tasks = {task.operation: task for task in site.tasks}
    named = [(i, tasks.get(one.name)) for i, one in enumerate(layout.plan.operations)]
    works = [_work(layout, i, task, headland) for i, task in named if task is not None]
    turns: dict[str, int] = {}
    for one in works:
        turns[one.task.turn] = turns.get(one.task.turn, 0) + int(one.driven.turns)
    length = _lengths(layout)
    return Measured(
        hours=summed([hours_of(one.task, one.driven) for one in works]),
        passes={one.task.operation: one.passes for one in works},
        turns=turns,
        pieces=len(length),
        short=int((length < site.ends.short).sum()),
        point=_points(layout, site),
        headland=headland,
        double=sum(one.double for one in works),
        work=sum(one.fresh + one.driven.headland for one in works),
    )


def _work(layout: Layout, operation: int, task: Task, headland: float) -> _Work:
    """Return what one operation drives over all parts of the block."""
    parts = [_own(layout, operation, b) for b in range(len(layout.blocks))]
    driven = _driven(task, [part for part in parts if len(part.length)], headland)
    passes = sum(len(np.unique(part.number)) for part in parts)
    return _Work(task, driven, passes, _fresh(layout, operation))


def _own(layout: Layout, operation: int, block: int) -> _Own:
    """Return the pieces of one operation on one block, in the order of their numbers."""
    passes = layout.passes
    own = np.flatnonzero((passes.operation == operation) & (passes.block == block))
    own = own[np.lexsort((passes.piece[own], passes.number[own]))]
    ends = passes.lines.ends(own)
    centre = (passes.reach0[own] + passes.reach1[own]) / 2.0
    return _Own(ends[:, 0], ends[:, 1], centre, passes.number[own], _lengths(layout)[own])


def _lengths(layout: Layout) -> Floats:
    """Return the length of every piece of a pass. [m]"""
    return np.asarray(shapely.length(layout.passes.lines.geometry))


def _driven(task: Task, parts: list[_Own], headland: float) -> Driven[float]:
    """Return what one operation drives."""
    turns = float(sum(len(part.length) - 1 for part in parts))
    turning = turns * task.turn_length + sum(part.slant for part in parts)
    length = float(sum(part.length.sum() for part in parts))
    return Driven(length, turns, turning, task.share * headland)


def _fresh(layout: Layout, operation: int) -> float:
    """Return the ground that an operation is there to work. [m2]"""
    ground, total = layout.ground, 0.0
    for b, block in enumerate(layout.blocks):
        named = layout.plan.operations[operation]
        cuts = worked_cuts(layout.plan, named, block.section, block.stands)
        total += float(ground.area[(ground.block == b) & np.isin(ground.cut, cuts)].sum())
    return total


def _points(layout: Layout, site: Site) -> int:
    """Return how many pieces of passes run out on a side of the land."""
    passes, length, sided = layout.passes, _lengths(layout), 0
    for b, block in enumerate(layout.blocks):
        own = np.flatnonzero(passes.block == b)
        if not len(own):
            continue
        rings, ends = rings_of(block.land), passes.lines.ends(own)
        width = passes.reach1[own] - passes.reach0[own]
        straight = isinstance(block.guides, Straight)
        back = length[own] / 2.0 if straight else np.minimum(length[own] / 2.0, BACK * width)
        on = site.ends.headland + REACH
        bearings = (block.guides.direction(ends[:, 0]) + 180.0, block.guides.direction(ends[:, 1]))
        sides = [
            _runs_out(rings, ends[:, k], bearings[k], (back, on), site.ends.steep) for k in (0, 1)
        ]
        sided += int((sides[0] | sides[1]).sum())
    return sided


def _runs_out(
    rings: Rings, xy: Floats, bearing: Floats, reach: tuple[Floats, float], steep: float
) -> NDArray[np.bool_]:
    """
    Return which lines leave the land over a side, where each ends at a point with a bearing.

    A line is followed from some way back to beyond the headland; the first edge that it meets is
    the one that it ends on.
    """
    back, on = reach
    forward = np.stack([np.sin(np.radians(bearing)), np.cos(np.radians(bearing))], axis=1)
    start, far = xy - back[:, None] * forward, xy + (on * STEEPEST) * forward
    lines = shapely.linestrings(np.stack([start, far], axis=1))
    edges = shapely.linestrings(np.stack([rings.xy[rings.first], rings.xy[rings.last]], axis=1))
    line, edge = shapely.STRtree(edges).query(lines, predicate="intersects")
    met = shapely.intersection(lines[line], edges[edge])
    away = shapely.distance(shapely.points(start[line]), met)
    order = np.lexsort((away, line))
    first = order[np.flatnonzero(np.diff(line[order], prepend=-1))]
    way = np.degrees(np.arctan2(*rings.way[edge[first]].T))
    angle = np.abs((way - bearing[line[first]] + 90.0) % 180.0 - 90.0)
    out = np.zeros(len(xy), dtype=bool)
    out[line[first]] = angle < steep - ANGLE_SLACK
    return out
