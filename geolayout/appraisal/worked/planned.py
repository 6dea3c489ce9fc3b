"""The ground that an operation is to work by the plan, pass by pass, to hold work done against."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.worked.done import THIN
from geolayout.appraisal.worked.ground import areas_of, merged, shared
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.rings import Rings
from geolayout.layout.shapes.cut import cut_land

__all__ = ["PlannedPass", "PlannedWork", "ends_of", "planned_work"]

ROUNDING = 1e-6
"""Edges nearer to each other than this are one. [m]"""

Spans = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class PlannedPass:
    """
    One pass as planned.

    Attributes
    ----------
    block : int
        Index of its block.
    number : int
        Its number.
    ground : Polygon or MultiPolygon
        The ground that it works first; of a round, with the corners that no machine reaches. [m]
    length : float
        Of its line, all pieces together. [m]
    """

    block: int
    number: int
    ground: BaseGeometry
    length: float


@dataclass(frozen=True, slots=True, eq=False)
class PlannedWork:
    """
    One operation as planned.

    Attributes
    ----------
    operation : int
        Its index in the plan.
    width : float
        Working width of its machine. [m]
    passes : tuple of PlannedPass
        By block and number.
    lines : ndarray of LineString, shape (n,)
        Pieces of the lines to be driven, in the guide's direction. [m]
    which : ndarray of int, shape (n,)
        Index of the pass that each is a piece of.
    ground : dict of int to geometry
        By block, the ground that it is to work. [m]
    twice : dict of int to geometry
        By block, the ground that the plan has worked twice. [m]
    """

    operation: int
    width: float
    passes: tuple[PlannedPass, ...]
    lines: NDArray[np.object_]
    which: NDArray[np.int64]
    ground: dict[int, BaseGeometry]
    twice: dict[int, BaseGeometry]

    @property
    def blocks(self) -> tuple[int, ...]:
        """The blocks that it works."""
        return tuple(sorted({one.block for one in self.passes}))


def planned_work(layout: Layout, operation: int) -> PlannedWork:
    """
    Return the work of one operation as planned.

    Rounds leave corners that no machine reaches: those are not counted as ground to be worked.

    Parameters
    ----------
    layout : Layout
        A layout.
    operation : int
        Index of the operation in its plan. It may have no passes.
    """
    passes = layout.passes
    mine = np.flatnonzero(passes.operation == operation)
    keys = np.stack([passes.block[mine], passes.number[mine]], axis=1)
    known, which = np.unique(keys, axis=0, return_inverse=True)
    length = np.bincount(which, passes.lines.length[mine], minlength=len(known))
    planned: list[PlannedPass] = []
    whole: dict[int, BaseGeometry] = {}
    twice: dict[int, BaseGeometry] = {}
    for b in np.unique(known[:, 0]).tolist():
        here = mine[passes.block[mine] == b]
        numbers, first = np.unique(passes.number[here], return_index=True)
        own = here[first]
        fresh = np.stack([passes.t0[own], passes.t1[own]], axis=1)
        reach = np.stack([passes.reach0[own], passes.reach1[own]], axis=1)
        grounds, twice[b] = _grounds(layout.blocks[b], fresh, reach)
        whole[b] = _together(grounds)
        if isinstance(layout.blocks[b].guides, Rings):
            width = float(np.max(reach[:, 1] - reach[:, 0]))
            whole[b] = shared(whole[b], _driven(passes.lines.geometry[here], width))
        lengths = length[known[:, 0] == b].tolist()
        planned += [
            PlannedPass(b, number, ground, far)
            for number, ground, far in zip(numbers.tolist(), grounds, lengths, strict=True)
        ]
    machine = layout.plan.machine(layout.plan.operations[operation].machine)
    lines = passes.lines.geometry[mine]
    width = machine.working_width
    return PlannedWork(operation, width, tuple(planned), lines, which, whole, twice)


def _together(grounds: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the ground of neighbours as one; fast where their edges are the same."""
    if shapely.coverage_is_valid(list(grounds)):
        return areas_of(shapely.coverage_union_all(list(grounds)))
    return merged(grounds)


def _driven(lines: NDArray[np.object_], width: float) -> BaseGeometry:
    """Return the ground that a machine comes to on its rounds, cut at no corner. [m]"""
    return merged(list(shapely.buffer(shapely.simplify(lines, THIN), width / 2.0)))


def _grounds(block: Block, fresh: Spans, reach: Spans) -> tuple[list[BaseGeometry], BaseGeometry]:
    """Return the ground between each two t, and that which several reaches share."""
    grounds = _between(block, fresh)
    steps = np.unique(reach)
    middles = (steps[:-1] + steps[1:]) / 2.0
    over = (middles[:, None] > reach[:, 0]) & (middles[:, None] < reach[:, 1])
    several = over.sum(axis=1) > 1
    common = np.stack([steps[:-1], steps[1:]], axis=1)[several]
    return grounds, merged(_between(block, common))


def _between(block: Block, spans: Spans) -> list[BaseGeometry]:
    """Return the crop land of a block between each two t; spans do not overlap."""
    edges = _apart(np.unique(spans))
    pieces = cut_land(block.crop_land, block.guides, edges)
    middles = np.array([(a + b) / 2.0 for a, b in itertools.pairwise(edges.tolist())])
    found: list[BaseGeometry] = []
    for low, high in spans.tolist():
        inside = np.flatnonzero((middles > low) & (middles < high)) + 1
        found.append(merged(list(pieces.geometry[np.isin(pieces.interval, inside)])))
    return found


def _apart(edges: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return increasing edges without those that only rounding parts from the one before."""
    return edges[np.diff(edges, prepend=-np.inf) > ROUNDING]


def ends_of(block: Block, distance: float) -> BaseGeometry:
    """
    Return the crop land of a block that lies near an end of its rows, measured along them. [m]

    Rounds have no ends.
    """
    guides, land = block.guides, block.crop_land
    if isinstance(guides, Rings) or land.is_empty:
        return shapely.Polygon()
    turned = areas_of(guides.turn(land))
    inner = turned
    for step in (distance, -distance):
        moved = shapely.transform(turned, lambda ts, by=step: ts + np.array([0.0, by]))
        inner = shapely.intersection(inner, areas_of(moved))
    return areas_of(guides.turn_back(shapely.difference(turned, inner)))
