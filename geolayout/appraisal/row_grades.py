"""How each row lies on the slope: its grade, the steepest, and how much is over the limit."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.grades import grades_along, near_outlets
from geolayout.appraisal.on_slope import outlets_of
from geolayout.land.grade import ANNUAL
from geolayout.land.terrain import FIELD_SCALE
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
    lines = layout.rows.lines
    if layout.field.terrain is None or not len(lines):
        return None
    grades = grades_along(layout.field.terrain.smoothed(FIELD_SCALE), lines)
    known = grades.known
    line, length = grades.line[known], grades.length[known]
    steep = np.abs(grades.grade[known])
    near = near_outlets(grades, outlets_of(layout.field))[known]
    over = ANNUAL.over(steep, grades.hill[known], near)
    steepest = np.full(len(lines), np.nan)
    np.fmax.at(steepest, line, steep)
    whole = np.bincount(line, length, minlength=len(lines))
    whole[whole == 0.0] = np.nan
    return RowGrades(
        np.bincount(line, length * steep, minlength=len(lines)) / whole,
        steepest,
        100.0 * np.bincount(line, length * over, minlength=len(lines)) / whole,
    )
