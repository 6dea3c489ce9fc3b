"""
The order in which one operation drives its pieces on one block, from gateway to gateway.

What is held down is the way driven without working: in, out, and between pieces, with more counted
for a turn that the headland does not hold and for every metre off the headland.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.driving.lobes import Spans
from geolayout.appraisal.driving.patterns import Rule
from geolayout.appraisal.driving.routes import Routed, best_route
from geolayout.appraisal.driving.search import Links, total
from geolayout.appraisal.driving.turnings import Ends, Joins, Turn, Turner, joins_between
from geolayout.appraisal.driving.ways import Trips, settled, trips_between
from geolayout.appraisal.pass_ends import PieceEnds, piece_ends
from geolayout.layout.build import Layout
from geolayout.layout.guides.rings import Rings
from geolayout.plan.machines import Machine

__all__ = [
    "Doors",
    "Order",
    "ends_of",
    "from_nearest",
    "gateways",
    "headland_beyond",
    "order_of",
    "turner_of",
]

MOST_PIECES = 400
"""More pieces are driven part after part, each part searched by itself. Our own choice."""

RINGS = Rule("rings", 1)
"""Passes that go round, one after the other."""

WIDEST = 8
"""The widest step of a rule: a driver counts no farther. Our own choice."""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Doors:
    """
    Where a machine comes onto a block, and where it leaves it; the nearest of several.

    Attributes
    ----------
    way_in, way_out : ndarray, shape (k, 2)
        Places; none where it may begin, or finish, anywhere. [m]
    """

    way_in: Floats
    way_out: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """
    How one operation drives one block; columns have one entry a piece, in the order driven.

    Attributes
    ----------
    block, operation : int
        Index of each.
    piece : ndarray of int, shape (n,)
        Which piece of the layout's passes.
    backward : ndarray of bool, shape (n,)
        Whether it is driven against its line.
    length : ndarray, shape (n,)
        Of each piece. [m]
    turn : ndarray of int, shape (n,)
        How the machine comes to it, a `Turn`; to the first straight in.
    turn_length : ndarray, shape (n,)
        How far it drives to come to it. [m]
    fits : ndarray of bool, shape (n,)
        Whether the headland holds that turn.
    off : ndarray, shape (n,)
        Of it, driven off the headland. [m]
    way_out : float
        From the last piece to the gateway; 0 where it may finish anywhere. [m]
    rule : Rule or None
        The rule it follows; None for a list.
    lobes : int
        Lobes it drives one after the other; 0 for a list.
    usual : float
        What the best order up and back drives without working. [m]
    usual_unfit : int
        How many of its turns the headland does not hold.
    best_rule : Rule
        The rule that costs least.
    by_rule : float
        What that rule drives without working. [m]
    by_list : float
        What the shortest order found drives without working; as the rule where no list is worth
        reading. [m]
    """

    block: int
    operation: int
    piece: Whole
    backward: NDArray[np.bool_]
    length: Floats
    turn: NDArray[np.int8]
    turn_length: Floats
    fits: NDArray[np.bool_]
    off: Floats
    way_out: float
    rule: Rule | None
    lobes: int
    usual: float
    usual_unfit: int
    best_rule: Rule
    by_rule: float
    by_list: float

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.piece)

    @property
    def way(self) -> float:
        """Way in and way out. [m]"""
        return float(self.turn_length[0]) + self.way_out

    @property
    def empty_length(self) -> float:
        """Driven without working, way in and way out included. [m]"""
        return float(self.turn_length.sum() + self.way_out)


def turner_of(layout: Layout, machine: Machine) -> Turner:
    """Return how a machine turns; without a radius it goes round half its width."""
    turn = layout.plan.headland.turn
    radius = machine.turning_radius or machine.working_width / 2.0
    return Turner(radius, machine.working_width, turn.way if turn is not None else "forward")


def gateways(layout: Layout, operation: int) -> Floats:
    """Return where the gateways are that an operation may use, shape (n, 2). [m]"""
    name = layout.plan.operations[operation].gateway
    points = [
        shapely.get_coordinates(feature.geometry.centroid)[0]
        for feature in layout.field.features
        if feature.kind == "gateway" and name in (None, feature.name)
    ]
    return np.reshape(points, (-1, 2))


def order_of(layout: Layout, block: int, operation: int, doors: Doors) -> Order | None:
    """
    Return the order of an operation's pieces on a block.

    Parameters
    ----------
    layout : Layout
        The layout.
    block, operation : int
        Index of each.
    doors : Doors
        Where its machine comes from, and where it goes.

    Returns
    -------
    order : Order or None
        None where it has no passes there.
    """
    passes = layout.passes
    mine = np.flatnonzero((passes.block == block) & (passes.operation == operation))
    if not len(mine):
        return None
    if isinstance(layout.blocks[block].guides, Rings):
        return _ring_after_ring(layout, block, operation, mine)
    some_at_a_time = _some_at_a_time(layout, mine)
    parts = [_part(layout, block, operation, (some, doors)) for some in some_at_a_time]
    return parts[0] if len(parts) == 1 else _joined(layout, parts)


def _some_at_a_time(layout: Layout, mine: Whole) -> list[Whole]:
    """Return pieces in parts of neighbouring passes that are not too many for one search."""
    mine = mine[np.argsort(layout.passes.number[mine], kind="stable")]
    parts = ceil(len(mine) / MOST_PIECES)
    cuts = [round(k * len(mine) / parts) for k in range(1, parts)]
    numbers = layout.passes.number[mine]
    whole = [int(np.searchsorted(numbers, numbers[cut])) for cut in cuts]
    return [part for part in np.split(mine, whole) if len(part)]


def _part(layout: Layout, block: int, operation: int, what: tuple[Whole, Doors]) -> Order:
    """Return the order of some pieces."""
    mine, doors = what
    machine = layout.plan.machine(layout.plan.operations[operation].machine)
    turner = turner_of(layout, machine)
    ends = ends_of(layout, block, mine)
    joins, way_in, way_out = _joins(layout, block, ends, (doors, turner))
    links = Links.of(joins.cost, way_in.cost, way_out.cost)
    spans = _spans(layout, block, mine)
    wish = layout.plan.operations[operation].order
    routed = best_route(spans, links, widest=_widest(layout, mine, turner.radius), wish=wish)
    return _order(layout, (block, operation), mine, (routed, joins, way_in.length, way_out.length))


def headland_beyond(ends: Ends) -> float:
    """Return the width of the headland that most ends have beyond them, 0 where none. [m]"""
    return float(np.median(ends.headland)) if len(ends.headland) else 0.0


def ends_of(layout: Layout, block: int, mine: Whole) -> Ends:
    """Return the ends of pieces of passes, with the headland beyond each."""
    found = piece_ends(layout, block, mine)
    edges = layout.blocks[block].edges
    width = _room(layout, found)
    if edges is not None and len(edges.width):
        width = np.where(found.edge >= 0, edges.width[found.edge], width)
    return Ends(settled(found.place), np.round(found.outward, 6), width)


def _joins(
    layout: Layout, block: int, ends: Ends, how: tuple[Doors, Turner]
) -> tuple[Joins, Trips, Trips]:
    """Return the ways between ends, and those to each end from the nearest way in and out."""
    doors, turner = how
    of = layout.blocks[block]
    width = headland_beyond(ends)
    places = np.concatenate([ends.place, doors.way_in, doors.way_out])
    trips = trips_between(places, of.land, of.headland, width)
    n, k = len(ends.place), len(doors.way_in)
    between = Trips(trips.length[:n, :n], trips.off[:n, :n])
    return (
        joins_between(ends, between, turner, of.land),
        from_nearest(trips, n, slice(n, n + k)),
        from_nearest(trips, n, slice(n + k, None)),
    )


def from_nearest(trips: Trips, ends: int, doors: slice) -> Trips:
    """Return the trip to each end from whichever door costs least; none where there is no door."""
    cost = trips.cost[doors, :ends]
    if not len(cost):
        return Trips(np.zeros(ends), np.zeros(ends))
    pick = (np.argmin(cost, axis=0), np.arange(ends))
    return Trips(trips.length[doors, :ends][pick], trips.off[doors, :ends][pick])


def _room(layout: Layout, ends: PieceEnds) -> Floats:
    """Return how far each end is from where the field stops: what there is to turn on. [m]"""
    edge = shapely.boundary(layout.layers.drivable)
    shapely.prepare(edge)
    return np.asarray(shapely.distance(shapely.points(ends.place), edge))


def _spans(layout: Layout, block: int, mine: Whole) -> Spans:
    """Return pieces as spans along their passes, passes numbered by where they lie across."""
    passes = layout.passes
    ts = layout.blocks[block].guides.to_turned(passes.lines.ends(mine))
    centre = (passes.reach0[mine] + passes.reach1[mine]) / 2.0
    _, number = np.unique(np.round(centre, 3), return_inverse=True)
    s = np.sort(ts[..., 1], axis=1)
    return Spans(number.astype(np.int64), s[:, 0], s[:, 1])


def _widest(layout: Layout, mine: Whole, radius: float) -> int:
    """Return the widest step worth trying: one more than makes a U of the turn."""
    passes = layout.passes
    centre = np.unique(np.round((passes.reach0[mine] + passes.reach1[mine]) / 2.0, 3))
    if len(centre) < 3:
        return 1
    spacing = float(np.median(np.diff(centre)))
    return min(ceil(2.0 * radius / spacing) + 1, len(centre) // 2 + 1, WIDEST)


def _order(
    layout: Layout,
    of: tuple[int, int],
    mine: Whole,
    found: tuple[Routed, Joins, Floats, Floats],
) -> Order:
    """Return the columns of an order."""
    routed, joins, way_in, way_out = found
    route, usual = routed.route, routed.usual
    lengths = Links.of(joins.length, way_in, way_out)
    left, entered = route[:-1] ^ 1, route[1:]
    piece = mine[route >> 1]
    return Order(
        *of,
        piece,
        (route & 1).astype(bool),
        layout.passes.lines.length[piece],
        np.concatenate([[Turn.NONE], joins.kind[left, entered]]).astype(np.int8),
        np.concatenate([[way_in[route[0]]], joins.length[left, entered]]),
        np.concatenate([[True], joins.fits[left, entered]]),
        np.concatenate([[0.0], joins.off[left, entered]]),
        float(way_out[route[-1] ^ 1]),
        routed.rule,
        routed.lobes,
        total(usual, lengths),
        int((~joins.fits[usual[:-1] ^ 1, usual[1:]]).sum()),
        routed.best_rule,
        total(routed.by_rule, lengths),
        total(routed.by_list, lengths),
    )


def _ring_after_ring(layout: Layout, block: int, operation: int, mine: Whole) -> Order:
    """Return the order of passes that go round: one ring after the other, as numbered."""
    passes = layout.passes
    mine = mine[np.lexsort((passes.piece[mine], passes.number[mine]))]
    ends = passes.lines.ends(mine)
    step = np.hypot(*(ends[1:, 0] - ends[:-1, 1]).T)
    turn_length = np.concatenate([[0.0], step])
    n = len(mine)
    return Order(
        block,
        operation,
        mine,
        np.zeros(n, dtype=bool),
        passes.lines.length[mine],
        np.where(np.arange(n) > 0, Turn.STRAIGHT_ON, Turn.NONE).astype(np.int8),
        turn_length,
        np.ones(n, dtype=bool),
        np.zeros(n),
        0.0,
        RINGS,
        1,
        float(step.sum()),
        0,
        RINGS,
        float(step.sum()),
        float(step.sum()),
    )


def _joined(layout: Layout, parts: list[Order]) -> Order:
    """Return parts driven one after the other as one order."""
    first, last = parts[0], parts[-1]
    gaps = [_gap(layout, one, other) for one, other in pairwise(parts)]
    begins = np.cumsum([len(part) for part in parts])[:-1]
    turn, turn_length = _column(parts, "turn"), _column(parts, "turn_length")
    turn[begins], turn_length[begins] = Turn.ROUND, gaps
    driven = float(turn_length.sum() + last.way_out)
    one_rule = len({part.rule for part in parts}) == 1
    return Order(
        block=first.block,
        operation=first.operation,
        piece=_column(parts, "piece"),
        backward=_column(parts, "backward"),
        length=_column(parts, "length"),
        turn=turn,
        turn_length=turn_length,
        fits=_column(parts, "fits"),
        off=_column(parts, "off"),
        way_out=last.way_out,
        rule=first.rule if one_rule else None,
        lobes=sum(part.lobes for part in parts) if one_rule else 0,
        usual=driven + sum(part.usual - part.empty_length for part in parts),
        usual_unfit=sum(part.usual_unfit for part in parts),
        best_rule=first.best_rule,
        by_rule=driven + sum(part.by_rule - part.empty_length for part in parts),
        by_list=driven + sum(part.by_list - part.empty_length for part in parts),
    )


def _gap(layout: Layout, one: Order, other: Order) -> float:
    """Return how far it is from where one part stops to where the next begins. [m]"""
    lines = layout.passes.lines
    stop = lines.ends(int(one.piece[-1]))[0 if one.backward[-1] else 1]
    begin = lines.ends(int(other.piece[0]))[1 if other.backward[0] else 0]
    return float(np.hypot(*(begin - stop)))


def _column(parts: list[Order], name: str) -> NDArray[Any]:
    """Return one column of parts, one part after the other."""
    column: NDArray[Any] = np.concatenate([getattr(part, name) for part in parts])
    return column
