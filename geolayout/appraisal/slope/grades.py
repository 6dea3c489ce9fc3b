"""
How rows lie on the slope: grade along them, ground length beside plan length.

Limits of grade are conservation figures, not limits of what a machine can stand on. Annual rows
and tree rows have different ones, and each figure says which governs it.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.land.terrain.grade import OUTLET_NEAR, GradeLimit
from geolayout.land.terrain.terrain import Terrain
from geolayout.layout.shapes.lines import Lines

__all__ = ["Grades", "Slopes", "grades_along", "grades_of", "slopes_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Grades:
    """
    Short steps along lines, and how the ground lies under each.

    Attributes
    ----------
    line : ndarray of int, shape (n,)
        Index of the line.
    xy : ndarray of float, shape (n, 2)
        Middle of the step. [m]
    length : ndarray of float, shape (n,)
        Length of the step on the plan. [m]
    grade : ndarray of float, shape (n,)
        Along the line, rising positive; not a number where no height is known. [%]
    slope : ndarray of float, shape (n,)
        Of the ground, its steepest way. [%]
    near : ndarray of bool, shape (n,)
        Where a stable outlet of water is near, so that rows may be steeper.
    """

    line: NDArray[np.int64]
    xy: Floats
    length: Floats
    grade: Floats
    slope: Floats
    near: NDArray[np.bool_]

    @property
    def known(self) -> NDArray[np.bool_]:
        """Where heights are known, shape (n,)."""
        return np.asarray(np.isfinite(self.grade))

    @property
    def steep(self) -> Floats:
        """How steep each step is, up or down; 0 where it is not known, shape (n,). [%]"""
        return np.abs(np.where(self.known, self.grade, 0.0))

    def over(self, limit: GradeLimit) -> NDArray[np.bool_]:
        """Return which steps are known and steeper than a limit, shape (n,)."""
        return self.known & limit.over(self.steep, self.hill, self.near)

    @property
    def hill(self) -> Floats:
        """Mean slope of the ground under all steps, which the limits go by, shape (n,). [%]"""
        known = self.known
        mean = np.average(self.slope[known], weights=self.length[known]) if known.any() else 0.0
        return np.full(len(self.slope), mean)

    @property
    def on_ground(self) -> Floats:
        """Length of each step on the sloping ground; on the plan where it is not known. [m]"""
        rise = np.where(self.known, self.grade, 0.0) / 100.0
        return np.asarray(self.length * np.sqrt(1.0 + rise**2))


@dataclass(frozen=True, slots=True)
class Slopes:
    """
    What the grades of some rows come to.

    Attributes
    ----------
    rows : str
        Which rows, and so which limit.
    length_m, ground_length_m : float
        On the plan, and on the sloping ground. [m]
    known_share : float
        Share of the length under which heights are known. [-]
    steepest : float
        Steepest grade, up or down. [%]
    place : tuple of float
        Where that is, in the frame. [m]
    over_m, over_share : float
        Length steeper than the limit, and its share of the known length. [m], [-]
    source : str
        Of the limit.
    """

    rows: str
    length_m: float
    ground_length_m: float
    known_share: float
    steepest: float
    place: tuple[float, float]
    over_m: float
    over_share: float
    source: str


def grades_along(terrain: Terrain, lines: Lines, outlets: BaseGeometry | None = None) -> Grades:
    """
    Step along lines and read the ground under each step.

    Parameters
    ----------
    terrain : Terrain
        Heights.
    lines : Lines
        Lines on the plan, in steps of half a cell or less. [m]
    outlets : geometry, optional
        Stable outlets of water. [m]

    Returns
    -------
    grades : Grades
    """
    line, start, ahead, length = _edges(lines)
    count = np.maximum(np.ceil(length / (terrain.cell / 2.0)), 1).astype(np.int64)
    edge = np.repeat(np.arange(len(length)), count)
    order = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    share = (order + 0.5) / count[edge]
    xy = start[edge] + share[:, None] * ahead[edge]
    gradient = terrain.gradient(xy)
    forward = ahead[edge] / np.maximum(length[edge], np.finfo(float).tiny)[:, None]
    return Grades(
        line[edge],
        xy,
        length[edge] / count[edge],
        100.0 * (gradient * forward).sum(axis=1),
        100.0 * np.hypot(*gradient.T),
        _near(xy, outlets),
    )


def slopes_of(grades: Grades, limit: GradeLimit) -> Slopes | None:
    """
    Sum grades up against a limit; None where no height is known under any step.

    Parameters
    ----------
    grades : Grades
        Steps along rows.
    limit : GradeLimit
        What governs these rows.
    """
    known, steep, over = grades.known, grades.steep, grades.over(limit)
    if not known.any():
        return None
    worst = int(np.argmax(steep))
    x, y = grades.xy[worst].tolist()
    seen = float(grades.length[known].sum())
    over_m = float(grades.length[over].sum())
    whole = float(grades.length.sum())
    return Slopes(
        limit.rows,
        whole,
        float(grades.on_ground.sum()),
        seen / whole,
        float(steep[worst]),
        (x, y),
        over_m,
        over_m / seen,
        limit.source,
    )


def grades_of(
    terrain: Terrain, lines: Lines, limit: GradeLimit, outlets: BaseGeometry | None = None
) -> Slopes | None:
    """Return what the grades along lines come to; None where no height is known under any."""
    return slopes_of(grades_along(terrain, lines, outlets), limit)


def _near(xy: Floats, outlets: BaseGeometry | None) -> NDArray[np.bool_]:
    """Return which places lie near an outlet, shape (n,)."""
    if outlets is None or outlets.is_empty:
        return np.zeros(len(xy), dtype=bool)
    shapely.prepare(outlets)
    return np.asarray(shapely.dwithin(outlets, shapely.points(xy), OUTLET_NEAR))


def _edges(lines: Lines) -> tuple[NDArray[np.int64], Floats, Floats, Floats]:
    """Return the line, the start, the way and the length of every edge."""
    which = np.repeat(np.arange(len(lines)), np.diff(lines.offsets))
    same = which[1:] == which[:-1]
    start = lines.xy[:-1][same]
    ahead = lines.xy[1:][same] - start
    return which[:-1][same], start, ahead, np.hypot(*ahead.T)
