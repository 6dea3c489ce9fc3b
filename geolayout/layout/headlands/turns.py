r"""
Turns as lines on the ground: from the end of one pass to the start of the next.

The shortest way forward between two places and headings, for a machine that turns no tighter than
a radius, is an arc, a straight and an arc, or three arcs [1]_. An arc is to the left (L) or the
right (R), a straight is S; so there are six words, LSL, RSR, LSR, RSL, RLR and LRL, each with a
closed form from the middles of the circles at both ends::

        C0 .-------------. C1      same side: the straight is as long as the middles are apart,
       L  /               \\  L     other side: it crosses between them, where they are 2 R apart,
         p0               p1       three arcs: a third circle touches both, where they are 4 R apart

A three-point turn goes forward by an arc, back, and forward by another arc.

Bearings are in degrees clockwise from frame north, places in metres.

References
----------
.. [1] L. E. Dubins, On curves of minimal length with a constraint on average curvature, and with
   prescribed initial and terminal positions and tangents, American Journal of Mathematics 79
   (1957) 497-516.
"""

from dataclasses import dataclass
from math import isfinite, pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geolayout.errors import MeasureError
from geolayout.layout.shapes.lines import Lines, frozen

__all__ = ["WORDS", "Turns", "shortest_turns", "three_point_turns"]

WORDS: Final = ("LSL", "RSR", "LSR", "RSL", "RLR", "LRL")
"""The six words of a shortest way, in the order in which the first of equals is taken."""

THREE_POINT: Final = "three-point"

STEP: Final = 0.5
"""Points of an arc are no farther apart than this, along it. [m]"""

EQUAL: Final = 1e-9
"""Ways that differ by less are equally long; an arc that lacks less to a full circle is none."""

ALIKE: Final = 1e-3
"""Headings nearer than this, in radians, leave a three-point turn nothing to turn."""

SIDES: Final = {"L": 1.0, "R": -1.0, "S": 0.0}

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Turns:
    """
    Turns, each a row of arcs and straights.

    Attributes
    ----------
    start : ndarray of float, shape (n, 3)
        Place and bearing where each begins. [m, m, degrees]
    side : ndarray of float, shape (n, k)
        1 for an arc to the left, -1 to the right, 0 for a straight.
    run : ndarray of float, shape (n, k)
        How far each part goes, below 0 backwards. [m]
    word : ndarray of str, shape (n,)
        Such as "LRL", or "three-point".
    radius : float
        Of all arcs. [m]
    """

    start: Floats
    side: Floats
    run: Floats
    word: NDArray[np.object_]
    radius: float

    def __len__(self) -> int:
        """Return the number of turns."""
        return len(self.start)

    @property
    def length(self) -> Floats:
        """How far each turn drives, forwards and back, shape (n,). [m]"""
        return np.asarray(np.abs(self.run).sum(axis=1))

    @property
    def backwards(self) -> Floats:
        """How far of it each turn drives backwards, shape (n,). [m]"""
        return np.asarray(-np.minimum(self.run, 0.0).sum(axis=1))

    @property
    def end(self) -> Floats:
        """Place and bearing where each ends, shape (n, 3). [m, m, degrees]"""
        last = self._poses()[:, -1]
        bearing = (90.0 - np.degrees(last[:, 2])) % 360.0
        return np.concatenate([last[:, :2], bearing[:, None]], axis=1)

    @property
    def lines(self) -> Lines:
        """The turns as lines, with a point on every half metre of arc at least."""
        poses = self._poses()
        chords = np.where(self.side == 0.0, 1, np.ceil(np.abs(self.run) / STEP)).astype(np.int64)
        chords = np.maximum(chords, 1)
        part = np.repeat(np.arange(self.run.size), chords.ravel())
        first = np.cumsum(chords.ravel()) - chords.ravel()
        share = (np.arange(len(part)) - first[part] + 1) / chords.ravel()[part]
        before = poses[:, :-1].reshape(-1, 3)[part]
        side, run = self.side.ravel()[part], self.run.ravel()[part] * share
        points = _onward(before, side, run, self.radius)[:, :2]
        counts = chords.sum(axis=1)
        starts = np.concatenate([[0], np.cumsum(counts)[:-1]]).astype(np.int64)
        xy = np.insert(points, starts, poses[:, 0, :2], axis=0)
        offsets = np.concatenate([[0], np.cumsum(counts + 1)]).astype(np.int64)
        return Lines(frozen(xy), frozen(offsets))

    def depth(self, place: Floats, bearing: Floats) -> Floats:
        """
        Return how far each turn goes beyond a line, such as the one on which its passes end.

        Parameters
        ----------
        place : ndarray, shape (n, 2)
            A point on each line. [m]
        bearing : ndarray, shape (n,)
            Bearing of each line; beyond it is on its left. [degrees]

        Returns
        -------
        depth : ndarray, shape (n,)
            Square to the line, exact on arcs; below 0 for a turn that stays on its right. [m]
        """
        along = np.radians(90.0 - np.asarray(bearing, dtype=np.float64))
        normal = np.stack([-np.sin(along), np.cos(along)], axis=1)
        poses = self._poses()
        off = poses[..., :2] - np.asarray(place, dtype=np.float64)[:, None, :]
        at_joints = (off * normal[:, None, :]).sum(axis=2)
        return np.asarray(np.maximum(at_joints.max(axis=1), self._arc_tops(at_joints, along)))

    def _arc_tops(self, at_joints: Floats, along: Floats) -> Floats:
        """Return the farthest that an arc of each turn goes beyond, where it runs beside a line."""
        heading = self._poses()[:, :-1, 2]
        # An arc is farthest out where the machine runs along the line, to the right turn's way on.
        wanted = np.where(self.side < 0.0, along[:, None], along[:, None] + pi)
        there = _round(self.side * np.sign(self.run) * (wanted - heading))
        covered = (self.side != 0.0) & (there * self.radius <= np.abs(self.run))
        middle = at_joints[:, :-1] + self.side * self.radius * np.cos(heading - along[:, None])
        tops = np.where(covered, middle + self.radius, -np.inf)
        return np.asarray(tops.max(axis=1))

    def _poses(self) -> Floats:
        """Return place and heading at every joint, shape (n, k + 1, 3), headings from east."""
        poses = np.empty((len(self), self.run.shape[1] + 1, 3))
        poses[:, 0] = _headed(self.start)
        for j in range(self.run.shape[1]):
            poses[:, j + 1] = _onward(poses[:, j], self.side[:, j], self.run[:, j], self.radius)
        return poses


def shortest_turns(start: Floats, end: Floats, radius: float) -> Turns:
    """
    Return the shortest way forward from each place and bearing to another.

    Parameters
    ----------
    start, end : ndarray, shape (n, 3)
        Places and bearings. [m, m, degrees]
    radius : float
        Smallest turning radius. [m]

    Returns
    -------
    turns : Turns

    Raises
    ------
    MeasureError
        If the radius is 0 or below, or not a number.

    Examples
    --------
    >>> turns = shortest_turns([[0.0, 0.0, 0.0]], [[6.0, 0.0, 180.0]], 6.5)
    >>> turns.word[0], round(float(turns.length[0]), 2)
    ('LRL', 39.96)
    """
    first, last = _both(start, end, radius)
    ways = [*_by_straight(first, last, radius), *_by_arcs(first, last, radius)]
    words = [*WORDS[:4], *(word for word in WORDS[4:] for _ in range(2))]
    runs = np.stack(ways)
    lengths = runs.sum(axis=2)
    best = np.argmax(lengths <= lengths.min(axis=0) + EQUAL, axis=0)
    sides = np.array([[SIDES[letter] for letter in word] for word in words])
    return Turns(
        np.asarray(start, dtype=np.float64),
        sides[best],
        runs[best, np.arange(len(first))],
        np.array(words, dtype=object)[best],
        radius,
    )


def three_point_turns(start: Floats, end: Floats, radius: float) -> Turns:
    """
    Return the turn forward, back and forward from each place and bearing to another.

    It turns to the side on which it ends, half before it goes back and half after. Where its end
    lies ahead of its start it first drives on, where behind, it drives on last. Passes two radii
    apart need no way back, and passes farther apart none but forward.

    Parameters
    ----------
    start, end : ndarray, shape (n, 3)
        Places and bearings. [m, m, degrees]
    radius : float
        Turning radius. [m]

    Returns
    -------
    turns : Turns
        Lengths are not numbers where start and end point the same way.

    Raises
    ------
    MeasureError
        If the radius is 0 or below, or not a number.

    Examples
    --------
    >>> turns = three_point_turns([[0.0, 0.0, 0.0]], [[6.0, 0.0, 180.0]], 6.5)
    >>> round(float(turns.length[0]), 2), round(float(turns.backwards[0]), 2)
    (27.42, 7.0)
    """
    first, last = _both(start, end, radius)
    apart = last[:, :2] - first[:, :2]
    side = np.where(_cross(_unit(first[:, 2]), apart) >= 0.0, 1.0, -1.0)
    half = _round(side * (last[:, 2] - first[:, 2])) / 2
    half = np.where(np.abs(np.sin(half)) < ALIKE, np.nan, half)
    nothing = np.zeros(len(first))
    middle = first[:, 2] + side * half
    arcs = _onward(_at_origin(first[:, 2]), side, half * radius, radius)[:, :2]
    arcs = arcs + _onward(_at_origin(middle), side, half * radius, radius)[:, :2]
    left, across = apart - arcs, _unit(middle)
    before = _cross(left, across) / _cross(_unit(first[:, 2]), across)
    after = _cross(left, across) / _cross(_unit(last[:, 2]), across)
    on, last_on = np.where(before >= 0.0, before, 0.0), np.where(before >= 0.0, 0.0, after)
    rest = left - on[:, None] * _unit(first[:, 2]) - last_on[:, None] * _unit(last[:, 2])
    run = [on, half * radius, (rest * across).sum(axis=1), half * radius, last_on]
    return Turns(
        np.asarray(start, dtype=np.float64),
        np.stack([nothing, side, nothing, side, nothing], axis=1),
        np.stack(run, axis=1),
        np.full(len(first), THREE_POINT, dtype=object),
        radius,
    )


def _both(start: Floats, end: Floats, radius: float) -> tuple[Floats, Floats]:
    """Return both places with headings from east; refuse a radius that is none."""
    if not (isfinite(radius) and radius > 0.0):
        raise MeasureError(
            f"A machine turns on a radius of {radius:g} m.",
            "A turn has a radius above 0.",
            "Measure the turn both ways, and give half its width in metres.",
        )
    return _headed(start), _headed(end)


def _by_straight(first: Floats, last: Floats, radius: float) -> list[Floats]:
    """Return the runs of LSL, RSR, LSR and RSL; endless where a straight cannot cross."""
    ways = []
    for one, other in ((1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0)):
        span = _middle(last, other, radius) - _middle(first, one, radius)
        away = np.hypot(*span.T)
        off = radius * (one - other)  # 0, or a diameter to the side it crosses to
        with np.errstate(invalid="ignore"):
            straight = np.sqrt(away**2 - off**2)
        straight = np.where(np.isnan(straight), np.inf, straight)
        heading = np.arctan2(span[:, 1], span[:, 0]) + np.arctan2(off, straight)
        heading = np.where(away < EQUAL, first[:, 2], heading)  # one circle: no way to it
        run_out = _round(one * (heading - first[:, 2])) * radius
        run_in = _round(other * (last[:, 2] - heading)) * radius
        ways.append(np.stack([run_out, straight, run_in], axis=1))
    return ways


def _by_arcs(first: Floats, last: Floats, radius: float) -> list[Floats]:
    """Return the runs of RLR and LRL, each with its third circle on either side."""
    ways = []
    for side in (-1.0, 1.0):
        begin, finish = _middle(first, side, radius), _middle(last, side, radius)
        span = finish - begin
        away = np.hypot(*span.T)
        with np.errstate(invalid="ignore", divide="ignore"):
            out = np.sqrt(4.0 * radius**2 - away**2 / 4.0) / away
        out = np.where(np.isfinite(out), out, np.nan)
        for way in (1.0, -1.0):
            square = np.stack([-span[:, 1], span[:, 0]], axis=1) * (way * out)[:, None]
            third = (begin + finish) / 2 + square
            one = _heading_at(third - begin, side)
            other = _heading_at(third - finish, side)
            turns = [
                side * (one - first[:, 2]),
                -side * (other - one),
                side * (last[:, 2] - other),
            ]
            runs = _round(np.stack(turns, axis=1)) * radius
            ways.append(np.where(np.isfinite(runs), runs, np.inf))
    return ways


def _heading_at(outward: Floats, side: float) -> Floats:
    """Return the heading on a circle at the place that lies outward of its middle."""
    return np.asarray(np.arctan2(outward[:, 1], outward[:, 0]) + side * pi / 2)


def _middle(pose: Floats, side: float, radius: float) -> Floats:
    """Return the middle of the circle on one side of a pose."""
    x, y, heading = pose.T
    square = np.stack([-np.sin(heading), np.cos(heading)], axis=1)
    return np.asarray(np.stack([x, y], axis=1) + side * radius * square)


def _onward(pose: Floats, side: Floats, run: Floats, radius: float) -> Floats:
    """Return the pose after an arc or a straight."""
    x, y, heading = pose.T
    after = heading + side * run / radius
    arc_x = side * radius * (np.sin(after) - np.sin(heading))
    arc_y = -side * radius * (np.cos(after) - np.cos(heading))
    straight = side == 0.0
    x = x + np.where(straight, run * np.cos(heading), arc_x)
    y = y + np.where(straight, run * np.sin(heading), arc_y)
    return np.stack([x, y, after], axis=1)


def _headed(pose: Floats) -> Floats:
    """Return poses with headings in radians anticlockwise from east."""
    given = np.asarray(pose, dtype=np.float64).reshape(-1, 3)
    return np.concatenate([given[:, :2], np.radians(90.0 - given[:, 2:])], axis=1)


def _at_origin(heading: Floats) -> Floats:
    """Return poses at the origin."""
    return np.stack([np.zeros_like(heading), np.zeros_like(heading), heading], axis=1)


def _unit(heading: Floats) -> Floats:
    """Return headings as vectors."""
    return np.stack([np.cos(heading), np.sin(heading)], axis=1)


def _cross(one: Floats, other: Floats) -> Floats:
    """Return how far the other lies to the left of the one, as an area."""
    return np.asarray(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])


def _round(turn: Floats) -> Floats:
    """Return an angle within a full circle; one that lacks a hair to it is none."""
    within = np.asarray(turn % (2 * pi))
    return np.where(within > 2 * pi - EQUAL, 0.0, within)
