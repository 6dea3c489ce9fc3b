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

from geolayout.land.features import kept_clear
from geolayout.land.field import Field
from geolayout.layout.block import Block
from geolayout.layout.follow import chords_along
from geolayout.layout.guides import Guides
from geolayout.layout.lines import frozen, joined_columns
from geolayout.layout.rows import run_numbers
from geolayout.layout.scan import Chords
from geolayout.plan.pattern import BandTrees, Setback
from geolayout.plan.slack import EDGE_SLACK

__all__ = ["Trees", "join_trees", "lay_trees", "posts"]

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


def posts(
    true: Chords, wide: Chords, step: float, first: NDArray[np.float64], last: float
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """
    Set posts along stretches of lines.

    Their number is that of the stretch with its slack, so that rounding makes or loses none;
    they are set out from the true start, moved back where the last would stand beyond the slack.

    Parameters
    ----------
    true, wide : Chords
        Stretches, without and with slack, equally many. [m]
    step : float
        Between posts. [m]
    first : ndarray, shape (n,)
        From the start to the first post. [m]
    last : float
        Least distance from the last post to the end. [m]

    Returns
    -------
    stretch : ndarray of int, shape (m,)
        The stretch of each post.
    s : ndarray, shape (m,)
        Where it stands. [m]

    Examples
    --------
    >>> line = Chords(np.array([0]), np.array([0.0]), np.array([60.0]))
    >>> posts(line, line, 4.0, np.array([0.0]), 0.0)[1].size
    16
    """
    room = wide.s1 - wide.s0 - first - last
    count = np.maximum(np.floor(room / step).astype(np.int64) + 1, 0)
    reach = true.s0 + first + (count - 1) * step + last
    start = true.s0 + first - np.maximum(reach - wide.s1, 0.0)
    stretch = np.repeat(np.arange(len(count)), count)
    order = np.arange(len(stretch)) - np.repeat(np.cumsum(count) - count, count)
    return stretch, start[stretch] + order * step


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
            land = land_for_trees(block.crop_land, trees.setback, field, headland)
            found.append(_trees_of_band(block, index, trees, np.flatnonzero(mine), land))
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
    taken = [shape for shape in taken if not shape.is_empty]
    return shapely.difference(crop_land, shapely.union_all(taken)) if taken else crop_land


def _near(shape: BaseGeometry, distance: float) -> BaseGeometry:
    """Return everything nearer to a shape than a distance."""
    return shapely.buffer(shape, distance, quad_segs=ARC_SEGMENTS)


def _trees_of_band(
    block: Block, index: int, trees: BandTrees, which: NDArray[np.int64], land: BaseGeometry
) -> Trees:
    """Set the trees of all tree rows of one band of the pattern."""
    places = block.tree_rows
    t = places.t[which]
    true, wide = chords_along(block.guides, land, t)
    step = trees.in_row_spacing
    moved = places.offset_step[which][true.line]
    first = trees.first_distance + np.where(moved, step / 2, 0.0)
    on_ground = _on_the_ground(block.guides, true, t), _on_the_ground(block.guides, wide, t)
    piece, run = posts(*on_ground, step, first, trees.last_distance)
    line = true.line[piece]
    keep = _clear_of_last(line, piece, run, step)
    line, s = line[keep], block.guides.from_run(t[line[keep]], run[keep])
    place = which[line]
    cut = places.cut[place].astype(np.int32)
    numbers = np.array([cut_.number for cut_ in block.section.cuts], dtype=np.int32)
    species = (trees.species,) if isinstance(trees.species, str) else trees.species
    row = (place + 1).astype(np.int32)
    return Trees(
        block.guides.from_turned(np.stack([t[line], s], axis=1)),
        np.full(len(s), index, dtype=np.int32),
        cut,
        numbers[cut],
        row,
        run_numbers(line),
        ((row - 1) % len(species)).astype(np.int16),
    )


def _on_the_ground(guides: Guides, chords: Chords, t: NDArray[np.float64]) -> Chords:
    """Return chords measured along their lines on the ground."""
    at = t[chords.line]
    return Chords(chords.line, guides.run(at, chords.s0), guides.run(at, chords.s1))


def _clear_of_last(
    line: NDArray[np.int64], piece: NDArray[np.int64], s: NDArray[np.float64], step: float
) -> NDArray[np.bool_]:
    """Drop trees that stand too near the last one kept on their line, across a gap."""
    keep = np.ones(len(s), dtype=bool)
    for i in np.flatnonzero((line[1:] == line[:-1]) & (piece[1:] != piece[:-1])) + 1:
        j, last = i, i - 1
        while not keep[last]:
            last -= 1
        while j < len(s) and piece[j] == piece[i] and s[j] < s[last] + step - EDGE_SLACK:
            keep[j] = False
            j += 1
    return keep


def _none() -> Trees:
    """Return no trees."""
    none = np.empty(0, dtype=np.int32)
    return Trees(np.empty((0, 2)), none, none, none, none, none, np.empty(0, dtype=np.int16))


def join_trees(several: Sequence[Trees]) -> Trees:
    """Return the trees of several blocks as one."""
    return Trees(**joined_columns(several))
