"""The guides that are worth laying out on a block: bearings, bent edges, the contour."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.direction.candidates import distinct, nearby
from geolayout.appraisal.direction.look import Look
from geolayout.appraisal.direction.rings import Rings
from geolayout.appraisal.direction.site import Site
from geolayout.errors import GeolayoutError
from geolayout.land.field import Field
from geolayout.layout.headlands.edges import THINNING, turns_at
from geolayout.layout.headlands.sides import edge_line
from geolayout.plan.guide import Guide
from geolayout.plan.value import COMPASS_DEGREES

__all__ = ["Try", "bent_tries", "straight_tries"]

LAID = 8
"""Distinct bearings that are laid out. Our own choice. [-]"""

BESIDE = 6
"""The best of them whose neighbours are laid out too. Our own choice. [-]"""

BENT = 2.0
"""An edge that leaves its chord by more is bent, and rows may follow it. Our own choice. [m]"""

CORNER = 45.0
"""An edge that turns by more at once goes round a corner of the field. Our own choice. [degrees]"""

SMOOTH = 4.0
"""How far smoothing may move an edge where the plan does not say. Our own choice. [m]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Try:
    """
    A guide to be tried.

    Attributes
    ----------
    guide : Guide
        Not yet resolved.
    words : str
        What it is called where it cannot be laid.
    side : str
        Side whose bent edge it follows; "" for others.
    """

    guide: Guide
    words: str
    side: str = ""


def straight_tries(site: Site, look: Look, field: Field, given: Guide) -> Iterator[Try]:
    """
    Yield the distinct bearings that the sweep found best, and some beside the very best.

    Parameters
    ----------
    site : Site
        The block as the sweep sees it.
    look : Look
        What the sweep found.
    field : Field
        The field, whose frame turns bearings to true north.
    given : Guide
        The wish: side, start and number are kept.

    Yields
    ------
    one : Try
    """
    rings = site.rings
    places = distinct(look, rings, LAID)
    beside = [j for i in places[:BESIDE] for j in nearby(look, rings, i)]
    for i in dict.fromkeys([*places, *beside]):
        bearing = float(look.bearings[i])
        true = field.frame.true_bearing(_first_corner(rings, bearing), bearing) % 360.0
        keys: dict[str, object] = {"kind": "straight", "bearing": true}
        if given.from_ is not None:
            keys["from"] = given.from_
        if given.start:
            keys["start"] = given.start
        if given.number_at_anchor is not None:
            keys["number_at_anchor"] = given.number_at_anchor
        yield Try(Guide.model_validate(keys), f"Straight rows at {bearing % 180.0:.1f} degrees")


def bent_tries(land: BaseGeometry, field: Field, own: Guide | None) -> list[Try]:
    """
    Return the bent edges of the land, and the contour where heights are known.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The block's land. [m]
    field : Field
        The field, with its heights.
    own : Guide or None
        The plan's own, for how far it lets a line be smoothed.
    """
    return [*_along(land, own), *_contour(field, own)]


def _first_corner(rings: Rings, bearing: float) -> tuple[float, float]:
    """Return the corner at which bands begin, where the bearing is to hold. [m]"""
    angle = np.radians(bearing)
    near = int(np.argmin(rings.xy @ np.array([np.cos(angle), -np.sin(angle)])))
    x, y = rings.xy[near].tolist()
    return x, y


def _along(land: BaseGeometry, own: Guide | None) -> Iterator[Try]:
    """Yield each bent edge of the land as a line to lie along."""
    smooth = own.smooth if own is not None and own.kind == "along" else SMOOTH
    met: list[Floats] = []
    for side in COMPASS_DEGREES:
        try:
            xy = edge_line(land, side)
        except GeolayoutError:
            continue
        known = any(np.array_equal(xy, other) for other in met)
        met.append(xy)
        if not known and _bends(xy):
            keys = {"kind": "along", "near_edge": side, "smooth": smooth}
            yield Try(Guide.model_validate(keys), f"Rows along the bent {side} edge", side)


def _bends(xy: Floats) -> bool:
    """Whether an edge is bent, and goes round no corner of the field."""
    corners = shapely.get_coordinates(shapely.simplify(shapely.LineString(xy), THINNING))
    steps = np.diff(corners, axis=0)
    sharp = np.abs(turns_at(steps[:-1], steps[1:])) > CORNER
    chord = shapely.LineString(xy[[0, -1]])
    off = shapely.distance(shapely.points(xy), chord)
    return not sharp.any() and float(off.max()) > BENT


def _contour(field: Field, own: Guide | None) -> Iterator[Try]:
    """Yield the contour, where heights are known."""
    if field.terrain is not None:
        given = own if own is not None and own.kind == "contour" else None
        yield Try(given or Guide.model_validate({"kind": "contour"}), "Rows on the contour")
