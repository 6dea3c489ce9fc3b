"""How far the lines of a resolved plan lie from those of an earlier one, and how to keep those."""

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.land.field import Field
from geolayout.layout.guides.along import guides_of
from geolayout.layout.guides.guide import Guides, Straight
from geolayout.plan.ground import Block
from geolayout.plan.guide import Baseline, Guide
from geolayout.plan.plan import Plan
from geolayout.plan.slack import EDGE_SLACK
from geolayout.plan.value import COMPASS_DEGREES

__all__ = ["keep_guides", "lines_moved"]

STEP = 5.0
"""Farthest apart that a bent line is looked at. [m]"""


def lines_moved(plan: Plan, earlier: Plan, field: Field) -> tuple[str, ...]:
    """
    Say how far the lines of a plan lie from those of an earlier one.

    Parameters
    ----------
    plan, earlier : Plan
        Resolved plans of the same field.
    field : Field
        The field.

    Returns
    -------
    sentences : tuple of str
        One for each guide whose lines lie more than 1 cm off somewhere on the land; a guide
        that only one of the plans has is passed over.
    """
    before = dict(_guides(earlier))
    said = []
    for name, guide in _guides(plan):
        former = before.get(name)
        if former is None or not (guide.resolved and former.resolved):
            continue
        if "contour" in (guide.kind, former.kind):
            sentence = _baselines_moved(guide, former, field)
        else:
            sentence = _said(guides_of(guide, field), guides_of(former, field), field)
        if sentence:
            said.append(f"{name}: {sentence}" if name else sentence)
    return (*said, *_tiers_moved(plan, earlier, field))


def _tiers_moved(plan: Plan, earlier: Plan, field: Field) -> list[str]:
    """Say which blocks have their tiers elsewhere along the rows than before."""
    former = {one.name: one for one in earlier.blocks if one.tiers is not None and one.guide}
    said = []
    for block in plan.blocks:
        before = former.get(block.name)
        if block.tiers is None or block.guide is None or before is None:
            continue
        now, then = (_tier_ends(one, field) for one in (block, before))
        if len(now) != len(then):
            said.append(f"{block.name}: There are {len(now)} tiers, and were {len(then)}.")
        elif (off := float(np.hypot(*(now - then).T).max(initial=0.0))) > EDGE_SLACK:
            said.append(f"{block.name}: The tiers move by up to {off:.2f} m along the rows.")
    return said


def _tier_ends(block: Block, field: Field) -> NDArray[np.float64]:
    """Return where on its line t = 0 each tier of a block begins, shape (n, 2). [m]"""
    places = block.tiers.places if block.tiers is not None else ()
    s = np.array([start for start, _ in places])
    ts = np.stack([np.zeros(len(s)), s], axis=1)
    return guides_of(block.guide, field).from_turned(ts) if block.guide is not None else ts


def keep_guides(plan: Plan, earlier: Plan) -> Plan:
    """
    Return a plan that lies along the lines of an earlier resolved one.

    Parameters
    ----------
    plan : Plan
        The plan as written.
    earlier : Plan
        A resolved plan; its guides are taken over, by the names of blocks.
    """
    before = {name: guide for name, guide in _guides(earlier) if guide.resolved}
    if not plan.blocks:
        return plan.model_copy(update={"guide": before.get("", plan.guide)})
    blocks = tuple(
        block.model_copy(update={"guide": before.get(block.name, block.guide)})
        for block in plan.blocks
    )
    return plan.model_copy(update={"blocks": tuple(_with_tiers(one, earlier) for one in blocks)})


def _with_tiers(block: Block, earlier: Plan) -> Block:
    """Return a block with the places of its tiers of before, where the same tiers are wanted."""
    former = next((one.tiers for one in earlier.blocks if one.name == block.name), None)
    if block.tiers is None or former is None or block.tiers.places:
        return block
    wanted = former.model_copy(update={"places": (), "stand": block.tiers.stand})
    same = wanted == block.tiers
    kept = block.tiers.model_copy(update={"places": former.places}) if same else block.tiers
    return block.model_copy(update={"tiers": kept})


def _guides(plan: Plan) -> Iterator[tuple[str, Guide]]:
    """Yield the guide of each block by the block's name, "" where the plan has none."""
    if not plan.blocks and plan.guide is not None:
        yield "", plan.guide
    for block in plan.blocks:
        guide = block.guide or plan.guide
        if guide is not None:
            yield block.name, guide


def _baselines_moved(guide: Guide, former: Guide, field: Field) -> str:
    """Say how far baselines on the contour lie from former ones; "" where they do not."""
    if len(guide.baselines) != len(former.baselines):
        return (
            f"There are {len(guide.baselines)} baselines on the contour, and were "
            f"{len(former.baselines)}: other blocks, and other lines."
        )
    pairs = zip(guide.baselines, former.baselines, strict=True)
    lines = [[_chain(one, field) for one in pair] for pair in pairs]
    off = max(float(shapely.hausdorff_distance(one, other)) for one, other in lines)
    return f"The baselines on the contour move by up to {off:.2f} m." if off > EDGE_SLACK else ""


def _chain(baseline: Baseline, field: Field) -> shapely.LineString:
    """Return a baseline in the frame. [m]"""
    return shapely.LineString(field.frame.metres(np.array(baseline.points)))


def _said(lines: Guides, former: Guides, field: Field) -> str:
    """Say how far lines moved against former ones; "" where they did not."""
    if isinstance(lines, Straight) and isinstance(former, Straight):
        return _moved(lines, former, field)
    (line,) = lines.lines(np.zeros(1), field.land)
    off = np.abs(former.across(shapely.get_coordinates(shapely.segmentize(line, STEP)))).max()
    return f"The lines move by up to {off:.2f} m." if off > EDGE_SLACK else ""


def _moved(lines: Straight, former: Straight, field: Field) -> str:
    """Say how far lines moved and turned against former ones; "" where they did not."""
    turn = (lines.bearing - former.bearing + 90.0) % 180.0 - 90.0
    step = float(former.across(np.array([[lines.x, lines.y]]))[0])
    reach = np.abs(former.along(shapely.get_coordinates(field.land))).max()
    words = []
    if abs(step) > EDGE_SLACK:
        words.append(f"move {abs(step):.2f} m to the {_word(former, step)}")
    if abs(np.sin(np.radians(turn))) * reach > EDGE_SLACK:
        words.append(f"turn by {turn:+.3f} degrees")
    return f"The lines {' and '.join(words)}." if words else ""


def _word(lines: Straight, step: float) -> str:
    """Return the compass word of a step across lines."""
    east, north = lines.sideways * np.sign(step)
    bearing = np.degrees(np.arctan2(east, north)) % 360.0
    return list(COMPASS_DEGREES)[round(float(bearing) / 45.0) % 8]
