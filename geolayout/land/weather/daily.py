"""Daily weather: the coldest and the warmest of each day. Days that are missing stay missing."""

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["DailyWeather"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class DailyWeather:
    """
    Days with their coldest and warmest air, in order, each once.

    Attributes
    ----------
    name : str
        What messages call it.
    days : ndarray of datetime64[D], shape (n,)
        Days that were measured, growing; gaps are days that are not there.
    low, high : ndarray, shape (n,)
        Coldest and warmest of each. [°C]
    """

    name: str
    days: NDArray[np.datetime64]
    low: Floats
    high: Floats

    @property
    def first(self) -> dt.date:
        """The first day."""
        return _date(self.days[0])

    @property
    def last(self) -> dt.date:
        """The last day."""
        return _date(self.days[-1])

    @property
    def years(self) -> tuple[int, ...]:
        """Calendar years in which a day was measured."""
        return tuple(sorted({day.year for day in self.days.astype(object).tolist()}))

    @property
    def gaps(self) -> tuple[tuple[dt.date, dt.date], ...]:
        """First and last day of each run of days that are missing between others."""
        one = dt.timedelta(days=1)
        days: list[dt.date] = self.days.astype(object).tolist()
        return tuple((a + one, b - one) for a, b in pairwise(days) if b - a > one)


def _date(day: np.datetime64) -> dt.date:
    """Return a day of an array as a date."""
    found: dt.date = day.astype(object)
    return found
