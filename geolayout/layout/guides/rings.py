"""
Lines round and round: level lines of the distance to an edge that closes.

A place is (t, s): t is how far inwards of the edge it lies, s its order along the edge. The lines
are driven ones: at the middle of every pass the land left is rounded to the turning radius, as for
the rounds of a headland (see `geolayout.layout.headlands.rounds`), and the lines of one pass run
beside each other round its corners. So a band is as wide as it should be, but for the corner::

     ____________
    |  x .-------     x   land that no round reaches: the machine turns inside the corner
    |  /  .------
    | |  / .-----     A corner of a right angle leaves (1 - pi / 4) R'^2, R' the radius of the
    | | | /           outermost line: the turning radius and half a pass.

In the middle, where no round is wide enough to turn in, nothing is laid. There is no turned frame:
towards the middle the lines of opposite sides meet. What the other families read from turned land,
`geolayout.layout.guides.follow` asks of the rings themselves.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from geolayout.errors import LayoutError
from geolayout.layout.guides.guide import Across
from geolayout.layout.headlands.rounds import Track, rounded_core, tracks
from geolayout.layout.shapes.lines import Lines, frozen

__all__ = ["Level", "Rings"]

INSCRIBED = 0.01
"""How exactly the middle is found. [m]"""

MICRON = 1e-6
"""Distances that differ by less are one. [m]"""

Points = NDArray[np.float64]
G = TypeVar("G", BaseGeometry, NDArray[np.object_])


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """
    What is driven at one distance from the edge.

    Attributes
    ----------
    tracks : tuple of Track
        One closed, or several where lobes part or corners are too tight.
    starts : ndarray, shape (n + 1,)
        Where each begins, and where the last one ends, all measured one after the other. [m]
    ground : Polygon or MultiPolygon
        What lies within. [m]
    """

    tracks: tuple[Track, ...]
    starts: Points
    ground: BaseGeometry

    @property
    def length(self) -> float:
        """Length of all tracks. [m]"""
        return float(self.starts[-1])

    def track_at(self, run: float) -> int:
        """Return the place of the track that a length along the level falls on."""
        last = max(len(self.tracks) - 1, 0)
        return int(np.clip(np.searchsorted(self.starts, run, side="right") - 1, 0, last))


@dataclass(frozen=True, eq=False)
class Rings:
    """
    Lines at their distances from a closed edge, inwards.

    Attributes
    ----------
    xy : ndarray of float, shape (n, 2)
        The edge, closed, anticlockwise. [m]
    radius : float
        Smallest radius that is driven. [m]
    width : float
        Of a pass; its lines go round corners together. [m]
    start : float
        How far inwards of the edge t = 0 lies. [m]
    """

    xy: Points
    radius: float
    width: float
    start: float = 0.0

    def across(self, xy: Points) -> Points:
        """Return t of each point, shape (n,): its distance from the edge, outside below 0. [m]"""
        points = np.asarray(shapely.points(np.asarray(xy, dtype=np.float64)))
        off = shapely.distance(points, self._edge)
        inside = shapely.contains(self.ground, points)
        return np.asarray(np.where(inside, off, -off) - self.start)

    def along(self, xy: Points) -> Points:
        """Return s of each point, shape (n,): where along the edge it lies nearest to. [m]"""
        points = np.asarray(shapely.points(np.asarray(xy, dtype=np.float64)))
        return np.asarray(shapely.line_locate_point(self._edge, points))

    def direction(self, xy: Points) -> Points:
        """Return the direction of the nearest edge, shape (n,), clockwise from north. [degrees]"""
        near = self._tree.nearest(shapely.points(np.asarray(xy, dtype=np.float64)))
        east, north = np.diff(self.xy, axis=0)[near].T
        return np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)

    def span(self, land: BaseGeometry) -> tuple[float, float]:
        """Return the least t of the land, and the greatest that is driven. [m]"""
        near = float(shapely.distance(self._edge, land)) - self.start
        return near, max(self.deepest, near)

    def lines(self, t: Points, land: BaseGeometry) -> NDArray[np.object_]:  # noqa: ARG002
        """Return the outline of what lies within each t, shape (n,)."""
        found = np.empty(len(t), dtype=object)
        found[:] = [shapely.boundary(self.level(float(value)).ground) for value in t]
        return found

    def paths(self, t: Points, s0: Points, s1: Points) -> Lines:
        """Return the driven line at each t from s0 to s1, shape (n,)."""
        parts = [self._path(*each) for each in zip(t, s0, s1, strict=True)]
        counts = np.array([0, *map(len, parts)], dtype=np.int64)
        xy = np.concatenate([np.empty((0, 2)), *parts])
        return Lines(frozen(xy), frozen(np.cumsum(counts)))

    def run(self, t: Points, s: Points) -> Points:
        """Return how far along the driven line at each t a place s lies, shape (n,). [m]"""
        return np.asarray(np.asarray(s) * self._shares(t))

    def from_run(self, t: Points, run: Points) -> Points:
        """Return the s of the place that lies so far along the line at each t, shape (n,). [m]"""
        shares = self._shares(t)
        return np.asarray(np.divide(run, shares, out=np.zeros(len(shares)), where=shares > 0))

    def from_turned(self, ts: Points) -> Points:
        """Return x, y of points given by (t, s), shape (..., 2). [m]"""
        places = np.asarray(ts, dtype=np.float64)
        t, s = places.reshape(-1, 2).T
        found = [self._point(*each) for each in zip(t, self.run(t, s), strict=True)]
        return np.asarray(found, dtype=np.float64).reshape(places.shape)

    def to_turned(self, xy: Points) -> Points:
        """Return (t, s) of points, shape (..., 2). [m]"""
        points = np.asarray(xy, dtype=np.float64)
        flat = points.reshape(-1, 2)
        return np.stack([self.across(flat), self.along(flat)], axis=1).reshape(points.shape)

    def level(self, t: float) -> Level:
        """Return what is driven at a distance, beside the middle of its pass."""
        key = round(float(t), 6)
        if key not in self._levels:
            self._levels[key] = self._beside(key)
        return self._levels[key]

    def strip(self, t0: float, t1: float) -> BaseGeometry:
        """Return the ground between two distances. [m]"""
        return shapely.difference(self.level(t0).ground, self.level(t1).ground)

    def turn(self, geometry: G) -> G:
        """Raise: rings have no turned frame."""
        raise _no_frame(geometry)

    def turn_back(self, geometry: G) -> G:
        """Raise: rings have no turned frame."""
        raise _no_frame(geometry)

    def area(self, turned: BaseGeometry) -> float:
        """Raise: rings have no turned frame."""
        raise _no_frame(turned)

    @property
    def square(self) -> Across:
        """Raise: nothing is square to rings all over the land."""
        raise _no_frame(self.ground)

    @cached_property
    def ground(self) -> Polygon:
        """What the edge encloses."""
        return Polygon(self.xy)

    @cached_property
    def deepest(self) -> float:
        """The inner edge of the last pass: beyond it nothing is wide enough to turn in. [m]"""
        room = self.inscribed - 2 * INSCRIBED - self.radius - self.start
        return max(floor(room / self._step + 0.5), 0) * self._step

    @cached_property
    def inscribed(self) -> float:
        """Radius of the greatest circle within the edge. [m]"""
        middle = shapely.maximum_inscribed_circle(self.ground, tolerance=INSCRIBED)
        return float(shapely.length(middle))

    @cached_property
    def length(self) -> float:
        """Length of the edge. [m]"""
        return float(self._edge.length)

    @cached_property
    def _edge(self) -> LinearRing:
        return LinearRing(self.xy)

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.linestrings(np.stack([self.xy[:-1], self.xy[1:]], axis=1)))

    @cached_property
    def _levels(self) -> dict[float, Level]:
        return {}

    @property
    def _step(self) -> float:
        """Width of ground whose lines go round corners together. [m]"""
        return min(self.width, self.radius) if self.radius else self.width

    @cached_property
    def _middles(self) -> dict[int, Level]:
        return {}

    def _beside(self, t: float) -> Level:
        """Return the lines beside the middle of a pass, its inner edge its own."""
        step = self._step
        first = floor(0.5 - self.start / step)  # the outermost pass whose middle is on the land
        number = max(ceil(t / step - MICRON) - 1, first)
        middle = (number + 0.5) * step
        if number not in self._middles:
            self._middles[number] = self._made(middle + self.start)
        level, off = self._middles[number], t - middle
        if abs(off) < MICRON:
            return level
        found = [_moved(track, off) for track in level.tracks]
        return Level(tuple(found), _starts(found), _moved_ground(level.ground, off))

    def _made(self, distance: float) -> Level:
        """Return what is driven at a distance from the edge, rounded to the turning radius."""
        core = rounded_core(self.ground, distance, self.radius)
        found = tracks(core, distance, self.radius)
        found.sort(key=lambda track: float(self.along(np.array(track.line.coords[:1]))[0]))
        begun = [self._begun(track) for track in found]
        return Level(tuple(begun), _starts(begun), core)

    def _begun(self, track: Track) -> Track:
        """Return a closed track from the place nearest to where the edge begins."""
        if not track.closed:
            return track
        begin = float(shapely.line_locate_point(track.line, shapely.Point(self.xy[0])))
        if min(begin, track.line.length - begin) < MICRON:
            return track
        later = shapely.get_coordinates(substring(track.line, begin, track.line.length))
        earlier = shapely.get_coordinates(substring(track.line, 0.0, begin))
        return Track(LineString(np.concatenate([later, earlier[1:]])), True)

    def _shares(self, t: Points) -> Points:
        """Return the length of the driven line at each t, for a metre of the edge. [-]"""
        return np.array([self.level(value).length for value in np.atleast_1d(t)]) / self.length

    def _path(self, t: float, s0: float, s1: float) -> Points:
        """Return the vertices of a driven line from s0 to s1."""
        level = self.level(t)
        first, last = self.run(np.array([t, t]), np.array([s0, s1])).tolist()
        i = level.track_at((first + last) / 2.0)
        line, begin = level.tracks[i].line, level.starts[i]
        ends = np.clip([first - begin, last - begin], 0.0, line.length).tolist()
        return np.asarray(shapely.get_coordinates(substring(line, *ends)))

    def _point(self, t: float, run: float) -> Points:
        """Return the point so far along the driven line at a distance."""
        level = self.level(t)
        if not level.tracks:
            return np.asarray(shapely.get_coordinates(shapely.point_on_surface(self.ground))[0])
        i = level.track_at(run)
        point = level.tracks[i].line.interpolate(run - level.starts[i])
        return np.array([point.x, point.y])


def _no_frame(geometry: BaseGeometry | NDArray[np.object_]) -> LayoutError:
    """Return what is said where something asks rings for a turned frame."""
    what = "one shape" if isinstance(geometry, BaseGeometry) else f"{len(geometry)} shapes"
    return LayoutError(
        f"Rings are asked to turn {what}.",
        "In the middle of the land the lines of all sides meet, so there is no frame to turn into.",
        'This work needs kind = "straight" or "along".',
    )


def _starts(found: Sequence[Track]) -> Points:
    """Return where each track begins, and where the last one ends. [m]"""
    return np.concatenate([[0.0], np.cumsum([track.line.length for track in found])])


def _moved(track: Track, off: float) -> Track:
    """Return the line beside a track, so far to its left. [m]"""
    return Track(LineString(_shifted(np.asarray(track.line.coords), off)), track.closed)


def _moved_ground(ground: BaseGeometry, off: float) -> BaseGeometry:
    """Return ground whose outline lies so far inwards. [m]"""
    parts = []
    for part in shapely.get_parts(shapely.orient_polygons(ground)):
        rings = [_shifted(np.asarray(ring.coords), off) for ring in shapely.get_rings(part)]
        parts.append(Polygon(rings[0], rings[1:]))
    moved = shapely.multipolygons(parts)
    return moved if moved.is_valid else shapely.union_all(shapely.buffer(parts, 0.0))


def _shifted(xy: Points, off: float) -> Points:
    """
    Return a chain so far to its left, every vertex on the ray half way between its edges.

    Chains turn little at each vertex, so that every edge keeps its distance exactly.
    """
    xy = xy[np.append(np.hypot(*np.diff(xy, axis=0).T) > MICRON, True)]
    units = np.diff(xy, axis=0)
    units /= np.hypot(*units.T)[:, None]
    left = np.stack([-units[:, 1], units[:, 0]], axis=1)
    if (xy[0] == xy[-1]).all():
        before, after = np.concatenate([left[-1:], left]), np.concatenate([left, left[:1]])
    else:
        before, after = np.concatenate([left[:1], left]), np.concatenate([left, left[-1:]])
    rays = (before + after) / (1.0 + (before * after).sum(axis=1))[:, None]
    return np.asarray(xy + off * rays)
