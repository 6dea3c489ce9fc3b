"""Passes of each operation: how many, how long, how far beyond the edge, what is worked twice."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.build import Layout
from geolayout.layout.guides.follow import strip_area

__all__ = ["OperationFigures", "operation_figures"]

CRUMB = 1e-6
"""Overlap of two passes below this is rounding. [m]"""

Spans = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class OperationFigures:
    """
    The passes of one operation.

    Attributes
    ----------
    operation, machine : str
        Its name and its machine's.
    over : str
        "band", "pattern" or "block".
    working_width_m : float
        Ground covered by one pass. [m]
    passes, pieces : int
        Distinct passes, and the pieces they lie in.
    length_m : float
        Driven at work, turns left out. [m]
    beyond_edge_m : float
        Of which beyond land that can be driven on. [m]
    worked_twice_m2 : float
        Ground worked again where a last pass moved inward. [m2]
    """

    operation: str
    machine: str
    over: str
    working_width_m: float
    passes: int
    pieces: int
    length_m: float
    beyond_edge_m: float
    worked_twice_m2: float


def operation_figures(layout: Layout) -> tuple[OperationFigures, ...]:
    """
    Count and measure the passes of every operation, those without passes included.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : tuple of OperationFigures
        In the order of the plan.
    """
    return tuple(_figures(layout, i) for i in range(len(layout.plan.operations)))


def _figures(layout: Layout, index: int) -> OperationFigures:
    """Count and measure the passes of one operation."""
    operation, passes = layout.plan.operations[index], layout.passes
    machine = layout.plan.machine(operation.machine)
    mine = passes.operation == index
    keys = np.stack([passes.block, passes.number], axis=1)[mine]
    return OperationFigures(
        operation.name,
        machine.name,
        operation.over,
        machine.working_width,
        len(np.unique(keys, axis=0)),
        int(mine.sum()),
        float(passes.lines.length[mine].sum()),
        float(passes.beyond_edge[mine].sum()),
        sum(_worked_twice(layout, index, b) for b in range(len(layout.blocks))),
    )


def _worked_twice(layout: Layout, operation: int, block: int) -> float:
    """Return the ground of a block that one operation works a second time. [m2]"""
    passes = layout.passes
    mine = np.flatnonzero((passes.operation == operation) & (passes.block == block))
    fresh = np.unique(np.stack([passes.t0, passes.t1], axis=1)[mine], axis=0)
    guides, land = layout.blocks[block].guides, layout.blocks[block].crop_land
    total = 0.0
    for i in mine:
        s = guides.along(passes.lines.ends(i))
        sides = [(passes.reach0[i], passes.t0[i]), (passes.t1[i], passes.reach1[i])]
        for low, high in sides:
            for a, b in _shared(fresh, float(low), float(high)):
                total += strip_area(guides, land, (a, b), s)
    return total


def _shared(fresh: Spans, low: float, high: float) -> list[tuple[float, float]]:
    """Return the parts of a span that are fresh ground of some pass. [m]"""
    if high - low <= CRUMB or not len(fresh):
        return []
    a, b = np.maximum(fresh[:, 0], low), np.minimum(fresh[:, 1], high)
    keep = b - a > CRUMB
    return list(zip(a[keep].tolist(), b[keep].tolist(), strict=True))
