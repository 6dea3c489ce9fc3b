"""Rows counted and measured, and the plants that stand in them."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.fit.wheelings import wheel_ground
from geolayout.appraisal.growing import (
    Sown,
    SquareRate,
    areas_by_cut,
    nominal_rows,
    nominal_width,
    sown,
    square_rate,
)
from geolayout.layout.build import Layout

__all__ = [
    "RowFigures",
    "ShortPiece",
    "SowingFigures",
    "row_figures",
    "short_pieces",
    "sowings",
    "told_rows",
]


@dataclass(frozen=True, slots=True)
class RowFigures:
    """
    Rows of one crop, or of all.

    A row is counted once, in however many pieces it lies, and its length is that of its pieces
    of 1 m and more.

    Attributes
    ----------
    crop : str
        The crop; "" for all crops together.
    rows, pieces : int
        Distinct rows, and the pieces they lie in.
    length_m, shortest_m, longest_m, mean_m : float
        Of all rows together, and of the shortest, the longest and the mean row; 0 without
        rows. [m]
    """

    crop: str
    rows: int
    pieces: int
    length_m: float
    shortest_m: float
    longest_m: float
    mean_m: float


@dataclass(frozen=True, slots=True)
class ShortPiece:
    """
    A piece of row that is listed and not counted, because it is shorter than 1 m.

    Attributes
    ----------
    crop, block, band : str
        Where it belongs.
    number, row : int
        Number of the band, and of the row in it.
    length_m : float
        Its length. [m]
    place : tuple of float
        Its middle, east and north in the field's frame. [m]
    """

    crop: str
    block: str
    band: str
    number: int
    row: int
    length_m: float
    place: tuple[float, float]


@dataclass(frozen=True, slots=True)
class SowingFigures:
    """
    One sowing on all bands of one name.

    Attributes
    ----------
    block, band, stand, sowing, crop : str
        Where it grows, its name and its crop.
    place : str
        "rows", "broadcast" or "standing".
    ground_m2 : float
        True ground of those bands. [m2]
    wheel_ground_m2 : float
        Of which left unsown for wheel tracks, where it is broadcast. [m2]
    band_width_m : float
        Width of the band as written. [m]
    rows_in_band : int
        Rows in the band as written.
    rows : int
        Distinct rows laid.
    row_length_m : float
        Their length. [m]
    rate : float or None
        What was asked for, a share multiplied out; None where no rate was given.
    rate_unit : str
        "plants_per_ha", "seeds_per_m2", "kg_per_ha" or "".
    in_row_spacing_m : float or None
        Between neighbours in a row; None where the rate does not count plants or seeds. [m]
    counted : str
        What `number_in_rows` counts: "plants", "seeds" or "".
    number_in_rows : float or None
        Row length over in-row spacing.
    """

    block: str
    band: str
    stand: str
    sowing: str
    crop: str
    place: str
    ground_m2: float
    wheel_ground_m2: float
    band_width_m: float
    rows_in_band: int
    rows: int
    row_length_m: float
    rate: float | None
    rate_unit: str
    in_row_spacing_m: float | None
    counted: str
    number_in_rows: float | None


def row_figures(layout: Layout) -> tuple[RowFigures, ...]:
    """
    Count and measure the rows of all crops together, then of each.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : tuple of RowFigures
        All crops first.
    """
    rows = layout.rows
    crops = _crops(layout)
    every = np.ones(len(rows), dtype=bool)
    named = [(str(crop), crops == crop) for crop in np.unique(crops.astype(str))]
    return tuple(_measured(layout, crop, mine) for crop, mine in [("", every), *named])


def _crops(layout: Layout) -> NDArray[np.object_]:
    """Return the crop of each piece of row, shape (n,)."""
    rows = layout.rows
    crops = np.full(len(rows), "", dtype=object)
    keys = np.stack([rows.block, rows.cut, rows.sowing], axis=1)
    if not len(keys):
        return crops
    for b, c, j in np.unique(keys, axis=0):
        stand = layout.blocks[b].stands[c]
        if stand is not None:
            crops[(keys == (b, c, j)).all(axis=1)] = stand.sowing[j].crop
    return crops


def _measured(layout: Layout, crop: str, mine: NDArray[np.bool_]) -> RowFigures:
    """Count and measure the chosen pieces of row."""
    rows = layout.rows
    mine = mine & rows.counts
    if not mine.any():
        return RowFigures(crop, 0, 0, 0.0, 0.0, 0.0, 0.0)
    keys = np.stack([rows.block, rows.cut, rows.sowing, rows.row], axis=1)[mine]
    _, row = np.unique(keys, axis=0, return_inverse=True)
    length = np.bincount(row.ravel(), rows.length[mine])
    return RowFigures(
        crop,
        len(length),
        int(mine.sum()),
        float(length.sum()),
        float(length.min()),
        float(length.max()),
        float(length.mean()),
    )


def short_pieces(layout: Layout) -> tuple[ShortPiece, ...]:
    """List the pieces of row that are too short to be counted, in the order they were laid."""
    rows = layout.rows
    crops = _crops(layout)
    found = []
    for i in np.flatnonzero(~rows.counts):
        block = layout.blocks[rows.block[i]]
        start, end = rows.lines.offsets[i], rows.lines.offsets[i + 1]
        x, y = rows.lines.xy[start:end].mean(axis=0).tolist()
        band = block.section.cuts[rows.cut[i]].band
        number, row = int(rows.number[i]), int(rows.row[i])
        length = float(rows.length[i])
        found.append(ShortPiece(crops[i], block.name, band, number, row, length, (x, y)))
    return tuple(found)


def sowings(layout: Layout) -> tuple[SowingFigures, ...]:
    """
    Measure each sowing on the bands of each name: ground, rows, in-row spacing, plants.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : tuple of SowingFigures

    Notes
    -----
    In-row spacing is 10,000 / (plants per ha x band width / rows), with the band as it is
    written, because a planter is set once; plants are row length over in-row spacing. What is
    cross drilled is sown twice at half the rate, so twice as far apart in the row.
    """
    groups: dict[tuple[int, str, str, int], list[Sown]] = defaultdict(list)
    for entry in sown(layout):
        band = layout.blocks[entry.block].section.cuts[entry.cut].band
        groups[entry.block, band, entry.stand.name, entry.index].append(entry)
    areas = {b: areas_by_cut(layout, b) for b in range(len(layout.blocks))}
    return tuple(_sowing_figures(layout, entries, areas) for entries in groups.values())


def _sowing_figures(
    layout: Layout, entries: list[Sown], areas: Mapping[int, NDArray[np.float64]]
) -> SowingFigures:
    """Measure one sowing on the bands of one name."""
    first = entries[0]
    block, sowing = layout.blocks[first.block], first.sowing
    cut = block.section.cuts[first.cut]
    rows_in_band = nominal_rows(block, cut, first.stand, first.index)
    width = nominal_width(block, cut)
    rows, length = _rows_of(layout, entries)
    rate = square_rate(sowing)
    spacing = in_row_spacing(rate, width, rows_in_band) if sowing.in_rows else None
    spacing = spacing and spacing * layout.plan.ways_of(sowing)
    broadcast = sowing.place == "broadcast"
    return SowingFigures(
        block=block.name,
        band=cut.band,
        stand=first.stand.name,
        sowing=sowing.label,
        crop=sowing.crop,
        place=sowing.place,
        ground_m2=float(areas[first.block][[entry.cut for entry in entries]].sum()),
        wheel_ground_m2=wheel_ground(layout, entries) if broadcast else 0.0,
        band_width_m=width,
        rows_in_band=rows_in_band,
        rows=rows,
        row_length_m=length,
        rate=None if rate is None else rate.amount,
        rate_unit="" if rate is None else rate.unit,
        in_row_spacing_m=spacing,
        counted=rate.counts if rate is not None and spacing is not None else "",
        number_in_rows=None if spacing is None else length / spacing,
    )


def in_row_spacing(rate: SquareRate | None, width: float, rows: int) -> float | None:
    """
    Return the distance between neighbours in a row, or None where nothing is counted.

    Parameters
    ----------
    rate : SquareRate or None
        Plants or seeds over the ground of the band.
    width : float
        Width of the band. [m]
    rows : int
        Rows in it.

    Returns
    -------
    spacing : float or None
        [m]

    Examples
    --------
    >>> round(in_row_spacing(SquareRate(80_000, "plants_per_ha"), 6.0, 8), 4)
    0.1667
    """
    if rate is None or rate.unit == "kg_per_ha" or rows == 0:
        return None
    return rows / (rate.per_m2 * width)


def _rows_of(layout: Layout, entries: list[Sown]) -> tuple[int, float]:
    """Return the number of distinct rows of a sowing on some cuts, and their length. [m]"""
    rows = layout.rows
    mine = (rows.block == entries[0].block) & (rows.sowing == entries[0].index) & rows.counts
    mine &= np.isin(rows.cut, [entry.cut for entry in entries])
    keys = np.stack([rows.cut, rows.row], axis=1)[mine]
    return len(np.unique(keys, axis=0)), float(rows.length[mine].sum())


def told_rows(rows: Sequence[RowFigures]) -> list[RowFigures]:
    """
    Return the rows that are worth telling.

    Parameters
    ----------
    rows : sequence of RowFigures
        The sum of all crops first.

    Returns
    -------
    told : list of RowFigures
        Without crops that have none, and without the sum where one crop has all of them.
    """
    filled = [row for row in rows if row.rows]
    crops = [row for row in filled if row.crop]
    return crops if [replace(row, crop="") for row in crops] == filled[:1] else filled
