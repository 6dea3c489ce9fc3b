"""
Dense boundaries thinned before they are worked with.

A boundary of 20,000 noisy corners makes every offset take seconds and tells nothing about the
field that 3,000 do not. Corners are left out by Douglas and Peucker's rule, at most so far off the
line that stays as is said.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

__all__ = ["LADDER", "MOST_CORNERS", "Thinned", "corners_of", "thinned"]

MOST_CORNERS = 3_000
"""A boundary of more corners than this is thinned; our own choice, see the benchmarks. [-]"""

LADDER = (0.02, 0.05, 0.1, 0.25)
"""
Tolerances that are tried, smallest first. The last is a hand's span over what a receiver with
corrections strays; our own choice. [m]
"""


TIGHTER = 0.7
"""Share of the tolerance that is tried next where it was overstepped. [-]"""

TIGHTENINGS = 12
"""Times that it is tried; the last is told a fiftieth of the tolerance. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class Thinned:
    """
    Land with fewer corners.

    Attributes
    ----------
    land : Polygon or MultiPolygon
        In the frame, valid. [m]
    tolerance : float
        Farthest that a corner left out lies off the line. 0 if none was left out. [m]
    before, after : int
        Corners, none counted twice.
    """

    land: Polygon | MultiPolygon
    tolerance: float
    before: int
    after: int


def thinned(land: Polygon | MultiPolygon, tolerance: float | None = None) -> Thinned:
    """
    Leave out corners that the line does not need.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        In the frame, valid. [m]
    tolerance : float, optional
        Farthest that a corner left out may lie off the line; 0 leaves out none. Where nothing
        is said, land of over 3,000 corners is thinned by the smallest of 0.02, 0.05, 0.1 and
        0.25 m that brings it under, and by the last if none does. [m]

    Returns
    -------
    thinned : Thinned

    Notes
    -----
    D. H. Douglas and T. K. Peucker, 1973, Algorithms for the reduction of the number of points
    required to represent a digitized line or its caricature, Cartographica 10 (2), 112-122 (from
    memory), in the form of GEOS that keeps rings from crossing. GEOS may also leave out the corner
    a ring starts at, and so stray farther than it was told. Rings therefore start at their sharpest
    corner; the distance is measured, and the tolerance tightened where it is overstepped all the
    same.
    """
    before = corners_of(land)
    if tolerance is None and before <= MOST_CORNERS:
        return Thinned(land, 0.0, before, before)
    step = _least(land) if tolerance is None else tolerance
    less = _within(land, step) if step else land
    after = corners_of(less)
    return Thinned(less, step if after < before else 0.0, before, after)


def _least(land: Polygon | MultiPolygon) -> float:
    """Find the smallest tolerance that leaves few corners, or the last of all."""
    for step in LADDER[:-1]:
        if corners_of(shapely.simplify(land, step, preserve_topology=True)) <= MOST_CORNERS:
            return step
    return LADDER[-1]


def _within(land: Polygon | MultiPolygon, tolerance: float) -> Polygon | MultiPolygon:
    """Thin land so that no corner left out lies farther off than the tolerance."""
    turned = _from_sharpest(land, shapely.simplify(land, tolerance, preserve_topology=True))
    told = tolerance
    for _ in range(TIGHTENINGS):
        less: Polygon | MultiPolygon = shapely.simplify(turned, told, preserve_topology=True)
        if _farthest(land, less) <= tolerance:
            return less
        told *= TIGHTER
    return land


def _from_sharpest(land: BaseGeometry, less: BaseGeometry) -> Polygon | MultiPolygon:
    """Start each ring of land at the corner that stands out most once it is thinned."""
    tree = shapely.STRtree(shapely.get_rings(shapely.get_parts(less)))
    parts = []
    for part in shapely.get_parts(land):
        rings = [_started(ring, tree) for ring in shapely.get_rings(part)]
        parts.append(Polygon(rings[0], rings[1:]))
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _started(ring: shapely.LinearRing, thinned_rings: shapely.STRtree) -> NDArray[np.float64]:
    """Turn one ring round to start at the sharpest corner of the thinned ring that shares most."""
    corners: NDArray[np.float64] = shapely.get_coordinates(ring)[:-1]
    place = {tuple(corner): number for number, corner in enumerate(corners.tolist())}
    near = thinned_rings.geometries[thinned_rings.query(ring)]
    kept = max(
        (shapely.get_coordinates(other)[:-1] for other in near),
        key=lambda others: sum(tuple(corner) in place for corner in others.tolist()),
        default=corners,
    )
    before, after = np.roll(kept, 1, axis=0), np.roll(kept, -1, axis=0)
    chords = shapely.linestrings(np.stack((before, after), axis=1))
    sharpest = tuple(kept[int(shapely.distance(chords, shapely.points(kept)).argmax())].tolist())
    turned = np.roll(corners, -place.get(sharpest, 0), axis=0)
    return np.concatenate((turned, turned[:1]))


def _farthest(land: BaseGeometry, less: BaseGeometry) -> float:
    """Measure how far the corners of land lie off the rings of another, at most. [m]"""
    corners, ring = shapely.get_coordinates(
        shapely.get_rings(shapely.get_parts(less)), return_index=True
    )
    same = ring[1:] == ring[:-1]
    edges = shapely.linestrings(np.stack((corners[:-1][same], corners[1:][same]), axis=1))
    points = shapely.points(shapely.get_coordinates(land))
    _, distance = shapely.STRtree(edges).query_nearest(
        points, return_distance=True, all_matches=False
    )
    return float(distance.max())


def corners_of(land: Polygon | MultiPolygon) -> int:
    """
    Count the corners of all rings, none twice.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        In any unit.

    Returns
    -------
    corners : int
    """
    rings = shapely.get_rings(shapely.get_parts(land))
    return int((shapely.get_num_coordinates(rings) - 1).sum())
