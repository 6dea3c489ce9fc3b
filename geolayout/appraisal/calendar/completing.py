"""
A season that has begun and whose weather ends before the stage: measured days, then means.

What was measured counts as it is. From the day after it on, every other year of the record goes on
in its place with the same calendar days, and so does their mean: the earliest and the latest day of
these is told, and the day by the mean beside it. With a file of usual temperatures that the grower
names, its days stand for the mean, and no other year is asked.
"""

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.calendar.heat import MOST_DAYS, Warmth, days_to, in_year

__all__ = ["Completed", "begun", "completed"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Completed:
    """
    When so much warmth was reached, of a season that was measured in part.

    Attributes
    ----------
    first, last : date
        The earliest and the latest day.
    mean : date
        The day by the mean of the same calendar days.
    measured : date
        The last day that was measured.
    years : tuple of int
        Years whose days went on in its place; none where usual temperatures did.
    """

    first: dt.date
    last: dt.date
    mean: dt.date
    measured: dt.date
    years: tuple[int, ...]


def begun(there: Warmth, sown: dt.date) -> bool:
    """Tell whether a record holds the day of sowing, and all days from it to its end."""
    start = (sown - there.first).days
    return 0 <= start < len(there.heat) and bool(np.isfinite(there.heat[start:]).all())


def completed(
    there: Warmth, sown: dt.date, wanted: float, usual: Warmth | None = None
) -> Completed | None:
    """
    Return when a crop has had so much warmth where the record ends before it.

    Parameters
    ----------
    there : Warmth
        The record; it holds the day of sowing and ends too early.
    sown : date
        The day of sowing, which counts.
    wanted : float
        [°C·d]
    usual : Warmth, optional
        Usual temperatures of calendar days, whatever year they are written for.

    Returns
    -------
    completed : Completed or None
        None where nothing goes on in place of the days that are missing.
    """
    measured = there.heat[(sown - there.first).days :]
    end = there.first + dt.timedelta(days=len(there.heat) - 1)
    left = wanted - float(measured.sum())
    after = [end + dt.timedelta(days=i + 1) for i in range(max(0, MOST_DAYS - len(measured)))]
    mean = days_to(_mean(usual if usual is not None else there, after), left)
    if mean is None:
        return None
    years = {} if usual is not None else _each(there, after, left)
    found = [mean, *years.values()]
    return Completed(after[min(found)], after[max(found)], after[mean], end, tuple(years))


def _on(source: Warmth, days: list[dt.date]) -> Floats:
    """Return what days of a record gave; not a number where it has none."""
    at = np.array([(day - source.first).days for day in days], dtype=np.int64)
    inside = (at >= 0) & (at < len(source.heat))
    heat = np.full(len(at), np.nan)
    heat[inside] = source.heat[at[inside]]
    return heat


def _years(source: Warmth) -> range:
    """Return the calendar years of a record."""
    last = source.first + dt.timedelta(days=len(source.heat) - 1)
    return range(source.first.year, last.year + 1)


def _mean(source: Warmth, days: list[dt.date]) -> Floats:
    """Return the mean of every calendar day over the years that have it; no number if none has."""
    every = [_on(source, [in_year(day, year) for day in days]) for year in _years(source)]
    counts = np.isfinite(every).sum(axis=0)
    return np.asarray(
        np.where(counts > 0, np.nansum(every, axis=0) / np.maximum(counts, 1), np.nan)
    )


def _each(source: Warmth, days: list[dt.date], left: float) -> dict[int, int]:
    """Return how many days each year takes for the warmth that is left, where it is whole."""
    found = {}
    for year in _years(source):
        moved = [in_year(day, day.year - days[0].year + year) for day in days]
        count = days_to(_on(source, moved), left)
        if count is not None:
            found[year] = count
    return found
