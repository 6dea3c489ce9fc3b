"""Trees that stand in later years, after every thinning of the plan."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.trees.bands import planted_bands
from geolayout.layout.build import Layout
from geolayout.layout.rows import run_numbers

__all__ = ["TreesInYear", "standing", "taken_out", "thinning_figures"]


@dataclass(frozen=True, slots=True)
class TreesInYear:
    """
    How many trees stand from a year on.

    Attributes
    ----------
    year : float
        Years after planting; 0 is the planting itself.
    trees : int
        Trees that stand, if none failed.
    taken : int
        Trees taken out in that year.
    trees_per_ha_of_field : float
        Over the whole field, its area of record. [1/ha]
    """

    year: float
    trees: int
    taken: int
    trees_per_ha_of_field: float


def standing(layout: Layout, year: float) -> NDArray[np.bool_]:
    """
    Tell which trees stand in a year.

    Parameters
    ----------
    layout : Layout
        The layout.
    year : float
        Years after planting; thinnings of that year are done.

    Returns
    -------
    standing : ndarray of bool, shape (n,)
    """
    return np.asarray(taken_out(layout) > year)


def taken_out(layout: Layout) -> NDArray[np.float64]:
    """
    Return the year in which each tree is taken out, if none failed.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    years : ndarray, shape (n,)
        After planting; infinite for those that stay. [years]

    Notes
    -----
    Of the trees of a row that stand, one in `keep_every` stays, the first among them. A gap in a
    row does not begin the count anew.
    """
    years = np.full(len(layout.trees), np.inf)
    for band in planted_bands(layout):
        for thinning in band.trees.thinning:
            left = band.which[np.isinf(years[band.which])]
            number = run_numbers(layout.trees.row[left].astype(np.int64)) - 1
            years[left[number % thinning.keep_every != 0]] = thinning.year
    return years


def thinning_figures(layout: Layout) -> tuple[TreesInYear, ...]:
    """
    Count the trees at planting and after each thinning.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    years : tuple of TreesInYear
        None where nothing is thinned.
    """
    years = sorted({one.year for band in planted_bands(layout) for one in band.trees.thinning})
    found: list[TreesInYear] = []
    for year in [0.0, *years] if years else []:
        trees = int(standing(layout, year).sum())
        taken = found[-1].trees - trees if found else 0
        found.append(TreesInYear(year, trees, taken, trees / layout.field.area * 1e4))
    return tuple(found)
