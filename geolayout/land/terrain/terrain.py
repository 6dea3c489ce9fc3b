"""
Heights of the land as a grid, and what follows from them at any place: slope, fall, grade.

The grid keeps the cells that the file has. Gradients are Horn's, from the eight neighbours of a
cell, and are taken between cell centres in proportion. Nothing here reads a file.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["FIELD_SCALE", "Terrain", "horn", "points_over"]

FIELD_SCALE = 20.0
"""Heights are averaged over so much for contours and for the grade of rows. Our own choice. [m]"""

Floats = NDArray[np.float64]


def horn(heights: Floats) -> Floats:
    """
    Return the rise of each cell along columns and along rows, for one cell.

    Parameters
    ----------
    heights : ndarray, shape (rows, columns)
        Not a number where there is none. [m]

    Returns
    -------
    rise : ndarray, shape (rows, columns, 2)
        Along columns (eastward in a map) and along rows (southward). Not a number where one of
        the eight neighbours is missing. [m per cell]

    References
    ----------
    B. K. P. Horn 1981, Hill shading and the reflectance map, Proceedings of the IEEE 69; the
    weights as printed in the handbook of a general GIS.

    Examples
    --------
    >>> horn(np.array([[50.0, 45, 50], [30, 30, 30], [8, 10, 10]]))[1, 1] / 5.0
    array([ 0.05, -3.8 ])
    """
    rise = np.full((*heights.shape, 2), np.nan)
    a, b, c = heights[:-2, :-2], heights[:-2, 1:-1], heights[:-2, 2:]
    d, f = heights[1:-1, :-2], heights[1:-1, 2:]
    g, h, i = heights[2:, :-2], heights[2:, 1:-1], heights[2:, 2:]
    rise[1:-1, 1:-1, 0] = ((c + 2 * f + i) - (a + 2 * d + g)) / 8.0
    rise[1:-1, 1:-1, 1] = ((g + 2 * h + i) - (a + 2 * b + c)) / 8.0
    return rise


@dataclass(frozen=True, eq=False)
class Terrain:
    """
    Heights on a grid over a field.

    Attributes
    ----------
    heights : ndarray of float, shape (rows, columns)
        Of cell centres, the first row in the north of the file. Not a number where there is none.
        [m]
    to_cells : ndarray of float, shape (2, 3)
        Turns (x, y, 1) of the field's frame into column and row, (0, 0) at the first centre.
    source : str
        The file's name, for people.
    """

    heights: Floats
    to_cells: Floats
    source: str

    @property
    def cell(self) -> float:
        """Side of a cell, the longer one where they differ. [m]"""
        return float(np.hypot(*np.linalg.inv(self.to_cells[:, :2])).max())

    def smoothed(self, over: float) -> "Terrain":
        """
        Return the heights averaged over a distance: what a field does, and not what a clod does.

        Parameters
        ----------
        over : float
            Width of the window, square; averaged twice. [m]

        Returns
        -------
        terrain : Terrain
            The very same where the window is no wider than a cell and a half.
        """
        half = round(over / self.cell / 2.0)
        if half < 1:
            return self
        once = _box_mean(self.heights, half)
        return Terrain(_box_mean(once, half), self.to_cells, self.source)

    def height(self, xy: Floats) -> Floats:
        """
        Return the height at points of the frame, in proportion between cell centres.

        Parameters
        ----------
        xy : ndarray, shape (n, 2)
            Points. [m]

        Returns
        -------
        height : ndarray, shape (n,)
            Not a number where one of the four cells round the point has none. [m]
        """
        return self._between(self.heights[..., None], xy)[:, 0]

    def gradient(self, xy: Floats) -> Floats:
        """
        Return how steeply the ground rises at points of the frame, to the east and to the north.

        Parameters
        ----------
        xy : ndarray, shape (n, 2)
            Points. [m]

        Returns
        -------
        gradient : ndarray, shape (n, 2)
            Metres of rise for a metre of way; not a number where it is not known. [-]
        """
        return np.asarray(self._between(self._rise, xy) @ self.to_cells[:, :2])

    def slope(self, xy: Floats) -> Floats:
        """Return the slope at points, the steepest way, shape (n,). [%]"""
        return np.asarray(100.0 * np.hypot(*self.gradient(xy).T))

    def fall(self, xy: Floats) -> Floats:
        """Return the bearing in the frame in which the ground falls, shape (n,). [degrees]"""
        east, north = -self.gradient(xy).T
        return np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)

    def grade(self, xy: Floats, bearing: Floats) -> Floats:
        """
        Return the grade along a bearing at points; rising is positive.

        Parameters
        ----------
        xy : ndarray, shape (n, 2)
            Points. [m]
        bearing : ndarray, shape (n,)
            Clockwise from frame north. [degrees]

        Returns
        -------
        grade : ndarray, shape (n,)
            [%]
        """
        angle = np.radians(bearing)
        ahead = np.stack([np.sin(angle), np.cos(angle)], axis=1)
        return np.asarray(100.0 * (self.gradient(xy) * ahead).sum(axis=1))

    @cached_property
    def _rise(self) -> Floats:
        return horn(self.heights)

    def _between(self, values: Floats, xy: Floats) -> Floats:
        """Return values of cell centres in proportion at points, shape (n, k)."""
        places = np.asarray(xy, dtype=np.float64).reshape(-1, 2)
        column, row = self.to_cells[:, :2] @ places.T + self.to_cells[:, 2:]
        rows, columns = self.heights.shape
        inside = (column >= 0) & (column <= columns - 1) & (row >= 0) & (row <= rows - 1)
        left = np.clip(np.floor(column), 0, max(columns - 2, 0)).astype(np.int64)
        top = np.clip(np.floor(row), 0, max(rows - 2, 0)).astype(np.int64)
        right, bottom = np.minimum(left + 1, columns - 1), np.minimum(top + 1, rows - 1)
        x, y = (column - left)[:, None], (row - top)[:, None]
        upper = _mixed(values[top, left], values[top, right], x)
        lower = _mixed(values[bottom, left], values[bottom, right], x)
        return np.where(inside[:, None], _mixed(upper, lower, y), np.nan)


def _box_mean(values: Floats, half: int) -> Floats:
    """Return the mean of the known values within so many cells, unknown where a cell is."""
    known = np.isfinite(values)
    sums = _box_sum(np.where(known, values, 0.0), half)
    counts = _box_sum(known.astype(np.float64), half)
    return np.where(known, sums / np.maximum(counts, 1.0), np.nan)


def _box_sum(values: Floats, half: int) -> Floats:
    """Return sums over a square of cells, by differences of running sums."""
    rows, columns = values.shape
    run = np.zeros((rows + 1, columns + 1))
    run[1:, 1:] = values.cumsum(axis=0).cumsum(axis=1)
    top, left = (np.maximum(np.arange(n) - half, 0) for n in (rows, columns))
    bottom, right = (np.minimum(np.arange(n) + half + 1, n) for n in (rows, columns))
    lower, upper = run[bottom], run[top]
    return np.asarray(lower[:, right] - lower[:, left] - upper[:, right] + upper[:, left])


def _mixed(a: Floats, b: Floats, share: Floats) -> Floats:
    """Return a mixed with a share of b; a cell without a share need not be known."""
    mixed = a + share * (b - a)
    return np.where(share == 0.0, a, np.where(share == 1.0, b, mixed))


def points_over(land: BaseGeometry, step: float, across: int) -> Floats:
    """
    Return points over land on a square grid.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land. [m]
    step : float
        Farthest that neighbours lie apart, such as the side of a cell. [m]
    across : int
        Least number of them along the longer side of the land.

    Returns
    -------
    xy : ndarray, shape (n, 2)
        [m]
    """
    west, south, east, north = shapely.bounds(land).tolist()
    apart = min(step, max(east - west, north - south) / across)
    x, y = np.meshgrid(np.arange(west, east, apart), np.arange(south, north, apart))
    inside = shapely.contains_xy(land, x.ravel(), y.ravel())
    return np.asarray(np.column_stack([x.ravel(), y.ravel()])[inside])
