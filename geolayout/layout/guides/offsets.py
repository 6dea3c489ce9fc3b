"""
Offsets of land and paths whose curves are true to a millimetre.

A general buffer straightens hollow curves by a hundredth of its width before it offsets them,
which is centimetres at a turning radius. Here every edge is offset by itself: as a rectangle, or
with its neighbours as one shape where the path turns little. Metres in the field's local frame.
"""

from math import ceil, sqrt
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.polygons import polygon_parts

__all__ = ["CHORD", "GRID", "areas_of", "grown", "land_beside", "shrunk", "turns_of"]

CHORD: Final = 0.0004
"""A chord lies off its arc by this at most; up to four offsets follow one another. [m]"""

CHAIN_TURN: Final = np.pi / 2
"""Edges that turn by more altogether are offset as more than one shape. [rad]"""

SPECK: Final = 1e-6
"""Ground below this is rounding. [m2]"""

THIN: Final = 1e-7
"""Ground narrower than twice this is rounding, however long. [m]"""

GRID: Final = 1e-9
"""Overlays of shapes that share edges are made on this grid. [m]"""

Coordinates = NDArray[np.float64]


def shrunk(land: BaseGeometry, distance: float) -> BaseGeometry:
    """Return land without what lies within a distance of its edge."""
    if land.is_empty or distance <= 0.0:
        return land
    strips = np.concatenate([_offset_shapes(path, distance) for path in _edges_of(land)])
    taken = shapely.union_all(strips, grid_size=GRID)
    return areas_of(shapely.difference(land, taken, grid_size=GRID))


def grown(land: BaseGeometry, distance: float) -> BaseGeometry:
    """Return land with what lies within a distance of it."""
    if land.is_empty or distance <= 0.0:
        return land
    strips = [_offset_shapes(path[::-1], distance) for path in _edges_of(land)]
    return areas_of(shapely.union_all(np.concatenate([[land], *strips]), grid_size=GRID))


def _edges_of(land: BaseGeometry) -> list[Coordinates]:
    """Return the rings of land, closed, with the land on their left."""
    rings = shapely.get_rings(shapely.orient_polygons(polygon_parts(land)))
    return [shapely.get_coordinates(ring) for ring in rings]


def land_beside(path: Coordinates, distance: float) -> Polygon | MultiPolygon:
    """Return what lies within a distance on the left of a path, square to it or round a corner."""
    return areas_of(shapely.union_all(_offset_shapes(path, distance), grid_size=GRID))


def turns_of(before: Coordinates, after: Coordinates) -> NDArray[np.float64]:
    """Return how far each of several directions turns into another, to the left. [rad]"""
    sines = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.arctan2(sines, (before * after).sum(axis=1)))


def areas_of(geometry: BaseGeometry) -> Polygon | MultiPolygon:
    """Keep the parts that have an area, and close the pinholes that rounding leaves."""
    parts = [
        Polygon(part.exterior, [hole for hole in part.interiors if Polygon(hole).area > SPECK])
        for part in polygon_parts(geometry)
        if part.area > max(SPECK, THIN * part.length)
    ]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _offset_shapes(path: Coordinates, distance: float) -> NDArray[np.object_]:
    """
    Return shapes that together cover what lies within a distance on the left of a path.

    Where the path turns little they are one shape a chain of edges, with an arc at each corner to
    the right and the edges cut off where they meet at each corner to the left; else a rectangle
    an edge, and a sector a corner.
    """
    path = path[np.append(np.hypot(*np.diff(path, axis=0).T) > 0.0, True)]
    edges = np.diff(path, axis=0)
    lengths = np.hypot(*edges.T)
    units = edges / lengths[:, None]
    turns = np.append(turns_of(units[:-1], units[1:]), turns_of(units[-1:], units[:1]))
    if not (path[0] == path[-1]).all():
        turns[-1] = 0.0
    ends = _chain_ends(turns, lengths, distance)
    firsts = [0, *(end + 1 for end in ends[:-1])]
    chains = [
        _chain(path[a : b + 2], units[a : b + 1], turns[a : b + 1], distance)
        for a, b in zip(firsts, ends, strict=True)
    ]
    shapes = np.array(chains, dtype=object)
    valid = shapely.is_valid(shapes)
    broken = [
        _chain(path[j : j + 2], units[j : j + 1], turns[j : j + 1], distance)
        for i in np.flatnonzero(~valid).tolist()
        for j in range(firsts[i], ends[i] + 1)
    ]
    return np.concatenate([shapes[valid], np.array(broken, dtype=object)])


def _chain_ends(turns: Coordinates, lengths: Coordinates, distance: float) -> list[int]:
    """Return the last edge of each chain."""
    cut = 2 * distance * np.tan(np.clip(turns, 0.0, 3.0) / 2)
    breaks = (cut > np.minimum(lengths, np.roll(lengths, -1))).tolist()
    ends, turned = [], 0.0
    for i, turn in enumerate(np.abs(turns).tolist()):
        turned += turn
        if breaks[i] or turned > CHAIN_TURN or i == len(turns) - 1:
            ends.append(i)
            turned = 0.0
    return ends


def _chain(path: Coordinates, units: Coordinates, turns: Coordinates, distance: float) -> Polygon:
    """Return the shape of a chain; ``turns`` are those at the end of each edge."""
    left = np.stack([-units[:, 1], units[:, 0]], axis=1) * distance
    offset = [path[:1] + left[:1]]
    for i, turn in enumerate(turns.tolist()):
        corner, last = path[i + 1], i == len(turns) - 1
        if turn < 0.0:
            offset.append(corner + _arc(left[i], turn, distance))
        elif last:
            offset.append((corner + left[i])[None])
        else:
            offset.append((corner + left[i] - units[i] * distance * np.tan(turn / 2))[None])
    return Polygon(np.concatenate([path, *[np.concatenate(offset)[::-1]]]))


def _arc(start: Coordinates, turn: float, distance: float) -> Coordinates:
    """Return points of an arc about the origin from a start, both ends among them."""
    chords = max(ceil(abs(turn) / sqrt(8 * CHORD / distance)), 1)
    angle = np.arctan2(start[1], start[0]) + turn * np.arange(chords + 1) / chords
    return distance * np.stack([np.cos(angle), np.sin(angle)], axis=1)
