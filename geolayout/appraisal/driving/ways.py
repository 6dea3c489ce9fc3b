"""
Ways along the headland: how far it is from one place of a block's edge to another.

A machine that does not turn straight into its next pass drives round on the headland. Its way is
taken along a ring in the middle of it, whichever way round costs less. Where there is no headland,
along a side or about a pond, it drives over ground that is worked, which counts more than it
measures. Rings that do not touch, the edge and a pond's, are joined where they are nearest.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["Trips", "settled", "trips_between", "way_lines"]

OVER_WORKED = 2.0
"""By how many times a metre off the headland counts more than one on it. Our own choice. [-]"""

STEP = 10.0
"""A ring is looked at this often. [m]"""

THIN = 1.0
"""Crooks of an edge under this do not make a way longer. Our own choice. [m]"""

DECIMALS = 3
"""Land and places are looked at to the millimetre, so that rounding of lon/lat, far below it, never
changes a way."""

ASIDE = 0.00017
"""Keeps round figures off the edges of that grid. [m]"""

ON_IT = 1.0
"""A way that runs so near the headland runs on it. Our own choice. [m]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Trips:
    """
    Trips, as between n places.

    Attributes
    ----------
    length : ndarray, shape (n, n)
        [m]
    off : ndarray, shape (n, n)
        Of them, driven off the headland. [m]
    """

    length: Floats
    off: Floats

    @property
    def cost(self) -> Floats:
        """Metres, those off the headland counted more. [m]"""
        return self.length + OVER_WORKED * self.off


@dataclass(frozen=True, slots=True, eq=False)
class _Ring:
    """A ring in the middle of the headland: run and share off the headland at every vertex."""

    line: shapely.LinearRing
    run: Floats
    off: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Link:
    """Where a ring is nearest to one before it: both rings, and the points on the other and it."""

    ring: int
    onto: int
    xy: Floats

    @property
    def points(self) -> tuple[Floats, Floats]:
        """The point on the ring before, and that on this one. [m]"""
        return self.xy[0], self.xy[1]

    @property
    def rings(self) -> tuple[int, int]:
        """The rings that these points lie on; where rings cross, they are one place."""
        return self.onto, self.ring

    def over(self, out: bool) -> tuple[Floats, int]:
        """Return the points in the order crossed, and the ring come to."""
        return (self.xy[::-1], self.onto) if out else (self.xy, self.ring)


@dataclass(frozen=True, slots=True, eq=False)
class _Stop:
    """Places on rings: which, how far round, and metres off the headland up to there."""

    ring: Whole
    run: Floats
    off: Floats


def trips_between(
    places: Floats, land: BaseGeometry, headland: BaseGeometry, width: float
) -> Trips:
    """
    Return how far it is between places, along the headland.

    Parameters
    ----------
    places : ndarray, shape (n, 2)
        Ends of passes, gateways, points to fill or tip at. [m]
    land : Polygon or MultiPolygon
        Land of the block, what can be driven on. [m]
    headland : Polygon or MultiPolygon
        The part of it that is kept for turning; empty where none is. [m]
    width : float
        About how wide the headland is. [m]

    Returns
    -------
    trips : Trips
    """
    places = settled(places)
    rings = _rings(_settled(land), _settled(headland), width)
    linked = _links(rings)
    links = [link.points for link in linked]
    ends = [point for link in links for point in link]
    everywhere = np.concatenate([places, np.reshape(ends, (-1, 2))])
    stops, aside = _stops(everywhere, rings, [ring for link in linked for ring in link.rings])
    length, off = _on_rings(stops, rings)
    if links:
        length, off = _over_links(length, off, links, len(places))
    n = len(places)
    access = np.maximum(aside[:n] - width / 2.0 - ON_IT, 0.0)
    both = access[:, None] + access[None]
    np.fill_diagonal(both, 0.0)
    return Trips(length[:n, :n] + both, off[:n, :n] + both)


def way_lines(
    pairs: Floats, land: BaseGeometry, headland: BaseGeometry, width: float
) -> list[Floats]:
    """
    Return the ways between pairs of places as lines, along the rings that trips are measured on.

    Parameters
    ----------
    pairs : ndarray, shape (n, 2, 2)
        Where each way begins and ends. [m]
    land, headland, width
        As for `trips_between`.

    Returns
    -------
    lines : list of ndarray, shape (m, 2)
        Corners of each; straight from ring to ring where these are nearest. [m]
    """
    pairs = settled(pairs)
    rings = _rings(_settled(land), _settled(headland), width)
    stops, _ = _stops(pairs.reshape(-1, 2), rings)
    which = stops.ring.reshape(-1, 2)
    links = _links(rings)
    lines = []
    for pair, (one, other) in zip(pairs, which.tolist(), strict=True):
        crossed = _crossed(one, other, [link.onto for link in links])
        parts = _on_each(rings, (one, pair), [links[i - 1].over(out) for i, out in crossed])
        lines.append(np.concatenate([pair[:1], *parts, pair[1:]]))
    return lines


def _crossed(one: int, other: int, onto: Sequence[int]) -> list[tuple[int, bool]]:
    """Return the links crossed from ring to ring: of which ring, and whether it is left by it."""
    out, back = [], []
    while one != other:  # every ring but the first is linked to one before it
        if one > other:
            out.append((one, True))
            one = onto[one - 1]
        else:
            back.append((other, False))
            other = onto[other - 1]
    return out + back[::-1]


def _on_each(
    rings: Sequence[_Ring], begin: tuple[int, Floats], over: Sequence[tuple[Floats, int]]
) -> list[Floats]:
    """Return the part of a way on each of the rings that it comes to, one after the other."""
    ring, pair = begin
    ends = np.concatenate([pair[:1], *(points for points, _ in over), pair[1:]]).reshape(-1, 2, 2)
    parts = []
    for which, places in zip([ring, *(ring for _, ring in over)], ends, strict=True):
        stops, _ = _stops(places, [rings[which]])
        parts.append(_along(rings[which], stops.run, stops.off))
    return parts


def _along(ring: _Ring, run: Floats, off: Floats) -> Floats:
    """Return the corners of a ring between two places, the way round that costs less. [m]"""
    ahead, bare = abs(run[1] - run[0]), abs(off[1] - off[0])
    back, bare_back = ring.run[-1] - ahead, ring.off[-1] - bare
    low, high = np.sort(run)
    xy = shapely.get_coordinates(ring.line)
    ends = shapely.get_coordinates(shapely.line_interpolate_point(ring.line, [low, high]))
    if ahead + OVER_WORKED * bare <= back + OVER_WORKED * bare_back:
        part = xy[(ring.run > low) & (ring.run < high)]
    else:
        part = np.concatenate([xy[ring.run > high], xy[:-1][ring.run[:-1] < low]])
        ends = ends[::-1]
    found = np.concatenate([ends[:1], part, ends[1:]])
    return found if np.allclose(ends[0], _at(ring, run[0])) else found[::-1]


def _at(ring: _Ring, run: float) -> Floats:
    """Return the place so far round a ring. [m]"""
    place: Floats = shapely.get_coordinates(shapely.line_interpolate_point(ring.line, run))[0]
    return place


def settled(xy: Floats) -> Floats:
    """Return places to the millimetre. [m]"""
    return np.asarray(np.round(xy + ASIDE, DECIMALS))


def _settled(ground: BaseGeometry) -> BaseGeometry:
    """Return ground to the millimetre, its rings begun at the same corner wherever they were."""
    rounded: BaseGeometry = shapely.normalize(shapely.transform(ground, settled))
    return rounded


def _rings(land: BaseGeometry, headland: BaseGeometry, width: float) -> list[_Ring]:
    """Return the rings that ways are taken along."""
    inset = shapely.simplify(land.buffer(-width / 2.0, join_style="mitre"), THIN)
    whole = shapely.get_num_geometries(inset) == shapely.get_num_geometries(land)
    ground = inset if whole and not inset.is_empty else shapely.simplify(land, THIN)
    polygons = shapely.get_parts(ground)
    lines = [
        shapely.segmentize(ring, STEP)
        for polygon in polygons
        for ring in (polygon.exterior, *polygon.interiors)
    ]
    return [_ring(line, headland, width) for line in lines]


def _ring(line: shapely.LinearRing, headland: BaseGeometry, width: float) -> _Ring:
    """Return a ring with its runs."""
    xy = shapely.get_coordinates(line)
    step = np.hypot(*np.diff(xy, axis=0).T)
    bare = np.ones(len(step), dtype=bool)
    if not headland.is_empty:
        middles = shapely.points((xy[1:] + xy[:-1]) / 2.0)
        shapely.prepare(headland)
        bare = ~shapely.dwithin(headland, middles, min(ON_IT, width / 2.0))
    runs = [np.concatenate([[0.0], np.cumsum(part)]) for part in (step, step * bare)]
    return _Ring(line, *runs)


def _links(rings: Sequence[_Ring]) -> list[_Link]:
    """Return where each ring but the first is nearest to those before it."""
    links = []
    for i, ring in enumerate(rings[1:], start=1):
        near = min(range(i), key=lambda k: shapely.distance(rings[k].line, ring.line))
        line = shapely.shortest_line(rings[near].line, ring.line)
        links.append(_Link(i, near, shapely.get_coordinates(line)))
    return links


def _stops(
    places: Floats, rings: Sequence[_Ring], last_on: Sequence[int] = ()
) -> tuple[_Stop, Floats]:
    """
    Return the nearest place on a ring to each place, and how far aside it is.

    The last places lie on the rings that are named, whichever is nearer.
    """
    points = shapely.points(places)
    lines = np.array([ring.line for ring in rings], dtype=object)
    away = shapely.distance(points[:, None], lines[None])
    which = np.argmin(away, axis=1)
    which[len(places) - len(last_on) :] = last_on
    run = shapely.line_locate_point(lines[which], points)
    off = np.zeros(len(places))
    for r, ring in enumerate(rings):
        mine = which == r
        off[mine] = np.interp(run[mine], ring.run, ring.off)
    return _Stop(which, run, off), away[np.arange(len(places)), which]


def _on_rings(stops: _Stop, rings: Sequence[_Ring]) -> tuple[Floats, Floats]:
    """Return length and metres off the headland between places of one ring, else without end."""
    length = np.full((len(stops.run), len(stops.run)), np.inf)
    off = np.zeros_like(length)
    for r, ring in enumerate(rings):
        mine = np.flatnonzero(stops.ring == r)
        ahead = np.abs(stops.run[mine][:, None] - stops.run[mine])
        bare = np.abs(stops.off[mine][:, None] - stops.off[mine])
        back, bare_back = ring.run[-1] - ahead, ring.off[-1] - bare
        onward = ahead + OVER_WORKED * bare <= back + OVER_WORKED * bare_back
        block = np.ix_(mine, mine)
        length[block] = np.where(onward, ahead, back)
        off[block] = np.where(onward, bare, bare_back)
    return length, off


def _over_links(
    length: Floats, off: Floats, links: Sequence[tuple[Floats, Floats]], n: int
) -> tuple[Floats, Floats]:
    """Return the same with the ways from ring to ring; link ends stand behind n places."""
    length, off = length.copy(), off.copy()
    for k, (one, other) in enumerate(links):
        a, b = n + 2 * k, n + 2 * k + 1
        length[a, b] = length[b, a] = off[a, b] = off[b, a] = np.hypot(*(one - other))
    for k in range(n, len(length)):  # every link end, as a place on the way
        through = length[:, k, None] + length[None, k]
        bare = off[:, k, None] + off[None, k]
        better = through + OVER_WORKED * bare < length + OVER_WORKED * off
        length, off = np.where(better, through, length), np.where(better, bare, off)
    return length, off
