"""
Where work done lies beside the lines planned: pass by pass, to the right or to the left.

Every place belongs to the nearest planned line. A place driven askew to that line is turning; one
whose middle lies on crop land of a band that the operation does not work is in the wrong strip.
"""

import itertools
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.worked.done import Strand, WorkDone, WorkedArea, halves, headings, spread
from geolayout.appraisal.worked.ground import merged
from geolayout.appraisal.worked.planned import PlannedWork
from geolayout.layout.build import Layout
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["ASKEW", "Places", "Run", "places_of"]

ASKEW = 30.0
"""Driven more askew to the planned line than this, a machine is turning. Our own. [degrees]"""

STEP = 1.0
"""From place to place along what was recorded as lines or areas, at most. [m]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """
    Neighbouring places of one strand that work one pass one way, or that turn.

    Attributes
    ----------
    strand : int
        Its number in the record.
    passed : int
        Index of the pass; -1 where the machine turns.
    xy : ndarray, shape (k, 2)
        What was driven, to half way from the neighbouring runs. [m]
    width : float
        Of what was worked. [m]
    """

    strand: int
    passed: int
    xy: Floats
    width: float


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """
    Places of work done; every column has one entry a place.

    Attributes
    ----------
    xy : ndarray, shape (n, 2)
        Middle of what was worked. [m]
    length : ndarray of float
        Of the stretch that each stands for. [m]
    passed : ndarray of int
        Index of the pass that it is held against; -1 where the machine turns or works elsewhere.
    right : ndarray of float
        How far it lies to the right of the planned line, seen in the guide's direction. [m]
    along : ndarray of float
        Its order along the guide, near enough a length. [m]
    forward : ndarray of bool
        Whether it was driven in the guide's direction.
    strange : ndarray of int
        Index of the ground, where it is crop land that the operation does not work; else -1.
    seconds : ndarray of float
        When; not a number where nobody recorded it. [s]
    """

    xy: Floats
    length: Floats
    passed: Whole
    right: Floats
    along: Floats
    forward: NDArray[np.bool_]
    strange: Whole
    seconds: Floats


def places_of(
    layout: Layout, planned: PlannedWork, work: WorkDone
) -> tuple[Places, tuple[Run, ...]]:
    """
    Hold every place of work done against the planned lines.

    Parameters
    ----------
    layout : Layout
        The layout.
    planned : PlannedWork
        What its operation was to work.
    work : WorkDone
        What it worked.

    Returns
    -------
    places : Places
        Of strands and of areas.
    runs : tuple of Run
        Of strands only.
    """
    strands = [spread(one, STEP) for one in work.strands]
    strands = [one for one in strands if len(one.xy) > 1]
    raw = [_raw(strand) for strand in strands]
    raw += [_across_area(area, planned) for area in work.areas]
    xy, heading, length, seconds = (
        np.concatenate([np.zeros((0, 2) if k < 2 else 0), *(one[k] for one in raw)])
        for k in range(4)
    )
    places = _placed(layout, planned, (xy, heading, length, seconds))
    return places, _runs(strands, places)


def _raw(strand: Strand) -> tuple[Floats, Floats, Floats, Floats]:
    """Return places, headings, lengths and times of a strand."""
    back, on = halves(strand)
    return strand.xy, headings(strand), back + on, strand.seconds


def _across_area(area: WorkedArea, planned: PlannedWork) -> tuple[Floats, Floats, Floats, Floats]:
    """
    Return the middles of an area, square to the nearest planned line, where it is a whole pass.

    Where it is narrower or wider than the machine its middle says nothing: a slanting end, two
    passes in one.
    """
    empty = np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0), np.zeros(0)
    if not len(planned.lines):
        return empty
    line = planned.lines[_nearest(planned.lines, shapely.point_on_surface([area.ground]))[0]]
    at = shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(area.ground)))
    count = max(int(np.ceil((at.max() - at.min()) / STEP)), 1)
    step = (at.max() - at.min()) / count
    forward = at.min() + step * (np.arange(count) + 0.5)
    middle, heading = _on_line(line, forward)
    reach = 1.5 * planned.width * np.stack([heading[:, 1], -heading[:, 0]], axis=1)
    across = shapely.linestrings(np.stack([middle - reach, middle + reach], axis=1))
    chords = shapely.intersection(across, area.ground)
    whole = np.abs(shapely.length(chords) - planned.width) <= ACROSS_SLACK
    whole &= shapely.get_type_id(chords) == shapely.GeometryType.LINESTRING
    found = shapely.get_coordinates(
        shapely.line_interpolate_point(chords[whole], 0.5, normalized=True)
    )
    count = len(found)
    return found, heading[whole], np.full(count, step), np.full(count, np.nan)


@dataclass(frozen=True, slots=True, eq=False)
class _Legs:
    """
    The straight legs of lines, so that a long line is not searched whole for every place.

    Every column has one entry a leg, in the order of the lines and along each.
    """

    line: Whole
    begin: Floats
    direction: Floats
    length: Floats

    def nearest(self, xy: Floats) -> Whole:
        """Return the leg nearest to each place; of several the first."""
        ends = np.stack([self.begin, self.begin + self.length[:, None] * self.direction], axis=1)
        tree = shapely.STRtree(shapely.linestrings(ends))
        place, leg = tree.query_nearest(shapely.points(xy), all_matches=True)
        order = np.lexsort((leg, place))
        _, first = np.unique(place[order], return_index=True)
        return np.asarray(leg[order][first], dtype=np.int64)

    def beside(self, leg: Whole, xy: Floats) -> Floats:
        """Return how far each place lies to the right of its leg. [m]"""
        along = np.einsum("ij,ij->i", xy - self.begin[leg], self.direction[leg])
        foot = np.clip(along, 0.0, self.length[leg])[:, None] * self.direction[leg]
        step = xy - self.begin[leg] - foot
        way = self.direction[leg]
        return np.asarray(step[:, 0] * way[:, 1] - step[:, 1] * way[:, 0])


def _legs_of(lines: NDArray[np.object_]) -> _Legs:
    """Return the legs of lines."""
    xy, line = shapely.get_coordinates(lines, return_index=True)
    leg = np.diff(xy, axis=0)
    length = np.hypot(leg[:, 0], leg[:, 1])
    own = (line[1:] == line[:-1]) & (length > 0.0)
    leg, length = leg[own], length[own]
    return _Legs(line[:-1][own], xy[:-1][own], leg / length[:, None], length)


def _nearest(lines: NDArray[np.object_], points: NDArray[np.object_]) -> Whole:
    """Return the index of the line nearest to each point; of several the first."""
    legs = _legs_of(lines)
    return legs.line[legs.nearest(shapely.get_coordinates(points))]


def _on_line(line: shapely.LineString, at: Floats) -> tuple[Floats, Floats]:
    """Return places along a line, and its direction there as unit vectors."""
    middle = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
    xy = shapely.get_coordinates(line)
    legs = np.diff(xy, axis=0)
    long = np.hypot(legs[:, 0], legs[:, 1])
    legs, long = legs[long > 0.0], long[long > 0.0]
    ends = np.cumsum(long)
    leg = np.minimum(np.searchsorted(ends, at), len(ends) - 1)
    return middle, legs[leg] / long[leg][:, None]


def _placed(
    layout: Layout, planned: PlannedWork, raw: tuple[Floats, Floats, Floats, Floats]
) -> Places:
    """Hold places with their headings against the planned lines."""
    xy, heading, length, seconds = raw
    count = len(xy)
    if not count or not len(planned.lines):
        nowhere, nought = np.full(count, -1), np.full(count, np.nan)
        strange = np.full(count, -1)
        return Places(xy, length, nowhere, nought, nought, np.ones(count, bool), strange, seconds)
    points = shapely.points(xy)
    legs = _legs_of(planned.lines)
    leg = legs.nearest(xy)
    piece, right = legs.line[leg], legs.beside(leg, xy)
    cosine = np.einsum("ij,ij->i", heading, legs.direction[leg])
    strange = _strange(layout, planned, points)
    turning = np.abs(cosine) < np.cos(np.radians(ASKEW))
    beside = np.abs(right) > planned.width
    passed = np.where(turning | beside | (strange >= 0), -1, planned.which[piece])
    along = _along(layout, planned, xy, planned.which[piece])
    return Places(xy, length, passed, right, along, cosine >= 0.0, strange, seconds)


def _along(layout: Layout, planned: PlannedWork, xy: Floats, passed: Whole) -> Floats:
    """Return the order of each place along the guide of its pass's block. [m]"""
    block = np.array([one.block for one in planned.passes])[passed]
    along = np.empty(len(xy))
    for b in np.unique(block).tolist():
        along[block == b] = layout.blocks[b].guides.along(xy[block == b])
    return along


def _strange(layout: Layout, planned: PlannedWork, points: NDArray[np.object_]) -> Whole:
    """Return the ground of each place on crop land that the operation does not work, or -1."""
    found = np.full(len(points), -1)
    ground = layout.ground
    band = np.isin(ground.kind.astype(str), ["band", "tree band"])
    own = merged([planned.ground[block] for block in planned.blocks])
    own = shapely.buffer(own, ACROSS_SLACK)
    shapely.prepare(own)
    off = np.flatnonzero(~shapely.intersects(own, points))
    bands = np.flatnonzero(band)
    point, piece = shapely.STRtree(ground.geometry[bands]).query(points[off], "intersects")
    found[off[point]] = bands[piece]
    return found


def _runs(strands: list[Strand], places: Places) -> tuple[Run, ...]:
    """Part strands where the pass or the way along it changes."""
    found: list[Run] = []
    begin = 0
    for number, strand in enumerate(strands):
        count = len(strand.xy)
        passed = places.passed[begin : begin + count]
        keys = np.where(passed < 0, -1, 2 * passed + places.forward[begin : begin + count])
        breaks = np.flatnonzero(np.diff(keys)) + 1
        bounds = [0, *breaks.tolist(), count]
        found += [
            Run(number, int(passed[a]), _stretch(strand, a, b), strand.width)
            for a, b in itertools.pairwise(bounds)
        ]
        begin += count
    return tuple(found)


def _stretch(strand: Strand, begin: int, end: int) -> Floats:
    """Return what was driven from half way before one place to half way behind another. [m]"""
    xy = strand.xy[begin:end]
    forward = headings(strand)
    out = (forward[0] * -strand.half_step, forward[-1] * strand.half_step)
    before = (strand.xy[begin - 1] - xy[0]) / 2.0 if begin else out[0]
    behind = (strand.xy[end] - xy[-1]) / 2.0 if end < len(strand.xy) else out[1]
    parts = [xy]
    if np.hypot(*before) > 0.0:
        parts.insert(0, xy[:1] + before)
    if np.hypot(*behind) > 0.0:
        parts.append(xy[-1:] + behind)
    return np.concatenate(parts)
