"""
Turns of an order as lines: arcs and straights from the end of one piece to the next.

A turn that the headland does not hold is drawn as it would be driven, and says how far it leaves
the land. Ways round on the headland are drawn along its middle, with a quarter turn at each end and
arcs at its corners.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import substring

from geolayout.appraisal.driving.corners import rounded, shift_ahead
from geolayout.appraisal.driving.order import Order, ends_of, headland_beyond, turner_of
from geolayout.appraisal.driving.rounds import Ground, RoundsOrder, ground_of
from geolayout.appraisal.driving.turnings import Turn, poses_at
from geolayout.appraisal.driving.ways import way_lines
from geolayout.layout.build import Layout
from geolayout.layout.headlands.turns import Turns, shortest_turns, three_point_turns
from geolayout.layout.shapes.lines import Lines, frozen

__all__ = ["TurnLines", "round_turn_lines", "turn_lines"]

HAIR = 0.01
"""Vertices that change a way by less are left out. [m]"""

LOOSE = 1.2
"""A way over that is so many times as long as an S does not lead onto the next round. Ours. [-]"""

LEAD = 1.5
"""So many radii along the ring a quarter turn has come round. Our own choice. [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class TurnLines:
    """
    Turns of one order; entry k leads from its piece k to its piece k + 1.

    Attributes
    ----------
    lines : Lines
        The machine's centre. [m]
    beyond_edge : ndarray, shape (n,)
        Length of each that lies beyond land that can be driven on. [m]
    """

    lines: Lines
    beyond_edge: Floats


def turn_lines(layout: Layout, order: Order) -> TurnLines:
    """
    Return the turns of an order as lines.

    Parameters
    ----------
    layout : Layout
        The layout.
    order : Order
        How an operation drives one of its blocks.

    Returns
    -------
    turns : TurnLines
    """
    ends = ends_of(layout, order.block, order.piece)
    rows = 2 * np.arange(len(order))
    left = rows[:-1] + 1 - order.backward[:-1]
    entered = rows[1:] + order.backward[1:]
    start, stop = poses_at(ends, left, 1.0), poses_at(ends, entered, -1.0)
    block = layout.blocks[order.block]
    ground = Ground(block.land, block.headland, headland_beyond(ends))
    lines = _drawn(start, stop, order.turn[1:], _radius(layout, order.operation), ground)
    return TurnLines(lines, _beyond(lines, layout))


def round_turn_lines(layout: Layout, order: RoundsOrder) -> TurnLines:
    """
    Return the ways from round to round as lines.

    Parameters
    ----------
    layout : Layout
        The layout.
    order : RoundsOrder
        How an operation drives the rounds of a headland.

    Returns
    -------
    turns : TurnLines
        Entry k leads from piece k to piece k + 1. Over to the next round the line ends ahead of
        where that is begun, and the round goes on from there.
    """
    radius = _radius(layout, order.operation)
    start, stop = order.stop[:-1].copy(), order.start[1:].copy()
    over = order.turn[1:] == Turn.OVER
    apart = np.hypot(*(stop - start)[:, :2].T)
    ahead = [
        shift_ahead(radius, float(one)) if k else 0.0 for one, k in zip(apart, over, strict=True)
    ]
    stop[:, :2] += np.array(ahead)[:, None] * _units(stop[:, 2])
    block = int(layout.rounds.block[order.piece[0]])
    ground = ground_of(layout, block, order.piece)
    lines = _drawn(start, stop, order.turn[1:], radius, ground)
    lines = _straightened(lines, order, over & (lines.length > LOOSE * order.turn_length[1:]))
    return TurnLines(lines, _beyond(lines, layout))


def _straightened(lines: Lines, order: RoundsOrder, which: NDArray[np.bool_]) -> Lines:
    """Return lines, some straight: at a corner an S would end off the next round."""
    corners = _corners(lines)
    for k in np.flatnonzero(which).tolist():
        corners[k] = np.stack([order.stop[k, :2], order.start[k + 1, :2]])
    return _joined(corners)


def _radius(layout: Layout, operation: int) -> float:
    """Return the turning radius of an operation. [m]"""
    return turner_of(layout, layout.plan.machine(layout.plan.operations[operation].machine)).radius


def _units(bearing: Floats) -> Floats:
    """Return bearings as unit vectors, shape (n, 2)."""
    turned = np.radians(bearing)
    return np.column_stack([np.sin(turned), np.cos(turned)])


def _drawn(
    start: Floats, stop: Floats, kind: NDArray[np.int8], radius: float, ground: Ground
) -> Lines:
    """Return a line from each pose to the next, by the kind of turn."""
    corners = [np.stack([one, other]) for one, other in zip(start[:, :2], stop[:, :2], strict=True)]
    back, straight = kind == Turn.THREE_POINT, kind == Turn.STRAIGHT_ON
    round_about = kind == Turn.ROUND
    for which, make in ((back, three_point_turns), (~(back | straight), shortest_turns)):
        those = np.flatnonzero(which)
        if len(those):
            turns: Turns = make(start[those], stop[those], radius)
            for k, xy in zip(those.tolist(), _corners(turns.lines), strict=True):
                corners[k] = xy
    those = np.flatnonzero(round_about)
    if len(those):
        pairs = np.stack([start[those, :2], stop[those, :2]], axis=1)
        ways = way_lines(pairs, ground.land, ground.headland, ground.width)
        for k, way in zip(those.tolist(), ways, strict=True):
            if len(way) > 2:
                corners[k] = _round_about(way[1:-1], start[k], stop[k], radius)
    return _joined(corners)


def _round_about(way: Floats, start: Floats, stop: Floats, radius: float) -> Floats:
    """Return a way along a ring with a quarter turn at each end, and corners rounded."""
    ring = shapely.simplify(shapely.LineString(way), HAIR)
    length, lead = float(ring.length), LEAD * radius
    if length < 2.0 * lead + radius:
        return _corners(shortest_turns(start[None], stop[None], radius).lines)[0]
    middle = rounded(shapely.get_coordinates(substring(ring, lead, length - lead)), radius)
    joints = _bearings(middle)
    on, off = (np.concatenate([middle[k], [joints[k]]]) for k in (0, -1))
    turns = shortest_turns(np.stack([start, off]), np.stack([on, stop]), radius)
    first, last = _corners(turns.lines)
    return np.concatenate([first, middle[1:-1], last])


def _bearings(xy: Floats) -> Floats:
    """Return the bearings of the first and the last stretch of a line. [degrees]"""
    east, north = np.stack([xy[1] - xy[0], xy[-1] - xy[-2]]).T
    return np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)


def _corners(lines: Lines) -> list[Floats]:
    """Return the corners of each line. [m]"""
    return np.split(lines.xy, lines.offsets[1:-1])


def _joined(corners: list[Floats]) -> Lines:
    """Return lines of many corners as one value."""
    xy = np.concatenate([np.empty((0, 2)), *corners])
    offsets = np.concatenate([[0], np.cumsum([len(one) for one in corners])]).astype(np.int64)
    return Lines(frozen(xy), frozen(offsets))


def _beyond(lines: Lines, layout: Layout) -> Floats:
    """Return how much of each line lies beyond land that can be driven on. [m]"""
    drivable = layout.layers.drivable
    shapely.prepare(drivable)
    drawn = lines.geometry
    outside = np.flatnonzero(~shapely.covers(drivable, drawn))
    beyond = np.zeros(len(drawn))
    beyond[outside] = shapely.length(shapely.difference(drawn[outside], drivable))
    return np.where(beyond > 1e-6, beyond, 0.0)
