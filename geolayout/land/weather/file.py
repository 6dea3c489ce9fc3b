"""
Daily weather out of a table.

The unit is read from the head of the columns or said in the plan, never found out from figures;
figures only tell when what was said cannot be.
"""

import datetime as dt
import re
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from geolayout.errors import FileError
from geolayout.land.files.source import Source
from geolayout.land.files.table import Line, Table, read_table
from geolayout.land.weather.daily import DailyWeather

__all__ = ["read_weather", "weather_table"]

Floats = NDArray[np.float64]

COLDEST, HOTTEST = -70.0, 60.0
"""Air at a station lies between these (from memory: records are -89 and 57). [°C]"""

COOL_SUMMER = 50.0
"""A whole year whose warmest day stays below this is hardly Fahrenheit. Our own choice. [°F]"""

YEAR_OF_DAYS = 300
"""Days from which on a record is held against ``COOL_SUMMER``. Our own choice."""

_NOT_MEASURED = frozenset(("", "na", "n/a", "nan", "null", "none", "m", "-", "-999", "-9999"))

_DAY = frozenset(("date", "day", "datum", "fecha", "data"))
_LOW = frozenset(("tmin", "tn", "min", "minimum", "low", "mintemp", "tempmin"))
_HIGH = frozenset(("tmax", "tx", "max", "maximum", "high", "maxtemp", "tempmax"))
_CELSIUS = frozenset(("c", "°c", "degc", "celsius"))
_FAHRENHEIT = frozenset(("f", "°f", "degf", "fahrenheit"))


def read_weather(path: Path, *, unit: str | None = None) -> DailyWeather:
    """
    Read the daily weather of a file; see `weather_table`.

    Raises
    ------
    FileError
        If the file cannot be read, or does not hold what it says.
    """
    return weather_table(Source(path).content(), path.name, unit=unit)


def weather_table(content: bytes, name: str, *, unit: str | None = None) -> DailyWeather:
    """
    Read daily weather out of a text table.

    Parameters
    ----------
    content : bytes
        Columns for the day (2028-05-24), its least and its greatest temperature, found by their
        names, such as ``date,tmin_c,tmax_c``; others are passed over.
    name : str
        What messages call the file.
    unit : {"C", "F"}, optional
        Unit of the temperatures, where their columns do not say it.

    Returns
    -------
    weather : DailyWeather

    Raises
    ------
    FileError
        If columns, unit, days or figures cannot be what they say.
    """
    table = read_table(content, name, lambda columns: bool(_columns(columns)))
    places = _columns(table.columns)
    fahrenheit = _unit(table.columns, places, unit, name) == "F"
    rows = sorted(_rows(table, places, name))
    if not rows:
        raise FileError(
            f"{name} has no day with both temperatures.",
            "Nothing can be counted from it.",
            "Name the file of daily least and greatest temperatures.",
        )
    _check_once([day for day, _, _ in rows], name)
    said = np.array([row[1:] for row in rows], dtype=np.float64)
    _check_unit(said, fahrenheit, name)
    degrees = (said - 32.0) / 1.8 if fahrenheit else said
    days = np.array([row[0] for row in rows], dtype="datetime64[D]")
    return DailyWeather(name, days, degrees[:, 0], degrees[:, 1])


def _words(column: str) -> frozenset[str]:
    """Return the words of a column's name; units in brackets among them."""
    return frozenset(re.findall(r"°?[^\W\d_]+", column.casefold()))


def _columns(columns: Sequence[str]) -> tuple[int, ...]:
    """Return which columns are the day, the least and the greatest; none where one is missing."""
    found = [
        next((i for i, column in enumerate(columns) if _words(column) & known), None)
        for known in (_DAY, _LOW, _HIGH)
    ]
    places = tuple(i for i in found if i is not None)
    return places if len(set(places)) == len(found) else ()


def _unit(columns: Sequence[str], places: tuple[int, ...], said: str | None, name: str) -> str:
    """Return the unit of the temperatures, from their columns or as said."""
    named = set()
    for place in places[1:]:
        words = _words(columns[place])
        named |= {"C"} if words & _CELSIUS else set()
        named |= {"F"} if words & _FAHRENHEIT else set()
    stated = named | ({said} if said is not None else set())
    if len(stated) == 1:
        return stated.pop()
    if not stated:
        raise FileError(
            f"{name} does not say whether it is in Celsius or Fahrenheit.",
            "A day of 50 is a cool one or a deadly one.",
            'Write weather_unit = "C" or "F" in [field], or name the columns tmin_c and tmax_c.',
        )
    raise FileError(
        f"{name} is said to be in both Celsius and Fahrenheit.",
        "Both cannot be.",
        "Look at the heads of its columns and at weather_unit in [field].",
    )


def _rows(table: Table, places: tuple[int, ...], name: str) -> list[tuple[dt.date, float, float]]:
    """Return days with both temperatures, as they stand in the table."""
    rows = []
    for line in table.lines:
        day, low, high = (line.cells[place] for place in places)
        if {low.casefold(), high.casefold()} & _NOT_MEASURED:
            continue
        row = (_day(day, line, name), _number(low, line, name), _number(high, line, name))
        if row[1] > row[2]:
            raise FileError(
                f"Line {line.number} of {name}: the least of the day, {low}, is over its "
                f"greatest, {high}.",
                "Two columns may have changed places.",
                "Look at their heads, and mend or empty that line.",
            )
        rows.append(row)
    return rows


def _day(text: str, line: Line, name: str) -> dt.date:
    """Return a day written year first; a time after it is passed over."""
    try:
        return dt.date.fromisoformat(re.split(r"[T ]", text)[0])
    except ValueError:
        raise FileError(
            f"Line {line.number} of {name} has the day {text!r}.",
            "With the day or the month first nobody can tell 3 April from 4 March.",
            "Write days with the year first, such as 2028-05-24.",
        ) from None


def _number(text: str, line: Line, name: str) -> float:
    """Return a temperature; a decimal comma is one."""
    try:
        figure = float(text.replace(",", "."))
    except ValueError:
        figure = float("nan")
    if not np.isfinite(figure):
        raise FileError(
            f"Line {line.number} of {name} has the temperature {text!r}.",
            "That is no number.",
            "Leave the cell empty where nothing was measured.",
        )
    return figure


def _check_once(days: Sequence[dt.date], name: str) -> None:
    """Each day comes once; days are in order here."""
    for before, day in pairwise(days):
        if before == day:
            raise FileError(
                f"{name} has {day} twice.",
                "Its warmth would count twice; two stations may be in one file.",
                "Keep one line for each day.",
            )


def _check_unit(said: Floats, fahrenheit: bool, name: str) -> None:
    """Figures that the unit cannot be are refused."""
    degrees = (said - 32.0) / 1.8 if fahrenheit else said
    low, high = float(degrees.min()), float(degrees.max())
    if (
        low >= COLDEST
        and high <= HOTTEST
        and not (fahrenheit and len(said) >= YEAR_OF_DAYS and float(said.max()) < COOL_SUMMER)
    ):
        return
    unit, other = ("F", "Celsius") if fahrenheit else ("C", "Fahrenheit")
    raise FileError(
        f"{name} goes from {float(said.min()):g} to {float(said.max()):g} °{unit}.",
        f"Air at a station is not like that; it may be in {other}, or in tenths.",
        "Mend weather_unit in [field], or the figures.",
    )
