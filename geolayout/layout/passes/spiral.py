"""Passes of a round field worked in a spiral: once round its edge, then inwards to the end."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.rings import Rings
from geolayout.layout.guides.spiral import circle_of, once_round, spiral, worked_twice
from geolayout.layout.passes.passes import Passes
from geolayout.layout.shapes.lines import Lines, frozen, whole_numbers
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import PassPlaces
from geolayout.plan.section.section import GaveWay

__all__ = ["lay_spiral"]


def lay_spiral(
    plan: Plan, block: Block, index: int, places: PassPlaces, drivable: BaseGeometry
) -> tuple[Passes, list[GaveWay]]:
    """
    Lay two passes for each operation of a round block: the round at the edge, and the spiral.

    Parameters
    ----------
    plan : Plan
        The plan, for its machines.
    block : Block
        A block whose guide goes round and asks for a spiral.
    index : int
        Its index in the layout.
    places : PassPlaces
        Where passes would work across its section, for the operations that there are.
    drivable : Polygon or MultiPolygon
        Land of the whole field that can be driven on. [m]

    Returns
    -------
    passes : Passes
    gave_way : list of GaveWay
        What the first turn of each spiral works again.

    Raises
    ------
    LayoutError
        If the land is not round, drilled rows would be sown twice, or bands differ.
    """
    _check(block)
    operations = np.unique(places.operation).tolist()
    machines = [plan.machine(plan.operations[i].machine) for i in operations]
    rings = block.guides
    if not isinstance(rings, Rings):
        raise LayoutError("A spiral is wanted.", "Its lines do not go round.", "Go round.")
    circle = circle_of(
        rings.xy, min((one.working_width for one in machines), default=rings.width) / 2.0
    )
    xy: list[NDArray[np.float64]] = []
    columns: list[tuple[int, int, float, float, float, float]] = []
    gave_way = []
    for i, machine in zip(operations, machines, strict=True):
        width, radius = machine.working_width, machine.turning_radius or rings.radius
        outer = circle.radius - rings.start - width / 2.0
        around = once_round(circle, outer)
        inner = max(radius, width / 2.0)
        xy += [around, spiral(circle, outer, width, inner)]
        far = circle.radius - rings.start - inner
        columns += [(i, 1, 0.0, width, 0.0, width), (i, 2, width, far, 0.0, far + width / 2.0)]
        again = worked_twice(circle.radius - rings.start, width)
        what = f"The first turn of {plan.operations[i].name} works {again:.0f} m2 again."
        gave_way.append(GaveWay(what, again))
    lines = Lines.joined([_line(one) for one in xy])
    table = np.array(columns).reshape(-1, 6)
    count = len(table)
    beyond = lines.length - shapely.length(shapely.intersection(lines.geometry, drivable))
    passes = Passes(
        lines,
        whole_numbers(np.full(count, index)),
        whole_numbers(table[:, 0]),
        whole_numbers(table[:, 1]),
        whole_numbers(np.ones(count)),
        whole_numbers(np.full(count, -1)),
        frozen(table[:, 2].copy()),
        frozen(table[:, 3].copy()),
        frozen(table[:, 4].copy()),
        frozen(table[:, 5].copy()),
        frozen(np.where(beyond > 1e-3, beyond, 0.0)),
    )
    return passes, gave_way


def _line(xy: NDArray[np.float64]) -> Lines:
    """Return one chain as lines."""
    return Lines(frozen(xy), frozen(np.array([0, len(xy)], dtype=np.int64)))


def _check(block: Block) -> None:
    """Refuse what a spiral cannot do."""
    if len(block.rows.t):
        raise LayoutError(
            f"Pattern {block.pattern.name} has rows, and a spiral is wanted.",
            "The first turn runs over the round along the edge, and would sow it twice.",
            "Take spiral away: rings sow every row once. A spiral suits spraying, mowing, raking.",
        )
    bands = {cut.band for cut in block.section.cuts if cut.grows}
    if len(bands) > 1:
        raise LayoutError(
            f"Pattern {block.pattern.name} has {len(bands)} bands, and a spiral is wanted.",
            "A spiral crosses from ring to ring, so from crop to crop.",
            "Take spiral away, or give one band.",
        )
