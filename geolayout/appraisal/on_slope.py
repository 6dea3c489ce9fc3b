"""Rows and passes on sloping ground: length along it beside length on the plan, and their grade."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.grades import Grades, grades_along, near_outlets
from geolayout.land.field import Field
from geolayout.land.grade import ANNUAL, PERENNIAL, GradeLimit
from geolayout.land.terrain import FIELD_SCALE, points_over
from geolayout.layout.build import Layout
from geolayout.layout.lines import Lines

__all__ = [
    "WATER_TAKERS",
    "SlopeFigures",
    "outlets_of",
    "slope_figures",
    "surface_area",
    "tree_lines",
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
    terrain = layout.field.terrain.smoothed(FIELD_SCALE)
    water = outlets_of(layout.field)
    found: list[SlopeFigures | None] = []
    rows = grades_along(terrain, layout.rows.lines) if len(layout.rows.lines) else None
    crops = _crop_of_rows(layout)
    if rows is not None:
        names = sorted(set(crops.tolist()))
        found += [_figures(f"rows of {crop}", rows, crops == crop, ANNUAL, water) for crop in names]
    trees = tree_lines(layout)
    if len(trees):
        grades = grades_along(terrain, trees)
        found.append(
            _figures("tree rows", grades, np.ones(len(trees), dtype=bool), PERENNIAL, water)
        )
    passes = grades_along(terrain, layout.passes.lines) if len(layout.passes.lines) else None
    for i, operation in enumerate(layout.plan.operations):
        mine = layout.passes.operation == i
        if passes is not None and mine.any():
            found.append(_figures(f"passes of {operation.name}", passes, mine, None))
    return tuple(one for one in found if one is not None)


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
    trees = layout.trees
    order = np.lexsort((trees.position, trees.row, trees.block))
    keys = np.stack([trees.block, trees.row], axis=1)[order]
    begins = np.flatnonzero(np.any(np.diff(keys, axis=0) != 0, axis=1)) + 1
    offsets = np.concatenate([[0], begins, [len(order)]]) if len(order) else np.zeros(1)
    return Lines(trees.xy[order], offsets.astype(np.int64))


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
    outlets: BaseGeometry | None = None,
) -> SlopeFigures | None:
    """Return the figures of some lines; None where no height is known under them."""
    mine = lines[grades.line]
    known = mine & grades.known
    if not known.any():
        return None
    steep = np.abs(np.where(known, grades.grade, 0.0))
    over = np.zeros_like(known)
    if limit is not None:
        over = known & limit.over(steep, grades.hill, near_outlets(grades, outlets))
    over_m = float(grades.length[over].sum())
    return SlopeFigures(
        what,
        float(grades.length[mine].sum()),
        float(grades.on_ground[mine].sum()),
        float(steep.max()),
        limit.source if limit is not None else "",
        over_m,
        100.0 * over_m / float(grades.length[known].sum()),
    )
