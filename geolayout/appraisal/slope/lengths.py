"""Rows and passes on sloping ground: length along it beside length on the plan, and their grade."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.slope.grades import Grades, grades_along
from geolayout.land.field import Field
from geolayout.land.terrain.grade import ANNUAL, PERENNIAL, GradeLimit
from geolayout.land.terrain.terrain import FIELD_SCALE, points_over
from geolayout.layout.build import Layout
from geolayout.layout.shapes.lines import Lines

__all__ = [
    "WATER_TAKERS",
    "SlopeFigures",
    "outlets_of",
    "row_steps",
    "slope_figures",
    "surface_area",
    "tree_lines",
    "tree_order",
    "tree_row_steps",
]

WATER_TAKERS = (
    "ditch",
    "watercourse",
    "pond",
    "grassed waterway",
    "outfall",
    "spring",
    "wet hollow",
)
"""Kinds of feature that can take water."""

STABLE = ("ditch", "watercourse", "grassed waterway", "outfall")
"""Kinds that lead it away without harm, near which rows may be steeper. Our own choice."""


@dataclass(frozen=True, slots=True)
class SlopeFigures:
    """
    How lines of one kind lie on the slope.

    Attributes
    ----------
    what : str
        A crop's rows, "tree rows", or the passes of an operation.
    length_m, ground_length_m : float
        On the plan, and along the ground. [m]
    steepest_percent : float
        Steepest grade along them, up or down. [%]
    limit : str
        Which limit governs them; "" for passes, which have none.
    over_m, over_percent : float
        Length over that limit, and its share of the length with known heights. [m], [%]
    """

    what: str
    length_m: float
    ground_length_m: float
    steepest_percent: float
    limit: str
    over_m: float
    over_percent: float


def slope_figures(layout: Layout) -> tuple[SlopeFigures, ...]:
    """
    Measure rows, tree rows and passes on the slope.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    figures : tuple of SlopeFigures
        None where the field has no heights.
    """
    if layout.field.terrain is None:
        return ()
    found: list[SlopeFigures | None] = []
    rows, trees = row_steps(layout), tree_row_steps(layout)
    crops = _crop_of_rows(layout)
    if rows is not None:
        names = sorted(set(crops.tolist()))
        found += [_figures(f"rows of {crop}", rows, crops == crop, ANNUAL) for crop in names]
    if trees is not None:
        every = np.ones(trees.line.max() + 1, dtype=bool)
        found.append(_figures("tree rows", trees, every, PERENNIAL))
    passes = _steps(layout.field, layout.passes.lines, None)
    for i, operation in enumerate(layout.plan.operations):
        mine = layout.passes.operation == i
        if passes is not None and mine.any():
            found.append(_figures(f"passes of {operation.name}", passes, mine, None))
    return tuple(one for one in found if one is not None)


@lru_cache(maxsize=2)
def row_steps(layout: Layout) -> Grades | None:
    """
    Return short steps along the crop rows of a layout, over averaged heights.

    Parameters
    ----------
    layout : Layout
        None is returned where its field has no heights, or it has no rows. The last two are kept:
        figures, cautions and tables all ask.
    """
    return _steps(layout.field, layout.rows.lines, outlets_of(layout.field))


@lru_cache(maxsize=2)
def tree_row_steps(layout: Layout) -> Grades | None:
    """Return short steps along the tree rows of a layout, as `row_steps`."""
    return _steps(layout.field, tree_lines(layout), outlets_of(layout.field))


def _steps(field: Field, lines: Lines, outlets: BaseGeometry | None) -> Grades | None:
    """Return steps along lines over heights averaged as for the limits, if there are any."""
    if field.terrain is None or not len(lines):
        return None
    steps = grades_along(field.terrain.smoothed(FIELD_SCALE), lines, outlets)
    return steps if len(steps.line) else None


def surface_area(field: Field) -> float | None:
    """
    Return the area of a field's land along the sloping ground. [m2]

    Parameters
    ----------
    field : Field
        None is returned where it has no heights, or none under its land.

    Notes
    -----
    The area on the plan times the mean of ``sqrt(1 + g^2)``, g the slope of the ground; where no
    height is known the ground is taken to slope as the rest.
    """
    if field.terrain is None:
        return None
    xy = points_over(field.land, field.terrain.cell, 50)
    slope = field.terrain.smoothed(FIELD_SCALE).slope(xy) / 100.0
    known = np.isfinite(slope)
    if not known.any():
        return None
    return float(field.land.area * np.sqrt(1.0 + slope[known] ** 2).mean())


def outlets_of(field: Field) -> BaseGeometry:
    """Return the stable outlets of water that were drawn. [m]"""
    drawn = [feature.geometry for feature in field.features if feature.kind in STABLE]
    return shapely.union_all(drawn)


def tree_lines(layout: Layout) -> Lines:
    """Return the tree rows as lines through their trees."""
    trees, order = layout.trees, tree_order(layout)
    keys = np.stack([trees.block, trees.row], axis=1)[order]
    begins = np.flatnonzero(np.any(np.diff(keys, axis=0) != 0, axis=1)) + 1
    offsets = np.concatenate([[0], begins, [len(order)]]) if len(order) else np.zeros(1)
    return Lines(trees.xy[order], offsets.astype(np.int64))


def tree_order(layout: Layout) -> NDArray[np.int64]:
    """Return the trees in the order in which `tree_lines` goes through them, shape (n,)."""
    trees = layout.trees
    return np.lexsort((trees.position, trees.row, trees.block))


def _crop_of_rows(layout: Layout) -> NDArray[np.object_]:
    """Return the crop of each piece of row."""
    rows = layout.rows
    crops = []
    for block, cut, sowing in zip(rows.block, rows.cut, rows.sowing, strict=True):
        stand = layout.blocks[block].stands[cut]
        crops.append(stand.sowing[sowing].crop if stand is not None else "")
    return np.array(crops, dtype=object)


def _figures(
    what: str,
    grades: Grades,
    lines: NDArray[np.bool_],
    limit: GradeLimit | None,
) -> SlopeFigures | None:
    """Return the figures of some lines; None where no height is known under them."""
    mine = lines[grades.line]
    known = mine & grades.known
    if not known.any():
        return None
    over = known & grades.over(limit) if limit is not None else np.zeros_like(known)
    over_m = float(grades.length[over].sum())
    return SlopeFigures(
        what,
        float(grades.length[mine].sum()),
        float(grades.on_ground[mine].sum()),
        float(grades.steep[known].max()),
        limit.source if limit is not None else "",
        over_m,
        100.0 * over_m / float(grades.length[known].sum()),
    )
