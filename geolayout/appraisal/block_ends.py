"""Where rows end and nobody kept ground to turn on: at another block, between tiers, across."""

import itertools

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import WARNING, Caution
from geolayout.appraisal.places import place_of, place_words
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.plan.parts import Tiers
from geolayout.plan.turns import headland_needed

__all__ = ["block_end_cautions"]

STEP = 5.0
"""Edges are looked at in pieces as long as this at most. [m]"""

TOUCH = 0.05
"""Ground this near to an edge lies along it. Our own choice. [m]"""

LEAST = 1.0
"""Less edge than this is a corner. Our own choice. [m]"""

SHORTFALL = 0.05
"""A gap that is short by less is not short. Our own choice. [m]"""

GEOMETRY = "Geometry."

TURN = "Geometry of a turn of constant radius, plus half the implement."


def block_end_cautions(layout: Layout) -> list[Caution]:
    """
    Say where machines would turn on the crop of another block, or have too little room.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    return [*_at_blocks(layout), *_between_tiers(layout), *_across(layout)]


def _at_blocks(layout: Layout) -> list[Caution]:
    """Return a caution for each block whose rows end at another one without a headland."""
    grown = [one for one in layout.blocks if not one.crossed_by and not one.crop_land.is_empty]
    found = []
    for block in grown:
        near = [one for one in grown if one.part_of != block.part_of]
        for name in dict.fromkeys(one.part_of for one in near):
            crop = shapely.union_all([one.crop_land for one in near if one.part_of == name])
            met = _met(layout, block, crop)
            if met.length >= LEAST:
                found.append(_turned_on(layout, block, name, met))
    return found


def _met(layout: Layout, block: Block, ground: BaseGeometry) -> BaseGeometry:
    """Return the ends of a block's crop land that lie along other ground."""
    beside = shapely.buffer(ground, TOUCH)
    if not shapely.intersects(block.crop_land, beside):
        return shapely.MultiLineString()
    return shapely.union_all(shapely.intersection(_ends(layout, block), beside))


def _ends(layout: Layout, block: Block) -> NDArray[np.object_]:
    """Return the edges of a block's crop land that its rows meet steeply, in short pieces."""
    edge = shapely.segmentize(shapely.boundary(block.crop_land), STEP)
    xy, line = shapely.get_coordinates(shapely.get_parts(edge), return_index=True)
    same = line[1:] == line[:-1]
    start, end = xy[:-1][same], xy[1:][same]
    bearing = np.degrees(np.arctan2(*(end - start).T))
    rows = block.guides.direction((start + end) / 2)
    angle = np.abs((bearing - rows + 90.0) % 180.0 - 90.0)
    steep = angle >= _steep(layout, block)
    pieces = shapely.linestrings(np.stack([start, end], axis=1)[steep])
    return np.asarray(pieces, dtype=object)


def _steep(layout: Layout, block: Block) -> float:
    """Return the angle from which an edge counts as an end of a block's rows. [degrees]"""
    own = next((one.headland for one in layout.plan.blocks if one.name == block.part_of), None)
    return (own or layout.plan.headland).steep


def _turned_on(layout: Layout, block: Block, other: str, met: BaseGeometry) -> Caution:
    """Return the caution of rows that end at another block."""
    place = place_of(met, layout.field.land)
    return Caution(
        key="rows-end-at-a-block",
        code="W09",
        severity=WARNING,
        sentence=(
            f"Rows of block {block.name} end along {met.length:.0f} m of block {other}, "
            f"{place_words(layout.field, place)}, and no headland lies between: machines turn on "
            "its crop."
        ),
        remedy=(
            f"Give block {block.part_of} a headland of its own, such as "
            'headland = { where = "ends", width = 12.0 }, or sow the other block after the turns.'
        ),
        source=GEOMETRY,
        value=float(met.length),
        threshold=LEAST,
        unit="m of edge",
        place=place,
    )


def _between_tiers(layout: Layout) -> list[Caution]:
    """Return a caution for each block whose gaps between tiers hold no turn."""
    found = []
    for shape in layout.plan.blocks:
        if shape.tiers is not None and shape.tiers.gap and len(shape.tiers.places) > 1:
            mine = [i for i, one in enumerate(layout.blocks) if one.part_of == shape.name]
            found += _gap_too_narrow(layout, shape.name, shape.tiers, mine)
    return found


def _gap_too_narrow(layout: Layout, name: str, tiers: Tiers, mine: list[int]) -> list[Caution]:
    """Return the caution of a gap that is narrower than the deepest turn of what drives there."""
    gap = min(b[0] - a[1] for a, b in itertools.pairwise(tiers.places))
    driven = np.unique(layout.passes.operation[np.isin(layout.passes.block, mine)]).tolist()
    machines = {layout.plan.machine(layout.plan.operations[i].machine) for i in driven}
    needs = {
        one.name: headland_needed(one.turning_radius, one.working_width, one.working_width)
        for one in sorted(machines, key=lambda one: one.name)
        if one.turning_radius is not None
    }
    widest = max(needs, key=lambda one: needs[one], default=None)
    if widest is None or needs[widest] <= gap + SHORTFALL:
        return []
    return [
        Caution(
            key="gap-between-tiers",
            code="W09",
            severity=WARNING,
            sentence=(
                f"Between the tiers of block {name} lie {gap:.1f} m, and the turn of {widest} into "
                f"the neighbouring pass takes {needs[widest]:.1f} m."
            ),
            remedy="Widen gap, or drive on through all tiers and turn at their far ends.",
            source=TURN,
            value=needs[widest],
            threshold=gap,
            unit="m of gap",
        )
    ]


def _across(layout: Layout) -> list[Caution]:
    """Return a caution for each crossed operation whose ends across have no headland."""
    ground = layout.ground
    beside = shapely.buffer(shapely.union_all(ground.geometry[ground.kind == "headland"]), TOUCH)
    found = []
    for block in layout.blocks:
        if not block.crossed_by:
            continue
        ends = shapely.union_all(shapely.difference(_ends(layout, block), beside))
        if ends.length >= LEAST:
            found.append(_no_room_across(layout, block, ends))
    return found


def _no_room_across(layout: Layout, block: Block, ends: BaseGeometry) -> Caution:
    """Return the caution of passes across that end without a headland."""
    where = f" in block {block.part_of}" if block.part_of else ""
    place = place_of(ends, layout.field.land)
    return Caution(
        key="no-headland-across",
        code="W09",
        severity=WARNING,
        sentence=(
            f"Across the rows{where}, passes of {block.crossed_by} end along {ends.length:.0f} m "
            f"of edge without a headland, {place_words(layout.field, place)}."
        ),
        remedy='Write where = "all round" in the headland, or turn outside the field.',
        source=GEOMETRY,
        value=float(ends.length),
        threshold=LEAST,
        unit="m of edge",
        place=place,
    )
