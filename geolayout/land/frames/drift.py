"""How far the same numbers lie apart in two reference frames, and how to carry them over."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Geod, Transformer
from pyproj.exceptions import ProjError

from geolayout.errors import PlanError
from geolayout.land.frames.references import FRAMES, Reference

__all__ = ["Drift", "carried", "drift"]

WORST_ACCURACY = 0.5
"""A way between two frames that is known no better says nothing about rows. Our own choice. [m]"""

PLATES = ("ETRF2000", "NAD83(2011)", "NAD83(CSRS)", "GDA2020")
"""Frames by which a plate's wandering is followed, each within its area of use; first come."""

SETTLED = 2025.0
"""
When two frames that are fixed to plates are compared: their ways lead over frames that are not,
and what is left moves by millimetres a year. Our own choice. [year]
"""

_GEOD = Geod(ellps="GRS80")


@dataclass(frozen=True, slots=True)
class Drift:
    """
    How far coordinates move when they are carried from one reference to another.

    Attributes
    ----------
    distance : float
        [m]
    azimuth : float
        Which way, clockwise from true north, 0 to 360. [degrees]
    """

    distance: float
    azimuth: float


def drift(place: tuple[float, float], of: Reference, to: Reference) -> Drift | None:
    """
    Measure how far coordinates at a place move from one reference to another.

    A line whose numbers are read in the wrong frame lies off by as much, the other way.

    Parameters
    ----------
    place : (float, float)
        Longitude, latitude. [degrees]
    of, to : Reference
        What the numbers are fixed to, and what they are carried to.

    Returns
    -------
    drift : Drift or None
        None where no way between the two is known here.
    """
    try:
        (lon, lat) = carried(np.array([place], dtype=float), of, to)[0]
    except PlanError:
        return None
    azimuth, _, distance = _GEOD.inv(*place, lon, lat)
    return Drift(float(distance), float(azimuth) % 360.0)


def carried(lonlat: NDArray[np.float64], of: Reference, to: Reference) -> NDArray[np.float64]:
    """
    Carry coordinates of places that stay where they are on the ground to another reference.

    Parameters
    ----------
    lonlat : ndarray, shape (n, 2)
        Longitude, latitude of neighbouring places. [degrees]
    of, to : Reference
        What the numbers are fixed to, and what they are carried to.

    Returns
    -------
    lonlat : ndarray, shape (n, 2)
        Longitude, latitude. [degrees]

    Raises
    ------
    PlanError
        If no way between the two is known here to ``WORST_ACCURACY``.

    Notes
    -----
    Two epochs of frames that do not move with the plate are joined through a frame that does:
    at the one epoch into it, at the other out of it.
    """
    if of == to:
        return lonlat
    if of.epoch is None or to.epoch is None or of.epoch == to.epoch:
        return _step(lonlat, of.frame, to.frame, of.epoch or to.epoch or SETTLED)
    plate = _plate(lonlat[0])
    if plate is None:
        raise _no_way(of.words, to.words)
    return _step(_step(lonlat, of.frame, plate, of.epoch), plate, to.frame, to.epoch)


def _step(lonlat: NDArray[np.float64], of: str, to: str, epoch: float) -> NDArray[np.float64]:
    """Carry coordinates from frame to frame at one epoch."""
    when = np.full(len(lonlat), epoch)
    transformer = _transformer(of, to)
    level = np.zeros(len(lonlat))
    lon, lat, _, _ = transformer.transform(lonlat[:, 0], lonlat[:, 1], level, when)
    moved = np.column_stack((lon, lat))
    if not np.isfinite(moved).all():
        raise _no_way(of, to)
    return moved


@lru_cache(maxsize=64)
def _transformer(of: str, to: str) -> Transformer:
    """Return the step between two frames; one that leaves the numbers as they are is none."""
    try:
        return Transformer.from_crs(
            CRS.from_epsg(FRAMES[of].epsg),
            CRS.from_epsg(FRAMES[to].epsg),
            always_xy=True,
            allow_ballpark=False,
            accuracy=WORST_ACCURACY,
        )
    except ProjError:
        raise _no_way(of, to) from None


def _plate(place: NDArray[np.float64]) -> str | None:
    """Return the frame that moves with the plate a place is on, where one is known."""
    lon, lat = place.tolist()
    for name in PLATES:
        area = CRS.from_epsg(FRAMES[name].epsg).area_of_use
        if area is None or not area.south <= lat <= area.north:
            continue
        inside = area.west <= lon <= area.east
        if area.west > area.east:  # over the date line
            inside = lon >= area.west or lon <= area.east
        if inside:
            return name
    return None


def _no_way(of: str, to: str) -> PlanError:
    """Return the error of two frames with nothing between them."""
    return PlanError(
        f"The line is in {of} and the correction service works in {to}.",
        f"No way between the two is known here to {WORST_ACCURACY:g} m.",
        "Have the line carried over by whoever runs the service, or drive it anew.",
    )
