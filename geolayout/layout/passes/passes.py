"""
Passes: where each machine drives, long enough to work every piece of ground in its strip.

A pass that follows the clipped centre line would leave out the tips at slanting ends, so its
line reaches the farthest ground of its strip on both sides, and says how much of it then lies
beyond land that can be driven on.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.follow import chords_inside, reaches_along
from geolayout.layout.guides.guide import Guides
from geolayout.layout.shapes.lines import Lines, frozen, joined_columns, whole_numbers
from geolayout.plan.section.passes import PassPlaces

__all__ = ["Passes", "join_passes", "lay_passes"]


@dataclass(frozen=True, slots=True, eq=False)
class Passes:
    """
    Pieces of passes; every column has one entry a piece.

    Attributes
    ----------
    lines : Lines
        Centre lines, in the guide's direction, as far as they reach. [m]
    block, operation, number, piece : ndarray of int
        Index of the block and of the operation; number of the pass; piece along it, from 1.
    cut : ndarray of int
        Index of the cut it works; -1 where it may work several.
    t0, t1 : ndarray of float
        Fresh ground, as distances from the anchor. [m]
    reach0, reach1 : ndarray of float
        Edges of the machine's working width. [m]
    beyond_edge : ndarray of float
        Length of the line beyond land that can be driven on. [m]
    """

    lines: Lines
    block: NDArray[np.int32]
    operation: NDArray[np.int32]
    number: NDArray[np.int32]
    piece: NDArray[np.int32]
    cut: NDArray[np.int32]
    t0: NDArray[np.float64]
    t1: NDArray[np.float64]
    reach0: NDArray[np.float64]
    reach1: NDArray[np.float64]
    beyond_edge: NDArray[np.float64]

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.t0)

    @property
    def passes(self) -> int:
        """Number of distinct passes."""
        keys = np.stack([self.block, self.operation, self.number], axis=1)
        return len(np.unique(keys, axis=0))


def lay_passes(block: Block, index: int, places: PassPlaces, drivable: BaseGeometry) -> Passes:
    """
    Lay the passes of a block.

    Parameters
    ----------
    block : Block
        The block.
    index : int
        Its index in the layout.
    places : PassPlaces
        Where passes work across its section.
    drivable : Polygon or MultiPolygon
        Land of the whole field that can be driven on. [m]

    Returns
    -------
    passes : Passes
    """
    which, s0, s1 = reaches_along(block.guides, block.crop_land, places.t0, places.t1)
    centre = (places.reach0[which] + places.reach1[which]) / 2
    return Passes(
        block.guides.paths(centre, s0, s1),
        whole_numbers(np.full(len(which), index)),
        whole_numbers(places.operation[which]),
        whole_numbers(places.number[which]),
        whole_numbers(_piece_numbers(which)),
        whole_numbers(places.cut[which]),
        frozen(places.t0[which]),
        frozen(places.t1[which]),
        frozen(places.reach0[which]),
        frozen(places.reach1[which]),
        frozen(_beyond(block.guides, drivable, centre, (s0, s1))),
    )


def _piece_numbers(which: NDArray[np.int64]) -> NDArray[np.int64]:
    """Number the pieces of each pass from 1."""
    return np.arange(len(which)) - np.searchsorted(which, which) + 1


def _beyond(
    guides: Guides,
    land: BaseGeometry,
    t: NDArray[np.float64],
    ends: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> NDArray[np.float64]:
    """Return the length of each line, from its one end to the other, that lies outside land."""
    s0, s1 = ends
    order = np.argsort(t, kind="stable")
    chords = chords_inside(guides, land, t[order])
    line = order[chords.line]
    first, last = np.maximum(chords.s0, s0[line]), np.minimum(chords.s1, s1[line])
    inside = guides.run(t[line], np.maximum(last, first)) - guides.run(t[line], first)
    covered = np.bincount(line, inside, minlength=len(t))
    beyond = np.asarray(guides.run(t, s1) - guides.run(t, s0) - covered)
    return np.where(beyond > 1e-6, beyond, 0.0)


def join_passes(several: Sequence[Passes]) -> Passes:
    """Return the passes of several blocks as one."""
    lines = Lines.joined([passes.lines for passes in several])
    return Passes(lines, **joined_columns(several, "lines"))
