"""
Where across the section the rows and tree rows stand, in one dimension.

Width is ground and rows stand in it: evenly spaced rows are centred in their band, a motif of
rows is repeated and the block of motifs centred, and rows between the rows of another crop are
centred in its gaps. A band that is cut keeps the rows of the uncut band where they were.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from geolayout.errors import MeasureError
from geolayout.plan.pattern import BandTrees, Pattern
from geolayout.plan.section.section import Cut
from geolayout.plan.slack import ACROSS_SLACK, EDGE_SLACK
from geolayout.plan.stand import Sowing, Stand

__all__ = [
    "RowPlaces",
    "TreeRowPlaces",
    "even_rows",
    "motif_rows",
    "place_rows",
    "place_tree_rows",
    "tree_places",
]

WIDEST_BORDER_GAP = 1.5
"""Widest gap across a border that still counts as a gap between rows, in spacings. [-]"""

EQUAL_GAPS = 1e-6
"""Difference below which gaps count as equal. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class RowPlaces:
    """
    Rows across a section, in the order of their distance from the anchor.

    Attributes
    ----------
    t : ndarray of float, shape (n,)
        Distance of each row from the anchor. [m]
    cut : ndarray of int, shape (n,)
        Index of the cut it stands in.
    sowing : ndarray of int, shape (n,)
        Index of its sowing in the stand of that cut.
    row : ndarray of int, shape (n,)
        Its number in the band, per sowing, from 1.
    """

    t: NDArray[np.float64]
    cut: NDArray[np.int64]
    sowing: NDArray[np.int64]
    row: NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class TreeRowPlaces:
    """
    Tree rows across a section.

    Attributes
    ----------
    t : ndarray of float, shape (n,)
        Distance of each tree row from the anchor. [m]
    cut : ndarray of int, shape (n,)
        Index of the cut it stands in.
    row : ndarray of int, shape (n,)
        Its number in the band, from 1.
    offset_step : ndarray of bool, shape (n,)
        Whether its trees are moved by half a step.
    """

    t: NDArray[np.float64]
    cut: NDArray[np.int64]
    row: NDArray[np.int64]
    offset_step: NDArray[np.bool_]


def even_rows(width: float, rows: int | None, spacing: float | None) -> NDArray[np.float64]:
    """
    Place evenly spaced rows in the middle of a width.

    Parameters
    ----------
    width : float
        Width of the ground. [m]
    rows : int or None
        Their number; as many as fit if nothing is said.
    spacing : float or None
        Between neighbours, centre to centre; the width shared out if nothing is said. [m]

    Returns
    -------
    places : ndarray, shape (n,)
        Distances from the edge. [m]

    Raises
    ------
    MeasureError
        If no row fits, or the rows reach from edge to edge or beyond: a row on the far edge
        would be the next band's.

    Examples
    --------
    >>> even_rows(3.0, None, 0.75)
    array([0.375, 1.125, 1.875, 2.625])
    """
    step = spacing if spacing is not None else width / (rows or 1)
    count = rows if rows is not None else _rows_that_fit(width, step)
    reach = (count - 1) * step
    if count > 1 and reach >= width - EDGE_SLACK:
        raise MeasureError(
            f"{count} rows at {step:g} m reach {reach:g} m across ground of {width:g} m.",
            "Rows stand inside their band.",
            "Use fewer rows, a smaller spacing or a wider band.",
        )
    return np.asarray((width - reach) / 2 + step * np.arange(count), dtype=np.float64)


def _rows_that_fit(width: float, step: float) -> int:
    """Return how many evenly spaced rows a width holds, one at least."""
    count = int((width + ACROSS_SLACK) / step)
    if count < 1:
        raise MeasureError(
            f"No row fits at {step:g} m on ground of {width:g} m.",
            "A row needs half its spacing on either side.",
            "Give rows = 1 for a single row in the middle, or widen the band.",
        )
    # rows nearer together than the slack would reach beyond the ground
    return min(count, int((width - EDGE_SLACK) / step) + 1)


def motif_rows(width: float, at: Sequence[float], every: float | None) -> NDArray[np.float64]:
    """
    Place rows by a motif, repeated as often as it fits and centred, or once from the edge.

    Parameters
    ----------
    width : float
        Width of the ground. [m]
    at : sequence of float
        Places of the rows in the motif. [m]
    every : float or None
        Length of the motif; None lays it once, from the edge. [m]

    Returns
    -------
    places : ndarray, shape (n,)
        Distances from the edge. [m]

    Raises
    ------
    MeasureError
        If the motif does not fit once, or the last row stands on the far edge or beyond.

    Examples
    --------
    >>> motif_rows(2.0, [0.2, 0.4], 0.8)
    array([0.4, 0.6, 1.2, 1.4])
    """
    if every is None and at[-1] >= width - EDGE_SLACK:
        raise MeasureError(
            f"The last row is at {at[-1]:g} m on ground of {width:g} m.",
            "Rows stand inside their band.",
            "Widen the band or bring the row inside it.",
        )
    count = 1 if every is None else int((width + ACROSS_SLACK) / every)
    if count < 1:
        raise MeasureError(
            f"A motif of rows is {every:g} m long and its ground {width:g} m wide.",
            "It does not fit once.",
            "Widen the band or shorten the motif.",
        )
    start = 0.0 if every is None else (width - count * every) / 2
    step = 0.0 if every is None else every
    places = start + step * np.arange(count)[:, None] + np.asarray(at, dtype=np.float64)
    return np.asarray(places.ravel(), dtype=np.float64)


def place_rows(cuts: Sequence[Cut], stands: Sequence[Stand | None]) -> RowPlaces:
    """
    Place every row of every stand across a section.

    Parameters
    ----------
    cuts : sequence of Cut
        The section, without gaps.
    stands : sequence of Stand or None
        What grows on each cut.

    Returns
    -------
    places : RowPlaces

    Raises
    ------
    MeasureError
        If rows do not fit their band or gaps between rows are unequal.
    """
    own = {}
    for i, (cut, stand) in enumerate(zip(cuts, stands, strict=True)):
        for j, sowing in enumerate(stand.sowing if stand is not None else ()):
            if sowing.in_rows and sowing.between is None:
                own[i, j] = _own_rows(cut, sowing)
    placed = dict(own)
    for run in _runs_of_one_stand(cuts, stands):
        stand = stands[run[0]]
        for j, sowing in enumerate(stand.sowing if stand is not None else ()):
            if sowing.between is not None and stand is not None:
                placed.update(_rows_between(cuts, run, stand, j, own))
    return _gathered(cuts, placed)


def _own_rows(cut: Cut, sowing: Sowing) -> NDArray[np.float64]:
    """Return the rows of a sowing on the bed of a cut, as distances from the anchor."""
    bed0, bed1 = cut.bed
    try:
        if sowing.at is not None:
            return bed0 + motif_rows(bed1 - bed0, sowing.at, sowing.every)
        return bed0 + even_rows(bed1 - bed0, sowing.rows, sowing.spacing)
    except MeasureError as error:
        found = f"{sowing.label} in band {cut.band}: {error.found}"
        raise MeasureError(found, error.why, error.remedy) from None


def _runs_of_one_stand(cuts: Sequence[Cut], stands: Sequence[Stand | None]) -> list[list[int]]:
    """Group neighbouring cuts that grow the same stand."""
    runs: list[list[int]] = []
    for i in range(len(cuts)):
        if runs and stands[i] is not None and stands[i] is stands[i - 1]:
            runs[-1].append(i)
        else:
            runs.append([i])
    return runs


def _rows_between(
    cuts: Sequence[Cut],
    run: list[int],
    stand: Stand,
    j: int,
    own: dict[tuple[int, int], NDArray[np.float64]],
) -> dict[tuple[int, int], NDArray[np.float64]]:
    """Return the rows of sowing j centred in the gaps of the crop it goes between."""
    sowing = stand.sowing[j]
    host = stand.find(sowing.between or "")
    place = next(k for k, other in enumerate(stand.sowing) if other is host)
    host_rows = [own[i, place] for i in run]
    gaps = [gap for rows in host_rows for gap in pairwise(rows.tolist())]
    _check_equal(sowing, gaps)
    spacing = gaps[0][1] - gaps[0][0] if gaps else _host_spacing(cuts[run[0]], host)
    borders = pairwise(rows for rows in host_rows if len(rows))
    edges = [(float(a[-1]), float(b[0])) for a, b in borders]
    gaps += [(a, b) for a, b in edges if b - a <= WIDEST_BORDER_GAP * spacing + EQUAL_GAPS]
    rows = np.sort(np.concatenate([_in_gap(gap, sowing) for gap in gaps] or [np.empty(0)]))
    found: dict[tuple[int, int], NDArray[np.float64]] = {}
    for k, i in enumerate(run):
        low = -np.inf if k == 0 else cuts[i].t0 - EDGE_SLACK
        high = np.inf if k == len(run) - 1 else cuts[i].t1 - EDGE_SLACK
        found[i, j] = rows[(rows >= low) & (rows < high)]
    return found


def _host_spacing(cut: Cut, host: Sowing | None) -> float:
    """Return the spacing of a crop that has a single row in its band."""
    if host is None or host.spacing is None:
        return (
            host.every if host is not None and host.every is not None else cut.bed[1] - cut.bed[0]
        )
    return host.spacing


def _check_equal(sowing: Sowing, gaps: Sequence[tuple[float, float]]) -> None:
    """Rows go between rows only where every gap is as wide as the next."""
    widths = [b - a for a, b in gaps]
    if not widths or max(widths) - min(widths) <= EQUAL_GAPS:
        return
    raise MeasureError(
        f"{sowing.label} goes between rows of {sowing.between} that are {min(widths):g} to "
        f"{max(widths):g} m apart.",
        "It would stand in some gaps and not in others.",
        "Place its rows with at and every instead.",
    )


def _in_gap(gap: tuple[float, float], sowing: Sowing) -> NDArray[np.float64]:
    """Return the rows centred in one gap."""
    low, high = gap
    count, step = sowing.rows or 1, sowing.spacing or 0.0
    reach = (count - 1) * step
    if reach >= high - low:
        raise MeasureError(
            f"{count} rows of {sowing.label} at {step:g} m reach {reach:g} m in a gap of "
            f"{high - low:g} m.",
            "They would stand in the rows beside them.",
            "Use fewer rows or a smaller spacing.",
        )
    return np.asarray((low + high - reach) / 2 + step * np.arange(count), dtype=np.float64)


def _gathered(cuts: Sequence[Cut], placed: dict[tuple[int, int], NDArray[np.float64]]) -> RowPlaces:
    """Number the rows of each sowing in its band and keep those on the band's ground."""
    t, cut, sowing, row = [np.empty(0)], [], [], []
    for (i, j), places in sorted(placed.items()):
        inside = _on_ground(places, cuts[i])
        t.append(places[inside])
        row.append(np.flatnonzero(inside) + 1)
        cut.append(np.full(inside.sum(), i))
        sowing.append(np.full(inside.sum(), j))
    every_t = np.concatenate(t)
    none = [np.empty(0, dtype=np.int64)]
    order = np.argsort(every_t, kind="stable")
    return RowPlaces(
        every_t[order],
        np.concatenate(cut or none)[order],
        np.concatenate(sowing or none)[order],
        np.concatenate(row or none)[order],
    )


def _on_ground(places: NDArray[np.float64], cut: Cut) -> NDArray[np.bool_]:
    """Tell which rows stand on a cut: half open, tried a little towards its far edge."""
    tried = places + EDGE_SLACK
    return np.asarray((tried >= cut.t0) & (tried < cut.t1), dtype=np.bool_)


def place_tree_rows(cuts: Sequence[Cut], pattern: Pattern) -> TreeRowPlaces:
    """
    Place every tree row across a section.

    Parameters
    ----------
    cuts : sequence of Cut
        The section.
    pattern : Pattern
        The pattern it was cut from.

    Returns
    -------
    places : TreeRowPlaces
    """
    per_repeat = [_tree_rows_in(band.trees) for band in pattern.bands]
    t: list[float] = []
    cut_of: list[int] = []
    row: list[int] = []
    offset: list[bool] = []
    for i, cut in enumerate(cuts):
        trees = pattern.bands[cut.index].trees if cut.grows and cut.index >= 0 else None
        if trees is None:
            continue
        before = (cut.repeat - 1) * sum(per_repeat) + sum(per_repeat[: cut.index])
        for k, place in enumerate(tree_places(trees, cut.bed)):
            if not cut.t0 <= place + EDGE_SLACK < cut.t1 + 2 * EDGE_SLACK:
                continue
            t.append(place)
            cut_of.append(i)
            row.append(k + 1)
            offset.append(trees.arrangement != "square" and (before + k) % 2 == 1)
    return TreeRowPlaces(
        np.array(t),
        np.array(cut_of, dtype=int),
        np.array(row, dtype=int),
        np.array(offset, dtype=bool),
    )


def _tree_rows_in(trees: BandTrees | None) -> int:
    """Return how many tree rows a band has."""
    return 0 if trees is None else trees.rows_in_band


def tree_places(trees: BandTrees, bed: tuple[float, float]) -> list[float]:
    """
    Return the tree rows of a band, as distances from the anchor.

    Parameters
    ----------
    trees : BandTrees
        What stands in it.
    bed : tuple of float
        Edges of the band. [m]
    """
    if trees.at is not None:
        return [bed[0] + place for place in trees.at]
    count = trees.rows or 1
    reach = (count - 1) * trees.row_step
    start = (bed[0] + bed[1] - reach) / 2
    return [start + k * trees.row_step for k in range(count)]
