"""Places and widths in words: where in the field something is, and which strips are meant."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.growing import band_label
from geolayout.land.field import Field
from geolayout.layout.build import Layout
from geolayout.plan.machines import Operation
from geolayout.plan.section.passes import worked_cuts

__all__ = ["Strips", "listed", "place_of", "place_words", "strips_of", "strips_words"]

COMPASS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)
MIDDLE = 10.0
"""Nearer to the middle of the field than this is "the middle". Our own choice. [m]"""

MOST_NAMES = 4
"""More names than this are counted and not listed."""


@dataclass(frozen=True, slots=True)
class Strips:
    """
    Bands of one width that one operation works.

    Attributes
    ----------
    width : float
        Their width. [m]
    bands : tuple of str
        What people call them, each name once.
    cuts : tuple of (int, int)
        Block and cut of each.
    at_edge : bool
        Whether they are not as written, because they were cut or widened at an edge.
    """

    width: float
    bands: tuple[str, ...]
    cuts: tuple[tuple[int, int], ...]
    at_edge: bool


def listed(names: Sequence[str]) -> str:
    """
    Return names as people list them, many shortened.

    Examples
    --------
    >>> listed(["A", "B", "C"])
    'A, B and C'
    >>> listed(["A", "B", "C", "D", "E", "F"])
    'A, B, C and 3 more'
    """
    names = list(dict.fromkeys(names))
    if len(names) > MOST_NAMES:
        names = [*names[: MOST_NAMES - 1], f"{len(names) - MOST_NAMES + 1} more"]
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def place_of(geometry: BaseGeometry, land: BaseGeometry) -> tuple[float, float]:
    """
    Return one point of a geometry, inside the land where it lies there, else the nearest to it.

    Of a line it is the middle of the longest part; of anything else a point well inside.
    """
    inside = shapely.intersection(geometry, land)
    if inside.is_empty:
        point = shapely.get_point(shapely.shortest_line(geometry, land), 0)
    elif shapely.get_dimensions(inside) == 1:
        parts = shapely.get_parts(shapely.line_merge(inside))
        longest = parts[int(np.argmax(shapely.length(parts)))]
        point = shapely.line_interpolate_point(longest, 0.5, normalized=True)
    else:
        point = shapely.point_on_surface(inside)
    return float(shapely.get_x(point)), float(shapely.get_y(point))


def place_words(field: Field, place: tuple[float, float]) -> str:
    """
    Say where in the field a place is: by compass and metres from its middle, and in degrees.

    Parameters
    ----------
    field : Field
        The field.
    place : tuple of float
        East and north in its frame. [m]

    Returns
    -------
    words : str
    """
    middle = shapely.get_coordinates(shapely.centroid(field.land))[0]
    east, north = np.asarray(place) - middle
    distance = float(np.hypot(east, north))
    lon, lat = field.frame.lonlat(np.array([place]))[0].tolist()
    degrees = f"lon {lon:.6f}, lat {lat:.6f}"
    if distance < MIDDLE:
        return f"near the middle of the field ({degrees})"
    word = COMPASS[round(float(np.degrees(np.arctan2(east, north))) / 45.0) % 8]
    return f"{distance:.0f} m {word} of the middle of the field ({degrees})"


def strips_of(layout: Layout, operation: Operation) -> tuple[Strips, ...]:
    """
    Return the bands that an operation works, by width to the centimetre.

    Parameters
    ----------
    layout : Layout
        The layout.
    operation : Operation
        One of its plan.

    Returns
    -------
    strips : tuple of Strips
    """
    groups: dict[tuple[float, bool], list[tuple[int, int]]] = defaultdict(list)
    for b, block in enumerate(layout.blocks):
        for c in worked_cuts(layout.plan, operation, block.section, block.stands):
            cut = block.section.cuts[c]
            groups[round(cut.width, 2), bool(cut.note)].append((b, c))
    return tuple(
        Strips(width, _bands(layout, cuts), tuple(cuts), at_edge)
        for (width, at_edge), cuts in groups.items()
    )


def _bands(layout: Layout, cuts: Sequence[tuple[int, int]]) -> tuple[str, ...]:
    """Return what people call the bands of some cuts, each once."""
    names = (band_label(layout, b, layout.blocks[b].section.cuts[c].band) for b, c in cuts)
    return tuple(dict.fromkeys(names))


def strips_words(layout: Layout, strips: Strips) -> str:
    """Return which strips are meant, with their width, as the start of a sentence."""
    if len(strips.cuts) == 1:
        block, cut = strips.cuts[0]
        number = layout.blocks[block].section.cuts[cut].number
        return f"Strip {strips.bands[0]}, number {number}, is {strips.width:.2f} m wide"
    return f"{len(strips.cuts)} strips {listed(strips.bands)} are {strips.width:.2f} m wide"
