"""Crop rows: lines at the places the section says, where there is land under them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.follow import chords_along
from geolayout.layout.shapes.lines import Lines, frozen, joined_columns, whole_numbers
from geolayout.layout.shapes.scan import Chords

__all__ = ["SHORTEST_ROW", "Rows", "join_rows", "lay_rows"]

SHORTEST_ROW = 1.0
"""A piece of row below this is listed and not counted. Our own choice. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """
    Pieces of crop rows; every column has one entry a piece.

    Attributes
    ----------
    lines : Lines
        The pieces, in the guide's direction. [m]
    block : ndarray of int
        Index of the block.
    cut : ndarray of int
        Index of the cut in the block's section.
    number : ndarray of int
        Number of the band.
    sowing : ndarray of int
        Index of the sowing in the stand of that cut.
    row : ndarray of int
        Number of the row in its band and sowing.
    piece : ndarray of int
        Number of the piece along the row, from 1.
    t : ndarray of float
        Distance from the anchor. [m]
    length : ndarray of float
        Length of the piece. [m]
    """

    lines: Lines
    block: NDArray[np.int32]
    cut: NDArray[np.int32]
    number: NDArray[np.int32]
    sowing: NDArray[np.int32]
    row: NDArray[np.int32]
    piece: NDArray[np.int32]
    t: NDArray[np.float64]
    length: NDArray[np.float64]

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.t)

    @property
    def counts(self) -> NDArray[np.bool_]:
        """Whether each piece is long enough to be counted, shape (n,)."""
        return np.asarray(self.length >= SHORTEST_ROW)

    @property
    def rows(self) -> int:
        """Number of distinct rows that have a piece long enough."""
        keys = np.stack([self.block, self.cut, self.sowing, self.row], axis=1)[self.counts]
        return len(np.unique(keys, axis=0))


def lay_rows(block: Block, index: int, sown: NDArray[np.bool_]) -> Rows:
    """
    Lay the rows of a block.

    Parameters
    ----------
    block : Block
        The block.
    index : int
        Its index in the layout.
    sown : ndarray of bool, shape (n,)
        Which of its row places are sown; the others lie in wheel tracks.

    Returns
    -------
    rows : Rows
    """
    places = block.rows
    t = places.t[sown]
    stretches = _stretches(*chords_along(block.guides, block.crop_land, t))
    which = np.flatnonzero(sown)[stretches.line]
    at = places.t[which]
    numbers = np.array([cut.number for cut in block.section.cuts], dtype=np.int32)
    cut = places.cut[which].astype(np.int32)
    return Rows(
        block.guides.paths(at, stretches.s0, stretches.s1),
        whole_numbers(np.full(len(which), index)),
        frozen(cut),
        frozen(numbers[cut]),
        whole_numbers(places.sowing[which]),
        whole_numbers(places.row[which]),
        frozen(run_numbers(which)),
        frozen(at),
        frozen(block.guides.run(at, stretches.s1) - block.guides.run(at, stretches.s0)),
    )


def _stretches(true: Chords, wide: Chords) -> Chords:
    """
    Return the stretch of each row: what lies in the land, or else what lies in its slack.

    A row along an edge leans over it by a hair, and how much of it then lies in the land is
    rounding. Where that is too little to count and the slack holds enough, the slack decides.
    """
    stub = true.s1 - true.s0 < SHORTEST_ROW
    along_edge = stub & (wide.s1 - wide.s0 >= SHORTEST_ROW)
    s0 = np.where(along_edge, wide.s0, true.s0)
    return Chords(true.line, s0, np.where(along_edge, wide.s1, true.s1))


def run_numbers(keys: NDArray[np.int64]) -> NDArray[np.int32]:
    """
    Number neighbouring equal keys from 1.

    Examples
    --------
    >>> run_numbers(np.array([4, 4, 7, 7, 7, 9]))
    array([1, 2, 1, 2, 3, 1], dtype=int32)
    """
    if not len(keys):
        return np.empty(0, dtype=np.int32)
    begins = np.concatenate([[True], keys[1:] != keys[:-1]])
    first = np.maximum.accumulate(np.where(begins, np.arange(len(keys)), 0))
    return (np.arange(len(keys)) - first + 1).astype(np.int32)


def join_rows(several: Sequence[Rows]) -> Rows:
    """Return the rows of several blocks as one."""
    lines = Lines.joined([rows.lines for rows in several])
    return Rows(lines, **joined_columns(several, "lines"))
