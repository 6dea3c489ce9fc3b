"""
Rounds: closed tracks that a machine drives along an edge, none tighter than it can turn.

The centre of a machine that works land w wide along an edge drives at w / 2 from it. Where the
edge turns towards the land, its track is rounded to the turning radius, and ground in the corner
is missed; where the edge turns away, the track may be rounded too, but then comes nearer to the
edge, which only a little of is allowed::

     ______________________
    | x  .--------------      x  missed: the machine turns at its radius, inside the corner
    |  /                      A convex corner of a right angle misses (1 - pi / 4) (R + w / 2)^2.
    | |
    | |         ______|       At a reflex corner a track of radius R would cut the corner: where it
    | |        . . . .        comes nearer to the edge than its distance by more than 20 cm, the
    | |       :               driver runs on straight, lifts out, and starts anew on the other side.

Everything is in metres in the field's local frame; an edge lies on the right of its track, so that
rounds of a field run anticlockwise, and those about an obstacle clockwise.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, sqrt
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides.offsets import (
    CHORD,
    GRID,
    areas_of,
    grown,
    land_beside,
    shrunk,
    turns_of,
)
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.plan.slack import ACROSS_SLACK

__all__ = [
    "NEARER",
    "Track",
    "about",
    "missed",
    "round_distances",
    "rounded_core",
    "swath",
    "tracks",
]

NEARER: Final = 0.2
"""A track may come nearer to a reflex corner than its distance by this; our own choice. [m]"""

APART: Final = 1e-3
"""A track that would run on by less is there already. [m]"""

KINK: Final = np.radians(3.0)
"""A track that turns by this more than its radius lets it has a kink. [rad]"""

RUN_ON: Final = 5.0
"""A track cut at a corner runs on by so many distances from the edge at most. [-]"""

Coordinates = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """
    One stretch that a machine drives without lifting out.

    Attributes
    ----------
    line : LineString
        Where its centre goes, edge on the right. [m]
    closed : bool
        Whether it ends where it starts.
    """

    line: LineString
    closed: bool


def round_distances(headland: float, width: float) -> Coordinates:
    """
    Return how far from the edge the centre of each round drives.

    Parameters
    ----------
    headland : float
        Width of the headland. [m]
    width : float
        Working width of the machine. [m]

    Returns
    -------
    distances : ndarray, shape (n,)
        The outermost first. [m]

    Notes
    -----
    ``n = ceil((headland - 0.05) / width)``, round k drives at ``(k - 1 / 2) * width``. A last
    round that would reach beyond the headland moves outwards until its inner edge is the
    headland's; on a headland narrower than the machine it keeps to the outer edge.

    Examples
    --------
    >>> round_distances(14.0, 6.0).tolist()
    [3.0, 9.0, 11.0]
    """
    count = max(ceil((headland - ACROSS_SLACK) / width), 0)
    distances = np.arange(0.5, count, dtype=np.float64) * width
    if count > 1 and count * width > headland:
        distances[-1] = headland - width / 2
    return distances


def rounded_core(
    land: BaseGeometry, distance: float, radius: float, *, nearer: float = NEARER
) -> Polygon | MultiPolygon:
    """
    Return the land whose outline a machine's centre can drive along.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        Land; its holes count as edges too. [m]
    distance : float
        From the edge to the machine's centre. [m]
    radius : float
        Smallest radius that its centre drives. [m]
    nearer : float, default 0.2
        How much nearer to the edge a rounded reflex corner may bring it; a corner that would
        bring it nearer stays as it is. [m]

    Returns
    -------
    core : Polygon or MultiPolygon
        Empty where the land is too narrow to be driven round. [m]

    Notes
    -----
    Erosion by the distance, opening by the radius, closing by the radius: of a disc, an erosion
    by a and one by b are one by a + b. Of the closing, only those fillets are taken that stay at
    least ``distance - nearer`` from the edge. No arc is off by more than 2 mm.

    Examples
    --------
    >>> core = rounded_core(shapely.box(0, 0, 200, 100), 3.0, 6.5)
    >>> round(core.area, 0) == round(194 * 94 - (4 - np.pi) * 6.5**2, 0)
    True
    """
    inner = shrunk(land, distance + radius)
    if inner.is_empty or not radius:
        return areas_of(inner)
    opened = grown(inner, radius)
    closed = shrunk(grown(opened, radius), radius)
    good, bad = _fillets(land, closed, opened, distance - nearer)
    if not bad:
        return areas_of(closed)
    return areas_of(shapely.union_all([opened, *good], grid_size=GRID))


def _fillets(
    land: BaseGeometry, closed: BaseGeometry, opened: BaseGeometry, least: float
) -> tuple[list[Polygon], list[Polygon]]:
    """Return what closing adds: parts far enough from the edge to be driven, and the others."""
    parts = polygon_parts(shapely.difference(closed, opened, grid_size=GRID))
    parts = parts[2 * shapely.area(parts) > 4 * CHORD * shapely.length(parts)]
    edge = shapely.boundary(land)
    good = (shapely.distance(parts, edge) >= least) & shapely.covers(land, parts)
    return parts[good].tolist(), parts[~good].tolist()


def tracks(core: BaseGeometry, distance: float, radius: float) -> list[Track]:
    """
    Return the tracks along the outline of a core.

    Parameters
    ----------
    core : Polygon or MultiPolygon
        As `rounded_core` gives it. [m]
    distance : float
        From the edge to the machine's centre. [m]
    radius : float
        Smallest radius that its centre drives. [m]

    Returns
    -------
    found : list of Track
        Closed rounds, and open stretches between corners that are too tight. A stretch runs on
        straight over such a corner until it is abreast of the next one. From west to east by
        their first point; a closed one starts where it lies farthest west, then south.
    """
    found: list[Track] = []
    for part in polygon_parts(core):
        for ring in shapely.get_rings(shapely.orient_polygons(part)):
            found.extend(_ring_tracks(shapely.get_coordinates(ring), distance, radius, core))
    return sorted(found, key=lambda track: _first(track.line))


def about(obstacle: BaseGeometry, reach: float) -> Polygon | MultiPolygon:
    """
    Return a wide ground about an obstacle, of which it is a hole.

    Convex corners of the obstacle are reflex corners of that ground, and the other way round, so
    that `rounded_core` and `tracks` serve for both. Its outer edge is no edge to drive along.
    """
    west, south, east, north = obstacle.bounds
    around = shapely.box(west - reach, south - reach, east + reach, north + reach)
    return areas_of(shapely.difference(around, obstacle))


def swath(line: BaseGeometry, width: float) -> Polygon | MultiPolygon:
    """
    Return the ground that a machine covers along a track: flat ends, round joins.

    Parameters
    ----------
    line : LineString
        The track of its centre. [m]
    width : float
        Ground it covers. [m]
    """
    xy = shapely.get_coordinates(line)
    sides = [land_beside(path, width / 2) for path in (xy, xy[::-1])]
    return areas_of(shapely.union_all(sides, grid_size=GRID))


def missed(strip: BaseGeometry, swaths: BaseGeometry) -> Polygon | MultiPolygon:
    """Return the ground of a strip that no swath covers."""
    return areas_of(shapely.difference(strip, swaths, grid_size=GRID))


def _first(line: LineString) -> tuple[float, float]:
    """Return the first point of a line, to the millimetre. [m]"""
    x, y = shapely.get_coordinates(line)[0].round(3).tolist()
    return x, y


def _ring_tracks(
    ring: Coordinates, distance: float, radius: float, core: BaseGeometry
) -> list[Track]:
    """Return a ring as one closed track, or as the stretches between its tight corners."""
    xy = _thinned(ring)
    tight = _tight(xy, radius)
    if not tight.any():
        return [_closed(xy)]
    stretches = _bridged(_stretches(xy, tight, radius), radius, core)
    if not stretches:
        return []
    if len(stretches) == 1 and (stretches[0][0] == stretches[0][-1]).all():
        return [_closed(stretches[0][:-1])]
    pairs = zip(stretches, [*stretches[1:], stretches[0]], strict=True)
    corners = [_meeting(one, other, RUN_ON * distance, core) for one, other in pairs]
    joined = zip([corners[-1], *corners[:-1]], stretches, corners, strict=True)
    return [
        Track(LineString(np.concatenate([before, one, after])), False)
        for before, one, after in joined
    ]


def _closed(xy: Coordinates) -> Track:
    """Return a ring without its last vertex as a closed track from its westernmost vertex."""
    first = np.lexsort((xy[:, 1].round(3), xy[:, 0].round(3)))[0]
    xy = np.roll(xy, -first, axis=0)
    return Track(LineString(np.concatenate([xy, xy[:1]])), True)


def _thinned(ring: Coordinates) -> Coordinates:
    """Return a ring without its last vertex, without overlays' crumbs, after its longest edge."""
    xy = shapely.get_coordinates(shapely.simplify(shapely.LinearRing(ring), CHORD))[:-1]
    longest = int(np.argmax(np.hypot(*(np.roll(xy, -1, axis=0) - xy).T)))
    return np.roll(xy, -longest - 1, axis=0)


def _tight(xy: Coordinates, radius: float) -> NDArray[np.bool_]:
    """
    Mark the vertices of an open ring where it is tighter than a radius.

    Along an arc that is wide enough a track turns by at most its length over the radius. What it
    turns more is added up, and forgotten as it runs on; where the sum passes a kink, every vertex
    since the sum was 0 is tight, and so are the vertices a chord before and after.
    """
    before = xy - np.roll(xy, 1, axis=0)
    after = np.roll(xy, -1, axis=0) - xy
    turns = turns_of(before, after)
    lengths = np.stack([np.hypot(*before.T), np.hypot(*after.T)])
    chord = _longest_chord(radius)
    excess = np.minimum(lengths, chord).mean(axis=0) / radius
    tight = _risen(turns - excess) | _risen(-turns - excess)
    short = lengths[1] < chord
    beside = (np.roll(tight, 1) & np.roll(short, 1)) | (np.roll(tight, -1) & short)
    return np.asarray(tight | beside, dtype=np.bool_)


def _risen(steps: Coordinates) -> NDArray[np.bool_]:
    """Mark the steps by which a sum that never falls below 0 rises beyond a kink."""
    marked = np.zeros(len(steps), dtype=bool)
    total, since = 0.0, 0
    for i, step in enumerate(steps.tolist()):
        if total <= 0.0:
            total, since = 0.0, i
        total += step
        if total > KINK and step > 0.0:
            marked[since : i + 1] = True
    return marked


def _longest_chord(radius: float) -> float:
    """Return the longest chord of an arc in a thinned ring. [m]"""
    return 2 * sqrt(8 * CHORD * radius)


def _stretches(xy: Coordinates, tight: NDArray[np.bool_], radius: float) -> list[Coordinates]:
    """Return the stretches of an open ring from the end of one tight place to the next."""
    start = int(np.flatnonzero(tight)[0])
    at = np.flatnonzero(np.append(np.roll(tight, -start), True))
    xy = np.roll(xy, -start, axis=0)
    xy = np.concatenate([xy, xy[:1]])
    runs = [xy[a : b + 1] for a, b in pairwise(at.tolist())]
    chord = _longest_chord(radius)
    return [run for run in runs if len(run) > 2 or np.hypot(*(run[1] - run[0])) >= chord]


def _bridged(stretches: list[Coordinates], radius: float, core: BaseGeometry) -> list[Coordinates]:
    """
    Leave out short stretches over which their neighbours run on into each other.

    Where a way too narrow to be driven round opens into a field, the core bulges into it: a
    driver goes straight on.
    """
    i = 0
    while len(stretches) > 1 and i < len(stretches):
        around = stretches[i - 1 :] + stretches[: i - 1]  # the ring from the stretch before
        before, after = around[0], around[2 % len(around)]
        length = float(np.hypot(*np.diff(stretches[i], axis=0).T).sum())
        if length < 4 * radius and _run_into(before, after, core):
            if len(stretches) == 2:
                return [np.concatenate([before, before[:1]])]
            stretches, i = [np.concatenate([before, after]), *around[3:]], 0
        else:
            i += 1
    return stretches


def _run_into(one: Coordinates, other: Coordinates, core: BaseGeometry) -> bool:
    """Say whether a stretch goes on straight into another, over the core."""
    gap = (other[0] - one[-1])[None]
    turns = [turns_of(one[-1:] - one[-2:-1], gap), turns_of(gap, other[1:2] - other[:1])]
    straight = np.abs(turns).max() < KINK
    return bool(straight and _over(core, np.stack([one[-1], other[0]])))


def _meeting(one: Coordinates, other: Coordinates, reach: float, core: BaseGeometry) -> Coordinates:
    """Return the point where two stretches meet that run on straight over a corner, if any."""
    u, v = one[-1] - one[-2], other[1] - other[0]
    u, v = u / np.hypot(*u), v / np.hypot(*v)
    cross = u[0] * v[1] - u[1] * v[0]
    if cross >= -1e-9:  # not a corner that turns away from the land
        return np.empty((0, 2))
    gap = other[0] - one[-1]
    on = (gap[0] * v[1] - gap[1] * v[0]) / cross
    back = (gap[0] * u[1] - gap[1] * u[0]) / cross
    point = one[-1] + u * on
    if not (APART < on <= reach and APART < -back <= reach):
        return np.empty((0, 2))
    way = np.stack([one[-1], point, other[0]])
    return point[None] if _over(core, way) else np.empty((0, 2))


def _over(core: BaseGeometry, way: Coordinates) -> bool:
    """Say whether a way lies on a core, to a centimetre."""
    return bool(shapely.buffer(core, 0.01).covers(LineString(way)))
