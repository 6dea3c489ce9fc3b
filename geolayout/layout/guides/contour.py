"""
Baselines on the contour: where bands begin that run on the level, and how far each one carries.

Lines parallel to a contour leave the level as the slope changes. A baseline carries its lines as
far as they keep within the grade that holds the soil; then another baseline begins on the land
that is left, with bands of its own. So bands keep their width, and it is the blocks that fit the
hill. A contour of averaged heights bends less and so may carry farther: of several contours the one
is taken that carries lines over the most land, their grade being that of the hill either way.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.terrain.grade import ANNUAL
from geolayout.land.terrain.terrain import FIELD_SCALE, Terrain, points_over
from geolayout.layout.guides.bends import smoothed
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.shapes.cut import cut_generic
from geolayout.layout.shapes.overlay import joined
from geolayout.layout.shapes.polygons import polygon_parts

__all__ = [
    "MOST_BASELINES",
    "OVER_SHARE",
    "FoundBaseline",
    "contour_baselines",
    "lands_of",
    "lines_of",
]

OVER_SHARE = 0.25
"""Share of a row that may be over the limit: USDA NRCS Iowa, contouring job sheet. [-]"""

MOST_BASELINES = 10
"""More baselines than this are no plan for one field. Our own choice. [-]"""

SHORTEST = 30.0
"""A contour shorter than this carries no bands. Our own choice. [m]"""

SMALLEST = 500.0
"""Land smaller than this gets no baseline of its own. Our own choice. [m2]"""

BEYOND = 60.0
"""How far beyond the land a contour is followed. [m]"""

ACROSS = 40
"""Points at which the slope of the land is read, along its longer side, at least."""

STEP = 3.0
"""How far apart lines are tried. [m]"""

AHEAD = 1.0
"""How far on along a line a place is looked at for its direction. [m]"""

QUANTILES = ((0.5, 0.4, 0.6), (0.3, 0.2), (0.7, 0.8))
"""Shares of the land below a contour: about the middle, low and high; one of each is tried. [-]"""

SCALES = (FIELD_SCALE, 2 * FIELD_SCALE, 3 * FIELD_SCALE)
"""Heights are averaged over as much where contours are traced. Our own choice. [m]"""

ENOUGH = 0.9
"""A contour that carries lines over so much of the land ends the search. Our own choice. [-]"""

BETTER = 1.1
"""Another contour is taken if it carries lines over so much more land. Our own choice. [-]"""

FAR = 1e5
"""Farther than any line of a field lies from its baseline. [m]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class FoundBaseline:
    """
    A baseline and the lines it carries.

    Attributes
    ----------
    xy : ndarray of float, shape (n, 2)
        The contour as it was found, uphill on its left. [m]
    low, high : float
        How far uphill (below 0) and downhill its lines are carried. [m]
    """

    xy: Floats
    low: float
    high: float


def contour_baselines(
    terrain: Terrain, land: BaseGeometry, *, smooth: float, most: float, least: float
) -> list[FoundBaseline]:
    """
    Find baselines for bands on the contour.

    Parameters
    ----------
    terrain : Terrain
        Heights.
    land : Polygon or MultiPolygon
        Where bands lie. [m]
    smooth : float
        How far smoothing may move a contour. [m]
    most : float
        Grade that rows keep within, but for a quarter of their length. [%]
    least : float
        Tightest radius that the machines turn at. [m]

    Returns
    -------
    baselines : list of FoundBaseline
        In the order in which they take their land.

    Raises
    ------
    LayoutError
        If no contour crosses the land.
    """
    hills = [terrain.smoothed(scale) for scale in SCALES]
    left: list[BaseGeometry] = list(polygon_parts(land))
    found: list[FoundBaseline] = []
    while left and len(found) < MOST_BASELINES:
        left.sort(key=lambda part: part.area)
        part = left.pop()
        if found and part.area < SMALLEST:
            break
        one = _baseline(hills, part, (smooth, most, least))
        if one is None:
            continue
        found.append(one)
        left += _taken(part, one, smooth)[1]
    if not found:
        raise LayoutError(
            "No contour crosses the land.",
            "It is flat, or its heights are not known.",
            "Use a straight guide, or a file of finer heights.",
        )
    return found


def _baseline(
    hills: Sequence[Terrain], part: BaseGeometry, rules: tuple[float, float, float]
) -> FoundBaseline | None:
    """Return the baseline that carries its lines over the most of a piece of land, if any."""
    best, most = None, 0.0
    for hill in hills:
        for shares in QUANTILES:
            line = _contour_through(hill, part, shares)
            if line is None:
                continue
            one, area = _carried(hills[0], part, line, rules)
            if best is None or area > BETTER * most:
                best, most = one, area
            if most > ENOUGH * part.area:
                return best
    return best


def lands_of(
    baselines: Sequence[FoundBaseline], land: BaseGeometry, smooth: float
) -> tuple[list[BaseGeometry], BaseGeometry]:
    """
    Give each baseline the land that its lines are carried over.

    Parameters
    ----------
    baselines : sequence of FoundBaseline
        In the order in which they take their land.
    land : Polygon or MultiPolygon
        The land. [m]
    smooth : float
        How far smoothing may move a contour. [m]

    Returns
    -------
    lands : list of geometry
        Land of each baseline; empty where it lies on none of this land.
    left : geometry
        Land that no baseline carries lines over.
    """
    left, lands = list(polygon_parts(land)), []
    for one in baselines:
        line = LineString(one.xy)
        met = [shapely.intersection(line, part).length for part in left]
        if not met or max(met) == 0.0:
            lands.append(Polygon())
            continue
        mine, others = _taken(left.pop(int(np.argmax(met))), one, smooth)
        lands.append(joined(mine))
        left += others
    return lands, joined(left)


def _taken(
    part: BaseGeometry, one: FoundBaseline, smooth: float
) -> tuple[list[BaseGeometry], list[BaseGeometry]]:
    """Return the pieces of land that a baseline carries its lines over, and the others."""
    pieces = cut_generic(part, lines_of(one.xy, smooth), np.array([one.low, one.high]))
    mine = pieces.interval == 1
    return list(pieces.geometry[mine]), list(pieces.geometry[~mine])


def lines_of(xy: Floats, smooth: float) -> Parallel:
    """Return the lines along a contour, t growing downhill."""
    return Parallel(smoothed(LineString(xy), smooth).xy)


def _contour_through(
    terrain: Terrain, part: BaseGeometry, shares: Sequence[float]
) -> LineString | None:
    """Return the longest stretch of a contour through a piece of land, uphill on its left."""
    heights = terrain.height(points_over(part, terrain.cell, 20))
    heights = heights[np.isfinite(heights)]
    if not len(heights):
        return None
    tracer = contourpy.contour_generator(z=np.ma.masked_invalid(terrain.heights))
    to_frame = np.linalg.inv(terrain.to_cells[:, :2])
    for share in shares:
        traced = tracer.lines(float(np.quantile(heights, share)))
        lines = [
            LineString((cells - terrain.to_cells[:, 2]) @ to_frame.T)
            for cells in traced
            if isinstance(cells, np.ndarray) and len(cells) > 1
        ]
        # A little beyond the land too, for lines beside it may be longer.
        near = shapely.intersection(np.array(lines, dtype=object), shapely.buffer(part, BEYOND))
        near = shapely.get_parts(near)
        near = near[shapely.get_type_id(near) == shapely.GeometryType.LINESTRING]
        near = near[~shapely.is_closed(near)]
        length = shapely.length(shapely.intersection(near, part))
        if len(near) and length.max() >= SHORTEST:
            return _uphill_left(terrain, near[int(np.argmax(length))])
    return None


def _uphill_left(terrain: Terrain, line: LineString) -> LineString:
    """Turn a contour so that the ground rises to its left."""
    xy = shapely.get_coordinates(line)
    middles, steps = (xy[1:] + xy[:-1]) / 2, np.diff(xy, axis=0)
    rise = terrain.gradient(middles)
    left = np.nansum(rise[:, 1] * steps[:, 0] - rise[:, 0] * steps[:, 1])
    return line if left >= 0 else LineString(xy[::-1])


def _carried(
    terrain: Terrain, part: BaseGeometry, line: LineString, rules: tuple[float, float, float]
) -> tuple[FoundBaseline, float]:
    """Return how far beside a contour its lines are good enough, and the land covered. [m2]"""
    smooth, most, least = rules
    slope = terrain.slope(points_over(part, terrain.cell, ACROSS))
    hill = float(np.nanmean(slope)) if np.isfinite(slope).any() else 0.0
    limit = float(replace(ANNUAL, most=most).at(np.array([hill]))[0])
    xy = shapely.get_coordinates(line)
    guides = lines_of(xy, smooth)
    turned = guides.to_turned(shapely.get_coordinates(shapely.segmentize(part, 4 * STEP)))
    near, far = turned[:, 0].min(), turned[:, 0].max()
    ends = float(turned[:, 1].min()), float(turned[:, 1].max())
    reach, lengths = [FAR, FAR], [shapely.intersection(line, part).length]
    for i, side in enumerate((-1.0, 1.0)):
        end = -near if side < 0 else far
        for t in np.arange(STEP, end, STEP):
            (beside,) = guides.paths(*(np.array([one]) for one in (side * t, *ends))).geometry
            inside = shapely.intersection(beside, part)
            if not _level(terrain, inside, limit) or guides.tightest(side * t, part) < least:
                reach[i] = float(t - STEP)
                break
            lengths.append(inside.length)
    return FoundBaseline(xy, -reach[0], reach[1]), STEP * sum(lengths)


def _level(terrain: Terrain, line: BaseGeometry, limit: float) -> bool:
    """Whether enough of a line keeps within the grade; a line without land or heights does."""
    if line.length <= AHEAD:
        return True
    at = np.arange(0.0, line.length - AHEAD, STEP)
    xy, ahead = (
        shapely.get_coordinates(shapely.line_interpolate_point(line, at + on))
        for on in (0.0, AHEAD)
    )
    step = ahead - xy
    grade = np.abs(terrain.grade(xy, np.degrees(np.arctan2(step[:, 0], step[:, 1]))))
    # From one stretch of a line on land to the next there is no direction.
    known = np.isfinite(grade) & (np.hypot(*step.T) <= AHEAD + 1e-6)
    return bool((grade[known] > limit).mean() <= OVER_SHARE) if known.any() else True
