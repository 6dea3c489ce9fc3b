"""How each row lies on the slope: its grade, the steepest, and how much is over the limit."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.slope.lengths import row_steps
from geolayout.land.terrain.grade import ANNUAL
from geolayout.layout.build import Layout

__all__ = ["RowGrades", "row_grades"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class RowGrades:
    """
    Grade along each of n pieces of row, not a number where no height is known under it.

    Attributes
    ----------
    mean : ndarray of float, shape (n,)
        Of the grade up or down, over the length. [%]
    steepest : ndarray of float, shape (n,)
        Steepest, up or down. [%]
    over : ndarray of float, shape (n,)
        Share of the length that is over the limit for annual rows. [%]
    """

    mean: Floats
    steepest: Floats
    over: Floats


def row_grades(layout: Layout) -> RowGrades | None:
    """
    Measure every piece of row on the slope, over heights averaged as for the limits.

    Parameters
    ----------
    layout : Layout
        None is returned where its field has no heights, or it has no rows.
    """
    grades = row_steps(layout)
    if grades is None:
        return None
    rows, known = len(layout.rows.lines), grades.known
    line, length, steep = grades.line[known], grades.length[known], grades.steep[known]
    steepest = np.full(rows, np.nan)
    np.fmax.at(steepest, line, steep)
    whole = np.bincount(line, length, minlength=rows)
    whole[whole == 0.0] = np.nan
    return RowGrades(
        np.bincount(line, length * steep, minlength=rows) / whole,
        steepest,
        100.0 * np.bincount(line, length * grades.over(ANNUAL)[known], minlength=rows) / whole,
    )
