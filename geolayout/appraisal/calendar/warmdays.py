"""The days of a stage by warmth, for sowing between two days, and what they are told from."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from geolayout.appraisal.calendar.completing import Completed, begun, completed
from geolayout.appraisal.calendar.heat import Reached, Warmth, dated, reached, warmth
from geolayout.land.weather.daily import DailyWeather
from geolayout.plan.crops.stages import Stage

__all__ = ["WarmDays", "not_enough", "warm_enough"]


@dataclass(frozen=True, slots=True)
class WarmDays:
    """
    From day to day by warmth.

    Attributes
    ----------
    first, last : date
        Both count.
    told : str
        Which days were measured, and what stands for those that were not.
    """

    first: dt.date
    last: dt.date
    told: str


def warm_enough(
    weather: DailyWeather,
    usual: DailyWeather | None,
    sown: tuple[dt.date, dt.date],
    entry: Stage,
) -> WarmDays | None:
    """
    Return the earliest and the latest day of a stage by warmth, sown between two days.

    Parameters
    ----------
    weather : DailyWeather
        The record.
    usual : DailyWeather or None
        Usual temperatures, for days that the record does not hold yet.
    sown : tuple of date
        First and last day of sowing.
    entry : Stage
        The stage, with its warmth, base and cap.

    Returns
    -------
    days : WarmDays or None
        None where the weather does not tell.
    """
    there = warmth(weather, entry.base, entry.cap)
    means = warmth(usual, entry.base, entry.cap) if usual is not None else None
    ends = [_one(there, means, day, entry.degree_days or 0.0) for day in sown]
    early, late = ends
    if early is None or late is None:
        return None
    by = usual.name if usual is not None else ""
    return WarmDays(early.first, late.last, _told([early, late], by))


def _one(
    there: Warmth, usual: Warmth | None, sown: dt.date, wanted: float
) -> Reached | Completed | None:
    """Return the days of a stage after one day of sowing: measured, completed or of other years."""
    found = reached(there, sown, wanted)
    if begun(there, sown) and (found is None or found.years != (sown.year,)):
        return completed(there, sown, wanted, usual) or found
    return found


def _told(ends: Sequence[Reached | Completed], usual: str) -> str:
    """Say which years of weather days come from, and from when on they are means."""
    parts = [end for end in ends if isinstance(end, Completed)]
    if not parts:
        years = dict.fromkeys(year for end in ends for year in end.years)
        return f"by the weather of {_listed(years)}; look at the field"
    begin = f"measured to {dated(parts[0].measured)}, from then on by "
    if usual:
        return f"{begin}{usual}; look at the field"
    years = dict.fromkeys(year for end in parts for year in end.years)
    means = dict.fromkeys(dated(end.mean) for end in parts)
    mean = f"; by the mean of these days {' to '.join(means)}"
    same = f"the same days of {_listed(years)}" if years else "the mean of the same days"
    return f"{begin}{same}{mean}; look at the field"


def not_enough(weather: DailyWeather, sown: dt.date, what: str) -> str:
    """
    Say which temperatures are missing.

    Parameters
    ----------
    weather : DailyWeather
        The record.
    sown : date
        The day of sowing.
    what : str
        What was to be told, such as "maize to reach V4".
    """
    if weather.first <= sown <= weather.last:
        return (
            f"temperatures after {dated(weather.last)} for {what}: {weather.name} has no whole "
            "other year, and [field] weather_usual names no usual ones"
        )
    return f"a whole record of temperatures for {what}"


def _listed(years: Sequence[int] | dict[int, None]) -> str:
    """Return years one after the other."""
    return ", ".join(str(year) for year in years)
