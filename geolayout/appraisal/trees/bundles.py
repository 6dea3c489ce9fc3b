"""Bundles: trees of one species for one row, in the order in which a gang plants them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.trees.bands import species_of_trees
from geolayout.layout.build import Layout

__all__ = ["Bundle", "bundles", "position_words"]


@dataclass(frozen=True, slots=True)
class Bundle:
    """
    Trees of one species in one row.

    Attributes
    ----------
    number : int
        In the order of planting, from 1.
    block : str
        Its block.
    row : int
        Its tree row.
    positions : tuple of int
        Along the row, growing.
    species : str
        What is in it.
    """

    number: int
    block: str
    row: int
    positions: tuple[int, ...]
    species: str


def bundles(layout: Layout, most: int | None = None) -> tuple[Bundle, ...]:
    """
    Bundle the trees of a layout, row by row and each row from its start.

    A row in runs has a bundle for each run. Where species take turns so often that a row has more
    runs than species, it has a bundle for each species.

    Parameters
    ----------
    layout : Layout
        The layout.
    most : int, optional
        Trees in a bundle at most, as the nursery ties them.

    Returns
    -------
    bundles : tuple of Bundle
    """
    trees = layout.trees
    order = np.lexsort((trees.position, trees.row, trees.block))
    if not len(order):
        return ()
    species = species_of_trees(layout)
    keys = np.stack([trees.block, trees.row], axis=1)[order]
    ends = np.flatnonzero(np.any(np.diff(keys, axis=0) != 0, axis=1)) + 1
    size = most or len(order)
    parts = [
        part[i : i + size]
        for row in np.split(order, ends)
        for part in _parts(row, species[row])
        for i in range(0, len(part), size)
    ]
    return tuple(
        Bundle(
            number,
            layout.blocks[int(trees.block[part[0]])].name,
            int(trees.row[part[0]]),
            tuple(trees.position[part].tolist()),
            str(species[part[0]]),
        )
        for number, part in enumerate(parts, 1)
    )


def _parts(row: NDArray[np.int64], species: NDArray[np.object_]) -> list[NDArray[np.int64]]:
    """Return the trees of a row by runs, or by species where runs are too many."""
    runs = np.split(row, np.flatnonzero(species[1:] != species[:-1]) + 1)
    names = list(dict.fromkeys(species.tolist()))
    return runs if len(runs) <= 2 * len(names) else [row[species == name] for name in names]


def position_words(positions: tuple[int, ...]) -> str:
    """
    Return positions in words.

    Examples
    --------
    >>> position_words((1, 2, 3)), position_words((5, 10, 15)), position_words((1, 2, 4, 5, 9))
    ('1 to 3', '5 to 15 by 5', '1 to 2, 4 to 5, 9')
    """
    steps = np.diff(positions)
    if len(steps) and (steps == steps[0]).all():
        by = f" by {steps[0]}" if steps[0] > 1 else ""
        return f"{positions[0]} to {positions[-1]}{by}"
    runs = np.split(np.array(positions), np.flatnonzero(steps > 1) + 1)
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 1 else f"{run[0]}" for run in runs)
