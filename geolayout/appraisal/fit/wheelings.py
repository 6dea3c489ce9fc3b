"""Where wheels run: the tracks of each operation, and the ground and rows they lie on."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.growing import Sown
from geolayout.layout.build import Layout
from geolayout.layout.guides.rings import Rings
from geolayout.plan.machines import Machine
from geolayout.plan.section.tracks import tracks_beside

__all__ = ["pass_centres", "straddle_room", "wheel_ground", "wheel_strips"]


@dataclass(frozen=True, slots=True)
class _Tracks:
    """Tracks of some passes in the turned frame: middles and both ends, shape (n,) each."""

    t: NDArray[np.float64]
    s0: NDArray[np.float64]
    s1: NDArray[np.float64]


def straddle_room(track_width: float, spacing: float) -> float:
    """
    Return how far both wheels can stay from rows, wherever the pass is put.

    Parameters
    ----------
    track_width : float
        Between the middles of left and right wheels. [m]
    spacing : float
        Between neighbouring rows. [m]

    Returns
    -------
    room : float
        From the middle of a wheel to the nearest row, at best; half a spacing where both wheels
        run in the middle of a gap. [m]

    Examples
    --------
    >>> [round(straddle_room(track, 0.75), 3) for track in (1.5, 1.8, 2.25)]
    [0.375, 0.225, 0.375]
    """
    over = track_width % spacing
    return (spacing - min(over, spacing - over)) / 2


def pass_centres(layout: Layout, block: int, operation: int) -> NDArray[np.float64]:
    """Return the distinct centres of an operation's passes in a block, growing. [m]"""
    passes = layout.passes
    mine = (passes.block == block) & (passes.operation == operation)
    centre = (passes.reach0[mine] + passes.reach1[mine]) / 2
    return np.unique(np.round(centre, 6))


def wheel_ground(layout: Layout, entries: Sequence[Sown]) -> float:
    """
    Return the ground that a sowing leaves out for the wheel tracks it skips.

    Parameters
    ----------
    layout : Layout
        The layout.
    entries : sequence of Sown
        Cuts of one block that grow the sowing.

    Returns
    -------
    area : float
        [m2]
    """
    skip = set(entries[0].sowing.skip)
    strips = [
        strip
        for i, operation in enumerate(layout.plan.operations)
        if operation.name in skip
        for strip in wheel_strips(layout, entries[0].block, i)
    ]
    if not strips:
        return 0.0
    ground = layout.ground
    cuts = [entry.cut for entry in entries]
    mine = (ground.block == entries[0].block) & np.isin(ground.cut, cuts)
    wheels = shapely.union_all(strips)
    return float(shapely.area(shapely.intersection(ground.geometry[mine], wheels)).sum())


def wheel_strips(layout: Layout, block: int, operation: int) -> list[BaseGeometry]:
    """Return the wheel tracks of an operation's passes on a block, as polygons. [m]"""
    machine = layout.plan.machine(layout.plan.operations[operation].machine)
    half = (machine.tyre_width or 0.0) / 2
    tracks = _tracks(layout, block, operation, machine)
    if half == 0.0 or not len(tracks.t):
        return []
    guides = layout.blocks[block].guides
    if isinstance(guides, Rings):
        return [guides.strip(t - half, t + half) for t in np.unique(tracks.t).tolist()]
    boxes = shapely.box(tracks.t - half, tracks.s0, tracks.t + half, tracks.s1)
    return list(guides.turn_back(boxes))


def _tracks(layout: Layout, block: int, operation: int, machine: Machine) -> _Tracks:
    """Return the tracks of an operation's passes, as long as the passes are."""
    passes = layout.passes
    mine = np.flatnonzero((passes.block == block) & (passes.operation == operation))
    ends = passes.lines.ends(mine)
    s = layout.blocks[block].guides.to_turned(ends)[..., 1]
    centre = (passes.reach0[mine] + passes.reach1[mine]) / 2
    t = tracks_beside(centre, machine)
    times = len(t) // max(len(centre), 1)
    return _Tracks(t, np.tile(s[:, 0], times), np.tile(s[:, 1], times))
