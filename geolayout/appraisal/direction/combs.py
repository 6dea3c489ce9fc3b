"""
Combs: where passes lie across a repeat, laid over any width of land.

A comb is one repeat of centre lines that goes on for ever: passes at 3 m and 9 m in every 12 m. On
land it begins at the near side, and the last pass of each tooth moves inward until its edge is the
land's edge, as passes do.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["Comb", "Teeth", "even_comb"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Comb:
    """
    Centre lines of one machine's passes across a repeat.

    Attributes
    ----------
    width : float
        Working width. [m]
    period : float
        After how much ground the same passes come again. [m]
    offsets : tuple of float
        Centres of the passes, from the beginning of the repeat, rising. [m]
    """

    width: float
    period: float
    offsets: tuple[float, ...]

    @property
    def spacing(self) -> float:
        """Distance to the next pass that is met most often, to the centimetre. [m]"""
        centres = np.array([*self.offsets, self.offsets[0] + self.period])
        values, counts = np.unique(np.round(np.diff(centres), 2), return_counts=True)
        return float(values[int(np.argmax(counts))])

    @property
    def overlaps(self) -> tuple[float, ...]:
        """How much of each pass its forerunner worked already. [m]"""
        before = (self.offsets[-1] - self.period, *self.offsets[:-1])
        return tuple(
            max(0.0, self.width - (own - other))
            for own, other in zip(self.offsets, before, strict=True)
        )

    def teeth(self, low: Floats, high: Floats) -> "list[Teeth]":
        """
        Lay the comb over land from a least to a greatest t.

        Parameters
        ----------
        low, high : ndarray, shape (m,)
            Sides of the land at each of m bearings. [m]

        Returns
        -------
        teeth : list of Teeth
            One an offset.
        """
        return [self._tooth(i, low, high) for i in range(len(self.offsets))]

    def _tooth(self, i: int, low: Floats, high: Floats) -> "Teeth":
        """Return the lines of one offset."""
        half, span = self.width / 2.0, high - low
        room = span - ACROSS_SLACK - (self.offsets[i] - half)
        count = np.maximum(np.ceil(room / self.period), 0.0)
        start = low + self.offsets[i]
        written = start + (count - 1.0) * self.period
        inward = np.where(span > self.width, high - half, (low + high) / 2.0)
        last = np.minimum(written, inward)
        return Teeth(start, self.period, count, last, self.overlaps[i], written - last)


@dataclass(frozen=True, slots=True, eq=False)
class Teeth:
    """
    One offset of a comb, laid over land at m bearings.

    Attributes
    ----------
    start : ndarray, shape (m,)
        The first line. [m]
    period : float
        From line to line. [m]
    count : ndarray, shape (m,)
        How many there are; whole numbers.
    last : ndarray, shape (m,)
        The last line, moved inward. [m]
    overlap : float
        How much of each pass was worked before it. [m]
    moved : ndarray, shape (m,)
        How far the last line was moved. [m]
    """

    start: Floats
    period: float
    count: Floats
    last: Floats
    overlap: float
    moved: Floats


def even_comb(width: float) -> Comb:
    """
    Return the comb of passes side by side.

    Examples
    --------
    >>> even_comb(6.0).offsets, even_comb(6.0).spacing
    ((3.0,), 6.0)
    """
    return Comb(width, width, (width / 2.0,))
