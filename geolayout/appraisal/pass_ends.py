"""Which edge each pass ends at: how wide the headland is there, and how the pass meets it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians, sin

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.build import Layout
from geolayout.layout.headlands.edge_widths import EdgeWidths

__all__ = ["NEAR", "EdgeMet", "PassEnd", "PieceEnds", "edges_met", "pass_ends", "piece_ends"]

NEAR = 1.0
"""A pass ends at an edge if it stops this much more than the headland from it. Our own. [m]"""

LEAST_ANGLE = 5.0
"""Passes that meet an edge at less run along it. [degrees]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class EdgeMet:
    """
    Edges of one side at which passes of one operation end.

    Attributes
    ----------
    side : str
        Compass side that they face, or "obstacle".
    width : float
        Of the headland along them. [m]
    angle : float
        Between passes and edge, the slant of the flattest edge. [degrees]
    """

    side: str
    width: float
    angle: float


@dataclass(frozen=True, slots=True)
class PassEnd:
    """
    One end of a pass, at an edge.

    Attributes
    ----------
    number : int
        Number of the pass.
    edge : int
        Index of the edge in the block's table of edges.
    angle : float
        Between pass and edge. [degrees]
    place : tuple of float
        Where the pass ends. [m]
    """

    number: int
    edge: int
    angle: float
    place: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class PieceEnds:
    """
    Both ends of n pieces of passes: where piece i begins is 2 i, where it stops 2 i + 1.

    Attributes
    ----------
    place : ndarray of float, shape (2 n, 2)
        [m]
    outward : ndarray of float, shape (2 n, 2)
        Unit vector in which the line would go on.
    edge : ndarray of int, shape (2 n,)
        Index of the edge it stops at in the block's table of edges; -1 for none.
    angle : ndarray of float, shape (2 n,)
        Between piece and edge. [degrees]
    """

    place: Floats
    outward: Floats
    edge: NDArray[np.intp]
    angle: Floats


def piece_ends(layout: Layout, block: int, mine: NDArray[np.intp]) -> PieceEnds:
    """
    Return the ends of pieces of passes.

    Parameters
    ----------
    layout : Layout
        The layout.
    block : int
        Index of their block.
    mine : ndarray of int
        Which pieces of the layout's passes.

    Returns
    -------
    ends : PieceEnds
    """
    edges = layout.blocks[block].edges
    place, outward = _ends(layout, mine)
    if edges is None or not len(edges.width):
        none = np.full(len(place), -1, dtype=np.intp)
        return PieceEnds(place, outward, none, np.full(len(place), 90.0))
    beyond = np.repeat(layout.passes.beyond_edge[mine], 2)
    crossed = bool(layout.blocks[block].crossed_by)
    return PieceEnds(place, outward, *_edge_of(edges, place, outward, beyond, crossed))


def pass_ends(layout: Layout, block: int, operation: int) -> tuple[PassEnd, ...]:
    """
    Return the ends of an operation's passes that lie at an edge of the land.

    Parameters
    ----------
    layout : Layout
        The layout.
    block, operation : int
        Index of each.

    Returns
    -------
    ends : tuple of PassEnd
        Without ends inside the land, such as at another block.
    """
    passes = layout.passes
    mine = np.flatnonzero((passes.block == block) & (passes.operation == operation))
    ends = piece_ends(layout, block, mine)
    numbers = np.repeat(passes.number[mine], 2)
    return tuple(
        PassEnd(
            int(numbers[i]),
            int(ends.edge[i]),
            float(ends.angle[i]),
            (ends.place[i, 0], ends.place[i, 1]),
        )
        for i in np.flatnonzero(ends.edge >= 0).tolist()
    )


def edges_met(layout: Layout, block: int, operation: int) -> tuple[EdgeMet, ...]:
    """
    Return the edges at which neighbouring passes of an operation end.

    Parameters
    ----------
    layout : Layout
        The layout.
    block, operation : int
        Index of each.

    Returns
    -------
    met : tuple of EdgeMet
        One for each side and width; edges at which only one pass ends are left out, since no turn
        joins two passes there.
    """
    edges = layout.blocks[block].edges
    ends: dict[tuple[str, float], list[PassEnd]] = {}
    if edges is None:
        return ()
    for end in pass_ends(layout, block, operation):
        key = (str(edges.side[end.edge]), round(float(edges.width[end.edge]), 2))
        ends.setdefault(key, []).append(end)
    return tuple(
        EdgeMet(side, width, _slant(those))
        for (side, width), those in sorted(ends.items())
        if len({end.number for end in those}) > 1
    )


def _slant(ends: Sequence[PassEnd]) -> float:
    """
    Return the flattest angle at an edge that several passes end at.

    Where no single edge has two passes, as round a bend, it is the median of all.
    """
    by_edge: dict[int, list[PassEnd]] = {}
    for end in ends:
        by_edge.setdefault(end.edge, []).append(end)
    shared = [those for those in by_edge.values() if len({end.number for end in those}) > 1]
    if not shared:
        return float(np.median([end.angle for end in ends]))
    return min(end.angle for those in shared for end in those)


def _ends(layout: Layout, mine: NDArray[np.intp]) -> tuple[Floats, Floats]:
    """Return both ends of passes, and the way each goes on there, shape (2 n, 2)."""
    lines = layout.passes.lines
    first, last = lines.offsets[mine], lines.offsets[mine + 1] - 1
    place = np.stack([lines.xy[first], lines.xy[last]], axis=1).reshape(-1, 2)
    inner = np.stack([lines.xy[first + 1], lines.xy[last - 1]], axis=1).reshape(-1, 2)
    step = place - inner
    length = np.hypot(*step.T)
    return place, step / np.where(length > 0.0, length, 1.0)[:, None]


def _edge_of(
    edges: EdgeWidths, place: Floats, step: Floats, beyond: Floats, across: bool
) -> tuple[NDArray[np.intp], Floats]:
    """
    Return the edge that each end stops at, -1 for none, and the angle it makes with it.

    The edge is the nearest that the pass would meet if it went on, and the headland begins there:
    an end that stops farther from it stopped for another reason.
    """
    along = edges.end - edges.start
    length = np.hypot(*along.T)
    unit = along / length[:, None]
    cross = step[:, None, 0] * unit[None, :, 1] - step[:, None, 1] * unit[None, :, 0]
    to = edges.start[None] - place[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead = (to[..., 0] * unit[None, :, 1] - to[..., 1] * unit[None, :, 0]) / cross
        on = (to[..., 0] * step[:, None, 1] - to[..., 1] * step[:, None, 0]) / cross
    square = np.abs(cross)
    steep = square >= sin(radians(LEAST_ANGLE))
    met = (on >= 0.0) & (on <= length) & (ahead >= -beyond[:, None] - NEAR) & steep
    ahead = np.where(met, ahead, np.inf)
    nearest = np.argmin(ahead, axis=1)
    those = np.arange(len(place))
    ends = edges.is_end | across
    stops = ahead[those, nearest] * square[those, nearest] <= edges.width[nearest] + NEAR
    found = np.where(stops & ends[nearest], nearest, -1)
    return found, np.degrees(np.arcsin(np.minimum(square[those, nearest], 1.0)))
