"""Trees counted row by row, and their density by both ways of saying it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.growing import nominal_width
from geolayout.appraisal.trees.bands import (
    PlantedBand,
    planted_bands,
    species_counts,
    species_of_trees,
)
from geolayout.appraisal.trees.pollination import PollinationFigures, pollination_figures
from geolayout.appraisal.trees.years import TreesInYear, thinning_figures
from geolayout.layout.build import Layout

__all__ = ["SpeciesFigures", "TreeBandFigures", "TreeFigures", "TreeRowFigures", "tree_figures"]


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
        What stands in it, in the order of the row.
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
class SpeciesFigures:
    """
    All trees of one species.

    Attributes
    ----------
    species : str
        What it is.
    trees : int
        How many.
    """

    species: str
    trees: int


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
    trees_per_ha_of_pattern_land : float
        Over the bands, with and without trees, of the blocks that have trees. [1/ha]
    tree_band_share_of_field : float
        Ground of tree bands over the field. [-]
    by_row : tuple of TreeRowFigures
        Row by row.
    by_band : tuple of TreeBandFigures
        By the bands' names.
    by_species : tuple of SpeciesFigures
        By species, in the order of their names.
    years : tuple of TreesInYear
        At planting and after each thinning; none where nothing is thinned.
    pollination : tuple of PollinationFigures
        Species that need a pollinator.
    """

    trees: int
    rows: int
    trees_per_ha_of_field: float
    trees_per_ha_of_pattern_land: float
    tree_band_share_of_field: float
    by_row: tuple[TreeRowFigures, ...]
    by_band: tuple[TreeBandFigures, ...]
    by_species: tuple[SpeciesFigures, ...]
    years: tuple[TreesInYear, ...]
    pollination: tuple[PollinationFigures, ...]


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
    names = species_of_trees(layout)
    rows = _by_row(layout, names)
    return TreeFigures(
        len(layout.trees),
        len(rows),
        len(layout.trees) / layout.field.area * 1e4,
        _per_pattern_land(layout),
        tree_ground / layout.field.land.area,
        rows,
        tuple(_band_figures(band) for band in planted_bands(layout)),
        tuple(SpeciesFigures(name, count) for name, count in species_counts(layout).items()),
        thinning_figures(layout),
        pollination_figures(layout),
    )


def _per_pattern_land(layout: Layout) -> float:
    """Return the density over the bands of blocks with trees. [1/ha]"""
    ground = layout.ground
    mine = np.isin(ground.block, np.unique(layout.trees.block))
    mine &= np.isin(ground.kind, ["band", "tree band"])
    area = float(ground.area[mine].sum())
    return len(layout.trees) / area * 1e4 if area else 0.0


def _by_row(layout: Layout, names: NDArray[np.object_]) -> tuple[TreeRowFigures, ...]:
    """Count the trees of each row."""
    trees = layout.trees
    order = np.lexsort((trees.position, trees.cut, trees.row, trees.block))
    keys = np.stack([trees.block, trees.row, trees.cut], axis=1)[order]
    begins = np.flatnonzero(np.any(np.diff(keys, axis=0, prepend=-1), axis=1))
    found = []
    for part in np.split(order, begins[1:]) if len(order) else []:
        b, row, c = (int(column[part[0]]) for column in (trees.block, trees.row, trees.cut))
        block = layout.blocks[b]
        cut = block.section.cuts[c]
        species = ", ".join(dict.fromkeys(names[part].tolist()))
        found.append(TreeRowFigures(block.name, cut.band, cut.number, row, species, len(part)))
    return tuple(found)


def _band_figures(planted: PlantedBand) -> TreeBandFigures:
    """Count the trees of all bands of one name."""
    block, trees = planted.block, planted.trees
    width = nominal_width(block, block.section.cuts[planted.cuts[0]])
    endless = not block.pattern.laid_once and block.pattern.repeats != 1
    pitch = block.pattern.repeat_width if endless else None
    rows = trees.rows_in_band
    return TreeBandFigures(
        block.name,
        planted.band.name,
        len(planted.cuts),
        rows,
        len(planted.which),
        trees.in_row_spacing,
        width,
        pitch,
        None if pitch is None else rows * 1e4 / (pitch * trees.in_row_spacing),
        None if pitch is None else width / pitch,
    )
