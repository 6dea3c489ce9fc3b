"""
Trees: points along the tree rows, as many as stand there and as no share of an area.

A row is clipped to the land where its trees may stand, and on each piece trees are set like fence
posts: the first at its distance from the piece's start, then one every step while the last keeps
its distance from the piece's end.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.features import kept_clear
from geolayout.land.field import Field
from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.follow import chords_along
from geolayout.layout.guides.guide import Guides, Straight
from geolayout.layout.guides.rings import Rings
from geolayout.layout.rows import run_numbers
from geolayout.layout.shapes.lines import frozen, joined_columns
from geolayout.layout.shapes.scan import Chords
from geolayout.layout.trees.kinds import species_of
from geolayout.layout.trees.posts import PostRule, clear_of_last, posts, without_gaps
from geolayout.plan.trees.trees import BandTrees, Setback, TreeGap

__all__ = ["Trees", "join_trees", "lay_trees"]

ARC_SEGMENTS = 64
"""Segments of a quarter circle, so that a setback of 30 m is right to 2 mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Trees:
    """
    Trees; every column has one entry a tree.

    Attributes
    ----------
    xy : ndarray of float, shape (n, 2)
        Where it stands. [m]
    block : ndarray of int
        Index of the block.
    cut : ndarray of int
        Index of the cut in the block's section.
    number : ndarray of int
        Number of the band.
    row : ndarray of int
        Number of the tree row in the block, counted from the near side.
    position : ndarray of int
        Number of the tree along its row, from 1.
    species : ndarray of int
        Index into the species of its band.
    """

    xy: NDArray[np.float64]
    block: NDArray[np.int32]
    cut: NDArray[np.int32]
    number: NDArray[np.int32]
    row: NDArray[np.int32]
    position: NDArray[np.int32]
    species: NDArray[np.int16]

    def __len__(self) -> int:
        """Return the number of trees."""
        return len(self.xy)


def lay_trees(block: Block, index: int, field: Field, headland: BaseGeometry) -> Trees:
    """
    Set the trees of a block.

    Parameters
    ----------
    block : Block
        The block.
    index : int
        Its index in the layout.
    field : Field
        The field, for its edge and features.
    headland : Polygon or MultiPolygon
        All headland of the field. [m]

    Returns
    -------
    trees : Trees
    """
    places = block.tree_rows
    found = [_none()]
    for band_index in np.unique([block.section.cuts[i].index for i in places.cut]):
        trees = block.pattern.bands[band_index].trees
        mine = np.array([block.section.cuts[i].index == band_index for i in places.cut])
        if trees is not None:
            land = land_for_trees(block.crop_land, trees.distances, field, headland)
            ways = _ways(block.guides, trees.gaps, field)
            rows = _TreeRows(block, index, trees, np.flatnonzero(mine), ways)
            found.append(_trees_of_band(rows, land))
    joined = joined_columns(found)
    if len(found) > 2:  # the rows of several bands stand between each other
        order = np.lexsort((joined["position"], joined["row"]))
        joined = {name: frozen(column[order]) for name, column in joined.items()}
    return Trees(**joined)


def land_for_trees(
    crop_land: BaseGeometry, setback: Setback, field: Field, headland: BaseGeometry
) -> BaseGeometry:
    """Return the part of the crop land that every setback leaves to trees."""
    # What is kept clear of everything is no crop land already; that includes the bodies.
    wider = [f for f in field.features if f.keep_clear.trees > f.keep_clear.all]
    taken = [kept_clear(feature, feature.keep_clear.trees) for feature in wider]
    if setback.boundary:
        taken.append(_near(shapely.boundary(field.land), setback.boundary))
    if setback.headland:
        taken.append(_near(headland, setback.headland))
    if setback.feature:
        drawn = [kept_clear(feature, 0.0) for feature in field.features]
        drawn += [feature.geometry for feature in field.features]
        taken += [_near(shape, setback.feature) for shape in drawn]
    for feature in field.features:
        if distance := setback.kinds.get(feature.kind, 0.0):
            taken += [
                _near(shape, distance) for shape in (kept_clear(feature, 0.0), feature.geometry)
            ]
    taken = [shape for shape in taken if not shape.is_empty]
    return shapely.difference(crop_land, shapely.union_all(taken)) if taken else crop_land


def _near(shape: BaseGeometry, distance: float) -> BaseGeometry:
    """Return everything nearer to a shape than a distance."""
    return shapely.buffer(shape, distance, quad_segs=ARC_SEGMENTS)


@dataclass(frozen=True, slots=True, eq=False)
class _TreeRows:
    """The tree rows of one band of a pattern, and the ways through them as (s, width)."""

    block: Block
    index: int
    trees: BandTrees
    which: NDArray[np.int64]
    ways: list[tuple[float, float]]


def _ways(guides: Guides, gaps: Sequence[TreeGap], field: Field) -> list[tuple[float, float]]:
    """Return where ways go through the rows, along the guide, and how wide they are. [m]"""
    at = field.frame.metres(np.array([gap.at for gap in gaps], dtype=float).reshape(-1, 2))
    return list(zip(guides.along(at).tolist(), [gap.width for gap in gaps], strict=True))


def _trees_of_band(rows: _TreeRows, land: BaseGeometry) -> Trees:
    """Set the trees of all tree rows of one band of the pattern."""
    places, trees, guides = rows.block.tree_rows, rows.trees, rows.block.guides
    _check_lines(trees, guides)
    t = places.t[rows.which]
    true, wide = (_on_the_ground(guides, one, t) for one in chords_along(guides, land, t))
    for s, width in rows.ways:
        middle = guides.run(t[true.line], np.full(len(true.line), s))
        true, wide, _ = without_gaps(true, wide, (middle - width / 2, middle + width / 2))
    moved = places.offset_step[rows.which][true.line]
    piece, run = posts(true, wide, PostRule.of(trees), moved)
    line = true.line[piece]
    keep = clear_of_last(line, piece, run, trees.in_row_spacing)
    line, s_kept = line[keep], guides.from_run(t[line[keep]], run[keep])
    return _labelled(rows, line, guides.from_turned(np.stack([t[line], s_kept], axis=1)))


def _labelled(rows: _TreeRows, line: NDArray[np.int64], xy: NDArray[np.float64]) -> Trees:
    """Return trees with everything that is known of them."""
    place = rows.which[line]
    cut = rows.block.tree_rows.cut[place].astype(np.int32)
    numbers = np.array([one.number for one in rows.block.section.cuts], dtype=np.int32)
    position = run_numbers(line)
    return Trees(
        xy,
        np.full(len(line), rows.index, dtype=np.int32),
        cut,
        numbers[cut],
        (place + 1).astype(np.int32),
        position,
        species_of(rows.trees, line, position.astype(np.int64)),
    )


def _check_lines(trees: BandTrees, guides: Guides) -> None:
    """Trees of rows that bend cannot stand abreast, and no way runs square through rings."""
    if trees.set_out == "aligned" and not isinstance(guides, Straight):
        raise LayoutError(
            'Trees are set_out = "aligned" along lines that bend.',
            "Inside a bend rows are shorter than outside, and trees abreast would stand too near.",
            'Use set_out = "from start", "centred" or "equalised" here.',
        )
    if trees.gaps and isinstance(guides, Rings):
        raise LayoutError(
            "Trees have gaps along rings.",
            "A ring turns at every corner, so no way crosses all of them square.",
            "Draw the way as a feature of kind track, or give trees a setback from its gateway.",
        )


def _on_the_ground(guides: Guides, chords: Chords, t: NDArray[np.float64]) -> Chords:
    """Return chords measured along their lines on the ground."""
    at = t[chords.line]
    return Chords(chords.line, guides.run(at, chords.s0), guides.run(at, chords.s1))


def _none() -> Trees:
    """Return no trees."""
    none = np.empty(0, dtype=np.int32)
    return Trees(np.empty((0, 2)), none, none, none, none, none, np.empty(0, dtype=np.int16))


def join_trees(several: Sequence[Trees]) -> Trees:
    """Return the trees of several blocks as one."""
    return Trees(**joined_columns(several))
