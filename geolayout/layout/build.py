"""Lay a resolved plan out on a field: ground, rows, trees and passes of one season."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.field import Field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.block import Block
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.blocks.tiers import in_tiers
from geolayout.layout.fits import refuse_unfit
from geolayout.layout.ground import (
    Ground,
    Layers,
    block_lands,
    join_ground,
    layers_of,
    loose_ground,
    section_ground,
)
from geolayout.layout.guides.along import UNCARRIED, Parted, Wedge, parts_of
from geolayout.layout.guides.guide import Guides
from geolayout.layout.headlands.edge_widths import check_edges, headland_wish
from geolayout.layout.headlands.ends import ends_beside
from geolayout.layout.headlands.headland_rounds import Rounds, headlands_of, lay_rounds
from geolayout.layout.passes.crossing import crossings_of
from geolayout.layout.passes.passes import Passes, join_passes, lay_passes
from geolayout.layout.passes.spiral import lay_spiral
from geolayout.layout.resolve import crop_land_of, measured_land
from geolayout.layout.rows import Rows, join_rows, lay_rows
from geolayout.layout.shapes.lines import whole_numbers
from geolayout.layout.shapes.overlay import common, joined, without
from geolayout.layout.steep import flat_said
from geolayout.layout.trees.trees import Trees, join_trees, lay_trees
from geolayout.layout.zones.ground import ZoneGround
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.grows import season_shift, stand_on, stand_options
from geolayout.plan.guide import Guide
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.passes import place_passes
from geolayout.plan.section.rows import place_rows, place_tree_rows
from geolayout.plan.section.section import GaveWay, Section, cut_section, shifted
from geolayout.plan.section.tracks import sown_places
from geolayout.plan.sharing import contour_section

__all__ = ["Layout", "lay_out"]

MOST_LEFT = 0.15
"""Share of land left by contours from which on something else should be tried. Ours. [-]"""

NARROWEST_WAY = 1.0
"""Width of a neck where no machine is named. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """
    Where everything goes in one season.

    Attributes
    ----------
    field : Field
        The field.
    plan : Plan
        The resolved plan.
    season : Season or None
        The season laid out.
    layers : Layers
        What was taken from the field before any block.
    blocks : tuple of Block
        Land with its own guide.
    ground : Ground
        A partition of the field.
    rows : Rows
        Crop rows.
    trees : Trees
        Trees.
    passes : Passes
        Passes of every operation.
    gave_way : tuple of GaveWay
        What did not fit and was changed.
    rounds : Rounds
        Rounds on the headlands, of every operation that works what grows there.
    zones : ZoneGround or None
        The ground crossed with the plan's rate zones; None where it has none.
    """

    field: Field
    plan: Plan
    season: Season | None
    layers: Layers
    blocks: tuple[Block, ...]
    ground: Ground
    rows: Rows
    trees: Trees
    passes: Passes
    gave_way: tuple[GaveWay, ...]
    rounds: Rounds
    zones: ZoneGround | None = None


@dataclass(frozen=True, slots=True, eq=False)
class _Laid:
    """One block, laid out."""

    ground: Ground
    rows: Rows
    trees: Trees
    passes: Passes
    gave_way: list[GaveWay]


def lay_out(
    field: Field,
    plan: Plan,
    season: Season | None = None,
    drawn: Drawn | None = None,
    *,
    rounds: bool = True,
) -> Layout:
    """
    Lay a plan out on a field.

    Parameters
    ----------
    field : Field
        The field.
    plan : Plan
        A resolved plan: every guide a bearing through an anchor, no trial left.
    season : Season, optional
        A season of the plan; without one each band grows its own stand.
    drawn : Drawn, optional
        Lands that blocks name by file.
    rounds : bool, default True
        Whether to lay the rounds along the headlands; comparing many ways does without.

    Returns
    -------
    layout : Layout

    Raises
    ------
    LayoutError
        If the plan is not resolved, blocks overlap, or no band and no tree row fits.
    MeasureError
        If rows do not fit their bands.
    """
    layers = layers_of(field, plan.margin)
    lands = block_lands(field, plan, layers.drivable, drawn or Drawn())
    shapes = plan.blocks or (None,)
    parted = [
        _parted(plan, shape, field, (layers.drivable, land), season)
        for shape, land in zip(shapes, lands, strict=True)
    ]
    tiered = [
        in_tiers(plan, season, shape, found)
        for shape, (found, _) in zip(shapes, parted, strict=True)
    ]
    blocks = [block for one in tiered for block in one.blocks]
    wedges = [wedge for _, land in parted for wedge in land.wedges]
    turned_on = [*(block.headland for block in blocks), *(wedge.ground for wedge in wedges)]
    headland = joined([*turned_on, *(one.between for one in tiered)])
    around = (field, layers, headland)
    ways = [*blocks, *(way for block in blocks for way in crossings_of(plan, block))]
    laid = [_laid(plan, season, block, i, around) for i, block in enumerate(ways)]
    if not any(part.ground.bands for part in laid):
        _refuse(plan, blocks, layers, field.frame)
    loose = [*_loose_ground(plan, layers, blocks, lands), *map(_wedge_ground, wedges)]
    loose += [loose_ground(land.left, "left over", reason=land.left_reason) for _, land in parted]
    loose += [ground for one in tiered for ground in one.ground]
    parts = [one.blocks for one in tiered]
    headlands = headlands_of(plan, shapes, lands, parts, layers.drivable) if rounds else ()
    return Layout(
        field,
        plan,
        season,
        layers,
        tuple(ways),
        join_ground([*loose, *(part.ground for part in laid)]),
        join_rows([part.rows for part in laid]),
        join_trees([part.trees for part in laid]),
        join_passes([part.passes for part in laid]),
        (
            *map(_split_at, wedges),
            *(given for _, land in parted for given in _too_rolling(land)),
            *(given for one in tiered for given in one.gave_way),
            *(given for part in laid for given in part.gave_way),
        ),
        lay_rounds(plan, headlands, layers.drivable),
    )


def _parted(
    plan: Plan,
    shape: BlockPlan | None,
    field: Field,
    lands: tuple[BaseGeometry, BaseGeometry],
    season: Season | None,
) -> tuple[list[Block], Parted]:
    """Return a block of the plan as one, or as its parts, and how its land was parted."""
    guide = plan.guide_of(shape)
    _check_resolved(guide)
    check_edges(measured_land(shape, lands), headland_wish(plan, shape, field.frame))
    parted = parts_of(guide, field, lands[1], *_turning(plan, shape), plan.narrowest_pass)
    parts = parted.parts
    name = shape.name if shape is not None else ""
    several = len(parts) > 1
    names = [f"{name} {part.name}".strip() if several else name for part in parts]
    blocks = [
        _block(plan, shape, (lands[0], part.land), (own, part.guides), season, field.frame)
        for own, part in zip(names, parts, strict=True)
    ]
    return blocks, parted


def _turning(plan: Plan, shape: BlockPlan | None) -> tuple[float, float]:
    """Return the tightest radius that the plan's machines turn at, and the width of a wedge. [m]"""
    radius = plan.turning_radius
    widest = max((one.working_width for one in plan.machines), default=0.0)
    own = (shape.headland if shape is not None else None) or plan.headland
    headland = plan.headland_width(own) if own.where != "none" else 0.0
    return radius, headland or radius + widest / 2.0


def _wedge_ground(wedge: Wedge) -> Ground:
    """Return the ground of a wedge."""
    return loose_ground(wedge.ground, "headland", reason="wedge inside a bend")


def _too_rolling(parted: Parted) -> list[GaveWay]:
    """Say where contours carry bands over so little land that they are no plan for it."""
    left = float(parted.left.area)
    whole = left + sum(part.land.area for part in parted.parts)
    if parted.left_reason != UNCARRIED or left < MOST_LEFT * whole:
        return []
    what = (
        f"Contours carry bands over {100.0 * (1.0 - left / whole):.0f} % of the land: it rolls too "
        "much for rows on the level, for which contouring is poorly suited (USDA NRCS, Code 330). "
        "Lay straight rows across the main slope, or let contours be smoothed more."
    )
    return [GaveWay(what, left)]


def _split_at(wedge: Wedge) -> GaveWay:
    """Say where the land was split, and what the wedge takes."""
    hint = f" With smooth = {wedge.smoother:.1f} nothing splits." if wedge.smoother else ""
    return GaveWay(
        f"The lines cannot follow the inside of a bend of {wedge.radius:.1f} m radius: the land is "
        f"split there, and a wedge of {wedge.ground.area:.0f} m2 is kept for turning.{hint}",
        float(wedge.ground.area),
    )


def _block(
    plan: Plan,
    shape: BlockPlan | None,
    lands: tuple[BaseGeometry, BaseGeometry],
    lines: tuple[str, Guides],
    season: Season | None,
    frame: Frame,
) -> Block:
    """Return a block with its section, before its ground is cut."""
    guide = plan.guide_of(shape)
    name, guides = lines
    pared = crop_land_of(plan, shape, lands, guides, frame)
    crop_land = pared.crop_land
    pattern = plan.pattern(shape.pattern if shape is not None else None)
    wish = headland_wish(plan, shape, frame)
    if crop_land.is_empty and len(plan.blocks) < 2:
        refuse_unfit(lands, wish, guides, pattern)
    part_of = shape.name if shape is not None else ""
    section = _section(pattern, crop_land, guides, guide, season_shift(pattern, season))
    stands = tuple(stand_on(plan, season, part_of, pattern, cut) for cut in section.cuts)
    return Block(
        name,
        lands[1],
        pared.headland,
        crop_land,
        ends_beside(pared.found.ends, lands[1]) if plan.blocks else pared.found.ends,
        guides,
        pattern,
        section,
        stands,
        place_rows(section.cuts, stands),
        place_tree_rows(section.cuts, pattern),
        wish.base_stand,
        guide,
        part_of,
        edges=pared.found.edges,
        shares=pared.found.shares,
    )


def _section(
    pattern: Pattern, crop_land: BaseGeometry, guides: Guides, guide: Guide, shift: float
) -> Section:
    """Return a pattern laid across crop land; no cut where the headland took all of it."""
    if crop_land.is_empty:
        lost = GaveWay("The headland takes all of this block.", 0.0)
        return Section((), guide.number_at_anchor or 1, (lost,))
    near, far = guides.span(crop_land)
    laid = contour_section if guide.kind == "contour" else cut_section
    base = laid(pattern, (near - shift, far - shift), guide.number_at_anchor)
    return shifted(base, shift)


def _check_resolved(guide: Guide) -> None:
    """Refuse a guide that is still a wish."""
    if not guide.resolved:
        raise LayoutError(
            "The plan's guide is not resolved.",
            "A layout needs a bearing, an anchor and the number of its band, not a wish.",
            "Resolve the plan first.",
        )


def _laid(
    plan: Plan,
    season: Season | None,
    block: Block,
    index: int,
    around: tuple[Field, Layers, BaseGeometry],
) -> _Laid:
    """Cut the ground of a block and put rows, trees and passes on it."""
    field, layers, headland = around
    if block.crossed_by:
        return _laid_across(plan, block, index, around)
    ground, necks = section_ground(block, index, lambda cut: _narrowest(plan, block, cut))
    shift = season_shift(block.pattern, season)
    places = place_passes(plan, block.pattern, block.section, block.stands, shift)
    if block.guide.spiral:
        passes, again = lay_spiral(plan, block, index, places, layers.drivable)
    else:
        passes, again = lay_passes(block, index, places, layers.drivable), []
    sown = sown_places(plan, block.stands, block.rows, places)
    gave_way = [*block.section.gave_way, *_left_out(block, sown), *again]
    gave_way += flat_said(field.terrain, block)
    if necks:
        what = f"Bands are parted at {necks} necks too narrow for the machine."
        gave_way.append(GaveWay(what if necks > 1 else what.replace("necks", "neck"), 0.0))
    return _Laid(
        ground,
        lay_rows(block, index, sown),
        lay_trees(block, index, field, headland),
        passes,
        [_named(block, given) for given in gave_way],
    )


def _laid_across(
    plan: Plan, block: Block, index: int, around: tuple[Field, Layers, BaseGeometry]
) -> _Laid:
    """Put rows and passes of one operation across ground that is counted elsewhere."""
    field, layers, headland = around
    every = place_passes(plan, block.pattern, block.section, block.stands, 0.0)
    places = every.of(plan.operations.index(plan.operation(block.crossed_by)))
    sown = sown_places(plan, block.stands, block.rows, places)
    return _Laid(
        loose_ground(Polygon(), "band"),
        lay_rows(block, index, sown),
        lay_trees(block, index, field, headland),
        lay_passes(block, index, places, layers.drivable),
        [],
    )


def _named(block: Block, given: GaveWay) -> GaveWay:
    """Return what gave way with the block's name before it, where it has one."""
    return GaveWay(f"{block.name}: {given.what}", given.amount) if block.name else given


def _narrowest(plan: Plan, block: Block, cut: int) -> float:
    """Return the narrowest machine that sows a cut in any season. [m]"""
    piece = block.section.cuts[cut]
    if not piece.grows:
        return 0.0
    operations = {
        sowing.operation
        for stand in stand_options(plan, block.part_of, block.pattern, piece, block.name)
        for sowing in stand.sowing
        if sowing.operation is not None
    }
    widths = [plan.machine(plan.operation(name).machine).working_width for name in operations]
    return min(widths, default=NARROWEST_WAY)


def _left_out(block: Block, sown: NDArray[np.bool_]) -> list[GaveWay]:
    """Say how many rows of each crop are left out for wheel tracks."""
    rows = block.rows
    counts: dict[str, int] = {}
    for place in np.flatnonzero(~sown):
        stand = block.stands[rows.cut[place]]
        crop = stand.sowing[rows.sowing[place]].label if stand is not None else ""
        counts[crop] = counts.get(crop, 0) + 1
    return [
        GaveWay(
            f"{count} {'row' if count == 1 else 'rows'} of {crop} "
            f"{'is' if count == 1 else 'are'} left out for wheel tracks.",
            0.0,
        )
        for crop, count in counts.items()
    ]


def _loose_ground(
    plan: Plan, layers: Layers, blocks: Sequence[Block], lands: Sequence[BaseGeometry]
) -> list[Ground]:
    """Return the ground outside every section."""
    margin_stand = (plan.margin.stand if plan.margin is not None else None) or "grass"
    outside = without(layers.drivable, joined(lands)) if plan.blocks else Polygon()
    loose = [
        loose_ground(layers.obstacle, "obstacle"),
        loose_ground(layers.keep_clear, "keep-clear"),
        loose_ground(layers.margin, "margin", stand=margin_stand),
        loose_ground(outside, "left over", reason="in no block"),
    ]
    return loose + [part for i, block in enumerate(blocks) for part in _headland_ground(block, i)]


def _headland_ground(block: Block, index: int) -> list[Ground]:
    """Return the ground of a block's headland, stand by stand, its pieces numbered through."""
    there = [(share.stand, common(block.headland, share.ground)) for share in block.shares]
    rest = without(block.headland, joined([ground for _, ground in there]))
    found: list[Ground] = []
    for stand, ground in [(block.headland_stand, rest), *there]:
        pieces = loose_ground(ground, "headland", block=index, stand=stand)
        before = sum(map(len, found))
        found.append(replace(pieces, piece=whole_numbers(pieces.piece + before)))
    return found


def _refuse(plan: Plan, blocks: Sequence[Block], layers: Layers, frame: Frame) -> None:
    """Refuse a layout without a single band."""
    shapes = {one.name: one for one in plan.blocks}
    for block in blocks:
        shape = shapes.get(block.part_of)
        lands = (layers.drivable, block.land)
        refuse_unfit(lands, headland_wish(plan, shape, frame), block.guides, block.pattern)
    raise LayoutError("The plan has no block.", "Nothing can be laid out.", "Add one.")
