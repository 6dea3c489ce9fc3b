"""A block as another season has it: its section, what grows on it, and the ground of that."""

from collections.abc import Sequence

import numpy as np
from shapely.geometry.base import BaseGeometry

from geolayout.layout.blocks.block import Block
from geolayout.layout.shapes.cut import cut_land
from geolayout.plan.grows import season_shift, stand_on
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.section import Cut, cut_section, shifted
from geolayout.plan.sharing import contour_section
from geolayout.plan.stand import Stand

__all__ = ["season_cuts", "season_ground", "seasons_in_order"]


def seasons_in_order(plan: Plan) -> tuple[Season, ...]:
    """Return the seasons of a plan by their years."""
    return tuple(sorted(plan.seasons, key=lambda season: season.year))


def season_cuts(plan: Plan, block: Block, season: Season) -> list[tuple[Cut, Stand | None]]:
    """
    Return the cuts of a block as a season has them, and what grows on each.

    Parameters
    ----------
    plan : Plan
        The plan.
    block : Block
        The block as any season has it; its span counts.
    season : Season
        The season that is asked for.
    """
    cuts = block.section.cuts
    if block.crossed_by or not cuts:
        return []
    shift = season_shift(block.pattern, season)
    span = (cuts[0].t0 - shift, cuts[-1].t1 - shift)
    laid = contour_section if block.guide.kind == "contour" else cut_section
    moved = shifted(laid(block.pattern, span, block.guide.number_at_anchor), shift)
    tier = block.name if block.tier else ""
    return [
        (cut, stand_on(plan, season, block.part_of, block.pattern, cut, tier)) for cut in moved.cuts
    ]


def season_ground(
    plan: Plan, blocks: Sequence[Block], season: Season
) -> list[tuple[str, BaseGeometry]]:
    """
    Return the ground of a season within the headlands.

    Returns
    -------
    ground : list of (str, geometry)
        Name of the stand, "" where it is bare, and each piece. [m]
    """
    found: list[tuple[str, BaseGeometry]] = []
    for block in blocks:
        cuts = season_cuts(plan, block, season)
        if not cuts:
            continue
        edges = np.array([cut.t0 for cut, _ in cuts[1:]])
        pieces = cut_land(block.crop_land, block.guides, edges)
        for interval, piece in zip(pieces.interval.tolist(), pieces.geometry, strict=True):
            stand = cuts[interval][1]
            found.append((stand.name if stand is not None else "", piece))
    return found
