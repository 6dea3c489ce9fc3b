"""
From straight lines in metres to lines in degrees that stay straight.

A file in longitude and latitude joins its points by lines that are straight in degrees. On the
ground such a line bows away from the straight one between the same two points::

    bow = |dx| tan(lat) (dy^2 + dx^2 / 2) / (4 R L)        dx east, dy north, L = |(dx, dy)|

which for a line due east is ``L^2 tan(lat) / (8 R)``: 2.3 mm at 300 m and 25 mm at 1 km at 52
degrees, and nothing for a line due north. So vertices are added until no piece bows more than
1 mm.

Areas that share an edge must get the same vertices on it, or slits open between them. First every
vertex that lies on another area's edge becomes a vertex of that edge too; then edges get a vertex
wherever they cross a grid that is fixed in the field's frame, counted from the same end whichever
way the edge is run.
"""

from dataclasses import dataclass
from math import radians, sqrt, tan

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.land.frames.frame import Frame

__all__ = [
    "AREA_DECIMALS",
    "LINE_DECIMALS",
    "MOST_BOW",
    "bow",
    "grid_step",
    "lonlat_areas",
    "lonlat_lines",
    "rounded",
    "sound",
]

LINE_DECIMALS = 9
"""Decimals of a degree of rows, trees and passes: a tenth of a millimetre. [-]"""

AREA_DECIMALS = 9
"""
Decimals of a degree of ground. [-]

With 8 decimals, a millimetre, the area of a field of 8 ha whose corners are no round degrees came
out wrong by 1.3 parts in a million; with 9 by a tenth of that.
"""

MOST_BOW = 0.001
"""How far a line of a file may lie off the line that is meant. [m]"""

SMALLEST_RADIUS = 6.335e6
"""Smallest radius of curvature of WGS 84, so that a bow is never underrated. [m]"""

WORST_BOW = 0.1361
"""Largest value over all directions of |sin| (cos^2 + sin^2 / 2) / 4, at 54.7 degrees. [-]"""

WIDEST_STEP = 1000.0
"""Widest grid, for fields near the equator. [m]"""

SAME = 1e-6
"""Points nearer than this are one: far above rounding, far below any survey. [m]"""

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class _Chains:
    """Rings or lines in two arrays: their vertices, and the chain that each belongs to."""

    xy: Floats
    chain: Ints

    @property
    def edges(self) -> tuple[Floats, Floats, Ints]:
        """Start and end of every edge, and the place of its start in `xy`."""
        place = np.flatnonzero(self.chain[1:] == self.chain[:-1])
        return self.xy[place], self.xy[place + 1], place

    def with_points(self, place: Ints, order: Floats, xy: Floats) -> "_Chains":
        """Insert points behind the vertices at `place`, those of one edge by their order."""
        places = np.concatenate([np.arange(len(self.xy)), place])
        orders = np.concatenate([np.full(len(self.xy), -1.0), order])
        sequence = np.lexsort((orders, places))
        every = np.concatenate([self.xy, xy])[sequence]
        return _Chains(every, self.chain[places[sequence]])


def bow(dx: Floats, dy: Floats, lat: float) -> Floats:
    """
    Return how far lines that are straight in degrees bow off the straight.

    Parameters
    ----------
    dx, dy : ndarray, shape (n,)
        Their reach east and north. [m]
    lat : float
        Latitude. [degrees]

    Returns
    -------
    bow : ndarray, shape (n,)
        Greatest distance between the two lines. [m]

    Examples
    --------
    >>> bow(np.array([300.0]), np.array([0.0]), 52.0).round(4)
    array([0.0023])
    """
    dx, dy = np.abs(dx), np.abs(dy)
    length = np.hypot(dx, dy)
    reach = dx * (dy**2 + dx**2 / 2) * abs(tan(radians(lat))) / (4 * SMALLEST_RADIUS)
    return np.divide(reach, length, out=np.zeros_like(length), where=length > 0)


def grid_step(lat: float) -> float:
    """Return the step of a square grid in which no piece of a line bows too much. [m]"""
    slope = abs(tan(radians(lat)))
    longest = sqrt(MOST_BOW * SMALLEST_RADIUS / (WORST_BOW * slope)) if slope else WIDEST_STEP
    return float(min(WIDEST_STEP, longest / sqrt(2)))


def lonlat_lines(lines: NDArray[np.object_], frame: Frame) -> NDArray[np.object_]:
    """
    Bring lines from the frame to degrees, with vertices wherever they would bow.

    Parameters
    ----------
    lines : ndarray of LineString, shape (n,)
        In the frame. [m]
    frame : Frame
        Of the field.

    Returns
    -------
    lines : ndarray of LineString, shape (n,)
        On WGS 84, longitude first. [degrees]
    """
    if not len(lines):
        return np.empty(0, dtype=object)
    xy, chain = shapely.get_coordinates(lines, return_index=True)
    chains = _Chains(xy, chain)
    a, b, place = chains.edges
    off = bow(b[:, 0] - a[:, 0], b[:, 1] - a[:, 1], frame.lat)
    pieces = np.maximum(np.ceil(np.sqrt(off / MOST_BOW)), 1).astype(np.int64)
    edge, k = _counted(pieces - 1)
    share = (k + 1) / pieces[edge]
    added = a[edge] + share[:, None] * (b[edge] - a[edge])
    dense = chains.with_points(place[edge], share, added)
    drawn = shapely.linestrings(frame.lonlat(dense.xy), indices=dense.chain)
    return np.asarray(drawn, dtype=object)


def lonlat_areas(areas: NDArray[np.object_], frame: Frame) -> NDArray[np.object_]:
    """
    Bring areas from the frame to degrees, alike wherever two of them share an edge.

    Parameters
    ----------
    areas : ndarray of Polygon or MultiPolygon, shape (n,)
        Areas that may touch and do not overlap, in the frame. [m]
    frame : Frame
        Of the field.

    Returns
    -------
    areas : ndarray of Polygon, or of MultiPolygon where any was one, shape (n,)
        On WGS 84, longitude first, outer rings counter-clockwise. [degrees]

    Notes
    -----
    An area that comes within a micrometre of itself touches itself afterwards, and is given as
    a MultiPolygon.
    """
    if not len(areas):
        return np.empty(0, dtype=object)
    parts, area = shapely.get_parts(areas, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    chains = _snapped(_Chains(*shapely.get_coordinates(rings, return_index=True)))
    dense = _with_grid(_with_nodes(chains), grid_step(frame.lat))
    drawn = _polygons(_Chains(frame.lonlat(dense.xy), dense.chain), part, len(parts))
    drawn = sound(drawn)
    if (shapely.get_type_id(areas) == shapely.GeometryType.POLYGON).all():
        return drawn
    pieces, piece = shapely.get_parts(drawn, return_index=True)
    return sound(np.asarray(shapely.multipolygons(pieces, indices=area[piece]), dtype=object))


def sound(areas: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return areas with those that touch or cross themselves parted, rings counter-clockwise."""
    bad = ~shapely.is_valid(areas)
    if bad.any():
        areas = areas.copy()
        areas[bad] = shapely.make_valid(areas[bad], method="structure", keep_collapsed=False)
    return np.asarray(shapely.orient_polygons(areas, exterior_cw=False), dtype=object)


def rounded(shapes: NDArray[np.object_], decimals: int) -> NDArray[np.object_]:
    """Return shapes with rounded coordinates; one that would shrink to nothing stays as drawn."""
    found = _rounded(shapes, decimals)
    if (shapely.get_dimensions(found) < 2).all():
        return found
    found = sound(found)
    gone = shapely.is_empty(found)
    found[gone] = shapes[gone]
    return found


def _rounded(shapes: NDArray[np.object_], decimals: int) -> NDArray[np.object_]:
    """Round every coordinate; adding nought turns -0.0 into 0.0."""
    moved = shapely.transform(shapes, lambda xy: np.round(xy, decimals) + 0.0)
    return np.asarray(moved, dtype=object)


def _polygons(rings: _Chains, part: Ints, count: int) -> NDArray[np.object_]:
    """Put rings together to polygons; a ring that shrank to nothing is left out with its holes."""
    sizes = np.bincount(rings.chain, minlength=len(part))
    outer = np.concatenate([[True], part[1:] != part[:-1]])
    gone = np.zeros(count, dtype=bool)
    gone[part[outer & (sizes < 4)]] = True
    keep = (sizes >= 4) & ~gone[part]
    number = np.cumsum(keep) - 1
    inside = keep[rings.chain]
    drawn = shapely.linearrings(rings.xy[inside], indices=number[rings.chain[inside]])
    out = np.full(count, shapely.Polygon(), dtype=object)
    shapely.polygons(drawn, indices=part[keep], out=out)
    return out


def _counted(counts: Ints) -> tuple[Ints, Ints]:
    """Return for counts such as (2, 0, 1) the owners (0, 0, 2) and the numbers (0, 1, 0)."""
    owner = np.repeat(np.arange(len(counts)), counts)
    return owner, np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)


def _snapped(chains: _Chains) -> _Chains:
    """Make one point of points that differ by rounding, and drop the edges this leaves empty."""
    unique, index = np.unique(chains.xy, axis=0, return_inverse=True)
    points = shapely.points(unique)
    near, other = shapely.STRtree(points).query(points, predicate="dwithin", distance=SAME)
    first = np.arange(len(unique))
    np.minimum.at(first, near, other)
    place = first[index.ravel()]
    repeated = (place[1:] == place[:-1]) & (chains.chain[1:] == chains.chain[:-1])
    keep = np.concatenate([[True], ~repeated])
    return _Chains(unique[place[keep]], chains.chain[keep])


def _with_nodes(chains: _Chains) -> _Chains:
    """Give each edge the vertices of other areas that lie on it."""
    a, b, place = chains.edges
    corners = np.unique(chains.xy, axis=0)
    lines = shapely.linestrings(np.stack([a, b], axis=1))
    tree = shapely.STRtree(shapely.points(corners))
    edge, corner = tree.query(lines, predicate="dwithin", distance=SAME)
    step = b[edge] - a[edge]
    along = ((corners[corner] - a[edge]) * step).sum(axis=1)
    share = along / (step**2).sum(axis=1)
    length = np.hypot(step[:, 0], step[:, 1])
    inner = (share * length > SAME) & ((1 - share) * length > SAME)
    return chains.with_points(place[edge[inner]], share[inner], corners[corner[inner]])


def _with_grid(chains: _Chains, step: float) -> _Chains:
    """Give each edge a vertex wherever it crosses a grid line of the frame."""
    a, b, place = chains.edges
    back = (a[:, 0] > b[:, 0]) | ((a[:, 0] == b[:, 0]) & (a[:, 1] > b[:, 1]))
    low, high = np.where(back[:, None], b, a), np.where(back[:, None], a, b)
    found = [_crossings(low, high, axis, step) for axis in (0, 1)]
    edge = np.concatenate([f[0] for f in found])
    share = np.concatenate([f[1] for f in found])
    added = low[edge] + share[:, None] * (high[edge] - low[edge])
    order = np.where(back[edge], 1 - share, share)
    return chains.with_points(place[edge], order, added)


def _crossings(low: Floats, high: Floats, axis: int, step: float) -> tuple[Ints, Floats]:
    """Return the edges that cross grid lines of one axis, and the share of them before it."""
    start, end = low[:, axis], high[:, axis]
    near, far = np.minimum(start, end), np.maximum(start, end)
    first = np.floor((near + SAME) / step).astype(np.int64) + 1
    last = np.ceil((far - SAME) / step).astype(np.int64) - 1
    edge, k = _counted(np.maximum(last - first + 1, 0))
    at = (first[edge] + k) * step
    return edge, (at - start[edge]) / (end - start)[edge]
