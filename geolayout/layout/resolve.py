"""
From wishes to figures: a bearing for "the longest edge", an anchor for "from the west".

The anchor is measured once, at the nearest land that can carry bands, and stands from then on in
the resolved plan: resurveying a corner moves no tree row. Bearings are true at the anchor.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError, PlanError
from geolayout.land.field import Field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.blocks.tiers import measured_tiers
from geolayout.layout.fits import refuse_unfit
from geolayout.layout.ground import HeadlandFound, block_lands, headland_within, layers_of
from geolayout.layout.guides.along import guides_of, parts_of
from geolayout.layout.guides.contour import contour_baselines
from geolayout.layout.guides.guide import Guides, Straight
from geolayout.layout.guides.norths import origin_of, true_bearing
from geolayout.layout.guides.roundguide import settled_round
from geolayout.layout.headlands.edge_widths import check_edges, headland_wish
from geolayout.layout.headlands.sides import FACING_REACH, edge_line, no_edge, side_of
from geolayout.layout.shapes.hairs import without_hairs
from geolayout.layout.shapes.overlay import common, joined, without
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.layout.steep import flatness
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.guide import Guide
from geolayout.plan.plan import Plan
from geolayout.plan.section.section import cut_section
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.value import COMPASS_DEGREES

__all__ = ["ParedLand", "crop_land_of", "measured_land", "resolve_guides"]

THINNING = 0.5
"""Corners that move the edge by less are no corners of its direction. [m]"""

THINNEST = 1e-3
"""Land thinner than this between headland and edge is rounding, and headland. [m]"""

CONTOUR_SMOOTH = 4.0
"""How far smoothing moves a contour where the plan does not say. Our own choice. [m]"""

TURNS = 3
"""Rounds of settling bearing and anchor; the second already moves less than a millimetre."""

ANCHOR_DECIMALS = 9
BEARING_DECIMALS = 7
FLAT_DECIMALS = 6


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
        guide = _settled_flat(plan, None, field, drawn, (layers.drivable, lands[0]))
        return plan.model_copy(update={"guide": guide})
    blocks = tuple(
        _settled_block(plan, block, field, drawn, (layers.drivable, land))
        for block, land in zip(plan.blocks, lands, strict=True)
    )
    return plan.model_copy(update={"blocks": blocks})


def _settled_flat(
    plan: Plan,
    block: BlockPlan | None,
    field: Field,
    drawn: Drawn,
    lands: tuple[BaseGeometry, BaseGeometry],
) -> Guide:
    """Return a guide resolved, with the plan that a metre along the ground takes if it is asked."""
    wish = plan.guide_of(block)
    guide = _settled(plan, block, field, drawn, lands)
    if wish.widths == "plan" or guide.flat is not None:
        return guide
    lines = parts_of(guide, field, lands[1], plan.turning_radius, 0.0).parts
    found = [flatness(field.terrain, part.land, part.guides).mean for part in lines]
    weights = [part.land.area for part in lines]
    flat = round(float(np.average(found, weights=weights)), FLAT_DECIMALS)
    return guide.model_copy(update={"widths": "ground", "flat": flat})


def _settled_block(
    plan: Plan,
    block: BlockPlan,
    field: Field,
    drawn: Drawn,
    lands: tuple[BaseGeometry, BaseGeometry],
) -> BlockPlan:
    """Return a block with its guide resolved, and its tiers measured along the rows."""
    guide = _settled_flat(plan, block, field, drawn, lands)
    settled = block.model_copy(update={"guide": guide})
    if block.tiers is None:
        return settled
    if guide.kind not in ("straight", "along"):
        raise PlanError(
            f'Block {block.name} has tiers and a guide of kind = "{guide.kind}".',
            "Tiers lie one behind the other along lines that have a beginning.",
            'Take tiers away, or use kind = "straight" or "along".',
        )
    lines = guides_of(guide, field)
    crop_land = crop_land_of(plan, block, lands, lines, field.frame).crop_land
    return settled.model_copy(update={"tiers": measured_tiers(block, lines, crop_land)})


@dataclass(frozen=True, slots=True, eq=False)
class ParedLand:
    """
    A block's land without its headland.

    Attributes
    ----------
    headland, crop_land : Polygon or MultiPolygon
        Together they are the block's land. [m]
    found : HeadlandFound
        The headland before it was cut to the block: edges, and ground of other stands.
    """

    headland: BaseGeometry
    crop_land: BaseGeometry
    found: HeadlandFound


def measured_land(
    block: BlockPlan | None, lands: tuple[BaseGeometry, BaseGeometry]
) -> BaseGeometry:
    """
    Return the land whose edges a block's headland is measured from.

    The plan's headland is measured from the outer edges of all drivable land, so that no turning
    strip lies between two blocks; a block's own is measured from the block's edges.

    Parameters
    ----------
    block : plan.ground.Block or None
        The block, None where the field is one.
    lands : tuple of geometry
        All drivable land, and the block's part of it. [m]
    """
    return lands[1] if block is not None and block.headland is not None else lands[0]


def crop_land_of(
    plan: Plan,
    block: BlockPlan | None,
    lands: tuple[BaseGeometry, BaseGeometry],
    guides: Guides,
    frame: Frame,
) -> ParedLand:
    """
    Part a block's land into headland and crop land.

    Parameters
    ----------
    plan : Plan
        The plan.
    block : plan.ground.Block or None
        The block, None where the field is one.
    lands : tuple of geometry
        All drivable land, and the block's part of it. [m]
    guides : Guides
        The block's guides.
    frame : Frame
        The field's frame.

    Returns
    -------
    pared : ParedLand
    """
    wish = headland_wish(plan, block, frame)
    found = headland_within(measured_land(block, lands), wish, guides)
    inside = common(lands[1], found.ground)
    left = without_hairs(polygon_parts(without(lands[1], inside)))
    thin = 2 * shapely.area(left) < THINNEST * shapely.length(left)
    if thin.any():
        inside = joined([inside, *left[thin]])
    return ParedLand(inside, joined(left[~thin].tolist()), found)


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
    check_edges(measured_land(block, lands), headland_wish(plan, block, field.frame))
    if guide.resolved:
        return guide
    guide = _with_said(guide, drawn)
    if guide.kind == "contour":
        return _settled_contour(plan, guide, field, lands[1])
    if guide.kind == "round":
        pattern = plan.pattern(block.pattern if block is not None else None)
        return settled_round(guide, pattern, field, lands[1], _turns(plan))
    if guide.kind == "along":
        return _settled_along(plan, block, guide, (field, drawn), lands)
    wish = _wish(guide, field, drawn, lands[1])
    guides = Straight(*(wish.point or (0.0, 0.0)), wish.bearing, wish.side)
    crop_land = crop_land_of(plan, block, lands, guides, field.frame).crop_land
    pattern = plan.pattern(block.pattern if block is not None else None)
    if crop_land.is_empty and len(plan.blocks) > 1 and not lands[1].is_empty:
        crop_land = lands[1]  # other blocks may fit; the lines of this one are settled all the same
    if crop_land.is_empty:
        refuse_unfit(lands, headland_wish(plan, block, field.frame), guides, pattern)
    anchored = _anchored(guide, wish, field, crop_land)
    origin = origin_of(guide, drawn.says(guide.line_key))
    if origin is not None:
        anchored = anchored.model_copy(update={"origin": origin})
    if anchored.number_at_anchor is not None:
        return anchored
    span = guides_of(anchored, field).span(crop_land)
    return anchored.model_copy(
        update={"number_at_anchor": cut_section(pattern, span).number_at_anchor}
    )


def _turns(plan: Plan) -> tuple[float, float]:
    """Return the tightest radius that the machines turn at, and their narrowest pass. [m]"""
    return plan.turning_radius, plan.narrowest_pass


def _settled_contour(plan: Plan, guide: Guide, field: Field, land: BaseGeometry) -> Guide:
    """Return a guide on the contour with the baselines found on its land."""
    if field.terrain is None:
        raise PlanError(
            'The guide has kind = "contour" and the field no terrain.',
            "Nobody can find a contour without heights.",
            'Add [field] terrain = "heights.tif", or use kind = "straight".',
        )
    smooth = guide.smooth if "smooth" in guide.model_fields_set else CONTOUR_SMOOTH
    found = contour_baselines(
        field.terrain, land, smooth=smooth, most=guide.grade, least=plan.turning_radius
    )
    baselines = [
        {
            "points": np.round(field.frame.lonlat(one.xy), ANCHOR_DECIMALS).tolist(),
            "low": round(one.low, 3),
            "high": round(one.high, 3),
        }
        for one in found
    ]
    given = {"kind": "contour", "smooth": smooth, "grade": guide.grade, "number_at_anchor": 1}
    return Guide.model_validate({**given, "baseline": _as_tuples(baselines)})


def _as_tuples(baselines: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return baselines with their places as tuples, which is how a plan holds them."""
    return [{**one, "points": tuple(map(tuple, one["points"]))} for one in baselines]


def _settled_along(
    plan: Plan,
    block: BlockPlan | None,
    guide: Guide,
    beside: tuple[Field, Drawn],
    lands: tuple[BaseGeometry, BaseGeometry],
) -> Guide:
    """Return a guide along a bent line with the line's points, side, start and number."""
    field, drawn = beside
    side = guide.from_ or guide.near_edge
    if side is None:
        raise PlanError(
            f"The guide lies along {guide.line} and has no from.",
            "Nothing says on which side of the line the first band lies.",
            'Add the side that bands are counted from, such as from = "west".',
        )
    points = np.round(
        field.frame.lonlat(_bent_line(guide, field, drawn, lands[1])), ANCHOR_DECIMALS
    )
    given: dict[str, object] = {
        "kind": "along",
        "points": tuple(map(tuple, points.tolist())),
        "from": side,
        "smooth": guide.smooth,
        "start": 0.0 if guide.near_edge is not None else guide.start,
        "number_at_anchor": guide.number_at_anchor or 1,
    }
    lines = guides_of(Guide.model_validate(given), field)
    crop_land = crop_land_of(plan, block, lands, lines, field.frame).crop_land
    crop_land = lands[1] if crop_land.is_empty else crop_land
    pattern = plan.pattern(block.pattern if block is not None else None)
    if guide.near_edge is not None:  # bands begin where land does, and no edge lies on its line
        given["start"] = lines.span(crop_land)[0] + guide.start
        lines = guides_of(Guide.model_validate(given), field)
    if guide.number_at_anchor is None:
        given["number_at_anchor"] = cut_section(pattern, lines.span(crop_land)).number_at_anchor
    origin = origin_of(guide, drawn.says(guide.line_key))
    return Guide.model_validate({**given, **({} if origin is None else {"origin": origin})})


def _bent_line(guide: Guide, field: Field, drawn: Drawn, land: BaseGeometry) -> NDArray[np.float64]:
    """Return the points of the line that a guide lies along, shape (n, 2). [m]"""
    if guide.points is not None:
        return field.frame.metres(np.array(guide.points))
    if guide.near_edge is not None:
        return edge_line(land, guide.near_edge)
    line = shapely.line_merge(_read_line(guide, drawn))
    if line.geom_type != "LineString":
        raise PlanError(
            f"{guide.line} holds {len(shapely.get_parts(line))} lines that do not join.",
            "Bands lie along one.",
            "Join them, or choose one by line_name.",
        )
    return np.asarray(shapely.get_coordinates(line))


def _with_said(guide: Guide, drawn: Drawn) -> Guide:
    """Return a guide with the side and number that its line says, where it does not say them."""
    if guide.line is None:
        return guide
    says = drawn.says(guide.line_key)
    changed: dict[str, object] = {}
    if guide.from_ is None and says.from_ is not None:
        changed["from_"] = says.from_
    if guide.number_at_anchor is None and not guide.start and says.number is not None:
        changed["number_at_anchor"] = says.number
    return guide.model_copy(update=changed)


def _check_computed(guide: Guide) -> None:
    """Refuse what is settled before any line is laid."""
    if guide.choose == "fewest hours":
        raise PlanError(
            'The guide has choose = "fewest hours".',
            "Hours hang on machines, and geometry alone cannot choose by them.",
            "Settle it first: geolayout lay does, and so does geolayout.jobs.resolve.",
        )


def _anchored(guide: Guide, wish: _Wish, field: Field, crop_land: BaseGeometry) -> Guide:
    """Return the guide as a true bearing through its anchor, rounded as it is written."""
    if guide.anchor is not None:
        x, y = field.frame.metres(np.array([guide.anchor]))[0].tolist()
    else:
        x, y = _anchor_point(guide, wish, field, crop_land)
    if guide.bearing is not None:
        true = _asked(guide, field, (x, y))
    else:
        true = field.frame.true_bearing((x, y), wish.bearing)
    anchor = np.round(field.frame.lonlat(np.array([[x, y]]))[0], ANCHOR_DECIMALS)
    return Guide.model_validate(
        {
            "kind": "straight",
            "bearing": round(true % 360.0, BEARING_DECIMALS) % 360.0,
            "from": guide.from_ or guide.near_edge,
            "anchor": tuple(anchor.tolist()),
            "number_at_anchor": guide.number_at_anchor,
            **({"grid": guide.grid} if guide.grid is not None else {}),
        }
    )


def _asked(guide: Guide, field: Field, xy: tuple[float, float]) -> float:
    """Return the true bearing that a guide asks for at a place of the frame. [degrees]"""
    lon, lat = field.frame.lonlat(np.array([xy], dtype=float))[0].tolist()
    return true_bearing(guide, (lon, lat))


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
            bearing = field.frame.frame_bearing((x, y), _asked(guide, field, (x, y)))
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
        bearing = field.frame.frame_bearing((0.0, 0.0), _asked(guide, field, (0.0, 0.0)))
    elif guide.near_edge is not None:
        bearing = edge_bearing(land, guide.near_edge)
    elif guide.choose is not None:
        bearing = longest_bearing(land)
    else:
        ends = _drawn_line(guide, field, drawn)
        point = (float(ends[0, 0]), float(ends[0, 1]))
        bearing = _bearing(ends[1] - ends[0])
    return _Wish(bearing, point, side_of(bearing, guide))


def _drawn_line(guide: Guide, field: Field, drawn: Drawn) -> NDArray[np.float64]:
    """Return first and last point of the guide's line, shape (2, 2)."""
    if guide.points is not None:
        return field.frame.metres(np.array(guide.points))
    xy = shapely.get_coordinates(_read_line(guide, drawn))
    chord = shapely.LineString([xy[0], xy[-1]])
    bend = float(shapely.distance(shapely.points(xy), chord).max())
    if bend > ACROSS_SLACK or chord.length == 0:
        raise PlanError(
            f"The line in {guide.line} bends {bend:.2f} m off the straight.",
            "A straight guide follows a straight line.",
            'Draw it with two points, or use kind = "along".',
        )
    return np.asarray(xy[[0, -1]])


def _read_line(guide: Guide, drawn: Drawn) -> BaseGeometry:
    """Return the guide's line as it was read."""
    line = drawn.lines.get(guide.line_key)
    if line is None:
        raise LayoutError(
            f"The guide follows the line in {guide.line!r}.",
            "That file was not read.",
            "Lay the plan out from its file.",
        )
    return line


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
        raise no_edge(side)
    return _bearing(step[int(np.argmax(np.round(length, 2)))]) % 180.0
