"""Rounds on headlands by operation: how many, how long, and the ground that they miss."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.layout.build import Layout
from geolayout.layout.headlands.headland_rounds import works_headland
from geolayout.layout.headlands.rounds import missed, swath

__all__ = ["CORNERS", "RoundFigures", "round_figures"]

CORNERS = "drive into the corner and back out, or leave it"
"""What can be done about ground that rounds miss."""


@dataclass(frozen=True, slots=True)
class RoundFigures:
    """
    The rounds of one operation on the headlands that it works.

    Attributes
    ----------
    operation, machine : str
        Its name and its machine's.
    worked : str
        "first" or "last": before or after the rows; "first and last" where headlands differ.
    working_width_m : float
        Ground covered by one round. [m]
    turning_radius_m : float or None
        Of its machine; where it is None no rounds are laid. [m]
    rounds, pieces, closed : int
        Distinct rounds, the pieces they lie in, and how many of these are closed.
    length_m : float
        Driven at work. [m]
    beyond_edge_m : float
        Of which beyond land that can be driven on. [m]
    headland_m2 : float
        Headland that it works. [m2]
    missed_m2 : float
        Of which in no round: corners, and what lies beside obstacles. [m2]
    missed_percent : float
        The same in parts of the headland that it works. [%]
    worked_twice_m2 : float
        Headland in more than one round. [m2]
    off_headland_m2 : float
        Other ground that its rounds cover, where they turn inside a corner. [m2]
    """

    operation: str
    machine: str
    worked: str
    working_width_m: float
    turning_radius_m: float | None
    rounds: int
    pieces: int
    closed: int
    length_m: float
    beyond_edge_m: float
    headland_m2: float
    missed_m2: float
    missed_percent: float
    worked_twice_m2: float
    off_headland_m2: float


def round_figures(layout: Layout) -> tuple[RoundFigures, ...]:
    """
    Count and measure the rounds of every operation that works a headland.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : tuple of RoundFigures
        In the order of the plan; none of an operation that works no headland.
    """
    found = [(i, _worked(layout, i)) for i in range(len(layout.plan.operations))]
    return tuple(_figures(layout, i, ground) for i, ground in found if not ground.is_empty)


def _worked(layout: Layout, operation: int) -> BaseGeometry:
    """Return the headland that an operation works."""
    ground = layout.ground
    stands = [
        stand
        for stand in dict.fromkeys(ground.stand.tolist())
        if operation in works_headland(layout.plan, stand)
    ]
    mine = (ground.kind == "headland") & (ground.block >= 0) & (ground.cut < 0)
    return shapely.union_all(ground.geometry[mine & np.isin(ground.stand, stands)])


def _figures(layout: Layout, index: int, headland: BaseGeometry) -> RoundFigures:
    """Count and measure the rounds of one operation."""
    rounds, operation = layout.rounds, layout.plan.operations[index]
    machine = layout.plan.machine(operation.machine)
    mine = np.flatnonzero(rounds.operation == index)
    keys = np.stack([rounds.block, rounds.obstacle, rounds.number], axis=1)[mine]
    lines = rounds.lines.geometry[mine]
    swaths = [swath(line, machine.working_width) for line in lines]
    covered = shapely.union_all(swaths)
    left = float(missed(headland, covered).area) if len(mine) else float(headland.area)
    fresh = float(headland.area) - left
    each = sum(float(shapely.intersection(one, headland).area) for one in swaths)
    return RoundFigures(
        operation.name,
        machine.name,
        " and ".join(dict.fromkeys(rounds.worked[mine].tolist())),
        machine.working_width,
        machine.turning_radius,
        len(np.unique(keys, axis=0)),
        len(mine),
        int(rounds.closed[mine].sum()),
        float(rounds.lines.length[mine].sum()),
        float(rounds.beyond_edge[mine].sum()),
        float(headland.area),
        left,
        100.0 * left / float(headland.area),
        max(each - fresh, 0.0),
        max(float(covered.area) - fresh, 0.0),
    )
