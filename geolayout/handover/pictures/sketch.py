"""
A field drawn in letters: its outline in dots, north up, with marks where something was found.

Each letter is a cell of 2 by 4 dots (the Braille patterns of Unicode), so that 40 letters by 15
show 80 by 60 dots, nearly square in a terminal whose letters are twice as high as wide.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import floor, log10

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.plan.units import METRIC, Scale

__all__ = ["field_drawing", "plain_dots"]

ACROSS, DOWN = 2, 4
"""Dots of one letter, across and down. [-]"""

_BRAILLE = 0x2800
"""The pattern without a dot; each dot adds its own bit. [-]"""

_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])

SPARSE = 3
"""Of a feature's line one dot in so many is drawn, so that it does not pass for an edge. [-]"""

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Grid:
    """Dots over the ground: the upper left corner and the length of one step."""

    west: float
    north: float
    step: float
    columns: int
    lines: int

    def dots(self, xy: Points) -> NDArray[np.int64]:
        """Return column and line of the dots nearest to points, those off the grid left out."""
        raw = np.array([xy[:, 0] - self.west, self.north - xy[:, 1]]).T / self.step
        dots: NDArray[np.int64] = np.round(raw).astype(np.int64)
        most = self.columns * ACROSS, self.lines * DOWN
        return dots[((dots >= 0) & (dots < most)).all(axis=1)]


def field_drawing(
    land: BaseGeometry,
    marks: Mapping[str, Points],
    features: Iterable[BaseGeometry] = (),
    *,
    columns: int = 40,
    lines: int = 15,
    units: Scale = METRIC.length,
) -> str:
    """
    Draw the outline of a field in letters.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The field in its frame. [m]
    marks : mapping of str to ndarray, shape (n, 2)
        Letters and the places they mark; of two in one place the first is seen. [m]
    features : iterable of shapely geometry, optional
        What stands in the field; lines are drawn sparsely. [m]
    columns, lines : int
        Size of the drawing at most.
    units : Scale
        Unit of the bar below it.

    Returns
    -------
    drawing : str
        Lines of text, the last with the scale.
    """
    grid = _grid_over(land, columns, lines)
    cells = np.zeros((grid.lines, grid.columns), dtype=np.int64)
    for shape in features:
        _stamp(cells, grid.dots(_walk(shape, grid.step)[::SPARSE]))
    _stamp(cells, grid.dots(_walk(land, grid.step)))
    letters = [[chr(_BRAILLE + bits) if bits else " " for bits in row] for row in cells.tolist()]
    for mark, places in reversed(list(marks.items())):
        for column, line in grid.dots(np.reshape(places, (-1, 2))).tolist():
            letters[line // DOWN][column // ACROSS] = mark
    drawn = ["".join(row).rstrip() for row in letters]
    return "\n".join([*drawn, _scale_line(grid, units)])


def _grid_over(land: BaseGeometry, columns: int, lines: int) -> _Grid:
    """Lay dots over a field, as coarse as its longer side asks."""
    west, south, east, north = (float(value) for value in shapely.bounds(land))
    step = max((east - west) / (columns * ACROSS - 1), (north - south) / (lines * DOWN - 1))
    wide = floor((east - west) / step + 0.5) // ACROSS + 1
    tall = floor((north - south) / step + 0.5) // DOWN + 1
    return _Grid(west, north, step, wide, tall)


def _walk(shape: BaseGeometry, step: float) -> Points:
    """Return points along every ring and line, and single points, two to a dot."""
    dense = shapely.segmentize(shape, step / 2)
    points: Points = shapely.get_coordinates(dense)
    return points


def _stamp(cells: NDArray[np.int64], dots: NDArray[np.int64]) -> None:
    """Set dots in the letters they belong to."""
    column, line = dots.T
    np.bitwise_or.at(cells, (line // DOWN, column // ACROSS), _BITS[line % DOWN, column % ACROSS])


def _scale_line(grid: _Grid, units: Scale) -> str:
    """Return a bar of a round length, and which way is up."""
    letter = units.of(grid.step * ACROSS)
    most = letter * max(10, grid.columns // 3)
    power = 10.0 ** floor(log10(most))
    length = max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)
    bar = "─" * max(1, round(length / letter) - 2)
    return f"├{bar}┤ {length:g} {units.word}, north is up"


_QUARTERS = (0x01 | 0x02, 0x08 | 0x10, 0x04 | 0x40, 0x20 | 0x80)
"""Dots of the upper left, upper right, lower left and lower right quarter of a letter. [-]"""

_PLAIN = {
    "1000": "`", "0100": "'", "1100": '"', "0010": ".", "0001": ".", "0011": "_",
    "1010": "|", "0101": "|", "0110": "/", "1001": "\\",
}  # fmt: skip
"""Letters for which quarters of a cell hold dots; three or four are a corner. [-]"""


def plain_dots(text: str) -> str:
    """
    Return a drawing for a terminal that knows plain letters only.

    Examples
    --------
    >>> plain_dots("⡇⠉⣀ 1")
    '|"_ 1'
    """
    return "".join(map(_plain, text)).replace("├", "|").replace("─", "-").replace("┤", "|")


def _plain(letter: str) -> str:
    """Return the plain letter that is most like a pattern of dots."""
    bits = ord(letter) - _BRAILLE
    if not 0 < bits < 256:
        return letter
    quarters = "".join("1" if bits & quarter else "0" for quarter in _QUARTERS)
    return _PLAIN.get(quarters, "+")
