"""The trees of a layout by the band of the pattern that they stand in."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.plan.pattern import Band
from geolayout.plan.trees.trees import BandTrees

__all__ = ["PlantedBand", "planted_bands", "species_counts", "species_of_trees"]


@dataclass(frozen=True, slots=True, eq=False)
class PlantedBand:
    """
    Trees of the bands of one name in one block.

    Attributes
    ----------
    block : Block
        The block.
    index : int
        Its index in the layout.
    band : Band
        The band of its pattern.
    trees : BandTrees
        What stands in it.
    cuts : tuple of int
        The bands laid, as indices of cuts of the block's section.
    which : ndarray of int
        Indices of its trees, row by row and along each row.
    """

    block: Block
    index: int
    band: Band
    trees: BandTrees
    cuts: tuple[int, ...]
    which: NDArray[np.int64]

    @property
    def name(self) -> str:
        """What messages call it: its band, and its block where that has a name."""
        return f"{self.band.name} of block {self.block.name}" if self.block.name else self.band.name


def planted_bands(layout: Layout) -> Iterator[PlantedBand]:
    """
    Yield the bands that carry trees, block by block.

    Parameters
    ----------
    layout : Layout
        The layout.

    Yields
    ------
    band : PlantedBand
        Only those that were laid; of them those without any tree too.
    """
    trees = layout.trees
    for b, block in enumerate(layout.blocks):
        for i, band in enumerate(block.pattern.bands):
            cuts = tuple(
                c for c, cut in enumerate(block.section.cuts) if cut.grows and cut.index == i
            )
            if band.trees is None or not cuts:
                continue
            mine = np.flatnonzero((trees.block == b) & np.isin(trees.cut, cuts))
            order = np.lexsort((trees.position[mine], trees.row[mine]))
            yield PlantedBand(block, b, band, band.trees, cuts, mine[order])


def species_of_trees(layout: Layout) -> NDArray[np.object_]:
    """Return the name of the species of each tree, shape (n,)."""
    found = np.full(len(layout.trees), "", dtype=object)
    for band in planted_bands(layout):
        names = np.array(band.trees.species_names, dtype=object)
        found[band.which] = names[layout.trees.species[band.which]]
    return found


def species_counts(layout: Layout) -> dict[str, int]:
    """Return how many trees of each species stand, by name in the order of the alphabet."""
    counts: dict[str, int] = {}
    for band in planted_bands(layout):
        names = band.trees.species_names
        mine = np.bincount(layout.trees.species[band.which], minlength=len(names)).tolist()
        for name, count in zip(names, mine, strict=True):
            counts[name] = counts.get(name, 0) + count
    return {name: counts[name] for name in sorted(counts) if counts[name]}
