"""
Blocks with a bearing each, where that saves time: an L is two rectangles.

A field is cut from a corner that points into it, along one of the two edges that meet there, to
the far side. Each part then has its own bearing, and a headland along the cut where its rows end
there. Fields of several parts may have a bearing each without any cut.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.direction.candidates import every_bearing
from geolayout.appraisal.direction.look import Look, look_at
from geolayout.appraisal.direction.rings import rings_of
from geolayout.appraisal.direction.site import Site
from geolayout.appraisal.driving.speeds import METRES, TURNING
from geolayout.layout.headlands.edges import canonical_ring, outer_parts, thinned_corners, turns_at

__all__ = ["WORTH", "Split", "best_split"]

WORTH = 0.05
"""A split that saves a smaller share of the cost is not told. Our own choice. [-]"""

REFLEX = -20.0
"""A corner that turns away from the land by more points into it. [degrees]"""

MOST_CORNERS = 8
"""Corners that cuts are tried from, those that point in the most. Our own choice. [-]"""

LEAST_SHARE = 0.1
"""Parts smaller than this share of the land are not worth a bearing. Our own choice. [-]"""

STEP = 1.0
"""Between the even bearings that a part is looked at. [degrees]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """
    Land in parts with a bearing each.

    Attributes
    ----------
    parts : tuple of Polygon
        [m]
    bearings : tuple of float
        The best of each, from the frame's north. [degrees]
    cut : LineString or None
        The cut between them; None where the land is in parts already. [m]
    cost : float
        Of all parts together. [h]
    saved : float
        What that saves against the best single bearing. [h]
    share : float
        The same as a share. [-]
    """

    parts: tuple[BaseGeometry, ...]
    bearings: tuple[float, ...]
    cut: LineString | None
    cost: float
    saved: float
    share: float


def best_split(site: Site, land: BaseGeometry, whole: Look) -> Split | None:
    """
    Return the split that saves the most, where it saves enough to be told.

    Parameters
    ----------
    site : Site
        The block as the sweep sees it.
    land : Polygon or MultiPolygon
        The land that the sweep saw. [m]
    whole : Look
        What its bearings cost.

    Returns
    -------
    split : Split or None
        By the sweep's formulas, headlands along the cut included.
    """
    best, cost = None, float(whole.cost.min())
    for parts, cut in _ways(land):
        split = _split(site, parts, cut, cost)
        if split.share >= WORTH and (best is None or split.cost < best.cost):
            best = split
    return best


def _split(
    site: Site, parts: tuple[BaseGeometry, ...], cut: LineString | None, whole: float
) -> Split:
    """Return what parts cost, each at its best bearing."""
    looks = [_look(site, part) for part in parts]
    cost = sum(float(look.cost.min()) for look in looks)
    # from one part to the next a machine drives a turn at least
    further = sum(task.turn_length for task in site.tasks) / METRES / TURNING.usual
    cost += (len(parts) - 1) * further
    bearings = tuple(float(look.bearings[look.best]) for look in looks)
    return Split(parts, bearings, cut, cost, whole - cost, 1.0 - cost / whole)


def _look(site: Site, part: BaseGeometry) -> Look:
    """Look at the bearings of a part; a headland lies along its cut too."""
    rings = rings_of(part)
    around = site.around * part.area / site.rings.area
    own = replace(site, rings=rings, around=around)
    return look_at(own, every_bearing(rings, site.ends.steep, STEP))


def _ways(land: BaseGeometry) -> Iterator[tuple[tuple[BaseGeometry, ...], LineString | None]]:
    """Yield ways to part the land."""
    polygons = [part for part in outer_parts(land) if part.area >= LEAST_SHARE * land.area]
    if len(polygons) > 1:
        yield tuple(polygons), None
    if len(polygons) != 1:
        return
    for start, way in _starts(polygons[0]):
        cut = _cut(polygons[0], start, way)
        parts = _parted(polygons[0], cut) if cut is not None else ()
        if len(parts) == 2 and min(part.area for part in parts) >= LEAST_SHARE * land.area:
            yield parts, cut


def _starts(part: BaseGeometry) -> Iterator[tuple[Floats, Floats]]:
    """Yield corners that point into the land, and the ways in which an edge runs on from each."""
    ring = canonical_ring(shapely.get_exterior_ring(part))
    corners = ring[thinned_corners(ring)]
    after = np.diff(corners, axis=0)
    before = np.roll(after, 1, axis=0)
    turns = turns_at(before, after)
    for i in np.argsort(turns, kind="stable")[:MOST_CORNERS]:
        if turns[i] < REFLEX:
            yield corners[i], before[i]
            yield corners[i], -after[i]


def _cut(part: BaseGeometry, start: Floats, way: Floats) -> LineString | None:
    """Return the line from a corner through the land to its far side."""
    west, south, east, north = part.bounds
    reach = np.hypot(east - west, north - south) / np.hypot(*way)
    inside = shapely.intersection(part, LineString([start, start + way * reach]))
    at = shapely.Point(start)
    lines = [line for line in shapely.get_parts(inside) if line.geom_type == "LineString"]
    touching = [line for line in lines if line.distance(at) < 1e-6 and line.length > 1.0]
    return touching[0] if touching else None


def _parted(part: BaseGeometry, cut: LineString) -> tuple[BaseGeometry, ...]:
    """Return the ground on both sides of a cut."""
    ends = np.array(cut.coords)[[0, -1]]
    beyond = (ends[1] - ends[0]) / cut.length * 1e-3  # so that rounding leaves no bridge
    longer = LineString([ends[0] - beyond, ends[1] + beyond])
    net = shapely.union_all([shapely.boundary(part), longer])
    faces = shapely.get_parts(shapely.polygonize([net]))
    inner = shapely.point_on_surface(faces)
    return tuple(faces[shapely.contains(part, inner) & (shapely.area(faces) > 1.0)])
