"""Parts of tracks: on their ground, past obstacles, as far as there is something to work."""

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from geolayout.layout.headlands.rounds import Track, swath

__all__ = ["SHORTEST", "SPECK", "TOUCH", "clipped", "past_obstacles", "reaching"]

SPECK = 1e-6
"""Ground below this is rounding, and no reason to drive. [m2]"""

SHORTEST = 1.0
"""A stretch shorter than this is not driven; a piece of row is counted from here too. [m]"""

TOUCH = 1e-3
"""A track on the edge of its ground is still on it. [m]"""


def clipped(found: Sequence[Track], ground: BaseGeometry) -> list[Track]:
    """Return the parts of tracks on ground, closed ones whole where they lie on it."""
    shapely.prepare(ground)
    return [
        part
        for track in found
        for part in (
            [track]
            if shapely.covers(ground, track.line)
            else _open(shapely.intersection(track.line, ground))
        )
    ]


def past_obstacles(found: Sequence[Track], obstacles: BaseGeometry, reach: float) -> list[Track]:
    """Return tracks parted where an obstacle stands within the machine's reach."""
    if obstacles.is_empty:
        return list(found)
    near = shapely.buffer(obstacles, reach - TOUCH)
    shapely.prepare(near)
    return [
        part
        for track in found
        for part in (
            _open(shapely.difference(track.line, near))
            if shapely.intersects(near, track.line)
            else [track]
        )
    ]


def _open(geometry: BaseGeometry) -> list[Track]:
    """Return lines as open tracks, those that only the start of a ring parted as one."""
    merged = shapely.line_merge(geometry, directed=True)
    parts = [part for part in shapely.get_parts(merged) if part.length >= SHORTEST]
    order = sorted(parts, key=lambda part: shapely.get_coordinates(part)[0].round(3).tolist())
    return [Track(part, bool(part.is_closed)) for part in order]


def reaching(track: Track, ground: BaseGeometry, width: float) -> list[Track]:
    """Return a track as far as ground lies within its swath, square to it."""
    lane = shapely.intersection(swath(track.line, width), ground)
    parts = [part for part in shapely.get_parts(lane) if part.area > SPECK]
    spans: list[list[float]] = []
    for part in parts:
        points = shapely.points(shapely.get_coordinates(part))
        at = shapely.line_locate_point(track.line, points)
        spans.append([float(at.min()), float(at.max())])
    merged: list[list[float]] = []
    for a, b in sorted(spans):
        if merged and a <= merged[-1][1]:
            merged[-1][1] = max(merged[-1][1], b)
        else:
            merged.append([a, b])
    lines = [substring(track.line, a, b) for a, b in merged]
    return [Track(line, False) for line in lines if line.length >= SHORTEST]
