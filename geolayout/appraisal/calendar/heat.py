"""
Degree days: the warmth that a crop has had, and the day on which it has had enough.

A day gives the mean of its least and greatest temperature less a base, both first brought between
base and cap. Seasons that lie ahead are told from every year of the record: the earliest and the
latest day on which the warmth was reached, never one day alone.
"""

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geolayout.land.weather.daily import DailyWeather

__all__ = [
    "LONGEST_FILLED",
    "MAIZE_BASE",
    "MAIZE_CAP",
    "MOST_DAYS",
    "Reached",
    "Warmth",
    "dated",
    "day_heat",
    "days_to",
    "in_year",
    "reached",
    "warmth",
]

Floats = NDArray[np.float64]

MAIZE_BASE: Final = 10.0
"""50 °F: Purdue figures for maize, through Gold Star FS, striptillfarmer.com and ocj.com. [°C]"""

MAIZE_CAP: Final = 30.0
"""86 °F, from the same. [°C]"""

LONGEST_FILLED: Final = 5
"""Missing days up to so many in a row are put straight between their neighbours; a longer gap
stops the count. Our own choice. [days]"""

MOST_DAYS: Final = 300
"""A stage that takes longer than this is not reached. Our own choice. [days]"""


@dataclass(frozen=True, slots=True, eq=False)
class Warmth:
    """
    Degree days of every day from a first one on.

    Attributes
    ----------
    first : date
        The day of the first figure.
    heat : ndarray, shape (n,)
        What each day gave; not a number in gaps that are too long. [°C·d]
    filled : int
        Days put between their neighbours.
    """

    first: dt.date
    heat: Floats
    filled: int


@dataclass(frozen=True, slots=True)
class Reached:
    """
    When so much warmth was reached.

    Attributes
    ----------
    first, last : date
        The earliest and latest day, in the year that was asked for.
    years : tuple of int
        Years of sowing in the record that it is told from.
    """

    first: dt.date
    last: dt.date
    years: tuple[int, ...]


def day_heat(low: Floats, high: Floats, base: float, cap: float | None) -> Floats:
    """
    Return the degree days of days.

    Parameters
    ----------
    low, high : ndarray, shape (n,)
        Least and greatest temperature of each day. [°C]
    base : float
        At and under it nothing grows. [°C]
    cap : float or None
        Over it more warmth does no more; None for no cap. [°C]

    Returns
    -------
    heat : ndarray, shape (n,)
        Never under 0. [°C·d]

    Notes
    -----
    Both temperatures are brought between base and cap before their mean is taken. Times 1.8 it is
    in °F·d.

    Examples
    --------
    >>> day_heat(np.array([7.0]), np.array([21.0]), 10.0, 30.0)
    array([5.5])
    """
    top = np.inf if cap is None else cap
    return np.asarray((np.clip(low, base, top) + np.clip(high, base, top)) / 2.0 - base)


def warmth(weather: DailyWeather, base: float, cap: float | None) -> Warmth:
    """Return the degree days of every day of a record, short gaps filled."""
    offsets = (weather.days - weather.days[0]).astype(np.int64)
    every = np.arange(offsets[-1] + 1)
    low, high = (np.interp(every, offsets, figures) for figures in (weather.low, weather.high))
    heat = day_heat(low, high, base, cap)
    for before, after in pairwise(offsets.tolist()):
        if after - before - 1 > LONGEST_FILLED:
            heat[before + 1 : after] = np.nan
    missing = len(every) - len(offsets)
    return Warmth(weather.first, heat, missing - int(np.isnan(heat).sum()))


def reached(there: Warmth, sown: dt.date, wanted: float) -> Reached | None:
    """
    Return when a crop has had so much warmth, counted from the day of sowing on, that day too.

    Parameters
    ----------
    there : Warmth
        The record.
    sown : date
        The day of sowing; the year itself counts alone where the record holds it, else each year.
    wanted : float
        [°C·d]

    Returns
    -------
    reached : Reached or None
        None where no year of the record is whole enough.
    """
    own = _days_until(there, sown, wanted)
    years = range(there.first.year, there.first.year + len(there.heat) // 365 + 2)
    found = {
        year: days
        for year in ([sown.year] if own is not None else years)
        if (days := _days_until(there, in_year(sown, year), wanted)) is not None
    }
    if not found:
        return None
    least, most = min(found.values()), max(found.values())
    one = dt.timedelta(days=1)
    return Reached(sown + least * one, sown + most * one, tuple(found))


def dated(day: dt.date) -> str:
    """
    Return a day in words.

    Examples
    --------
    >>> dated(dt.date(2027, 5, 1))
    '1 May 2027'
    """
    return f"{day.day} {day:%B %Y}"


def in_year(day: dt.date, year: int) -> dt.date:
    """
    Return the same day of another year; 29 February becomes the 28th.

    Examples
    --------
    >>> in_year(dt.date(2028, 2, 29), 2027)
    datetime.date(2027, 2, 28)
    """
    try:
        return day.replace(year=year)
    except ValueError:
        return day.replace(year=year, day=28)


def _days_until(there: Warmth, sown: dt.date, wanted: float) -> int | None:
    """Return how many days after sowing the warmth is reached; None where the record fails."""
    start = (sown - there.first).days
    if start < 0:
        return None
    return days_to(there.heat[start : start + MOST_DAYS], wanted)


def days_to(heat: Floats, wanted: float) -> int | None:
    """
    Return how many days after the first so much warmth is reached; None where it never is.

    Examples
    --------
    >>> days_to(np.array([10.0, 10.0, 10.0]), 20.0)
    1
    """
    enough = np.flatnonzero(np.cumsum(heat) >= wanted - 1e-9)  # a sum of rounded figures
    return int(enough[0]) if enough.size else None
