"""
How a machine comes from the end of one piece to the end of another, and what that costs.

Ends that lie side by side on one stretch of headland are joined by a turn of known length: a U, an
omega, or three points. Ends that face each other are joined straight on, as across ground that
parts two tiers, or past what lies between, such as a pond. From all others the machine drives round
on the headland. A turn that the headland does not hold counts more, the more of it is lacking.
"""

from dataclasses import dataclass
from enum import IntEnum
from math import cos, pi, radians
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.driving.search import ASIDE
from geolayout.appraisal.driving.speeds import METRES, STOP, TURNING
from geolayout.appraisal.driving.ways import Trips
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.slanting import headland_needed_aslant, turn_length_aslant
from geolayout.plan.turns import TurnWay

__all__ = ["ALIKE", "Ends", "Joins", "Turn", "Turner", "joins_between", "poses_at", "ways_round"]

LACKING = 10.0
"""What every metre counts that the headland lacks for a turn. Our own choice. [m/m]"""

NARROW = 60.0
"""The most that this counts: to shunt to and fro once or twice more. Our own choice. [m]"""

OFF_LAND = 20.0
"""What every metre counts besides by which the machine's centre leaves the land. Ours. [m/m]"""

NOWHERE = 200.0
"""The most that this counts. Our own choice. [m]"""

SHORTFALL = 0.05
"""A headland that is short by less is not short. Our own choice. [m]"""

ALIKE = 60.0
"""Ends that point within so much of one way are on the same side. Our own choice. [degrees]"""

ROUNDABOUT = 1.5
"""Ends are side by side if the way along the edge is no more than this times the straight one, and
a turning radius. Our own choice. [-]"""

FACING = 25.0
"""Ends that point within so much of each other face each other. Our own choice. [degrees]"""

ACROSS = 100.0
"""The widest ground that a machine drives straight across to the next piece. Our own. [m]"""

STEEPEST = 0.05
"""Ends nearer across than this share of their distance are one line, not two. [-]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


class Turn(IntEnum):
    """How a machine comes from one piece to the next."""

    NONE = 0
    U = 1
    OMEGA = 2
    THREE_POINT = 3
    STRAIGHT_ON = 4
    ROUND = 5
    OVER = 6
    CORNER = 7


@dataclass(frozen=True, slots=True)
class Turner:
    """
    How a machine turns.

    Attributes
    ----------
    radius : float
        Smallest turning radius. [m]
    working_width : float
        [m]
    way : {"forward", "three-point"}
        Whether it may go back.
    """

    radius: float
    working_width: float
    way: TurnWay = "forward"

    @property
    def near(self) -> float:
        """How far apart ends are neighbours: twice what a U spans, or a pass and a half. [m]"""
        return max(4.0 * self.radius, 1.5 * self.working_width)


@dataclass(frozen=True, slots=True, eq=False)
class Ends:
    """
    Ends of pieces; piece i begins at end 2 i and stops at end 2 i + 1.

    Attributes
    ----------
    place, outward : ndarray, shape (2 n, 2)
        Where they lie [m], and the unit vector in which the piece would go on.
    headland : ndarray, shape (2 n,)
        Width of the headland beyond each; without end where it is not known. [m]
    """

    place: Floats
    outward: Floats
    headland: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Joins:
    """
    Ways between ends.

    Attributes
    ----------
    length : ndarray, shape (2 n, 2 n)
        Driven. [m]
    cost : ndarray, shape (2 n, 2 n)
        Counted: with stops, narrow headland and ground off the headland. [m]
    kind : ndarray of int, shape (2 n, 2 n)
        A `Turn`.
    fits : ndarray of bool, shape (2 n, 2 n)
        Whether the headland holds it.
    off : ndarray, shape (2 n, 2 n)
        Driven off the headland. [m]
    """

    length: Floats
    cost: Floats
    kind: NDArray[np.int8]
    fits: NDArray[np.bool_]
    off: Floats


def poses_at(ends: Ends, which: NDArray[np.integer[Any]], sign: float) -> Floats:
    """
    Return place and bearing of a machine at ends.

    Parameters
    ----------
    ends : Ends
        The ends.
    which : ndarray of int, shape (n,)
        Which of them.
    sign : float
        1 where it leaves the piece there, -1 where it begins it.

    Returns
    -------
    poses : ndarray, shape (n, 3)
        [m, m, degrees]
    """
    east, north = (sign * ends.outward[which]).T
    return np.column_stack([ends.place[which], np.degrees(np.arctan2(east, north)) % 360.0])


@dataclass(frozen=True, slots=True, eq=False)
class _Pairs:
    """Pairs of ends side by side: which, and how far across and along."""

    one: Whole
    other: Whole
    across: Floats
    along: Floats


def joins_between(ends: Ends, trips: Trips, turner: Turner, land: BaseGeometry) -> Joins:
    """
    Return how a machine comes from each end to each other end.

    Parameters
    ----------
    ends : Ends
        The ends of its pieces.
    trips : Trips
        Between the ends, along the headland.
    turner : Turner
        How it turns.
    land : Polygon or MultiPolygon
        What can be driven on. [m]

    Returns
    -------
    joins : Joins
    """
    joins = ways_round(ends, trips, turner)
    step = ends.place[None] - ends.place[:, None]
    away = np.hypot(step[..., 0], step[..., 1])
    same = ends.outward @ ends.outward.T
    alike = same > cos(radians(ALIKE))
    beside = alike & (trips.length <= ROUNDABOUT * away + turner.radius)
    _add_neighbours(beside, np.argwhere(np.triu(alike & ~beside & (away <= turner.near), 1)),
                    ends, land)  # fmt: skip
    _turn(joins, ends, turner, _pairs(beside, ends, step))
    towards = np.einsum("ijk,ik->ij", step, ends.outward) / np.where(away > 0.0, away, 1.0)
    facing = (same < -cos(radians(FACING))) & (towards > cos(radians(FACING))) & (away < ACROSS)
    _go_on(joins, (ends, trips), land, np.argwhere(facing & facing.T))
    np.fill_diagonal(joins.length, 0.0)
    return joins


def _add_neighbours(
    beside: NDArray[np.bool_], pairs: Whole, ends: Ends, land: BaseGeometry
) -> None:
    """Mark near ends with land between them too: a headland's middle may lie round a corner."""
    if not len(pairs):
        return
    shapely.prepare(land)
    clear = shapely.covers(land, shapely.linestrings(ends.place[pairs]))
    i, j = pairs[clear].T
    beside[i, j] = beside[j, i] = True


def ways_round(ends: Ends, trips: Trips, turner: Turner) -> Joins:
    """
    Return the ways round on the headland, with a quarter turn at each end.

    Parameters
    ----------
    ends, trips, turner
        As for `joins_between`.

    Returns
    -------
    joins : Joins
    """
    turning = pi * turner.radius
    length = turning + np.maximum(trips.length - 2.0 * turner.radius, 0.0)
    needs = turner.radius + turner.working_width / 2.0
    lacking = _lacking(needs, ends.headland, turner)
    worse = np.maximum(lacking[:, None], lacking[None])
    fits = worse == 0.0
    cost = length + (trips.cost - trips.length) + worse
    kind = np.full(length.shape, Turn.ROUND, dtype=np.int8)
    return Joins(length, cost, kind, fits, trips.off.copy())


def _pairs(beside: NDArray[np.bool_], ends: Ends, step: Floats) -> _Pairs:
    """Return the pairs of ends side by side, each once, across and along what both point to."""
    one, other = np.nonzero(np.triu(beside, 1))
    mean = ends.outward[one] + ends.outward[other]
    mean /= np.hypot(*mean.T)[:, None]
    apart = step[one, other]
    along = np.abs(np.sum(apart * mean, axis=1))
    across = np.abs(apart[:, 0] * mean[:, 1] - apart[:, 1] * mean[:, 0])
    two = across > np.maximum(ACROSS_SLACK, STEEPEST * np.hypot(across, along))
    return _Pairs(one[two], other[two], across[two], along[two])


def _turn(joins: Joins, ends: Ends, turner: Turner, pairs: _Pairs) -> None:
    """Write the turns between ends side by side."""
    headland = np.minimum(ends.headland[pairs.one], ends.headland[pairs.other])
    ways: tuple[TurnWay, ...] = ("forward",)
    if turner.way == "three-point":
        ways = ("forward", "three-point")
    found = [_turned(turner, pairs, headland, way) for way in ways]
    cheapest = np.argmin([cost for _, cost, _, _ in found], axis=0)
    rows = np.arange(len(cheapest))
    length, cost, kind, fits = (
        np.array(column)[cheapest, rows] for column in zip(*found, strict=True)
    )
    for i, j in ((pairs.one, pairs.other), (pairs.other, pairs.one)):
        joins.length[i, j], joins.cost[i, j] = length, cost
        joins.kind[i, j], joins.fits[i, j], joins.off[i, j] = kind, fits, 0.0


def _turned(
    turner: Turner, pairs: _Pairs, headland: Floats, way: TurnWay
) -> tuple[Floats, Floats, NDArray[np.int8], NDArray[np.bool_]]:
    """Return length, cost, kind and fit of the turns of one way, of each pair of ends."""
    wide = pairs.across >= 2.0 * turner.radius - ACROSS_SLACK
    rounded = np.round(np.stack([pairs.across, pairs.along], axis=1) + ASIDE, 2)
    rounded[wide, 0] = 2.0 * turner.radius  # how deep a U goes hangs on its angle alone
    angle = np.degrees(np.arctan2(pairs.across, pairs.along))
    rounded[wide, 1] = 2.0 * turner.radius / np.tan(np.radians(np.round(angle[wide] + ASIDE, 1)))
    each, back = np.unique(rounded, axis=0, return_inverse=True)
    length, needs = _closed_forms(turner, each, way)[back.ravel()].T
    level = np.maximum(pairs.across - 2.0 * turner.radius, 0.0)
    u = pi * turner.radius + np.hypot(level, pairs.along)
    length = np.where(wide, u, length)
    lacking = _lacking(needs, headland, turner)
    backwards = ~wide & (way == "three-point")
    stops = 2.0 * STOP * TURNING.usual * METRES / 3600.0
    cost = length + stops * backwards + lacking
    narrow = Turn.THREE_POINT if way == "three-point" else Turn.OMEGA
    return length, cost, np.where(wide, Turn.U, narrow).astype(np.int8), lacking == 0.0


def _lacking(needs: Floats | float, headland: Floats, turner: Turner) -> Floats:
    """Return what turns count for headland that is lacking, 0 where they fit. [m]"""
    short = needs - headland
    centre = np.maximum(short - turner.working_width / 2.0, 0.0)
    counted = np.minimum(LACKING * short, NARROW) + np.minimum(OFF_LAND * centre, NOWHERE)
    return np.asarray(np.where(short > SHORTFALL, counted, 0.0))


def _closed_forms(turner: Turner, apart: Floats, way: TurnWay) -> Floats:
    """Return length and headland needed of turns, by distance across and along, shape (n, 2)."""
    found = []
    for across, along in apart.tolist():
        angle = float(np.degrees(np.arctan2(across, along)))
        length = turn_length_aslant(turner.radius, across, angle, way)
        width = turner.working_width
        found.append((length, headland_needed_aslant(turner.radius, across, width, angle, way)))
    return np.reshape(found, (-1, 2))


def _go_on(joins: Joins, of: tuple[Ends, Trips], land: BaseGeometry, pairs: Whole) -> None:
    """Write the ways on to ends that face each other: straight, or past what lies between."""
    ends, trips = of
    one, other = pairs.T
    if not len(pairs):
        return
    joins.cost[one, other] = joins.length[one, other] + trips.cost[one, other]
    joins.cost[one, other] -= trips.length[one, other]
    joins.fits[one, other] = True  # going round a pond is no turn on the headland
    lines = shapely.linestrings(np.stack([ends.place[one], ends.place[other]], axis=1))
    shapely.prepare(land)
    clear = shapely.covers(land, lines)
    i, j = one[clear], other[clear]
    length = shapely.length(lines[clear])
    shorter = length < joins.length[i, j]
    i, j, length = i[shorter], j[shorter], length[shorter]
    joins.length[i, j] = joins.cost[i, j] = length
    joins.kind[i, j], joins.fits[i, j], joins.off[i, j] = Turn.STRAIGHT_ON, True, 0.0
