"""The calendar of a season in words and as plain mappings."""

import datetime as dt
from typing import Any

from geolayout.appraisal.calendar.season import CalendarLine, SeasonCalendar, season_calendar
from geolayout.appraisal.places import listed
from geolayout.layout.build import Layout

__all__ = ["calendar_dict", "calendar_lines", "days_words"]


def days_words(first: dt.date, last: dt.date) -> str:
    """
    Return from day to day in words.

    Examples
    --------
    >>> days_words(dt.date(2027, 11, 1), dt.date(2028, 3, 31))
    '1 November 2027 to 31 March 2028'
    >>> days_words(dt.date(2028, 5, 1), dt.date(2028, 5, 12))
    '1 to 12 May 2028'
    """
    end = f"{last.day} {last:%B} {last.year}"
    if first == last:
        return end
    if first.year != last.year:
        return f"{first.day} {first:%B} {first.year} to {end}"
    return (
        f"{first.day} {first:%B} to {end}"
        if first.month != last.month
        else (f"{first.day} to {end}")
    )


def calendar_lines(layout: Layout) -> list[str]:
    """Say what is done when, and what would have to be known for the rest."""
    calendar = season_calendar(layout)
    if calendar.year is None:
        return []
    lines = [
        f"{days_words(line.first, line.last)}: {line.what}, {listed(line.where)}; {line.basis}."
        for line in calendar.lines
        if line.first is not None and line.last is not None
    ]
    if calendar.missing:
        lines.append(f"Not known, and asked: {'; '.join(calendar.missing)}.")
    return lines


def calendar_dict(layout: Layout) -> dict[str, Any]:
    """Return the calendar as plain mappings; days as YYYY-MM-DD."""
    calendar: SeasonCalendar = season_calendar(layout)
    weather = layout.field.weather
    return {
        "year": calendar.year,
        "lines": [_line(line) for line in calendar.lines],
        "missing": list(calendar.missing),
        "weather_first": weather.first.isoformat() if weather is not None else None,
        "weather_last": weather.last.isoformat() if weather is not None else None,
        "weather_gaps": [
            {"first": first.isoformat(), "last": last.isoformat()}
            for first, last in (weather.gaps if weather is not None else ())
        ],
    }


def _line(line: CalendarLine) -> dict[str, Any]:
    """Return one line as a mapping."""
    return {
        "kind": line.kind,
        "what": line.what,
        "where": list(line.where),
        "first": line.first.isoformat() if line.first is not None else None,
        "last": line.last.isoformat() if line.last is not None else None,
        "basis": line.basis,
        "missing": line.missing,
    }
