"""
Land along lines, whatever their family: where lines run in it, how far strips of it reach.

Straight and bent lines have a turned frame, in which lines are upright and one pass over the edges
of the land answers for all of them. Rings have none: each is clipped with the land itself.
"""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides.guide import Guides
from geolayout.layout.guides.rings import Level, Rings
from geolayout.layout.shapes.scan import Chords, chords_with_slack, scan
from geolayout.layout.shapes.strips import reaches
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["chords_along", "chords_inside", "reaches_along", "strip_area"]

CRUMB_AREA = 1e-6
"""Ground below this is rounding, and no reason to drive anywhere. [m2]"""

ABREAST = 4.0
"""Ground is abreast of a line without a gap where its corners are less far apart. [m]"""

Floats = NDArray[np.float64]


def chords_along(guides: Guides, land: BaseGeometry, t: Floats) -> tuple[Chords, Chords]:
    """
    Return where the line at each t runs in land, without and with the slack of counting.

    Parameters
    ----------
    guides : Guides
        The lines.
    land : Polygon or MultiPolygon
        The land. [m]
    t : ndarray, shape (k,)
        Places of the lines, never falling. [m]

    Returns
    -------
    true, wide : Chords
        Equally many, in the same order.
    """
    if not isinstance(guides, Rings):
        return chords_with_slack(guides.turn(land), t)
    # A ring runs beside its edge, and never over it by a hair; a track that runs straight on past
    # a corner leaves its ring there, and what follows it does not.
    wide = _on_rings(guides, shapely.buffer(land, EDGE_SLACK, join_style="mitre"), t, on_ring=True)
    return wide, wide


def chords_inside(guides: Guides, land: BaseGeometry, t: Floats) -> Chords:
    """Return where the line at each t runs in land, as `chords_along` without slack."""
    if isinstance(guides, Rings):
        return _on_rings(guides, land, t, on_ring=False)
    return scan(guides.turn(land), t)


def reaches_along(
    guides: Guides, land: BaseGeometry, t0: Floats, t1: Floats
) -> tuple[NDArray[np.int64], Floats, Floats]:
    """
    Return how far ground reaches along each strip between t0 and t1.

    Returns
    -------
    strip : ndarray of int, shape (m,)
        The strip of each stretch, never falling.
    s0, s1 : ndarray, shape (m,)
        Stretches that hold ground, apart from each other. [m]
    """
    if not isinstance(guides, Rings):
        return reaches(guides.turn(land), t0, t1)
    found: list[tuple[int, float, float]] = []
    for i, (low, high) in enumerate(zip(t0.tolist(), t1.tolist(), strict=True)):
        ground = shapely.intersection(guides.strip(low, high), land)
        level, middle = guides.level((low + high) / 2.0), (low + high) / 2.0
        for run0, run1 in _touched(level, ground, (high - low) / 2.0 + guides.radius):
            s = guides.from_run(np.array([middle, middle]), np.array([run0, run1]))
            found.append((i, *s.tolist()))
    columns = np.array(found, dtype=np.float64).reshape(-1, 3)
    return columns[:, 0].astype(np.int64), columns[:, 1], columns[:, 2]


def strip_area(
    guides: Guides, land: BaseGeometry, across: tuple[float, float], along: Floats | None = None
) -> float:
    """
    Return the land between two t, and between the least and the greatest s given. [m2]

    On rings every s counts: a round has no ends.
    """
    low, high = across
    if isinstance(guides, Rings):
        return float(shapely.intersection(guides.strip(low, high), land).area)
    turned = guides.turn(land)
    ends = (turned.bounds[1] - 1.0, turned.bounds[3] + 1.0) if along is None else along
    return guides.area(shapely.clip_by_rect(turned, low, np.min(ends), high, np.max(ends)))


def _on_rings(guides: Rings, land: BaseGeometry, t: Floats, *, on_ring: bool) -> Chords:
    """Return where the driven line at each t runs in land, or only where it is on its ring."""
    shapely.prepare(land)
    line: list[int] = []
    runs: list[tuple[float, float]] = []
    for i, value in enumerate(t.tolist()):
        level = guides.level(value)
        if on_ring and not all(track.closed for track in level.tracks):
            inner = guides.level(value + EDGE_SLACK).ground
            runs_in = _clipped(level, shapely.difference(land, inner))
        else:
            runs_in = _clipped(level, land)
        for run in runs_in:
            line.append(i)
            runs.append(run)
    index = np.array(line, dtype=np.int64)
    ends = np.array(runs, dtype=np.float64).reshape(-1, 2)
    at = np.asarray(t, dtype=np.float64)[index]
    return Chords(index, guides.from_run(at, ends[:, 0]), guides.from_run(at, ends[:, 1]))


def _clipped(level: Level, land: BaseGeometry) -> list[tuple[float, float]]:
    """Return the stretches of a level that lie in land, as lengths along it."""
    found = []
    for track, begin in zip(level.tracks, level.starts.tolist(), strict=False):
        if shapely.covers(land, track.line):
            found.append((begin, begin + track.line.length))
            continue
        parts = shapely.get_parts(shapely.intersection(track.line, land))
        middles = shapely.line_interpolate_point(parts, 0.5, normalized=True)
        at = shapely.line_locate_point(track.line, middles)
        half = shapely.length(parts) / 2.0
        stretches = zip((begin + at - half).tolist(), (begin + at + half).tolist(), strict=True)
        found += sorted(one for one in stretches if one[1] - one[0] > 0.0)
    return found


def _touched(level: Level, ground: BaseGeometry, reach: float) -> list[tuple[float, float]]:
    """Return the stretches of a level beside ground, all round where ground goes all round."""
    parts = shapely.get_parts(ground)
    parts = parts[shapely.area(parts) > CRUMB_AREA]
    found = []
    for track, begin in zip(level.tracks, level.starts.tolist(), strict=False):
        beside = parts[shapely.dwithin(parts, track.line, reach)]
        for low, high in _joined(_spans(track.line, beside, closed=track.closed)):
            found.append((begin + low, begin + high))
    return found


def _spans(
    line: shapely.LineString, parts: NDArray[np.object_], *, closed: bool
) -> list[tuple[float, float]]:
    """Return the stretches of a line that lie abreast of parts of ground."""
    if not len(parts):
        return []
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(parts, ABREAST / 2.0)))
    at = np.sort(shapely.line_locate_point(line, points))
    breaks = np.flatnonzero(np.diff(at) > ABREAST)
    lows, highs = at[np.append(0, breaks + 1)], at[np.append(breaks, len(at) - 1)]
    if closed:
        lows = np.where(lows < ABREAST, 0.0, lows)
        highs = np.where(highs > line.length - ABREAST, line.length, highs)
    return list(zip(lows.tolist(), highs.tolist(), strict=True))


def _joined(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Join spans that overlap."""
    found: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
