"""
Turns of an order as lines: arcs and straights from the end of one piece to the next.

A turn that the headland does not hold is drawn as it would be driven, and says how far it leaves
the land. Ways round on the headland are drawn along its middle, without the quarter turns.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.driving.order import Order, ends_of, headland_beyond, turner_of
from geolayout.appraisal.driving.turnings import Ends, Turn
from geolayout.appraisal.driving.ways import way_lines
from geolayout.layout.build import Layout
from geolayout.layout.lines import Lines, frozen
from geolayout.layout.turns import Turns, shortest_turns, three_point_turns

__all__ = ["TurnLines", "turn_lines"]

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
    kind = order.turn[1:]
    of = (ends, left, entered)
    found = dict([*_turned(layout, order, of, kind), *_round(layout, order, of, kind)])
    places = np.stack([ends.place[left], ends.place[entered]], axis=1)
    corners = [found.get(k, places[k]) for k in range(len(kind))]
    lines = _joined(corners)
    return TurnLines(lines, _beyond(lines, layout))


def _turned(
    layout: Layout,
    order: Order,
    of: tuple[Ends, NDArray[np.intp], NDArray[np.intp]],
    kind: NDArray[np.int8],
) -> list[tuple[int, Floats]]:
    """Return U, omega and three-point turns by their place in the order."""
    ends, left, entered = of
    machine = layout.plan.machine(layout.plan.operations[order.operation].machine)
    radius = turner_of(layout, machine).radius
    start, stop = _poses(ends, left, 1.0), _poses(ends, entered, -1.0)
    back = kind == Turn.THREE_POINT
    forward = (kind == Turn.U) | (kind == Turn.OMEGA)
    found: list[tuple[int, Floats]] = []
    for which, make in ((forward, shortest_turns), (back, three_point_turns)):
        those = np.flatnonzero(which)
        if len(those):
            turns: Turns = make(start[those], stop[those], radius)
            found += zip(those.tolist(), _corners(turns.lines), strict=True)
    return found


def _round(
    layout: Layout,
    order: Order,
    of: tuple[Ends, NDArray[np.intp], NDArray[np.intp]],
    kind: NDArray[np.int8],
) -> list[tuple[int, Floats]]:
    """Return ways round on the headland by their place in the order."""
    ends, left, entered = of
    those = np.flatnonzero(kind == Turn.ROUND)
    if not len(those):
        return []
    block = layout.blocks[order.block]
    pairs = np.stack([ends.place[left[those]], ends.place[entered[those]]], axis=1)
    ways = way_lines(pairs, block.land, block.headland, headland_beyond(ends))
    return list(zip(those.tolist(), ways, strict=True))


def _poses(ends: Ends, which: NDArray[np.intp], sign: float) -> Floats:
    """Return place and bearing at ends, outward (1) or inward (-1). [m, m, degrees]"""
    east, north = (sign * ends.outward[which]).T
    return np.column_stack([ends.place[which], np.degrees(np.arctan2(east, north)) % 360.0])


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
