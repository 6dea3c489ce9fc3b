"""Trees counted row by row, and their density by both ways of saying it."""

from dataclasses import dataclass

import numpy as np

from geolayout.appraisal.growing import nominal_width
from geolayout.layout.block import Block
from geolayout.layout.build import Layout

__all__ = ["TreeBandFigures", "TreeFigures", "TreeRowFigures", "tree_figures"]


@dataclass(frozen=True, slots=True)
class TreeRowFigures:
    """
    One tree row.

    Attributes
    ----------
    block, band : str
        Where it stands.
    number : int
        Number of the band.
    row : int
        Number of the tree row in its block, from the near side.
    species : str
        What stands in it.
    trees : int
        How many.
    """

    block: str
    band: str
    number: int
    row: int
    species: str
    trees: int


@dataclass(frozen=True, slots=True)
class TreeBandFigures:
    """
    Tree bands of one name.

    Attributes
    ----------
    block, band : str
        Where they are.
    bands, rows_in_band, trees : int
        How many bands were laid, tree rows in each, trees in all.
    in_row_spacing_m : float
        Between trees of one row. [m]
    strip_width_m : float
        Width of the band. [m]
    pitch_m : float or None
        From a tree row to the like one of the next band; None where the pattern does not
        repeat. [m]
    trees_per_ha_by_pitch : float or None
        10,000 / (pitch x in-row spacing) x rows in the band: the density of an endless
        planting. [1/ha]
    strip_share_of_pitch : float or None
        Width of the band over the pitch. [-]
    """

    block: str
    band: str
    bands: int
    rows_in_band: int
    trees: int
    in_row_spacing_m: float
    strip_width_m: float
    pitch_m: float | None
    trees_per_ha_by_pitch: float | None
    strip_share_of_pitch: float | None


@dataclass(frozen=True, slots=True)
class TreeFigures:
    """
    All trees.

    Attributes
    ----------
    trees, rows : int
        Trees that stand, and the rows they stand in.
    trees_per_ha_of_field : float
        Over the whole field, its area of record. [1/ha]
    tree_band_share_of_field : float
        Ground of tree bands over the field. [-]
    by_row : tuple of TreeRowFigures
        Row by row.
    by_band : tuple of TreeBandFigures
        By the bands' names.
    """

    trees: int
    rows: int
    trees_per_ha_of_field: float
    tree_band_share_of_field: float
    by_row: tuple[TreeRowFigures, ...]
    by_band: tuple[TreeBandFigures, ...]


def tree_figures(layout: Layout) -> TreeFigures:
    """
    Count the trees.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : TreeFigures
    """
    ground = layout.ground
    tree_ground = float(ground.area[ground.kind == "tree band"].sum())
    rows = _by_row(layout)
    bands = [
        figures
        for b, block in enumerate(layout.blocks)
        for i, band in enumerate(block.pattern.bands)
        if band.trees is not None and (figures := _band_figures(layout, b, i)).bands
    ]
    return TreeFigures(
        len(layout.trees),
        len(rows),
        len(layout.trees) / layout.field.area * 1e4,
        tree_ground / layout.field.land.area,
        rows,
        tuple(bands),
    )


def _by_row(layout: Layout) -> tuple[TreeRowFigures, ...]:
    """Count the trees of each row."""
    trees = layout.trees
    keys = np.stack([trees.block, trees.row, trees.cut], axis=1)
    found = []
    for (b, row, c), count in zip(*np.unique(keys, axis=0, return_counts=True), strict=True):
        block = layout.blocks[b]
        cut = block.section.cuts[c]
        mine = (trees.block == b) & (trees.row == row)
        species = _species(block, cut.index, int(trees.species[mine][0]))
        found.append(
            TreeRowFigures(block.name, cut.band, cut.number, int(row), species, int(count))
        )
    return tuple(found)


def _species(block: Block, band: int, index: int) -> str:
    """Return the name of a species of a band."""
    trees = block.pattern.bands[band].trees
    if trees is None:
        return ""
    return trees.species if isinstance(trees.species, str) else trees.species[index]


def _band_figures(layout: Layout, index: int, band_index: int) -> TreeBandFigures:
    """Count the trees of all bands of one name."""
    block = layout.blocks[index]
    band = block.pattern.bands[band_index]
    trees = band.trees
    if trees is None:
        raise TypeError(f"Band {band.name} has no trees.")
    cuts = [i for i, cut in enumerate(block.section.cuts) if cut.grows and cut.index == band_index]
    mine = (layout.trees.block == index) & np.isin(layout.trees.cut, cuts)
    rows = len(trees.at) if trees.at is not None else trees.rows or 1
    width = nominal_width(block, block.section.cuts[cuts[0]]) if cuts else 0.0
    endless = not block.pattern.laid_once and block.pattern.repeats != 1
    pitch = block.pattern.repeat_width if endless else None
    return TreeBandFigures(
        block.name,
        band.name,
        len(cuts),
        rows,
        int(mine.sum()),
        trees.in_row_spacing,
        width,
        pitch,
        None if pitch is None else rows * 1e4 / (pitch * trees.in_row_spacing),
        None if pitch is None else width / pitch,
    )
