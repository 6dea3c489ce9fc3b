"""
Where across the section each pass of each operation works, in one dimension.

A pass works ground, from t0 to t1, which may lie in a band, a repeat or the block; the machine
reaches from `reach0` to `reach1`. Where the last pass of a piece of ground does not fill its
width, the machine moves inward until its edge is the ground's edge, and what it then works a
second time is no ground of that pass.
"""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from geolayout.plan.machines import Operation
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan
from geolayout.plan.section.section import Cut, CutKind, Section
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Stand

__all__ = ["PassPlaces", "Strip", "place_passes", "strips_across", "worked_cuts"]


@dataclass(frozen=True, slots=True)
class Strip:
    """
    What one pass works and where the machine reaches.

    Attributes
    ----------
    t0, t1 : float
        Fresh ground of this pass, as distances from the anchor. [m]
    reach0, reach1 : float
        Edges of the machine's working width. [m]
    """

    t0: float
    t1: float
    reach0: float
    reach1: float


@dataclass(frozen=True, slots=True, eq=False)
class PassPlaces:
    """
    Passes across a section; every column has one entry a pass.

    Attributes
    ----------
    operation : ndarray of int
        Index of the operation in the plan.
    number : ndarray of int
        Number of the pass among those of its operation, from the near side, from 1.
    cut : ndarray of int
        Index of the cut it works; -1 where it may work several.
    t0, t1, reach0, reach1 : ndarray of float
        As in `Strip`. [m]
    """

    operation: NDArray[np.int64]
    number: NDArray[np.int64]
    cut: NDArray[np.int64]
    t0: NDArray[np.float64]
    t1: NDArray[np.float64]
    reach0: NDArray[np.float64]
    reach1: NDArray[np.float64]

    def of(self, operation: int) -> "PassPlaces":
        """Return the passes of one operation."""
        mine = self.operation == operation
        return PassPlaces(*(getattr(self, column.name)[mine] for column in fields(self)))


def strips_across(near: float, far: float, width: float) -> list[Strip]:
    """
    Cover ground with passes from its near edge, the last moved inward.

    Ground narrower than the machine gets one pass in its middle.

    Parameters
    ----------
    near, far : float
        Edges of the ground. [m]
    width : float
        Working width. [m]

    Examples
    --------
    >>> [(s.t0, s.t1, s.reach0) for s in strips_across(0.0, 14.0, 6.0)]
    [(0.0, 6.0, 0.0), (6.0, 12.0, 6.0), (12.0, 14.0, 8.0)]
    """
    across = far - near
    count = max(1, int(np.ceil((across - ACROSS_SLACK) / width)))
    if count == 1:
        middle = (near + far) / 2
        return [Strip(near, far, middle - width / 2, middle + width / 2)]
    strips = [
        Strip(near + k * width, near + (k + 1) * width, near + k * width, near + (k + 1) * width)
        for k in range(count - 1)
    ]
    return [*strips, Strip(strips[-1].t1, far, far - width, far)]


def place_passes(
    plan: Plan, pattern: Pattern, section: Section, stands: Sequence[Stand | None], shift: float
) -> PassPlaces:
    """
    Place the passes of every operation across a section.

    Parameters
    ----------
    plan : Plan
        Its operations and machines.
    pattern : Pattern
        The pattern of the section.
    section : Section
        The section as the season has it.
    stands : sequence of Stand or None
        What grows on each cut.
    shift : float
        How far the season moved the section from the anchor. [m]

    Returns
    -------
    places : PassPlaces
    """
    found: list[tuple[int, int, int, Strip]] = []
    for i, operation in enumerate(plan.operations):
        width = plan.machine(operation.machine).working_width
        cuts = worked_cuts(plan, operation, section, stands)
        if operation.over == "band":
            placed = _by_band(section.cuts, cuts, width)
        elif operation.over == "pattern":
            placed = _by_repeat(pattern, section.cuts, cuts, operation.offset, width)
        else:
            placed = _by_block(section.cuts, cuts, (shift, operation.offset), width)
        ordered = sorted(placed, key=lambda entry: entry[1].t0)
        found += [(i, k + 1, cut, strip) for k, (cut, strip) in enumerate(ordered)]
    strips = [entry[3] for entry in found]
    return PassPlaces(
        np.array([entry[0] for entry in found], dtype=np.int64),
        np.array([entry[1] for entry in found], dtype=np.int64),
        np.array([entry[2] for entry in found], dtype=np.int64),
        np.array([strip.t0 for strip in strips], dtype=np.float64),
        np.array([strip.t1 for strip in strips], dtype=np.float64),
        np.array([strip.reach0 for strip in strips], dtype=np.float64),
        np.array([strip.reach1 for strip in strips], dtype=np.float64),
    )


def worked_cuts(
    plan: Plan, operation: Operation, section: Section, stands: Sequence[Stand | None]
) -> list[int]:
    """
    Return the cuts that an operation works.

    An operation that names stands works these. One that some sowing of the plan names works the
    cuts that grow such a sowing. Any other works every band that grows something and has no trees.
    """
    named = {sowing.operation for stand in plan.stands for sowing in stand.sowing}
    chosen = []
    for i, (cut, stand) in enumerate(zip(section.cuts, stands, strict=True)):
        if stand is None:
            continue
        if operation.stands:
            works = stand.name in operation.stands
        elif operation.name in named:
            works = any(sowing.operation == operation.name for sowing in stand.sowing)
        else:
            works = cut.kind is CutKind.BAND
        if works:
            chosen.append(i)
    return chosen


def _by_band(cuts: Sequence[Cut], chosen: Sequence[int], width: float) -> list[tuple[int, Strip]]:
    """Return the passes within each band, from its uncut edge."""
    placed = []
    for i in chosen:
        cut = cuts[i]
        from_far = cut.t0 - cut.bed[0] > ACROSS_SLACK and cut.bed[1] - cut.t1 <= ACROSS_SLACK
        strips = strips_across(cut.t0, cut.t1, width)
        if from_far:
            mirrored = strips_across(-cut.t1, -cut.t0, width)
            strips = [Strip(-s.t1, -s.t0, -s.reach1, -s.reach0) for s in mirrored]
        placed += [(i, strip) for strip in strips]
    return placed


def _by_repeat(
    pattern: Pattern, cuts: Sequence[Cut], chosen: Sequence[int], offset: float, width: float
) -> list[tuple[int, Strip]]:
    """Return the passes counted within each repeat, and on beyond; they may straddle bands."""
    beds = list(_repeat_beds(pattern, cuts))
    worked = [cuts[i] for i in chosen]
    if not beds or not worked:
        return []
    while beds[0][0] + offset > worked[0].t0:
        beds.insert(0, (2 * beds[0][0] - beds[0][1], beds[0][0]))
    while beds[-1][1] + offset < worked[-1].t1:
        beds.append((beds[-1][1], 2 * beds[-1][1] - beds[-1][0]))
    strips = [s for a, b in beds for s in strips_across(a + offset, b + offset, width)]
    return [(-1, strip) for strip in strips if any(_overlap(strip, cut) for cut in worked)]


def _repeat_beds(pattern: Pattern, cuts: Sequence[Cut]) -> Iterator[tuple[float, float]]:
    """Return the uncut ground of each repeat in the section, near side first."""
    widths = [0.0 if band.width == "rest" else float(band.width) for band in pattern.bands]
    within = [cut for cut in cuts if cut.grows and cut.index >= 0]
    for _, group in itertools.groupby(within, key=lambda cut: cut.repeat):
        members = list(group)
        head, tail = members[0], members[-1]
        yield (
            head.bed[0] - sum(widths[: head.index]),
            tail.bed[1] + sum(widths[tail.index + 1 :]),
        )


def _by_block(
    cuts: Sequence[Cut], chosen: Sequence[int], phase: tuple[float, float], width: float
) -> list[tuple[int, Strip]]:
    """Return the passes across the block from anchor and offset, anew after every tree band."""
    anchor, offset = phase
    worked = [cuts[i] for i in chosen]
    placed = []
    for run in _runs_without_trees(cuts):
        # no tree band lies between the anchor and the outermost runs, wherever the land begins
        low = -np.inf if run[0] is cuts[0] else run[0].t0 - ACROSS_SLACK
        high = np.inf if run[-1] is cuts[-1] else run[-1].t1
        start = anchor + offset if low <= anchor <= high else run[0].t0
        strips = _on_grid(run[0].t0, run[-1].t1, start, width)
        placed += [(-1, s) for s in strips if any(_overlap(s, cut) for cut in worked)]
    return placed


def _runs_without_trees(cuts: Sequence[Cut]) -> list[list[Cut]]:
    """Group the cuts between tree bands."""
    runs: list[list[Cut]] = [[]]
    for cut in cuts:
        if cut.kind is CutKind.TREE_BAND:
            runs.append([])
        else:
            runs[-1].append(cut)
    return [run for run in runs if run]


def _on_grid(near: float, far: float, start: float, width: float) -> list[Strip]:
    """Cover ground with passes whose edges lie on a grid, those beyond its edges moved inward."""
    if far - near <= width + ACROSS_SLACK:
        return strips_across(near, far, width)
    first = start + width * (np.floor((near + ACROSS_SLACK - start) / width) + 1)
    count = max(0, int(np.ceil((far - ACROSS_SLACK - first) / width)))
    edges = [near, *(float(first + k * width) for k in range(count)), far]
    return [_reaching(t0, t1, (near, far), width) for t0, t1 in itertools.pairwise(edges)]


def _reaching(t0: float, t1: float, ground: tuple[float, float], width: float) -> Strip:
    """Return a pass with its machine: on the grid at the near side if its middle is on ground."""
    near, far = ground
    if t1 == far:
        reach0 = far - width
    elif t0 > near:
        reach0 = t0
    else:
        reach0 = t1 - width if t1 - width / 2 >= near else near
    return Strip(t0, t1, reach0, reach0 + width)


def _overlap(strip: Strip, cut: Cut) -> bool:
    """Whether a pass has ground in a cut, beyond the slack."""
    return min(strip.t1, cut.t1) - max(strip.t0, cut.t0) > ACROSS_SLACK
