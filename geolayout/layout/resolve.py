"""
From wishes to figures: a bearing for "the longest edge", an anchor for "from the west".

The anchor is measured once, at the nearest land that can carry bands, and stands from then on in
the resolved plan: resurveying a corner moves no tree row. Bearings are true at the anchor.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError, PlanError
from geolayout.land.field import Field
from geolayout.layout.cut import polygon_parts
from geolayout.layout.drawn import Drawn
from geolayout.layout.edges import EdgeRun
from geolayout.layout.fits import refuse_unfit
from geolayout.layout.ground import block_lands, headland_within, layers_of
from geolayout.layout.guides import Straight
from geolayout.layout.hairs import without_hairs
from geolayout.layout.overlay import common, joined, without
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.guide import Guide
from geolayout.plan.plan import Plan
from geolayout.plan.section import cut_section
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.value import COMPASS_DEGREES

__all__ = ["crop_land_of", "guides_of", "resolve_guides"]

SIDE_REACH = 60.0
"""How far `from` may lie off the guide's normal. [degrees]"""

FACING_REACH = 60.0
"""How far an edge may face away from the side it is named by. [degrees]"""

THINNING = 0.5
"""Corners that move the edge by less are no corners of its direction. [m]"""

THINNEST = 1e-3
"""Land thinner than this between headland and edge is rounding, and headland. [m]"""

TURNS = 3
"""Rounds of settling bearing and anchor; the second already moves less than a millimetre."""

ANCHOR_DECIMALS = 9
BEARING_DECIMALS = 7


@dataclass(frozen=True, slots=True)
class _Wish:
    """A guide on its way: a frame bearing, and the point of t = 0 if it was drawn."""

    bearing: float
    point: tuple[float, float] | None
    side: float


def resolve_guides(plan: Plan, field: Field, drawn: Drawn) -> Plan:
    """
    Return the plan with every guide a bearing through an anchor.

    Parameters
    ----------
    plan : Plan
        A plan without trials.
    field : Field
        The field.
    drawn : Drawn
        Lands and lines that the plan names by file.

    Returns
    -------
    plan : Plan
        The same plan with resolved guides; a guide that was resolved already stays as it is.

    Raises
    ------
    PlanError
        If a guide cannot be settled, such as `from` along the rows.
    LayoutError
        If no land is left for bands.
    """
    layers = layers_of(field, plan.margin)
    lands = block_lands(field, plan, layers.drivable, drawn)
    if not plan.blocks:
        guide = _settled(plan, None, field, drawn, (layers.drivable, lands[0]))
        return plan.model_copy(update={"guide": guide})
    blocks = tuple(
        block.model_copy(
            update={"guide": _settled(plan, block, field, drawn, (layers.drivable, land))}
        )
        for block, land in zip(plan.blocks, lands, strict=True)
    )
    return plan.model_copy(update={"blocks": blocks})


def crop_land_of(
    plan: Plan, block: BlockPlan | None, lands: tuple[BaseGeometry, BaseGeometry], guides: Straight
) -> tuple[BaseGeometry, BaseGeometry, tuple[EdgeRun, ...]]:
    """
    Part a block's land into headland and crop land.

    The plan's headland is measured from the outer edges of all drivable land, so that no turning
    strip lies between two blocks; a block's own is measured from the block's edges.

    Parameters
    ----------
    plan : Plan
        The plan.
    block : plan.ground.Block or None
        The block, None where the field is one.
    lands : tuple of geometry
        All drivable land, and the block's part of it. [m]
    guides : Straight
        The block's guides.

    Returns
    -------
    headland, crop_land : Polygon or MultiPolygon
    ends : tuple of EdgeRun
    """
    drivable, land = lands
    own = block.headland if block is not None else None
    headland = own or plan.headland
    measured = land if own is not None else drivable
    found, ends = headland_within(measured, headland, plan.headland_width(headland), guides)
    inside = common(land, found)
    left = without_hairs(polygon_parts(without(land, inside)))
    thin = 2 * shapely.area(left) < THINNEST * shapely.length(left)
    if thin.any():
        inside = joined([inside, *left[thin]])
    return inside, joined(left[~thin].tolist()), ends


def guides_of(guide: Guide, field: Field) -> Straight:
    """
    Return the lines of a resolved guide in the field's frame.

    Raises
    ------
    LayoutError
        If the guide is not resolved.
    """
    if guide.bearing is None or guide.anchor is None:
        raise LayoutError(
            "The plan's guide is not resolved.",
            "A layout needs a bearing and an anchor, not a wish.",
            "Resolve the plan first.",
        )
    x, y = field.frame.metres(np.array([guide.anchor]))[0].tolist()
    bearing = field.frame.frame_bearing((x, y), guide.bearing)
    return Straight(x, y, bearing, _side(guide.bearing, guide))


def _settled(
    plan: Plan,
    block: BlockPlan | None,
    field: Field,
    drawn: Drawn,
    lands: tuple[BaseGeometry, BaseGeometry],
) -> Guide:
    """Return one guide resolved."""
    guide = plan.guide_of(block)
    _check_computed(guide)
    if guide.resolved:
        return guide
    wish = _wish(guide, field, drawn, lands[1])
    guides = Straight(*(wish.point or (0.0, 0.0)), wish.bearing, wish.side)
    _, crop_land, _ = crop_land_of(plan, block, lands, guides)
    pattern = plan.pattern(block.pattern if block is not None else None)
    if crop_land.is_empty and len(plan.blocks) > 1 and not lands[1].is_empty:
        crop_land = lands[1]  # other blocks may fit; the lines of this one are settled all the same
    if crop_land.is_empty:
        headland = (block.headland if block is not None else None) or plan.headland
        refuse_unfit(lands, headland, plan.headland_width(headland), guides, pattern)
    anchored = _anchored(guide, wish, field, crop_land)
    if anchored.number_at_anchor is not None:
        return anchored
    span = guides_of(anchored, field).span(crop_land)
    return anchored.model_copy(
        update={"number_at_anchor": cut_section(pattern, span).number_at_anchor}
    )


def _check_computed(guide: Guide) -> None:
    """Refuse what this version parses and does not yet lay out."""
    later = None if guide.kind == "straight" else f'kind = "{guide.kind}"'
    if guide.choose == "fewest hours":
        later = 'choose = "fewest hours"'
    if later is not None:
        raise PlanError(
            f"The guide has {later}.",
            "This version reads it and cannot lay it out yet.",
            "Use a straight guide with bearing, near_edge, points, line, or "
            'choose = "longest edge".',
        )


def _anchored(guide: Guide, wish: _Wish, field: Field, crop_land: BaseGeometry) -> Guide:
    """Return the guide as a true bearing through its anchor, rounded as it is written."""
    if guide.anchor is not None:
        x, y = field.frame.metres(np.array([guide.anchor]))[0].tolist()
    else:
        x, y = _anchor_point(guide, wish, field, crop_land)
    true = guide.bearing
    if true is None:
        true = field.frame.true_bearing((x, y), wish.bearing)
    anchor = np.round(field.frame.lonlat(np.array([[x, y]]))[0], ANCHOR_DECIMALS)
    return Guide.model_validate(
        {
            "kind": "straight",
            "bearing": round(true % 360.0, BEARING_DECIMALS) % 360.0,
            "from": guide.from_ or guide.near_edge,
            "anchor": tuple(anchor.tolist()),
            "number_at_anchor": guide.number_at_anchor,
        }
    )


def _anchor_point(
    guide: Guide, wish: _Wish, field: Field, crop_land: BaseGeometry
) -> tuple[float, float]:
    """Return the point of the frame where the first band begins."""
    if wish.point is not None:
        lines = Straight(*wish.point, wish.bearing, wish.side)
        return _place(lines, guide.start, 0.0)
    corners = shapely.get_coordinates(crop_land)
    x, y = 0.0, 0.0
    for _ in range(TURNS):  # a bearing is true at the anchor, and the anchor hangs on the bearing
        bearing = wish.bearing
        if guide.bearing is not None:
            bearing = field.frame.frame_bearing((x, y), guide.bearing)
        lines = Straight(0.0, 0.0, bearing, wish.side)
        turned = lines.to_turned(corners)
        near = turned[np.lexsort((turned[:, 1], np.round(turned[:, 0], 3)))[0]]
        x, y = _place(lines, float(turned[:, 0].min()) + guide.start, float(near[1]))
    return x, y


def _place(lines: Straight, t: float, s: float) -> tuple[float, float]:
    """Return the point of the frame at t and s."""
    x, y = lines.from_turned(np.array([t, s])).tolist()
    return x, y


def _wish(guide: Guide, field: Field, drawn: Drawn, land: BaseGeometry) -> _Wish:
    """Return the bearing in the frame that the guide asks for, and its drawn point."""
    point: tuple[float, float] | None = None
    if guide.bearing is not None:
        bearing = field.frame.frame_bearing((0.0, 0.0), guide.bearing)
    elif guide.near_edge is not None:
        bearing = edge_bearing(land, guide.near_edge)
    elif guide.choose is not None:
        bearing = longest_bearing(land)
    else:
        ends = _drawn_line(guide, field, drawn)
        point = (float(ends[0, 0]), float(ends[0, 1]))
        bearing = _bearing(ends[1] - ends[0])
    return _Wish(bearing, point, _side(bearing, guide))


def _drawn_line(guide: Guide, field: Field, drawn: Drawn) -> NDArray[np.float64]:
    """Return first and last point of the guide's line, shape (2, 2)."""
    if guide.points is not None:
        return field.frame.metres(np.array(guide.points))
    line = drawn.lines.get(guide.line or "")
    if line is None:
        raise LayoutError(
            f"The guide follows the line in {guide.line!r}.",
            "That file was not read.",
            "Lay the plan out from its file.",
        )
    xy = shapely.get_coordinates(line)
    chord = shapely.LineString([xy[0], xy[-1]])
    bend = float(shapely.distance(shapely.points(xy), chord).max())
    if bend > ACROSS_SLACK or chord.length == 0:
        raise PlanError(
            f"The line in {guide.line} bends {bend:.2f} m off the straight.",
            "A straight guide follows a straight line.",
            'Draw it with two points, or use kind = "along" once that is laid out.',
        )
    return np.asarray(xy[[0, -1]])


def _side(bearing: float, guide: Guide) -> float:
    """Return 1 where t grows to the right of the bearing, -1 where to the left."""
    side = guide.from_ or guide.near_edge
    if side is None:
        return 1.0
    away = COMPASS_DEGREES[side] + 180.0
    off_right = abs((away - (bearing + 90.0) + 180.0) % 360.0 - 180.0)
    if off_right <= SIDE_REACH:
        return 1.0
    if off_right >= 180.0 - SIDE_REACH:
        return -1.0
    left, right = (_nearest_side(bearing + turn) for turn in (-90.0, 90.0))
    raise PlanError(
        f'The bands are counted from = "{side}" along a guide of bearing {bearing:.1f} degrees.',
        "That side lies at an end of the rows, not beside them.",
        f'Use from = "{left}" or from = "{right}".',
    )


def _nearest_side(bearing: float) -> str:
    """Return the compass word nearest to a bearing."""
    words = list(COMPASS_DEGREES)
    return words[round((bearing % 360.0) / 45.0) % 8]


def _bearing(step: NDArray[np.float64]) -> float:
    """Return the bearing of a step, 0 to 360. [degrees]"""
    return float(np.degrees(np.arctan2(step[0], step[1])) % 360.0)


def _thinned_edges(land: BaseGeometry) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return steps and lengths of the edges of all outer rings, thinned."""
    parts = shapely.orient_polygons(shapely.get_parts(land))
    rings = shapely.simplify(shapely.get_exterior_ring(parts), THINNING)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    step = (xy[1:] - xy[:-1])[ring[1:] == ring[:-1]]
    return step, np.hypot(step[:, 0], step[:, 1])


def longest_bearing(land: BaseGeometry) -> float:
    """Return the bearing of the longest outer edge, 0 to 180. [degrees]"""
    step, length = _thinned_edges(land)
    return _bearing(step[int(np.argmax(np.round(length, 2)))]) % 180.0


def edge_bearing(land: BaseGeometry, side: str) -> float:
    """
    Return the bearing of the longest outer edge that faces a compass side, 0 to 180. [degrees]

    Raises
    ------
    PlanError
        If no edge faces that side.
    """
    step, length = _thinned_edges(land)
    facing = np.degrees(np.arctan2(step[:, 1], -step[:, 0]))  # outward, land on the left
    off = np.abs((facing - COMPASS_DEGREES[side] + 180.0) % 360.0 - 180.0)
    length = np.where(off <= FACING_REACH, length, 0.0)
    if not length.any():
        raise PlanError(
            f"No edge of the land faces {side}.",
            "The guide follows the edge on that side.",
            "Name another side, or give a bearing.",
        )
    return _bearing(step[int(np.argmax(np.round(length, 2)))]) % 180.0
