"""
What was planted against what was planned: offsets tree by tree, trees missing, points too many.

Each surveyed point belongs to at most one planned tree and each tree to at most one point; the
nearest pairs are joined first. A tree that no point lies near enough to is missing, a point that is
left is extra.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.trees.bands import planted_bands
from geolayout.layout.build import Layout

__all__ = [
    "AsPlanted",
    "Failure",
    "RowAsPlanted",
    "RowLosses",
    "compare_planted",
    "losses",
    "years_behind",
]


@dataclass(frozen=True, slots=True)
class RowAsPlanted:
    """
    One tree row, as planned and as found.

    Attributes
    ----------
    block : str
        Its block.
    row : int
        Its number in the block, from the near side.
    planned, found : int
        Trees of the layout, and those of them that a point lies near.
    missing : tuple of int
        Positions along the row that no point lies near.
    mean_across_m : float or None
        Of the points, to the right of the row's direction positive: a row set off as a whole. [m]
    greatest_off_m : float or None
        From a tree to its point, at most. [m]
    """

    block: str
    row: int
    planned: int
    found: int
    missing: tuple[int, ...]
    mean_across_m: float | None
    greatest_off_m: float | None


@dataclass(frozen=True, slots=True, eq=False)
class AsPlanted:
    """
    Points against trees.

    Attributes
    ----------
    point : ndarray of int, shape (n,)
        Index of the point of each tree of the layout, -1 where it is missing.
    along, across : ndarray of float, shape (n,)
        Where the point lies from its tree: forward along the row, to the right of it; not a number
        where the tree is missing. [m]
    extra : ndarray of int
        Points that belong to no tree.
    reach : float
        How far a point may lie from its tree. [m]
    rows : tuple of RowAsPlanted
        Row by row.
    """

    point: NDArray[np.int64]
    along: NDArray[np.float64]
    across: NDArray[np.float64]
    extra: NDArray[np.int64]
    reach: float
    rows: tuple[RowAsPlanted, ...]

    @property
    def off(self) -> NDArray[np.float64]:
        """Distance of each tree from its point, shape (n,). [m]"""
        return np.hypot(self.along, self.across)


@dataclass(frozen=True, slots=True)
class Failure:
    """
    A tree that failed.

    Attributes
    ----------
    row, position : int
        Where it stood.
    block : str, default ""
        In which block.
    replaced : bool, default False
        Whether another one was planted there since.
    after : float, default 0
        Years after the planting in which that one was planted.
    """

    row: int
    position: int
    block: str = ""
    replaced: bool = False
    after: float = 0.0


@dataclass(frozen=True, slots=True)
class RowLosses:
    """
    Trees that failed in one row.

    Attributes
    ----------
    block : str
        Its block.
    row : int
        Its number.
    planted, failed, replaced, open : int
        Trees of the layout; that failed; of them replaced; still to be replaced.
    failed_percent : float
        Of those planted. [%]
    """

    block: str
    row: int
    planted: int
    failed: int
    replaced: int
    open: int
    failed_percent: float


def compare_planted(
    layout: Layout, points: NDArray[np.float64], reach: float | None = None
) -> AsPlanted:
    """
    Compare surveyed points with the trees of a layout.

    Parameters
    ----------
    layout : Layout
        The layout, with trees.
    points : ndarray, shape (m, 2)
        Where trees were found, in the field's frame. [m]
    reach : float, optional
        How far a point may lie from its tree; half the least in-row spacing if nothing is said. [m]

    Returns
    -------
    planted : AsPlanted
    """
    steps = [band.trees.in_row_spacing for band in planted_bands(layout) if len(band.which)]
    reach = min(steps, default=0.0) / 2.0 if reach is None else reach
    point = _pairs(layout.trees.xy, points, reach)
    found = point >= 0
    step = np.full((len(point), 2), np.nan)
    step[found] = points[point[found]] - layout.trees.xy[found]
    forward = _forward(layout)
    along = np.einsum("ij,ij->i", step, forward)
    across = step[:, 0] * forward[:, 1] - step[:, 1] * forward[:, 0]
    extra = np.setdiff1d(np.arange(len(points)), point[found])
    return AsPlanted(point, along, across, extra, reach, _rows(layout, point, along, across))


def _pairs(
    trees: NDArray[np.float64], points: NDArray[np.float64], reach: float
) -> NDArray[np.int64]:
    """Return the point of each tree, the nearest pairs joined first."""
    found = np.full(len(trees), -1)
    if not len(trees) or not len(points):
        return found
    index = shapely.STRtree(shapely.points(points))
    tree, point = index.query(shapely.points(trees), predicate="dwithin", distance=reach)
    order = np.argsort(np.hypot(*(trees[tree] - points[point]).T), kind="stable")
    taken = np.zeros(len(points), dtype=bool)
    for t, p in zip(tree[order].tolist(), point[order].tolist(), strict=True):
        if found[t] < 0 and not taken[p]:
            found[t], taken[p] = p, True
    return found


def _forward(layout: Layout) -> NDArray[np.float64]:
    """Return the direction of the row at each tree, as unit vectors, shape (n, 2)."""
    trees = layout.trees
    degrees = np.zeros(len(trees))
    for b in np.unique(trees.block).tolist():
        mine = trees.block == b
        degrees[mine] = layout.blocks[b].guides.direction(trees.xy[mine])
    angle = np.radians(degrees)
    return np.stack([np.sin(angle), np.cos(angle)], axis=1)


def _rows(
    layout: Layout,
    point: NDArray[np.int64],
    along: NDArray[np.float64],
    across: NDArray[np.float64],
) -> tuple[RowAsPlanted, ...]:
    """Tell row by row what was found."""
    trees, rows = layout.trees, []
    for b, row in np.unique(np.stack([trees.block, trees.row], axis=1), axis=0).tolist():
        mine = np.flatnonzero((trees.block == b) & (trees.row == row))
        here = mine[point[mine] >= 0]
        missing = np.sort(trees.position[mine[point[mine] < 0]])
        rows.append(
            RowAsPlanted(
                layout.blocks[b].name,
                row,
                len(mine),
                len(here),
                tuple(missing.tolist()),
                float(across[here].mean()) if len(here) else None,
                float(np.hypot(along[here], across[here]).max()) if len(here) else None,
            )
        )
    return tuple(rows)


def losses(layout: Layout, failures: Sequence[Failure]) -> tuple[RowLosses, ...]:
    """
    Tally failures by row.

    Parameters
    ----------
    layout : Layout
        The layout, with trees.
    failures : sequence of Failure
        Trees that failed. One that failed twice is there twice.

    Returns
    -------
    rows : tuple of RowLosses
        Every row of the layout, those without a failure too.
    """
    trees, rows = layout.trees, []
    keys = np.stack([trees.block, trees.row], axis=1)
    for (b, row), planted in zip(*np.unique(keys, axis=0, return_counts=True), strict=True):
        block = layout.blocks[b].name
        mine = [one for one in failures if (one.block, one.row) == (block, int(row))]
        replaced = sum(one.replaced for one in mine)
        failed = len(mine)
        rows.append(
            RowLosses(
                block,
                int(row),
                int(planted),
                failed,
                replaced,
                failed - replaced,
                100.0 * failed / planted,
            )
        )
    return tuple(rows)


def years_behind(layout: Layout, failures: Sequence[Failure]) -> NDArray[np.float64]:
    """
    Return by how many years each tree is younger than the planting.

    Parameters
    ----------
    layout : Layout
        The layout, with trees.
    failures : sequence of Failure
        Trees that failed. Of one that is there twice the last counts.

    Returns
    -------
    behind : ndarray, shape (n,)
        0 for a tree that lives; not a number where one failed and nothing was planted since.
        [years]
    """
    trees = layout.trees
    names = [block.name for block in layout.blocks]
    last = {(one.block, one.row, one.position): one for one in failures}
    keys = zip(trees.block.tolist(), trees.row.tolist(), trees.position.tolist(), strict=True)
    found = [last.get((names[b], row, position)) for b, row, position in keys]
    behind = [0.0 if one is None else one.after if one.replaced else np.nan for one in found]
    return np.array(behind, dtype=np.float64)
