"""
Work done against work planned: ground missed, worked twice, in the wrong strip; passes off line.

Rules, all stated in docs/as-sown.md. Ground is judged on crop land; a headland is where machines
turn. What is driven askew by more than 30 degrees is turning: it sows ground, and never sows it
twice. Twice is what the plan does not itself have worked twice. Patches at the ends of rows, where
a machine is switched late, are told apart from those along them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.worked.done import WorkDone, swath
from geolayout.appraisal.worked.ground import areas_of, merged, outside, shared
from geolayout.appraisal.worked.lag import Lag, lag_of
from geolayout.appraisal.worked.places import Places, Run, places_of
from geolayout.appraisal.worked.planned import PlannedWork, ends_of, planned_work
from geolayout.layout.build import Layout
from geolayout.layout.shapes.cut import clipped
from geolayout.layout.shapes.polygons import polygon_parts

__all__ = ["AsSown", "PassAsSown", "Patch", "WrongStrip", "compare_work"]

END = 5.0
"""Patches that begin no farther than this from the end of a row are at the end. Our own. [m]"""

WIDE = 0.25
"""Patches narrower than this are passes a little off line, and not listed. Our own. [m]"""

CRUMB = 1e-2
"""Ground that two passes share below this is the rounding of their edges. [m2]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PassAsSown:
    """
    One pass, as planned and as worked.

    Attributes
    ----------
    block : str
        Its block.
    number : int
        Its number in the block.
    planned_m, worked_m : float
        Length of its line, and what was driven of it at work on crop land. [m]
    mean_across_m : float or None
        To the right of the planned line, seen in the guide's direction, positive. [m]
    worst_across_m : float or None
        The place farthest off, with its sign. [m]
    drift_m : float or None
        By how much the machine went to the right from the pass's beginning to its end, on a
        straight line through all places. [m]
    missed_m2, doubled_m2 : float
        Of its own ground. [m2]
    """

    block: str
    number: int
    planned_m: float
    worked_m: float
    mean_across_m: float | None
    worst_across_m: float | None
    drift_m: float | None
    missed_m2: float
    doubled_m2: float


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """
    Ground missed or worked twice in one piece.

    Attributes
    ----------
    ground : Polygon
        The patch. [m]
    block : str
        Its block.
    at_end : bool
        Whether it lies within 5 m of the ends of rows.
    """

    ground: BaseGeometry
    block: str
    at_end: bool

    @property
    def inner(self) -> tuple[float, float]:
        """A place within it, in the field's frame. [m]"""
        x, y = shapely.get_coordinates(shapely.point_on_surface(self.ground))[0].tolist()
        return x, y


@dataclass(frozen=True, slots=True)
class WrongStrip:
    """
    Work on a strip that the operation does not work.

    Attributes
    ----------
    block : str
        Its block.
    band : str
        Its name.
    number : int
        Its number in the block.
    stand : str
        What is planned to grow there.
    length_m, area_m2 : float
        How far it was driven there, and how much ground that is. [m, m2]
    """

    block: str
    band: str
    number: int
    stand: str
    length_m: float
    area_m2: float


@dataclass(frozen=True, slots=True, eq=False)
class AsSown:
    """
    Work done against one operation.

    Attributes
    ----------
    operation : str
        Its name.
    planned_m2, worked_m2 : float
        Ground that it was to work, and how much of that it worked. [m2]
    missed_m2, missed_at_ends_m2 : float
        The rest, and what of it lies within 5 m of the ends of rows. [m2]
    doubled_m2, doubled_at_ends_m2 : float
        Worked more often than planned, and what of it lies there. [m2]
    missed, doubled : tuple of Patch
        Those at least 0.25 m wide, the largest first.
    wrong : tuple of WrongStrip
        Strips that were not to be worked.
    passes : tuple of PassAsSown
        Pass by pass, those that nobody drove too.
    mean_across_m, worst_across_m : float or None
        Over all passes. [m]
    drift_m_per_hour : float or None
        To the right of the guide's direction, pass after pass; where times were recorded. [m/h]
    lag : Lag or None
        How far the record runs ahead, where passes were driven both ways.
    turning_m : float
        Driven at work but askew, or beside every planned line. [m]
    """

    operation: str
    planned_m2: float
    worked_m2: float
    missed_m2: float
    missed_at_ends_m2: float
    doubled_m2: float
    doubled_at_ends_m2: float
    missed: tuple[Patch, ...]
    doubled: tuple[Patch, ...]
    wrong: tuple[WrongStrip, ...]
    passes: tuple[PassAsSown, ...]
    mean_across_m: float | None
    worst_across_m: float | None
    drift_m_per_hour: float | None
    lag: Lag | None
    turning_m: float


@dataclass(frozen=True, slots=True, eq=False)
class _Judged:
    """Ground of one block, judged."""

    block: int
    planned: float
    missed: BaseGeometry
    doubled: BaseGeometry
    ends: BaseGeometry


def compare_work(layout: Layout, operation: int, work: WorkDone) -> AsSown:
    """
    Lay work done over the plan.

    Parameters
    ----------
    layout : Layout
        The layout.
    operation : int
        Index of the operation in its plan.
    work : WorkDone
        What was recorded, in the field's frame.

    Returns
    -------
    sown : AsSown
    """
    planned = planned_work(layout, operation)
    places, runs = places_of(layout, planned, work)
    worked = _swaths(planned, runs, work)
    judged = [_judged(layout, planned, b, worked) for b in planned.blocks]
    on_land = _on_crop_land(layout, planned, places)
    offsets = on_land & np.isfinite(places.right)
    missed, missed_ends = _sums([(one.missed, one.ends) for one in judged])
    doubled, doubled_ends = _sums([(one.doubled, one.ends) for one in judged])
    ground = sum(one.planned for one in judged)
    mean, worst = _mean_and_worst(places, offsets)
    return AsSown(
        layout.plan.operations[operation].name,
        ground,
        ground - missed,
        missed,
        missed_ends,
        doubled,
        doubled_ends,
        _patches(layout, [(one.block, one.missed, one.ends) for one in judged]),
        _patches(layout, [(one.block, one.doubled, one.ends) for one in judged]),
        _wrong_strips(layout, planned, places),
        _passes(layout, planned, (places, on_land), judged),
        mean,
        worst,
        _drift_of_day(places, offsets),
        lag_of(planned, runs),
        float(places.length[(places.passed < 0) & (places.strange < 0)].sum()),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Swath:
    """Ground worked in one go: by which block's pass, -1 when turning; in which strand."""

    block: int
    strand: int
    ground: BaseGeometry


def _swaths(planned: PlannedWork, runs: Sequence[Run], work: WorkDone) -> list[_Swath]:
    """Return the ground of every run, and of every area."""
    found = [
        _Swath(
            planned.passes[run.passed].block if run.passed >= 0 else -1,
            run.strand,
            swath(run.xy, run.width),
        )
        for run in runs
    ]
    count = len(work.strands)
    for number, area in enumerate(work.areas, start=count):
        ground = areas_of(area.ground)
        found += [_Swath(b, number, ground) for b in planned.blocks]
    return found


def _judged(layout: Layout, planned: PlannedWork, block: int, worked: Sequence[_Swath]) -> _Judged:
    """Judge the ground of one block."""
    ground = planned.ground[block]
    near = [one for one in worked if one.block in (block, -1)]
    missed = outside(ground, merged([one.ground for one in near]))
    twice = _worked_twice([one for one in near if one.block == block])
    doubled = outside(shared(ground, twice), planned.twice[block])
    ends = ends_of(layout.blocks[block], END)
    return _Judged(block, float(ground.area), missed, doubled, ends)


def _worked_twice(worked: Sequence[_Swath]) -> BaseGeometry:
    """Return ground that several swaths share, but neighbours of one strand do not."""
    shapes = np.array([one.ground for one in worked], dtype=object)
    if len(shapes) < 2:
        return shapely.Polygon()
    first, second = shapely.STRtree(shapes).query(shapes, "intersects")
    pairs = [
        (a, b)
        for a, b in zip(first.tolist(), second.tolist(), strict=True)
        if a < b and not (worked[a].strand == worked[b].strand and b - a == 1)
    ]
    common = [shared(shapes[a], shapes[b]) for a, b in pairs]
    return merged([ground for ground in common if ground.area > CRUMB])


def _on_crop_land(layout: Layout, planned: PlannedWork, places: Places) -> NDArray[np.bool_]:
    """Whether each place lies on the crop land of a block that it passes, along a pass."""
    points = shapely.points(places.xy)
    lands = [layout.blocks[b].crop_land for b in planned.blocks]
    land = merged(lands)
    shapely.prepare(land)
    return np.asarray((places.passed >= 0) & shapely.intersects(land, points))


def _sums(judged: Sequence[tuple[BaseGeometry, BaseGeometry]]) -> tuple[float, float]:
    """Return the area of ground, and of what lies at the ends of rows. [m2]"""
    whole = sum(float(ground.area) for ground, _ in judged)
    return whole, sum(float(shared(ground, ends).area) for ground, ends in judged)


def _patches(
    layout: Layout, judged: Sequence[tuple[int, BaseGeometry, BaseGeometry]]
) -> tuple[Patch, ...]:
    """Return the pieces of ground that are wide enough to see, the largest first."""
    found = []
    for block, ground, ends in judged:
        core = shapely.buffer(ground, -WIDE / 2.0)
        parts = np.asarray(polygon_parts(ground), dtype=object)
        for part in parts[shapely.intersects(parts, core)] if not core.is_empty else ():
            inside = bool(outside(part, shapely.buffer(ends, 1e-6)).is_empty)
            found.append(Patch(part, layout.blocks[block].name, inside))
    return tuple(sorted(found, key=lambda patch: -patch.ground.area))


def _wrong_strips(layout: Layout, planned: PlannedWork, places: Places) -> tuple[WrongStrip, ...]:
    """Tell which strips were worked that were not to be."""
    length: dict[tuple[str, str, int, str], float] = {}
    ground = layout.ground
    for i in np.unique(places.strange[places.strange >= 0]).tolist():
        block = layout.blocks[int(ground.block[i])].name
        key = (block, str(ground.band[i]), int(ground.number[i]), str(ground.stand[i]))
        driven = float(places.length[places.strange == i].sum())
        length[key] = length.get(key, 0.0) + driven
    return tuple(
        WrongStrip(*key, driven, driven * planned.width) for key, driven in sorted(length.items())
    )


def _passes(
    layout: Layout,
    planned: PlannedWork,
    placed: tuple[Places, NDArray[np.bool_]],
    judged: Sequence[_Judged],
) -> tuple[PassAsSown, ...]:
    """Tell pass by pass what was worked."""
    places, on_land = placed
    missed = {one.block: _tree_of(one.missed) for one in judged}
    doubled = {one.block: _tree_of(one.doubled) for one in judged}
    found = []
    for i, one in enumerate(planned.passes):
        mine = on_land & (places.passed == i)
        mean, worst = _mean_and_worst(places, mine)
        found.append(
            PassAsSown(
                layout.blocks[one.block].name,
                one.number,
                one.length,
                float(places.length[mine].sum()),
                mean,
                worst,
                _drift(places, mine),
                _area_shared(one.ground, missed[one.block]),
                _area_shared(one.ground, doubled[one.block]),
            )
        )
    return tuple(found)


def _tree_of(patches: BaseGeometry) -> shapely.STRtree:
    """Return patches one by one, to be found by their place, without the crumbs of rounding."""
    parts = polygon_parts(patches)
    return shapely.STRtree(parts[shapely.area(parts) > CRUMB])


def _area_shared(ground: BaseGeometry, patches: shapely.STRtree) -> float:
    """Return how much of ground lies in patches. [m2]"""
    near = patches.geometries[patches.query(ground, "intersects")]
    shapely.prepare(ground)
    inside = shapely.covers(ground, near)
    crossed = near[~inside]
    # Only what lies round a patch is overlaid: the outline of a round is long.
    around = [clipped(ground, *box) for box in _boxes(crossed)]
    shared = shapely.intersection(crossed, np.array(around, dtype=object))
    return float(shapely.area(near[inside]).sum() + shapely.area(shared).sum())


def _boxes(patches: NDArray[np.object_]) -> list[list[float]]:
    """Return the bounds of patches, a metre wider each way. [m]"""
    wider = np.array([-1.0, -1.0, 1.0, 1.0])
    return [box.tolist() for box in shapely.bounds(patches) + wider]


def _mean_and_worst(places: Places, mine: NDArray[np.bool_]) -> tuple[float | None, float | None]:
    """Return the mean offset, weighed by length, and the greatest either way. [m]"""
    right, weight = places.right[mine], places.length[mine]
    if not len(right):
        return None, None
    worst = right[np.argmax(np.abs(right))]
    return float((right * weight).sum() / weight.sum()), float(worst)


def _drift(places: Places, mine: NDArray[np.bool_]) -> float | None:
    """Return how far a fitted line goes to the right from the first to the last place. [m]"""
    along, right = places.along[mine], places.right[mine]
    if len(along) < 3:
        return None
    slope = _slope(along, right, places.length[mine])
    return None if slope is None else slope * float(np.ptp(along))


def _drift_of_day(places: Places, mine: NDArray[np.bool_]) -> float | None:
    """Return how the offset changes with the time of day. [m/h]"""
    mine = mine & np.isfinite(places.seconds)
    if mine.sum() < 3:
        return None
    hours = places.seconds[mine] / 3600.0
    return _slope(hours, places.right[mine], places.length[mine])


def _slope(x: Floats, y: Floats, weight: Floats) -> float | None:
    """Return the slope of the straight line through weighted places; None where x is one value."""
    x = x - np.average(x, weights=weight)
    spread = float((weight * x * x).sum())
    if spread <= 0.0:
        return None
    return float((weight * x * (y - np.average(y, weights=weight))).sum() / spread)
