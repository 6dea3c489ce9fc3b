"""Where light is looked at: across an alley, or out into the crop beside a belt of trees."""

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.build import Layout
from geolayout.plan.section.section import CutKind

__all__ = ["ALONG", "CELL", "Stretch", "stretch_of"]

CELL = 1.0
"""Width of a cell. [m]"""

ALONG = 4
"""Places along one step of the tree row as planted, over which the light is averaged."""

OUT = 30.0
"""How far out light is looked at where no other row bounds the crop. Our own choice. [m]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """
    Cells from a tree row to the next, or out into the crop.

    Attributes
    ----------
    rows : tuple of int
        Numbers of the one row or the two.
    length : float
        To the next row, or as far as is looked. [m]
    crop_from, crop_to : float
        Where the crop begins and ends, from the first row. [m]
    t : ndarray, shape (n,)
        Middles of the cells, from the first row. [m]
    xy : ndarray, shape (n * k, 2)
        Places of each cell, along one step of the row: k is `ALONG`, more after thinning. [m]
    """

    rows: tuple[int, ...]
    length: float
    crop_from: float
    crop_to: float
    t: Floats
    xy: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """A tree row: its number, where it lies across, its trees along, and its step as planted."""

    number: int
    t: float
    s: Floats
    planted: float


def stretch_of(
    layout: Layout, index: int, stands: NDArray[np.bool_] | None = None
) -> Stretch | None:
    """
    Return where light is looked at in a block: its middle alley, or beside its outermost row.

    Parameters
    ----------
    layout : Layout
        The layout.
    index : int
        Index of the block.
    stands : ndarray of bool, shape (trees,), optional
        Which trees of the layout are left in the year that is looked at; all, if nothing is said.

    Returns
    -------
    stretch : Stretch or None
        None where no crop lies beside any tree row.
    """
    rows = _rows(layout, index, stands)
    alleys = [pair for pair in itertools.pairwise(rows) if _crop(layout, index, pair)]
    if alleys:
        middle = (rows[0].t + rows[-1].t) / 2.0
        near, far = min(alleys, key=lambda pair: abs((pair[0].t + pair[1].t) / 2.0 - middle))
        return _cells(layout, index, (near, far), far.t)
    sides = [_cells(layout, index, (row,), row.t + way * OUT) for row, way in _outer(rows)]
    found = [side for side in sides if side is not None]
    return max(found, key=lambda side: side.crop_to - side.crop_from, default=None)


def _rows(layout: Layout, index: int, stands: NDArray[np.bool_] | None) -> list[_Row]:
    """Return the tree rows of a block, from the near side on; a thinning empties none."""
    trees = layout.trees
    mine = trees.block == index
    t, s = layout.blocks[index].guides.to_turned(trees.xy[mine]).T
    numbers = trees.row[mine]
    left = np.ones(len(s), dtype=bool) if stands is None else stands[mine]
    rows = []
    for number in np.unique(numbers).tolist():
        own = numbers == number
        across = float(np.median(t[own]))
        rows.append(_Row(number, across, np.sort(s[own & left]), _step(np.sort(s[own]))))
    return sorted(rows, key=lambda row: row.t)


def _step(s: Floats) -> float:
    """Return the usual step between neighbours along a row; 0 for a single tree. [m]"""
    return float(np.median(np.diff(s))) if len(s) > 1 else 0.0


def _outer(rows: list[_Row]) -> list[tuple[_Row, float]]:
    """Return the outermost rows, each with the way out."""
    return [(rows[-1], 1.0), (rows[0], -1.0)] if rows else []


def _crop(layout: Layout, index: int, pair: tuple[_Row, _Row]) -> bool:
    """Say whether crop lies between two rows."""
    return _crop_between(layout, index, pair[0].t, pair[1].t) is not None


def _crop_between(
    layout: Layout, index: int, low: float, high: float
) -> tuple[float, float] | None:
    """Return where crop begins and ends between two places; None where there is none. [m]"""
    cuts = [
        cut
        for cut in layout.blocks[index].section.cuts
        if cut.kind is CutKind.BAND and cut.t0 < high and cut.t1 > low
    ]
    if not cuts:
        return None
    first, last = max(low, min(cut.t0 for cut in cuts)), min(high, max(cut.t1 for cut in cuts))
    return (first, last) if last - first > CELL else None


def _cells(layout: Layout, index: int, rows: tuple[_Row, ...], end: float) -> Stretch | None:
    """Return the cells from the first row to a place; None where no crop lies between."""
    guides, near = layout.blocks[index].guides, rows[0]
    crop = _crop_between(layout, index, *sorted((near.t, end)))
    if crop is None:
        return None
    way = 1.0 if end > near.t else -1.0
    crop_from, crop_to = sorted(way * (edge - near.t) for edge in crop)
    length = abs(end - near.t) if len(rows) > 1 else crop_to
    t = np.arange(CELL / 2.0, length, CELL)
    step = _step(near.s)
    count = ALONG * max(1, round(step / near.planted)) if near.planted else ALONG
    middle = float(np.median(np.concatenate([row.s for row in rows])))
    along = middle + (np.arange(count) + 0.5) / count * step
    grid = np.stack(np.meshgrid(near.t + way * t, along, indexing="ij"), axis=-1).reshape(-1, 2)
    numbers = tuple(row.number for row in rows)
    return Stretch(numbers, length, crop_from, crop_to, t, guides.from_turned(grid))
