"""
Lines parallel to a bent reference, each at its own distance square to it.

The reference is a chain of short straight segments that turn a little at every vertex. A ray
goes out from each vertex, half way between the normals of its two segments, and two neighbouring
rays hold a cell. In a cell every line is straight and parallel to its segment, so that t is the
exact distance to the segment and the lines are exactly as far apart as they should be. A place
is (t, s): how far across, and where along the reference its cell-mates meet it.

Turned land, x = t and y = s, lets bands be upright rectangles and rows upright lines, as for
straight guides. It holds as long as no cell closes: on the inside of a bend t must stay under the
radius there. Along a row at t a metre of s is more or less than a metre of ground; `run` says
how much.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.lines import Lines, frozen

__all__ = ["Parallel", "Rays"]

REACH = 1.0
"""How far a line reaches beyond the land, at least. [m]"""

STEP = 1.0
"""Longest edge of land that is turned as one. Over 1 m a bend of 0.5 degrees bows by 2 mm. [m]"""

STEPS_ASIDE = 12
"""Cells looked at beside that of the nearest segment; more are needed only where lines fold. [-]"""

Points = NDArray[np.float64]
Places = NDArray[np.int64]
G = TypeVar("G", BaseGeometry, NDArray[np.object_])
T = TypeVar("T", float, NDArray[np.float64])


@dataclass(frozen=True, eq=False)
class Parallel:
    """
    Lines parallel to a bent reference.

    Attributes
    ----------
    xy : ndarray of float, shape (n, 2)
        The reference line, t = 0, as a chain of points that turns by at most a degree or so at
        each; it goes on straight beyond both ends. s = 0 at its first point. [m]
    side : float
        1 where t grows to the right of the reference, -1 where it grows to the left.
    start : float
        How far from the reference t = 0 lies, towards growing t. [m]
    flat : float
        Metres on the plan for a metre of t: below 1 where widths are measured along a slope. [-]
    """

    xy: Points
    side: float = 1.0
    start: float = 0.0
    flat: float = 1.0

    def across(self, xy: Points) -> Points:
        """Return t of each point, shape (n,). [m]"""
        return np.asarray(self.to_turned(xy)[:, 0])

    def along(self, xy: Points) -> Points:
        """Return s of each point, shape (n,). [m]"""
        return np.asarray(self.to_turned(xy)[:, 1])

    def direction(self, xy: Points) -> Points:
        """Return the direction at each point, shape (n,), clockwise from frame north. [degrees]"""
        east, north = self._forward[self._cells(np.asarray(xy, dtype=np.float64))].T
        return np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)

    def span(self, land: BaseGeometry) -> tuple[float, float]:
        """Return the least and greatest t of the land. [m]"""
        t = shapely.get_coordinates(self.turn(land))[:, 0]
        return float(t.min()), float(t.max())

    def lines(self, t: Points, land: BaseGeometry) -> NDArray[np.object_]:
        """Return the lines at each t, reaching beyond the land, shape (n,)."""
        s = shapely.get_coordinates(self.turn(land))[:, 1]
        low, high = s.min() - REACH, s.max() + REACH
        paths = self.paths(np.asarray(t), np.full(len(t), low), np.full(len(t), high))
        return paths.geometry

    def paths(self, t: Points, s0: Points, s1: Points) -> Lines:
        """Return the line at each t from s0 to s1, a vertex at every bend between, shape (n,)."""
        first = np.searchsorted(self._s, s0, side="right")
        last = np.searchsorted(self._s, s1, side="left")
        bends = np.maximum(last - first, 0)
        offsets = np.concatenate([[0], np.cumsum(bends + 2)]).astype(np.int64)
        which = np.repeat(np.arange(len(t)), bends + 2)
        order = np.arange(offsets[-1]) - offsets[which]
        inner = np.clip(first[which] + order - 1, 0, len(self._s) - 1)
        s = self._s[inner]
        s = np.where(order == 0, s0[which], np.where(order == bends[which] + 1, s1[which], s))
        xy = self.from_turned(np.stack([np.asarray(t)[which], s], axis=1))
        return Lines(frozen(xy), frozen(offsets))

    def run(self, t: Points, s: Points) -> Points:
        """Return how far along the line at each t a place s lies, shape (n,). [m]"""
        return np.asarray(s + self._off(np.asarray(t)) * self._gain(s))

    def from_run(self, t: Points, run: Points) -> Points:
        """Return the s of the place that lies so far along the line at each t, shape (n,). [m]"""
        s = np.array(run, dtype=np.float64)
        for value in np.unique(t):
            mine = t == value
            knots = self.run(np.full(len(self._s), value), self._s)
            inside = np.interp(run[mine], knots, self._s)
            before, after = (
                np.minimum(run[mine] - knots[0], 0),
                np.maximum(run[mine] - knots[-1], 0),
            )
            s[mine] = inside + before + after
        return s

    def to_turned(self, xy: Points) -> Points:
        """Return (t, s) of points, shape (..., 2). [m]"""
        points = np.asarray(xy, dtype=np.float64)
        flat = points.reshape(-1, 2)
        cell = self._cells(flat)
        t, into, length = self._in_cells(flat, cell)
        last = len(self._length) - 1
        share = np.divide(into, length, out=np.zeros_like(into), where=length > 0)
        s = self._s[cell] + np.clip(share, 0.0, 1.0) * self._length[cell]
        s += np.where(cell == 0, np.minimum(into, 0.0), 0.0)  # straight on, beyond both ends
        s += np.where(cell == last, np.maximum(into - length, 0.0), 0.0)
        return np.stack([(t - self.start) / self.flat, s], axis=1).reshape(points.shape)

    def from_turned(self, ts: Points) -> Points:
        """Return x, y of points given by (t, s), shape (..., 2). [m]"""
        places = np.asarray(ts, dtype=np.float64)
        t, s = places.reshape(-1, 2).T
        t = self._off(t)
        cell = np.clip(np.searchsorted(self._s, s, side="right") - 1, 0, len(self._length) - 1)
        share = (s - self._s[cell]) / self._length[cell]
        inside = np.clip(share, 0.0, 1.0)[:, None]
        beyond = (share - inside[:, 0]) * self._length[cell]
        ray = self._rays[cell] * (1.0 - inside) + self._rays[cell + 1] * inside
        on = self.xy[cell] * (1.0 - inside) + self.xy[cell + 1] * inside
        found = on + t[:, None] * ray + beyond[:, None] * self._forward[cell]
        return np.asarray(found.reshape(places.shape))

    def tightest(self, t: float, land: BaseGeometry) -> float:
        """Return the least radius of the line at t where it runs in land; 0 where it folds. [m]"""
        starts, ends = self._leans
        turns = np.abs(ends - starts)
        length = self._length + self._off(t) * (ends - starts)
        middles = (
            self.xy[:-1] + self.xy[1:] + self._off(t) * (self._rays[:-1] + self._rays[1:])
        ) / 2
        here = shapely.contains_xy(land, middles[:, 0], middles[:, 1]) & (turns > 0.0)
        if not here.any():
            return np.inf
        return float(np.maximum(length[here] / turns[here], 0.0).min())

    def _off(self, t: T) -> T:
        """Return how far from the reference t lies on the plan. [m]"""
        return t * self.flat + self.start

    def turn(self, geometry: G) -> G:
        """Return geometries in the turned frame, x = t and y = s, with a vertex on every ray."""
        turned: G = shapely.transform(_refined(geometry, self._on_rays), self.to_turned)
        return turned

    def turn_back(self, geometry: G) -> G:
        """Return geometries from the turned frame, with a vertex on every ray."""
        bent: G = shapely.transform(_refined(geometry, self._at_knots), self.from_turned)
        return bent

    def _on_rays(self, xy: Points) -> tuple[Places, Points]:
        """Return after which vertex of a chain a ray is crossed, and how far on to the next."""
        cell = self._cells(xy)
        edge, ray = _passed(cell[:-1], cell[1:])
        start, ahead = xy[edge], np.diff(xy, axis=0)[edge]
        along = self._rays[ray]
        across = ahead[:, 0] * along[:, 1] - ahead[:, 1] * along[:, 0]
        off = self.xy[ray] - start
        share = off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0]
        return edge, np.divide(share, across, out=np.zeros_like(share), where=across != 0)

    def _at_knots(self, ts: Points) -> tuple[Places, Points]:
        """Return after which vertex of a turned chain a ray is crossed, and how far on."""
        s = ts[:, 1]
        cell = np.clip(np.searchsorted(self._s, s, side="right") - 1, 0, len(self._length) - 1)
        edge, ray = _passed(cell[:-1], cell[1:])
        ahead = np.diff(s)[edge]
        share = self._s[ray] - s[edge]
        return edge, np.divide(share, ahead, out=np.zeros_like(share), where=ahead != 0)

    def area(self, turned: BaseGeometry) -> float:
        """Return the area on the ground of a geometry in the turned frame. [m2]"""
        return float(self.turn_back(turned).area)

    @property
    def square(self) -> "Rays":
        """Lines square to these: their t is the s of these."""
        return Rays(self)

    @cached_property
    def _tree(self) -> shapely.STRtree:
        """The segments, to find the nearest."""
        return shapely.STRtree(shapely.linestrings(np.stack([self.xy[:-1], self.xy[1:]], axis=1)))

    @cached_property
    def _length(self) -> Points:
        """Length of each segment. [m]"""
        return np.asarray(np.hypot(*np.diff(self.xy, axis=0).T))

    @cached_property
    def _s(self) -> Points:
        """Chainage of each vertex. [m]"""
        return np.concatenate([[0.0], np.cumsum(self._length)])

    @cached_property
    def _forward(self) -> Points:
        """Unit vector along each segment."""
        return np.asarray(np.diff(self.xy, axis=0) / self._length[:, None])

    @cached_property
    def _sideways(self) -> Points:
        """Unit vector across each segment, towards growing t."""
        east, north = self._forward.T
        return self.side * np.stack([north, -east], axis=1)

    @cached_property
    def _rays(self) -> Points:
        """Step of each vertex's ray for one metre of t, shape (n, 2)."""
        before, after = self._sideways[:-1], self._sideways[1:]
        middle = (before + after) / (1.0 + (before * after).sum(axis=1))[:, None]
        return np.concatenate([self._sideways[:1], middle, self._sideways[-1:]])

    @cached_property
    def _leans(self) -> tuple[Points, Points]:
        """How far the rays at each segment's start and end lean along it, for a metre of t."""
        starts = (self._rays[:-1] * self._forward).sum(axis=1)
        ends = (self._rays[1:] * self._forward).sum(axis=1)
        return starts, ends

    @cached_property
    def _gains(self) -> Points:
        """What a line gains on the reference up to each vertex, for a metre of t, shape (n,)."""
        starts, ends = self._leans
        return np.concatenate([[0.0], np.cumsum(ends - starts)])

    def _gain(self, s: Points) -> Points:
        return np.asarray(np.interp(s, self._s, self._gains))

    def _cells(self, xy: Points) -> Places:
        """Return the cell of each point: that of the nearest segment, or one a ray away."""
        cell = np.asarray(self._tree.nearest(shapely.points(xy)), dtype=np.int64)
        last = len(self._length) - 1
        unsettled = np.arange(len(cell))
        for _ in range(STEPS_ASIDE):
            here = cell[unsettled]
            _, into, length = self._in_cells(xy[unsettled], here)
            step = (into > length).astype(np.int64) - (into < 0.0)
            step[length <= 0.0] = 0  # the cell is closed there: no line follows the bend so far in
            moved = np.clip(here + step, 0, last)
            unsettled, moved = unsettled[moved != here], moved[moved != here]
            if not len(unsettled):
                break
            cell[unsettled] = moved
        return cell

    def _in_cells(self, xy: Points, cell: Places) -> tuple[Points, Points, Points]:
        """Return t, the way from the cell's first ray, and the way between its rays, at each."""
        off = xy - self.xy[cell]
        t = (off * self._sideways[cell]).sum(axis=1)
        starts, ends = self._leans
        into = (off * self._forward[cell]).sum(axis=1) - t * starts[cell]
        return t, into, self._length[cell] + t * (ends[cell] - starts[cell])


def _passed(before: Places, after: Places) -> tuple[Places, Places]:
    """Return each edge once for every ray between the cells of its ends, and these rays."""
    low, high = np.minimum(before, after), np.maximum(before, after)
    count = high - low
    edge = np.repeat(np.arange(len(count)), count)
    order = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    return edge, low[edge] + 1 + order


Crossings = Callable[[Points], tuple[Places, Points]]


def _refined(geometry: G, crossings: Crossings) -> G:
    """Return geometries with short edges, and a vertex wherever an edge crosses a ray."""
    short = shapely.segmentize(geometry, STEP)
    if isinstance(short, np.ndarray):
        refined = np.empty(len(short), dtype=object)
        refined[:] = [_with_crossings(one, crossings) for one in short]
        several: G = refined
        return several
    one: G = _with_crossings(short, crossings)
    return one


def _with_crossings(geometry: BaseGeometry, crossings: Crossings) -> BaseGeometry:
    """Return a geometry with a vertex wherever an edge crosses a ray."""
    if geometry is None or geometry.is_empty or geometry.geom_type.endswith("Point"):
        return geometry
    if hasattr(geometry, "geoms"):
        return type(geometry)([_with_crossings(part, crossings) for part in geometry.geoms])
    if geometry.geom_type == "Polygon":
        outer, *holes = (_chain(ring, crossings) for ring in shapely.get_rings(geometry))
        return shapely.Polygon(outer, holes)
    return type(geometry)(_chain(geometry, crossings))


def _chain(line: BaseGeometry, crossings: Crossings) -> Points:
    """Return the vertices of a line and of its crossings, in order."""
    xy = shapely.get_coordinates(line)
    edge, share = crossings(xy)
    keep = (share > 0.0) & (share < 1.0)
    edge, share = edge[keep], share[keep]
    new = xy[edge] + share[:, None] * np.diff(xy, axis=0)[edge]
    place = np.concatenate([np.arange(len(xy), dtype=np.float64), edge + share])
    return np.asarray(np.concatenate([xy, new])[np.argsort(place, kind="stable")])


@dataclass(frozen=True, slots=True)
class Rays:
    """
    Lines square to parallel ones.

    Attributes
    ----------
    guides : Parallel
        The lines they are square to.
    """

    guides: Parallel

    def across(self, xy: Points) -> Points:
        """Return the s of each point along the parallel lines, shape (n,). [m]"""
        return self.guides.along(xy)

    def lines(self, t: Points, land: BaseGeometry) -> NDArray[np.object_]:
        """Return the line at each s of the parallel lines, reaching beyond the land, shape (n,)."""
        low, high = self.guides.span(land)
        ends = np.array([low - REACH, high + REACH])
        ts = np.stack(np.broadcast_arrays(ends, np.asarray(t)[:, None]), axis=-1)
        return np.asarray(shapely.linestrings(self.guides.from_turned(ts)), dtype=object)
