"""
Parting a block along its rows: tiers one behind the other, with ground to turn on between them.

Every tier has the lines, bands and numbers of its block, so that a row goes on in the next one.
Where the cuts lie is measured once, along the rows from the anchor, and stands from then on in the
resolved plan. The first and the last tier reach to the edge of the land, wherever that lies.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.layout.blocks.block import Block
from geolayout.layout.ground import Ground, loose_ground
from geolayout.layout.guides.guide import Guides, Straight
from geolayout.layout.headlands.ends import ends_beside
from geolayout.layout.shapes.cut import Pieces, cut_generic, cut_straight
from geolayout.layout.shapes.overlay import joined
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.grows import stand_on
from geolayout.plan.parts import Tiers, tier_name
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.rows import place_rows, place_tree_rows
from geolayout.plan.section.section import Cut, GaveWay
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["BETWEEN", "BEYOND", "Tiered", "in_tiers", "measured_tiers", "tiers_of"]

BETWEEN = "between tiers"
"""Reason of the ground kept for turning."""

BEYOND = "beyond the last tier"
"""Reason of land that no tier of the given length fits on."""

SHORTEST = 1.0
"""A tier under this is none. Our own choice. [m]"""

NOWHERE = shapely.Polygon()
"""No land."""

ALONG_DECIMALS = 6
"""Places along the rows are written to a thousandth of a millimetre."""


@dataclass(frozen=True, slots=True, eq=False)
class Tiered:
    """
    A block parted along its rows.

    Attributes
    ----------
    blocks : tuple of Block
        The tiers, in the direction of the rows.
    between : Polygon or MultiPolygon
        Ground kept for turning between them. [m]
    beyond : Polygon or MultiPolygon
        Land that no tier fits on. [m]
    gave_way : tuple of GaveWay
        What is left over.
    stand : str
        What grows between them, "" where it is bare.
    """

    blocks: tuple[Block, ...]
    between: BaseGeometry = NOWHERE
    beyond: BaseGeometry = NOWHERE
    gave_way: tuple[GaveWay, ...] = ()
    stand: str = ""

    @property
    def ground(self) -> list[Ground]:
        """The ground that is in no tier."""
        return [
            loose_ground(self.between, "headland", stand=self.stand, reason=BETWEEN),
            loose_ground(self.beyond, "left over", reason=BEYOND),
        ]


def in_tiers(
    plan: Plan, season: Season | None, shape: BlockPlan | None, blocks: Sequence[Block]
) -> Tiered:
    """
    Return a block of the plan in its tiers, or as it is where it has none.

    Parameters
    ----------
    plan : Plan
        The resolved plan.
    season : Season or None
        The season.
    shape : plan.ground.Block or None
        The block as the plan has it.
    blocks : sequence of Block
        The same laid along its lines: one, or its parts between bends.

    Raises
    ------
    LayoutError
        If its lines fall into parts, or a season speaks of a tier that is not there.
    """
    tiers = shape.tiers if shape is not None else None
    if tiers is None or not tiers.places or blocks[0].crop_land.is_empty:
        return Tiered(tuple(blocks))
    if len(blocks) > 1:
        raise LayoutError(
            f"Block {blocks[0].part_of} has tiers, and its lines fall into {len(blocks)} parts.",
            "Tiers lie one behind the other along the same lines.",
            "Smooth the line more, use a straight guide, or make blocks of your own.",
        )
    return tiers_of(plan, season, blocks[0], tiers)


def measured_tiers(block: BlockPlan, guides: Guides, crop_land: BaseGeometry) -> Tiers | None:
    """
    Return the tiers of a block with their places along the rows.

    Parameters
    ----------
    block : plan.ground.Block
        The block.
    guides : Guides
        Its lines.
    crop_land : Polygon or MultiPolygon
        The part of its land that carries bands. [m]

    Returns
    -------
    tiers : Tiers or None
        None where the block has none; places that were kept stay as they are.

    Raises
    ------
    LayoutError
        If no tier fits along the rows.
    """
    tiers = block.tiers
    if tiers is None or tiers.places or crop_land.is_empty:
        return tiers
    s = shapely.get_coordinates(guides.turn(crop_land))[:, 1]
    low, extent = float(s.min()), float(np.ptp(s))
    if tiers.length is not None:
        length = tiers.length
        count = int((extent + tiers.gap + EDGE_SLACK) // (length + tiers.gap))
    else:
        count = tiers.count or 1
        length = (extent - (count - 1) * tiers.gap) / count
    if count < 1 or length < SHORTEST:
        raise _none_fits(block, tiers, extent)
    starts = low + (length + tiers.gap) * np.arange(count)
    places = np.round(np.stack([starts, starts + length], axis=1), ALONG_DECIMALS) + 0.0
    return tiers.model_copy(update={"places": tuple((a, b) for a, b in places.tolist())})


def _none_fits(block: BlockPlan, tiers: Tiers, extent: float) -> LayoutError:
    """Say that the land is too short along the rows."""
    gaps = f" with gaps of {tiers.gap:g} m" if tiers.gap else ""
    wanted = (
        f"a tier of {tiers.length:g} m is asked for"
        if tiers.length is not None
        else f"{tiers.count} tiers{gaps} are asked for"
    )
    return LayoutError(
        f"Block {block.name} is {extent:.1f} m long along its rows, and {wanted}.",
        "No ground is left for them.",
        "Ask for fewer or shorter tiers, or for a narrower gap.",
    )


def tiers_of(plan: Plan, season: Season | None, block: Block, tiers: Tiers) -> Tiered:
    """
    Part a block along its rows.

    Parameters
    ----------
    plan : Plan
        The resolved plan.
    season : Season or None
        The season.
    block : Block
        The block, whole.
    tiers : Tiers
        With their places.

    Returns
    -------
    tiered : Tiered
        Its grounds are the block's land.

    Raises
    ------
    LayoutError
        If a season speaks of a tier that is not there.
    """
    _check_grows(plan, block.part_of, len(tiers.places))
    ends, labels = _segments(tiers)
    pieces = _cut_along(block.crop_land, block.guides, np.array(ends))
    label = np.array(labels)[pieces.interval]
    middles = np.array([(a[1] + b[0]) / 2 for a, b in _pairs(tiers)])
    turned_on = _cut_along(block.headland, block.guides, middles)
    count = len(tiers.places)
    found = [
        _tier(
            plan,
            season,
            block,
            k,
            (
                joined(list(pieces.geometry[label == k])),
                joined(list(turned_on.geometry[turned_on.interval == k - 1])),
            ),
        )
        for k in range(1, count + 1)
    ]
    beyond = joined(list(pieces.geometry[label == count + 1]))
    return Tiered(
        tuple(replace(one, ends=ends_beside(block.ends, one.land)) for one in found),
        joined(list(pieces.geometry[label == 0])),
        beyond,
        (*_named(block, block.section.gave_way), *_left(block, tiers, beyond)),
        tiers.stand if tiers.stand not in (None, "none") else "",
    )


def _pairs(tiers: Tiers) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the places of each tier and the next."""
    return list(zip(tiers.places[:-1], tiers.places[1:], strict=True))


def _segments(tiers: Tiers) -> tuple[list[float], list[int]]:
    """Return where the land is cut, and of what each part is: its tier, 0 for a gap."""
    ends: list[float] = []
    labels = [1]
    for k, (one, other) in enumerate(_pairs(tiers), 2):
        if other[0] > one[1]:
            ends.append(one[1])
            labels.append(0)
        ends.append(other[0])
        labels.append(k)
    if tiers.length is not None:
        ends.append(tiers.places[-1][1] + EDGE_SLACK)
        labels.append(len(tiers.places) + 1)
    return ends, labels


def _cut_along(land: BaseGeometry, guides: Guides, s: NDArray[np.float64]) -> Pieces:
    """Cut land square to its lines."""
    square = guides.square
    if isinstance(square, Straight):
        return cut_straight(land, square, s)
    return cut_generic(land, square, s)


def _tier(
    plan: Plan,
    season: Season | None,
    block: Block,
    number: int,
    lands: tuple[BaseGeometry, BaseGeometry],
) -> Block:
    """Return one tier of a block, on its crop land and headland."""
    crop_land, headland = lands
    name = tier_name(block.name, number)
    cuts = _cuts_over(block, crop_land)
    stands = tuple(stand_on(plan, season, block.part_of, block.pattern, cut, name) for cut in cuts)
    return replace(
        block,
        name=name,
        tier=number,
        land=joined([crop_land, headland]),
        headland=headland,
        crop_land=crop_land,
        ends=(),
        section=replace(block.section, cuts=cuts, gave_way=()),
        stands=stands,
        rows=place_rows(cuts, stands),
        tree_rows=place_tree_rows(cuts, block.pattern),
    )


def _cuts_over(block: Block, crop_land: BaseGeometry) -> tuple[Cut, ...]:
    """Return the cuts of a block's section that a tier has ground of, and those between."""
    if crop_land.is_empty:
        return ()
    near, far = block.guides.span(crop_land)
    return tuple(cut for cut in block.section.cuts if cut.t1 > near and cut.t0 < far)


def _named(block: Block, gave_way: Sequence[GaveWay]) -> list[GaveWay]:
    """Return what gave way in the block as one."""
    return [GaveWay(f"{block.name}: {one.what}", one.amount) for one in gave_way]


def _left(block: Block, tiers: Tiers, beyond: BaseGeometry) -> list[GaveWay]:
    """Say what is left beyond the last tier."""
    if beyond.is_empty:
        return []
    s = shapely.get_coordinates(block.guides.turn(beyond))[:, 1]
    count = len(tiers.places)
    fit = "1 tier fits" if count == 1 else f"{count} tiers fit"
    return [
        GaveWay(
            f"{block.name}: {fit} at {tiers.length:g} m, and {np.ptp(s):.1f} m along the rows are "
            f"left over; count = {count} would share them out.",
            float(beyond.area),
        )
    ]


def _check_grows(plan: Plan, block: str, count: int) -> None:
    """Refuse a season that speaks of a tier beyond the last."""
    there = {tier_name(block, k) for k in range(1, count + 1)}
    for season in plan.seasons:
        for key in season.grows:
            named = key.rpartition("/")[0]
            if named.startswith(tier_name(block, 1)[:-1]) and named not in there:
                raise LayoutError(
                    f"grows of season {season.year} names {named!r}.",
                    f"{count} tiers fit on block {block}.",
                    "Name one of these, or ask for more tiers.",
                )
