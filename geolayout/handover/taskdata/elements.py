"""Elements of task data: one-letter attributes, short texts, ids that stay, places in degrees."""

from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element  # written, never parsed
from zlib import crc32

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.xmltext import xml_text
from geolayout.land.frames.frame import geodesic_area

__all__ = [
    "LONGEST_TEXT",
    "AreaKind",
    "Ids",
    "LineKind",
    "PlaceKind",
    "element",
    "line",
    "place",
    "polygons",
    "short",
]

LONGEST_TEXT = 32
"""Letters that a name may have in task data (schema V4-3). [-]"""

LARGEST_ID = 2**31 - 1
"""Largest number of an id that every reader can hold, by our own choice. [-]"""

DECIMALS = 9
"""Of a degree, the most that the schema allows."""


class AreaKind:
    """Types of areas, by the schema V4-3; version 3 knows the first eight."""

    BOUNDARY = 1
    ZONE = 2
    WATER = 3
    BUILDING = 4
    ROAD = 5
    OBSTACLE = 6
    OTHER = 8
    MAIN_FIELD = 9
    HEADLAND = 10
    BUFFER = 11


class LineKind:
    """Types of lines, by the schema V4-3; version 3 knows the first eight."""

    EXTERIOR = 1
    INTERIOR = 2
    GUIDANCE = 5
    DRAINAGE = 6
    FENCE = 7
    FLAG = 8
    OBSTACLE = 9


class PlaceKind:
    """Types of points, by the schema V4-3; version 3 knows the first two."""

    FLAG = 1
    OTHER = 2
    FIELD_ACCESS = 3
    STORAGE = 4
    OBSTACLE = 5
    GUIDE_A = 6
    GUIDE_B = 7
    GUIDE_POINT = 9


class Ids:
    """
    Ids made of names, so that what is called the same has the same id in the next export.

    A machine keeps what it did by these ids. Numbers counted from 1 would shift with every product
    or operation put in before.
    """

    def __init__(self) -> None:
        self._owner: dict[str, tuple[str, ...]] = {}

    def of(self, tag: str, *names: str) -> str:
        """
        Return the id of what is called so.

        Examples
        --------
        >>> ids = Ids()
        >>> ids.of("PDT", "maize") == ids.of("PDT", "maize") != ids.of("PDT", "beans")
        True
        """
        number = crc32("\n".join(names).encode()) % LARGEST_ID + 1
        while self._owner.setdefault(f"{tag}{number}", names) != names:
            number = number % LARGEST_ID + 1
        return f"{tag}{number}"


def short(text: str) -> str:
    """
    Return a text as task data may hold it.

    Examples
    --------
    >>> short("drill beans and oats on the north part of the field")
    'drill beans and oats on the nort'
    """
    return " ".join(xml_text(text).split())[:LONGEST_TEXT].strip()


def element(
    tag: str, attributes: Mapping[str, object], children: Sequence[Element] = ()
) -> Element:
    """Return an element; attributes of None are left out."""
    made = Element(
        tag, {name: str(value) for name, value in attributes.items() if value is not None}
    )
    made.extend(children)
    return made


def place(lonlat: Sequence[float] | NDArray[np.float64], kind: int, name: str = "") -> Element:
    """
    Return a point.

    Parameters
    ----------
    lonlat : (float, float)
        On WGS 84. [degrees]
    kind : int
        One of ``PlaceKind``.
    name : str
        What it is called.
    """
    lon, lat = (f"{value + 0.0:.{DECIMALS}f}" for value in np.round(lonlat, DECIMALS))
    return element("PNT", {"A": kind, "B": short(name) or None, "C": lat, "D": lon})


def line(
    lonlat: NDArray[np.float64],
    kind: int,
    name: str = "",
    *,
    width: float | None = None,
    kinds: Sequence[int] = (),
) -> Element:
    """
    Return a line.

    Parameters
    ----------
    lonlat : ndarray, shape (n, 2)
        On WGS 84. [degrees]
    kind : int
        One of ``LineKind``.
    name : str
        What it is called.
    width : float, optional
        Its width. [m]
    kinds : sequence of int
        Types of its points; 2, other, if nothing is said.
    """
    told = {"A": kind, "B": short(name) or None, "C": round(width * 1000) if width else None}
    kinds = kinds or [PlaceKind.OTHER] * len(lonlat)
    return element("LSG", told, [place(xy, of) for xy, of in zip(lonlat, kinds, strict=True)])


def polygons(
    area: BaseGeometry, kind: int, name: str = "", *, measured: bool = True
) -> list[Element]:
    """
    Return an area as one element for each of its parts, as version 4 wants it.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        On WGS 84. [degrees]
    kind : int
        One of ``AreaKind``.
    name : str
        What it is called.
    measured : bool, default True
        Whether its area is told.
    """
    return [
        element(
            "PLN",
            {
                "A": kind,
                "B": short(name) or None,
                "C": round(geodesic_area(part)) if measured else None,
            },
            [
                line(shapely.get_coordinates(ring), LineKind.INTERIOR if i else LineKind.EXTERIOR)
                for i, ring in enumerate((part.exterior, *part.interiors))
            ],
        )
        for part in shapely.get_parts(area)
        if not part.is_empty
    ]
