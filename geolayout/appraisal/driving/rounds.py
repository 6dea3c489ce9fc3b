"""
Rounds of a headland as they are driven: which after which, how far between, what corners.

A round that closes is begun, and left, where the machine comes to it, and the next one is come to
by an S: two arcs that set it over by the distance between the two. Open runs are driven like
passes, with turns at their ends. From rows to rounds, and from rounds to rows, it is the way along
the headland with a quarter turn::

        ____________________
       |  ________________  |      1  in by the gateway, round, over by an S, round again
       | |  ____________  | |      2  a quarter turn into the first row: headland first
       | | |  |  |  |  | /| |      3  the same the other way about: headland last
       | | |__|__|__|__|/_| |
       | |____________/_/_| |
     --|>____________/______|
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.driving.corners import (
    begun_near,
    corner_length,
    quarter_turn,
    shift_length,
)
from geolayout.appraisal.driving.order import Order, from_nearest, turner_of
from geolayout.appraisal.driving.search import Links, shorter, total
from geolayout.appraisal.driving.turnings import (
    Ends,
    Joins,
    Turn,
    Turner,
    joins_between,
    poses_at,
    ways_round,
)
from geolayout.appraisal.driving.ways import Trips, settled, trips_between
from geolayout.layout.build import Layout
from geolayout.layout.headlands.headland_rounds import Rounds
from geolayout.layout.headlands.turns import shortest_turns

__all__ = [
    "NOWHERE",
    "Ground",
    "RoundsOrder",
    "begun_from",
    "come_to",
    "ground_of",
    "rounds_order",
    "without_way_out",
]

KICKS = 20
"""How often the search for an order of rounds is shaken. Our own choice."""

NEAR = 4.0
"""Within this many turning radii the way to the next piece is arcs and a straight. Ours. [-]"""

NOWHERE = np.empty((0, 2))
"""No place: anywhere will do."""

MOST_SEARCHED = 150
"""More pieces of rounds are driven the nearest next. Our own choice."""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class RoundsOrder:
    """
    How one operation drives the rounds of a headland; columns have one entry a piece, as driven.

    Attributes
    ----------
    operation : int
        Its index.
    worked : {"first", "last"}
        Whether before or after the rows.
    after : int
        How many of the operation's blocks are driven before.
    piece : ndarray of int, shape (n,)
        Which piece of the layout's rounds.
    backward : ndarray of bool, shape (n,)
        Whether it is driven against its line.
    start, stop : ndarray, shape (n, 3)
        Place and bearing where it is begun and where it ends; with a closed one the same.
        [m, m, degrees]
    length, corners : ndarray, shape (n,)
        Of each, and what of it are arcs of corners. [m]
    turn : ndarray of int, shape (n,)
        How the machine comes to it, a `Turn`; to the first straight in.
    turn_length : ndarray, shape (n,)
        How far it drives to come to it; to the first 0. [m]
    way_in, way_out : float
        From the gateway, or the last row, to the first of them; from the last to the gateway, 0
        where rows follow. [m]
    """

    operation: int
    worked: Literal["first", "last"]
    after: int
    piece: Whole
    backward: NDArray[np.bool_]
    start: Floats
    stop: Floats
    length: Floats
    corners: Floats
    turn: NDArray[np.int8]
    turn_length: Floats
    way_in: float
    way_out: float

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.piece)

    @property
    def way(self) -> float:
        """To the first of them, and from the last to the gateway. [m]"""
        return self.way_in + self.way_out

    @property
    def empty_length(self) -> float:
        """Driven without working. [m]"""
        return float(self.turn_length.sum()) + self.way


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """An order of pieces: the ends entered, all ends, ways between, in and out, and their cost."""

    route: Whole
    ends: Ends
    joins: Joins
    ways: tuple[Floats, Floats]
    links: Links


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """
    Where ways along a headland lie.

    Attributes
    ----------
    land, headland : Polygon or MultiPolygon
        What can be driven on, and the part of it that is kept for turning. [m]
    width : float
        About how wide the headland is. [m]
    """

    land: BaseGeometry
    headland: BaseGeometry
    width: float


def rounds_order(
    layout: Layout,
    of: tuple[int, int],
    when: tuple[Literal["first", "last"], int],
    places: tuple[Floats, Floats],
) -> RoundsOrder | None:
    """
    Return how an operation drives the rounds of a headland.

    Parameters
    ----------
    layout : Layout
        The layout.
    of : (int, int)
        Index of the operation, and of the block; -1 for a headland that several share.
    when : ({"first", "last"}, int)
        Which rounds, those before or after the rows, and how many blocks are driven before.
    places : (ndarray, ndarray), shape (k, 2) each
        Where the machine may come from, and where it may go; none where that is not known. [m]

    Returns
    -------
    order : RoundsOrder or None
        None where it has none.
    """
    rounds, (operation, block) = layout.rounds, of
    own = (rounds.operation == operation) & (rounds.block == block) & (rounds.worked == when[0])
    mine = np.flatnonzero(own)
    if not len(mine):
        return None
    turner = turner_of(layout, layout.plan.machine(layout.plan.operations[operation].machine))
    found = _searched(layout, (block, mine), when[0], places, turner)
    route, ends = found.route, found.ends
    left, entered = route[:-1] ^ 1, route[1:]
    kind = np.concatenate([[Turn.NONE], found.joins.kind[left, entered]]).astype(np.int8)
    length = np.concatenate([[0.0], found.joins.length[left, entered]])
    _write_arcs(length, kind, (ends, left, entered), turner.radius)
    piece = mine[route >> 1]
    return RoundsOrder(
        operation,
        *when,
        piece,
        (route & 1).astype(bool),
        poses_at(ends, route, -1.0),
        poses_at(ends, route ^ 1, 1.0),
        rounds.lines.length[piece],
        corner_length(rounds.lines, piece, turner.radius),
        kind,
        length,
        float(found.ways[0][route[0]]),
        float(found.ways[1][route[-1] ^ 1]),
    )


def come_to(order: Order, radius: float) -> Order:
    """Return an order of rows that is come to from a round: by a quarter turn."""
    length = order.turn_length.copy()
    more = float(quarter_turn(radius, length[0])) - float(length[0])
    length[0] += more
    return replace(
        order,
        turn_length=length,
        usual=order.usual + more,
        by_rule=order.by_rule + more,
        by_list=order.by_list + more,
    )


def without_way_out(leg: Order | RoundsOrder) -> Order | RoundsOrder:
    """Return an order after which rounds are driven: the way to the gate is theirs."""
    if isinstance(leg, RoundsOrder):
        return replace(leg, way_out=0.0)
    out = leg.way_out
    return replace(
        leg,
        way_out=0.0,
        usual=leg.usual - out,
        by_rule=leg.by_rule - out,
        by_list=leg.by_list - out,
    )


def begun_from(layout: Layout, operation: int, block: int, out: Floats) -> Floats | None:
    """
    Return where rows that come before rounds are best finished.

    Parameters
    ----------
    layout : Layout
        The layout.
    operation, block : int
        Index of each; block -1 for a headland that several share.
    out : ndarray, shape (k, 2)
        Where the machine leaves the field. [m]

    Returns
    -------
    places : ndarray, shape (n, 2), or None
        A closed round begins and ends anywhere: where the machine leaves. Else the ends of the open
        ones. None where no rounds are driven last. [m]
    """
    rounds = layout.rounds
    own = (rounds.operation == operation) & (rounds.block == block) & (rounds.worked == "last")
    mine = np.flatnonzero(own)
    if not len(mine):
        return None
    outer = mine[rounds.obstacle[mine] == 0]
    runs = outer[~rounds.closed[outer]] if len(outer) else mine
    return rounds.lines.ends(runs).reshape(-1, 2) if len(runs) else out


def _searched(
    layout: Layout,
    of: tuple[int, Whole],
    worked: str,
    places: tuple[Floats, Floats],
    turner: Turner,
) -> _Found:
    """Return the best order of pieces found, closed ones begun where the one before them stops."""
    rounds, (block, mine) = layout.rounds, of
    ground = ground_of(layout, block, mine)
    near = next((some for some in places if len(some)), NOWHERE)
    first = _tried(rounds, mine, _chained(rounds, mine, near), (places, ground, turner, worked))
    route = _route(first.links)
    begun = _begun_in_turn(rounds, mine, (route, first.ends), near)
    settled_down = _tried(rounds, mine, begun, (places, ground, turner, worked))
    tried = (first, settled_down) if rounds.closed[mine].any() else (first,)
    return replace(min(tried, key=lambda one: total(route, one.links)), route=route)


def _tried(
    rounds: Rounds,
    mine: Whole,
    near: list[Floats],
    how: tuple[tuple[Floats, Floats], Ground, Turner, str],
) -> _Found:
    """Return the ways between pieces, closed ones begun near some places."""
    places, ground, turner, worked = how
    ends = _ends(rounds, mine, near)
    joins, way_in, way_out = _ways(ends, places, ground, turner, rounds.closed[mine])
    _write_shifts(joins, ends, (rounds, mine), (turner.radius, ground.width))
    lengths = (way_in.length, way_out.length)
    if worked == "last" and len(places[0]):
        lengths = (quarter_turn(turner.radius, lengths[0]), lengths[1])
    links = Links.of(joins.cost, way_in.cost, way_out.cost)
    return _Found(np.empty(0, dtype=np.int64), ends, joins, lengths, links)


def _chained(rounds: Rounds, mine: Whole, near: Floats) -> list[Floats]:
    """Return near what each closed piece is begun: the next one along an edge beside the last."""
    begins, last = [near] * len(mine), dict[int, Floats]()
    for k in np.argsort(rounds.number[mine], kind="stable").tolist():
        edge = int(rounds.obstacle[mine[k]])
        if rounds.closed[mine[k]]:
            begins[k] = last.get(edge, near)
            last[edge] = begun_near(_line(rounds, mine[k]), begins[k])[:1]
    return begins


def _begun_in_turn(
    rounds: Rounds, mine: Whole, of: tuple[Whole, Ends], near: Floats
) -> list[Floats]:
    """Return near what each closed piece is begun: where the one driven before it stops."""
    (route, ends), begins, at = of, [near] * len(mine), near
    for end in route.tolist():
        i = end >> 1
        begins[i], at = at, ends.place[end ^ 1][None]
        if rounds.closed[mine[i]]:
            at = begun_near(_line(rounds, mine[i]), begins[i])[:1]
    return begins


def _line(rounds: Rounds, which: int) -> Floats:
    """Return the vertices of one piece. [m]"""
    return rounds.lines.xy[rounds.lines.offsets[which] : rounds.lines.offsets[which + 1]]


def _ends(rounds: Rounds, mine: Whole, near: list[Floats]) -> Ends:
    """Return both ends of pieces; of a closed one both lie where it is nearest to some places."""
    places, outward = [], []
    for i, some in zip(mine.tolist(), near, strict=True):
        xy = _line(rounds, i)
        if rounds.closed[i]:
            xy = begun_near(xy, some)
        places += [xy[0], xy[-1]]
        outward += [_unit(xy[0] - xy[1]), _unit(xy[-1] - xy[-2])]
    room = np.full(2 * len(mine), np.inf)  # at the end of a run the machine turns on what it can
    return Ends(settled(np.array(places)), np.round(outward, 6), room)


def ground_of(layout: Layout, block: int, mine: Whole) -> Ground:
    """
    Return the ground that ways between rounds lie on.

    Parameters
    ----------
    layout : Layout
        The layout.
    block : int
        Index of the block; -1 for a headland that several share.
    mine : ndarray of int, shape (n,)
        Pieces of its rounds.
    """
    rounds = layout.rounds
    width = float((rounds.t[mine] + rounds.width[mine] / 2.0).max())
    if block >= 0:
        return Ground(layout.blocks[block].land, layout.blocks[block].headland, width)
    headland = shapely.union_all([one.headland for one in layout.blocks])
    return Ground(layout.layers.drivable, headland, width)


def _ways(
    ends: Ends,
    places: tuple[Floats, Floats],
    ground: Ground,
    turner: Turner,
    closed: NDArray[np.bool_],
) -> tuple[Joins, Trips, Trips]:
    """Return the ways between ends, and those to each from the nearest way in and way out."""
    n, k = len(ends.place), len(places[0])
    every = np.concatenate([ends.place, *places])
    trips = trips_between(every, ground.land, ground.headland, ground.width)
    apart = np.hypot(*(every[:, None] - every[None]).transpose(2, 0, 1))
    trips = Trips(np.maximum(trips.length, apart), trips.off)
    between = Trips(trips.length[:n, :n], trips.off[:n, :n])
    joins = joins_between(ends, between, turner, ground.land)
    shut = np.repeat(closed, 2)
    _write_where(shut[:, None] | shut, joins, ways_round(ends, between, turner))
    way_in = from_nearest(trips, n, slice(n, n + k))
    return joins, way_in, from_nearest(trips, n, slice(n + k, None))


def _write_where(these: NDArray[np.bool_], joins: Joins, others: Joins) -> None:
    """Write other ways where a round is closed: it goes on, and neither stops nor turns."""
    for name in ("length", "cost", "kind", "fits", "off"):
        getattr(joins, name)[these] = getattr(others, name)[these]


def _write_shifts(
    joins: Joins, ends: Ends, of: tuple[Rounds, Whole], how: tuple[float, float]
) -> None:
    """Write the ways from one closed round to the next along the same edge."""
    (rounds, mine), (radius, width) = of, how
    for i in np.flatnonzero(rounds.closed[mine]).tolist():
        for j in np.flatnonzero(rounds.closed[mine]).tolist():
            over = float(np.hypot(*(ends.place[2 * i] - ends.place[2 * j])))
            beside = rounds.obstacle[mine[i]] == rounds.obstacle[mine[j]]
            if i == j or not beside or over > width:
                continue
            way = (2 * i + 1, 2 * j)
            for at in (way, way[::-1]):
                joins.length[at] = joins.cost[at] = shift_length(radius, over)
                joins.kind[at], joins.fits[at], joins.off[at] = Turn.OVER, True, 0.0


def _write_arcs(
    length: Floats, kind: NDArray[np.int8], of: tuple[Ends, Whole, Whole], radius: float
) -> None:
    """Write how far it is by arcs and a straight, also where the next piece begins close by."""
    ends, left, entered = of
    near = np.hypot(*(ends.place[entered] - ends.place[left]).T) < NEAR * radius
    close = near & (kind[1:] == Turn.ROUND)
    those = np.flatnonzero(close | np.isin(kind[1:], [Turn.U, Turn.OMEGA]))
    if len(those):
        start, stop = poses_at(ends, left[those], 1.0), poses_at(ends, entered[those], -1.0)
        length[1 + those] = shortest_turns(start, stop, radius).length
        kind[1:][close] = Turn.CORNER


def _route(links: Links) -> Whole:
    """Return in which order pieces are driven: the nearest next, then mended."""
    route = _nearest_next(links)
    return shorter(route, links, kicks=KICKS) if links.pieces <= MOST_SEARCHED else route


def _nearest_next(links: Links) -> Whole:
    """Return pieces the nearest next. [ends entered]"""
    n = 2 * links.pieces
    waiting, at = list(range(links.pieces)), n
    route: list[int] = []
    while waiting:
        ends = [2 * i + end for i in waiting for end in (0, 1)]
        entered = ends[int(np.argmin(links.cost[at, ends]))]
        waiting.remove(entered >> 1)
        route.append(entered)
        at = entered ^ 1
    return np.array(route, dtype=np.int64)


def _unit(vector: Floats) -> Floats:
    """Return a direction."""
    length = float(np.hypot(*vector))
    return vector / length if length else vector
