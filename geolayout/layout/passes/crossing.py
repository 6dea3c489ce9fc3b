"""
Cross drilling: ground is worked a second time, at an angle to the rows.

The second way is a block of its own over ground of the first: it has lines, rows and passes, and
no ground, so that every square metre is still counted once. Its passes start at the anchor too,
and its rows stand in the passes.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.guide import Straight
from geolayout.layout.shapes.cut import cut_straight
from geolayout.layout.shapes.overlay import joined
from geolayout.plan.guide import Guide
from geolayout.plan.machines import Operation
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.section.rows import place_rows, place_tree_rows
from geolayout.plan.section.section import REST, Cut, CutKind, Section
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing, Stand

__all__ = ["ACROSS", "crossings_of"]

ACROSS = "across"
"""What the ground of the second way is called."""


def crossings_of(plan: Plan, block: Block) -> list[Block]:
    """
    Return the second ways over a block, one for each crossed operation that works it.

    Parameters
    ----------
    plan : Plan
        The plan.
    block : Block
        A block, the first way.

    Returns
    -------
    crossings : list of Block
        Each with lines turned by the angle, and no ground.

    Raises
    ------
    LayoutError
        If its lines are bent, or the ground worked is not one piece of one stand.
    """
    found = []
    for operation in plan.operations:
        if operation.crossed is None:
            continue
        worked = worked_cuts(plan, operation, block.section, block.stands)
        if worked and not block.crop_land.is_empty:
            found.append(_crossing(plan, operation, block, worked))
    return found


def _crossing(plan: Plan, operation: Operation, block: Block, worked: Sequence[int]) -> Block:
    """Return the second way of one operation over a block."""
    if not isinstance(block.guides, Straight):
        raise LayoutError(
            f"Operation {operation.name} is crossed{_of(block)}, where the lines are bent.",
            "Rows cross at one angle only if they are straight.",
            "Take crossed away, or use a straight guide there.",
        )
    _check_one_ground(operation, block, worked)
    angle = operation.crossed or 0.0
    lines = replace(block.guides, bearing=(block.guides.bearing + angle) % 360.0)
    land = _worked_land(block, block.guides, worked)
    width = plan.machine(operation.machine).working_width
    cut = _cut(lines.span(land), operation.offset, width)
    stands = (_sown_across(operation, block, worked[0]),)
    return replace(
        block,
        name=f"{block.name} {operation.name} {ACROSS}".strip(),
        land=land,
        headland=shapely.Polygon(),
        crop_land=land,
        ends=(),
        guides=lines,
        section=Section((cut,), 1, ()),
        stands=stands,
        rows=place_rows((cut,), stands),
        tree_rows=place_tree_rows((cut,), block.pattern),
        guide=_turned(block.guide, angle),
        crossed_by=operation.name,
    )


def _turned(guide: Guide, angle: float) -> Guide:
    """Return what is told of the lines: their bearing, and no side that bands count from."""
    bearing = ((guide.bearing or 0.0) + angle) % 360.0
    return guide.model_copy(update={"bearing": bearing, "from_": None})


def _of(block: Block) -> str:
    """Say in which block, where there are several."""
    return f" in block {block.name}" if block.name else ""


def _check_one_ground(operation: Operation, block: Block, worked: Sequence[int]) -> None:
    """Refuse to drive across what the operation does not work, or what grows something else."""
    cuts = block.section.cuts
    for i in range(worked[0], worked[-1]):
        if i not in worked:
            raise LayoutError(
                f"Operation {operation.name} is crossed{_of(block)}, and band {cuts[i].band} "
                f"{cuts[i].number} lies within the ground it works.",
                "Across the rows it would drive over that band.",
                "Take crossed away, or let one stand fill a block of its own.",
            )
    stands = {stand.name for i in worked if (stand := block.stands[i]) is not None}
    if len(stands) > 1 and _sows(operation, block.stands[worked[0]]):
        raise LayoutError(
            f"Operation {operation.name} is crossed{_of(block)}, and sows "
            f"{' and '.join(sorted(stands))}.",
            "Across the rows it sows one and the same seed.",
            "Take crossed away, or let one stand fill a block of its own.",
        )


def _sows(operation: Operation, stand: Stand | None) -> bool:
    """Whether an operation sows something of a stand."""
    return stand is not None and any(one.operation == operation.name for one in stand.sowing)


def _worked_land(block: Block, guides: Straight, worked: Sequence[int]) -> BaseGeometry:
    """Return the part of a block's crop land that an operation works."""
    cuts = block.section.cuts
    if len(worked) == len(cuts):
        return block.crop_land
    edges = np.array([cuts[worked[0]].t0, cuts[worked[-1]].t1])
    pieces = cut_straight(block.crop_land, guides, edges)
    return joined(list(pieces.geometry[pieces.interval == 1]))


def _cut(span: tuple[float, float], offset: float, width: float) -> Cut:
    """Return the ground across which passes run, its rows in the beds of the passes."""
    near, far = span
    first = offset + width * np.floor((near - offset + ACROSS_SLACK) / width)
    last = offset + width * np.ceil((far - offset - ACROSS_SLACK) / width)
    bed = (float(first), float(max(last, first + width)))
    return Cut(near, far, ACROSS, REST, 1, 1, CutKind.BAND, bed)


def _sown_across(operation: Operation, block: Block, first: int) -> Stand | None:
    """Return what is sown across: the operation's part of the stand, by spacing alone."""
    stand, bed = block.stands[first], block.section.cuts[first].bed
    if stand is None or not _sows(operation, stand):
        return None
    sowing = tuple(
        _by_spacing(one, bed[1] - bed[0]) for one in stand.sowing if one.operation == operation.name
    )
    return stand.model_copy(update={"sowing": sowing})


def _by_spacing(sowing: Sowing, width: float) -> Sowing:
    """Return a sowing without a number of rows, which is that of its band."""
    if sowing.rows is None:
        return sowing
    spacing = sowing.spacing or width / sowing.rows
    return sowing.model_copy(update={"rows": None, "spacing": spacing})
