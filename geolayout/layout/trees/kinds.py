"""Which species each tree of a band is: in runs, in sequence, every n-th, or shuffled."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from geolayout.plan.shuffle import numbers, shuffled
from geolayout.plan.trees.trees import BandTrees

__all__ = ["parts_of", "species_of"]

Indices: TypeAlias = NDArray[np.int64]


def species_of(trees: BandTrees, row: Indices, position: Indices) -> NDArray[np.int16]:
    """
    Return the species of each tree.

    Parameters
    ----------
    trees : BandTrees
        The trees of the band, with their rule.
    row : ndarray of int, shape (n,)
        The tree rows of the band from the near side, from 0, never falling.
    position : ndarray of int, shape (n,)
        Number of the tree along its row, from 1.

    Returns
    -------
    species : ndarray of int, shape (n,)
        Index into the species of the band.

    Notes
    -----
    Runs of whole rows go row by row; runs of a number of trees go on from one row to the next. A
    sequence begins one species further in each row, so that equal ones stand askew. Every n-th
    tree is counted in each row anew. The shuffle has of each species as many as its share, the
    greatest remainders rounded up, and shuffles them over all trees of the band in the block.
    """
    kinds, mixing = len(trees.species_names), trees.mixing
    if kinds == 1:
        return np.zeros(len(row), dtype=np.int16)
    if mixing.rule == "sequence":
        found = (position - 1 + row) % kinds
    elif mixing.rule == "every":
        nth = mixing.every or 1
        turn = (position // nth - 1 + row) % (kinds - 1) + 1
        found = np.where(position % nth == 0, turn, 0)
    elif mixing.rule == "random":
        found = _random(trees, len(row))
    elif mixing.run is not None:
        found = np.arange(len(row)) // mixing.run % kinds
    else:
        found = row % kinds
    return np.asarray(found, dtype=np.int16)


def parts_of(total: int, shares: tuple[float, ...]) -> list[int]:
    """
    Part a number of things by shares, the greatest remainders rounded up.

    Parameters
    ----------
    total : int
        Things to part.
    shares : tuple of float
        Parts of each kind; their sum does not matter.

    Examples
    --------
    >>> parts_of(10, (1.0, 1.0, 1.0))
    [4, 3, 3]
    """
    exact = total * np.array(shares) / np.sum(shares)
    whole = np.floor(exact).astype(int)
    order = np.argsort(-(exact - whole).round(9), kind="stable")
    whole[order[: total - int(whole.sum())]] += 1
    found: list[int] = whole.tolist()
    return found


def _random(trees: BandTrees, total: int) -> Indices:
    """Return the species of so many trees, shuffled."""
    kinds = len(trees.species_names)
    counts = parts_of(total, trees.mixing.shares or (1.0,) * kinds)
    order = np.repeat(np.arange(kinds), counts).tolist()
    return np.array(shuffled(order, numbers(trees.mixing.seed)), dtype=np.int64)
