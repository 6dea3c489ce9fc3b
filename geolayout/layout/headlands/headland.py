"""
Headlands and margins: the land along the boundary, all round or beside stretches of it.

A headland at the ends is the land within its width, measured square to the edge, of those
stretches of boundary which the guide lines meet steeply. Here is one such stretch, slanting, and
what is laid along it::

      next edge (a side)
    ________________V......      V     a convex corner at the end of the run
                   /  :   .      ....  the strip prolonged past V: without it the piece of land
                  /   : .              between the flat end of the strip and the next edge is lost
     the run     /    .
                /   .   square to the edge, inwards
               R            R    a reflex corner inside the run: a wedge there, mitred or rounded
              /             A run that ends at a reflex corner is cut flat, square to its edge.

Everything is in metres in the field's local frame, x east, y north.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, MultiPolygon, Polygon

from geolayout.errors import PlanError
from geolayout.layout.headlands.edges import (
    ANGLE_SLACK,
    TOUCH,
    Coordinates,
    EdgeRun,
    Land,
    canonical_ring,
    check_width,
    outer_parts,
    thinned_corners,
    turns_at,
)

__all__ = ["land_along", "round_headland"]

MITRE_LIMIT: Final = 5.0  # a mitre reaches this many widths from its corner, then is cut off
PROLONGED: Final = 5.0  # a strip is prolonged by at most this many widths
QUADRANT_SEGMENTS: Final = 16  # chords to a quarter circle, in buffers and in wedges alike
SPECK: Final = 1e-6  # a part or a hole smaller than this is rounding, not ground [m2]
CORNERS: Final = ("mitred", "rounded")


def round_headland(land: Land, width: float, *, corners: str) -> Land:
    """
    Return the land within a width of its outer rings.

    Holes get no headland: an obstacle inside the field is driven round, not turned at.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        Drivable land. [m]
    width : float
        Width of the headland, square to the edge. [m]
    corners : {"mitred", "rounded"}
        What the inner edge of the headland does at reflex corners.

    Returns
    -------
    headland : Polygon or MultiPolygon
        Part of the land; empty where the width is 0. [m]

    Raises
    ------
    MeasureError
        If the width is below 0 or not a number.
    PlanError
        If ``corners`` is neither word.

    Notes
    -----
    At a reflex corner that turns by a right angle, mitred and rounded headlands differ by
    ``(1 - pi / 4) * width**2``. Only corners of the ring thinned by 0.5 m are mitred: a notch of
    a few centimetres in a hand-drawn boundary would throw its mitre far into the field.

    Examples
    --------
    >>> round_headland(shapely.box(0, 0, 200, 100), 12.0, corners="mitred").area
    6624.0
    """
    check_width(width)
    _check_corners(corners)
    if land.is_empty or not width:
        return Polygon()
    parts = outer_parts(land)
    rings = [canonical_ring(ring) for ring in shapely.get_exterior_ring(parts)]
    filled = shapely.polygons([LinearRing(xy) for xy in rings])
    inner = shapely.buffer(filled, -width, quad_segs=QUADRANT_SEGMENTS)
    headland = np.array([_around(*both) for both in zip(parts, inner, strict=True)], dtype=object)
    if corners == "mitred":
        thinned = [xy[thinned_corners(xy)] for xy in rings]
        headland = np.concatenate([headland, _mitred_land(land, thinned, width)])
    return _areas(shapely.union_all(headland))


def _around(part: Polygon, inner: Land) -> Land:
    """
    Return a part without its inner land, which lies within its outer ring and touches it nowhere.

    Where nothing else is cut out of the part, the rings of both make the polygon: no overlay.
    """
    if part.interiors:
        around: Land = shapely.difference(part, inner)
        return around
    return Polygon(part.exterior, shapely.get_exterior_ring(shapely.get_parts(inner)))


def land_along(land: Land, runs: Sequence[EdgeRun], width: float, *, corners: str) -> Land:
    """
    Return the land within a width of runs of its boundary, measured square to the edge.

    A run is prolonged at convex corners until it leaves the land, by 5 widths at most, and cut
    flat at reflex corners. What a strip would cover beyond a gap in the land is left out.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land whose boundary the runs were found on. [m]
    runs : sequence of EdgeRun
        Runs of its outer rings.
    width : float
        Width, square to the edge. [m]
    corners : {"mitred", "rounded"}
        What the inner edge does at reflex corners inside a run. A mitre is cut off at 5 widths
        from its corner.

    Returns
    -------
    along : Polygon or MultiPolygon
        Part of the land; empty without runs, or where the width is 0. [m]

    Raises
    ------
    MeasureError
        If the width is below 0 or not a number.
    PlanError
        If ``corners`` is neither word.
    """
    check_width(width)
    _check_corners(corners)
    if not runs or width == 0.0:
        return Polygon()
    strips = np.array([_strip(run, width) for run in runs])
    along = _touching(strips, land, np.array([run.line for run in runs]))
    if corners == "mitred":
        thinned = [shapely.get_coordinates(run.thinned) for run in runs]
        along = np.concatenate([along, _mitred_land(land, thinned, width)])
    return _areas(shapely.union_all(along))


def _touching(
    shapes: NDArray[np.object_], land: Land, marks: NDArray[np.object_]
) -> NDArray[np.object_]:
    """Cut shapes to the land and keep the parts that touch each shape's mark."""
    parts, owner = shapely.get_parts(shapely.intersection(shapes, land), return_index=True)
    touching: NDArray[np.object_] = parts[shapely.dwithin(parts, marks[owner], TOUCH)]
    return touching


def _strip(run: EdgeRun, width: float) -> shapely.Geometry:
    """Return the strip along one run, rounded at reflex corners, not yet cut to the land."""
    path = shapely.get_coordinates(run.line)
    if not _is_closed(path):
        path = _prolonged(path, run, PROLONGED * width)
    rectangles = _rectangles(path, _units(path), width)
    return shapely.union_all(np.concatenate([rectangles, _sectors(*_reflex(path), width)]))


def _mitred_land(land: Land, paths: Sequence[Coordinates], width: float) -> NDArray[np.object_]:
    """Return the land under the mitres at the reflex corners inside paths."""
    at, before, after = (np.concatenate(c) for c in zip(*map(_reflex, paths), strict=True))
    mitres, corners = _mitres(at, before, after, width), np.asarray(shapely.points(at))
    shapely.prepare(land)
    whole = shapely.covers(land, mitres)  # far quicker than cutting, and so are most
    return np.concatenate([mitres[whole], _touching(mitres[~whole], land, corners[~whole])])


def _reflex(path: Coordinates) -> tuple[Coordinates, Coordinates, Coordinates]:
    """Return the reflex corners inside a path, and the directions before and after each."""
    units = _units(path)
    if _is_closed(path):
        at, before, after = path[:-1], np.roll(units, 1, axis=0), units
    else:
        at, before, after = path[1:-1], units[:-1], units[1:]
    reflex = turns_at(before, after) < 0.0
    return at[reflex], before[reflex], after[reflex]


def _is_closed(path: Coordinates) -> bool:
    """Say whether a path ends where it starts."""
    return bool((path[0] == path[-1]).all())


def _units(path: Coordinates) -> Coordinates:
    """Return the directions of a path's edges, shape (n - 1, 2)."""
    edges = np.diff(path, axis=0)
    units: Coordinates = edges / np.hypot(*edges.T)[:, None]
    return units


def _prolonged(path: Coordinates, run: EdgeRun, reach: float) -> Coordinates:
    """
    Add a point beyond each convex end of a run, straight on along its thinned last edge.

    The last edge as drawn may be a few centimetres long and point anywhere.
    """
    units = _units(shapely.get_coordinates(run.thinned))
    before = path[:1] - units[:1] * reach
    beyond = path[-1:] + units[-1:] * reach
    convex_first, convex_last = (turn > ANGLE_SLACK for turn in run.turns)
    longer: Coordinates = np.concatenate(
        [before[: int(convex_first)], path, beyond[: int(convex_last)]]
    )
    return longer


def _rectangles(path: Coordinates, units: Coordinates, width: float) -> NDArray[np.object_]:
    """Return one rectangle an edge, on its left."""
    inwards = _left(units) * width
    first, last = path[:-1], path[1:]
    rings = np.stack([first, last, last + inwards, first + inwards], axis=1)
    return np.asarray(shapely.polygons(rings))


def _mitres(
    at: Coordinates, before: Coordinates, after: Coordinates, width: float
) -> NDArray[np.object_]:
    """
    Return the mitred wedge at each reflex corner.

    Both inner edges run on until they meet, at ``width * tan(turn / 2)``, or until they are
    ``MITRE_LIMIT * width`` from the corner along its bisector, where the tip is cut off square.
    """
    half = np.radians(-turns_at(before, after)) / 2
    meet, limit = np.tan(half), (MITRE_LIMIT - np.cos(half)) / np.sin(half)
    run_on = (np.minimum(meet, limit) * width)[:, None]
    start, stop = at + _left(before) * width, at + _left(after) * width
    tip, other = start + before * run_on, stop - after * run_on
    other[meet <= limit] = tip[meet <= limit]  # one point, not two that rounding tells apart
    return np.asarray(shapely.polygons(np.stack([at, stop, other, tip, start], axis=1)))


def _sectors(
    at: Coordinates, before: Coordinates, after: Coordinates, width: float
) -> NDArray[np.object_]:
    """Return the rounded wedge at each reflex corner, in chords as ``shapely.buffer`` has them."""
    turn = np.radians(-turns_at(before, after))
    chords = np.maximum(np.floor(turn / (np.pi / 2 / QUADRANT_SEGMENTS) + 0.5).astype(int), 1)
    owner = np.repeat(np.arange(len(at)), chords + 1)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(chords + 1) - chords - 1, chords + 1)
    normal = _left(before)
    angle = np.arctan2(normal[:, 1], normal[:, 0])[owner] - step * (turn / chords)[owner]
    arcs = at[owner] + np.stack([np.cos(angle), np.sin(angle)], axis=1) * width
    ends = np.flatnonzero(step == chords[owner])
    arcs[ends] = (at + _left(after) * width)[owner[ends]]
    arcs[step == 0] = at + normal * width
    order = np.argsort(np.concatenate([np.arange(len(at)), owner]), kind="stable")
    rings = shapely.linearrings(
        np.concatenate([at, arcs])[order], indices=np.repeat(np.arange(len(at)), chords + 2)
    )
    return np.asarray(shapely.polygons(rings))


def _left(units: Coordinates) -> Coordinates:
    """Turn vectors to the left by a right angle."""
    turned: Coordinates = np.stack([-units[:, 1], units[:, 0]], axis=1)
    return turned


def _areas(geometry: shapely.Geometry) -> Land:
    """Keep what has an area, without the specks and pinholes that rounding leaves."""
    parts = shapely.get_parts(geometry)
    rings, owner = shapely.get_rings(parts[shapely.get_dimensions(parts) == 2], return_index=True)
    shells = np.diff(owner, prepend=-1) > 0
    sizes = np.asarray(shapely.area(shapely.polygons(rings)))
    kept = (sizes > SPECK) & (sizes[shells] > SPECK)[owner]
    _, places = np.unique(owner[kept], return_inverse=True)
    areas = np.asarray(shapely.polygons(rings[kept], indices=places))
    return areas[0] if len(areas) == 1 else MultiPolygon(list(areas)) if len(areas) else Polygon()


def _check_corners(corners: str) -> None:
    """Refuse a kind of corner that there is not."""
    if corners not in CORNERS:
        raise PlanError(
            f"The corners of the headland are {corners!r}.",
            "A headland turns a reflex corner in one of two ways.",
            f"Use {' or '.join(CORNERS)}.",
        )
