"""Places and numbers as sentences about a boundary say them."""

from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

__all__ = ["MOST_PLACES", "first_corners", "inner_points", "named", "place", "places"]

MOST_PLACES = 100
"""Places kept of one finding; a map with more marks shows nothing. [-]"""

MOST_NAMES = 5
"""Names written out before the rest is counted. [-]"""


def place(lon: float, lat: float) -> str:
    """
    Write a place, longitude first, to about 1 cm.

    Examples
    --------
    >>> place(10.0, 52.5)
    '10.0000000, 52.5000000'
    """
    return f"{lon:.7f}, {lat:.7f}"


def places(
    lonlat: NDArray[np.float64] | Iterable[NDArray[np.float64]],
) -> tuple[tuple[float, float], ...]:
    """Turn coordinates into the places of a finding; the first hundred of them. [degrees]"""
    return tuple((float(lon), float(lat)) for lon, lat in list(lonlat)[:MOST_PLACES])


def inner_points(shapes: Iterable[BaseGeometry]) -> tuple[tuple[float, float], ...]:
    """Give one place inside each shape, or on it. [degrees]"""
    points = shapely.point_on_surface(list(shapes))
    return places(shapely.get_coordinates(points))


def first_corners(shapes: Iterable[BaseGeometry]) -> tuple[tuple[float, float], ...]:
    """Give the first corner of each shape. [degrees]"""
    return places(shapely.get_coordinates(shape)[0] for shape in shapes)


def named(names: Iterable[str]) -> str:
    """
    Write names in a row, and count those past the fifth.

    Examples
    --------
    >>> named(["Pond", "Wood"])
    'Pond and Wood'
    >>> named("abcdefgh")
    'a, b, c, d, e and 3 more'
    """
    known = list(names)
    shown, more = known[:MOST_NAMES], len(known) - MOST_NAMES
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return " and ".join(filter(None, (", ".join(shown[:-1]), *shown[-1:])))
