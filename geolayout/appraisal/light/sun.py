"""Where the sun stands, hour by hour, and how much of the season's light comes from there."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.errors import PlanError

__all__ = ["Suns", "season_suns", "sun_angles"]

DAYS_OF_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
HALF_HOURS = np.arange(24) + 0.5
EXTRATERRESTRIAL = 1361.0
"""Light above the air, square to the sun; Kopp and Lean 2011, from memory. [W/m2]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Suns:
    """
    Places of the sun over a season, each with its share of the light on open level ground.

    Attributes
    ----------
    up : ndarray, shape (n, 3)
        Unit vectors towards the sun: east, north, up.
    weight : ndarray, shape (n,)
        Share of the season's direct light that falls on open level ground from there; they add
        up to 1. [-]
    month : ndarray of int, shape (n,)
        Month of each, 1 to 12.
    """

    up: Floats
    weight: Floats
    month: NDArray[np.int64]

    def __len__(self) -> int:
        """Return the number of places."""
        return len(self.weight)


def sun_angles(unix: Floats, lat: float, lon: float) -> tuple[Floats, Floats]:
    """
    Return elevation, without refraction, and azimuth of the sun's middle.

    Parameters
    ----------
    unix : ndarray, shape (n,)
        Instants, seconds since 1970 UTC.
    lat, lon : float
        Place. [degrees]

    Returns
    -------
    elevation, azimuth : ndarray, shape (n,)
        Azimuth clockwise from north. [degrees]

    Raises
    ------
    PlanError
        If the library for it is not installed.

    Notes
    -----
    Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, as pvlib has it.
    """
    try:
        from pvlib import spa  # noqa: PLC0415  (1 s at start-up, and an extra)
    except ImportError as error:
        raise PlanError(
            "Light is asked for, and the library pvlib is not installed.",
            "It says where the sun stands.",
            'Install it: pip install "geolayout[light]".',
        ) from error
    found = spa.solar_position_numpy(
        unix, lat, lon, 0.0, 1013.25, 12.0, spa.calculate_deltat(2027, 6), 0.5667, numthreads=1
    )
    _, _, _, elevation, azimuth, _ = found
    return np.asarray(elevation, dtype=np.float64), np.asarray(azimuth, dtype=np.float64)


def season_suns(lat: float, lon: float, months: tuple[int, int], step: int = 1) -> Suns:
    """
    Return the places of the sun over some months, each hour at half past in local solar time.

    Parameters
    ----------
    lat, lon : float
        Place. [degrees]
    months : (int, int)
        First and last month, 1 to 12; they may run over the turn of the year.
    step : int
        Days from one looked at to the next.

    Returns
    -------
    suns : Suns
        Those above the horizon.

    Notes
    -----
    Light square to the sun is ``1361 * 0.7 ** (m ** 0.678)`` W/m2 under a clear sky, with the air
    mass m after Kasten and Young 1989 (both from memory); clouds change how much direct light
    there is, and are in the plan's share of it, but hardly from where it comes.
    """
    days, month = _days(months, step)
    unix = (days[:, None] * 24.0 + HALF_HOURS - lon / 15.0).ravel() * 3600.0
    elevation, azimuth = sun_angles(unix, lat, lon)
    risen = elevation > 0.0
    high, round_ = np.radians(elevation[risen]), np.radians(azimuth[risen])
    up = np.stack([np.cos(high) * np.sin(round_), np.cos(high) * np.cos(round_), np.sin(high)], 1)
    weight = _clear(elevation[risen]) * np.sin(high)
    total = weight.sum()
    return Suns(up, weight / total if total > 0 else weight, np.repeat(month, 24)[risen])


def _days(months: tuple[int, int], step: int) -> tuple[Floats, NDArray[np.int64]]:
    """Return days since 1970 of a year that is no leap year, and their months."""
    first, last = months
    count = (last - first) % 12 + 1
    wanted = [(first - 1 + i) % 12 for i in range(count)]
    start = np.concatenate([[0], np.cumsum(DAYS_OF_MONTH)])
    base = (np.datetime64("2027-01-01") - np.datetime64("1970-01-01")).astype(int)
    days = np.concatenate([base + start[m] + np.arange(DAYS_OF_MONTH[m]) for m in wanted])
    month = np.concatenate([np.full(DAYS_OF_MONTH[m], m + 1) for m in wanted])
    return days[::step].astype(np.float64), month[::step].astype(np.int64)


def _clear(elevation: Floats) -> Floats:
    """Return clear-sky light square to the sun. [W/m2]"""
    mass = 1.0 / (np.sin(np.radians(elevation)) + 0.50572 * (elevation + 6.07995) ** -1.6364)
    return np.asarray(EXTRATERRESTRIAL * 0.7 ** (mass**0.678))
