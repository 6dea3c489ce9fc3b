"""
Cutting land by guide lines into pieces, each labelled by the interval of t it lies in.

Two ways lead to the same pieces. The generic way works for every family of guides: node the
lines with the land's edges, make polygons of the net, and label each by the t of a point inside
it. The fast way works for straight guides: turn the land, so that each band is an upright
rectangle, and clip. The generic way is the judge of the fast one.
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides import Guides, Straight
from geolayout.layout.scan import scan

__all__ = ["Pieces", "cut_at_necks", "cut_generic", "cut_land", "cut_straight", "polygon_parts"]

CRUMB = 1e-12
"""Share of the land below which a piece is rounding and no piece. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """
    Land cut by guide lines.

    Attributes
    ----------
    geometry : ndarray of Polygon, shape (n,)
        The pieces; together they are the land.
    interval : ndarray of int, shape (n,)
        Interval of t that each lies in: 0 below the first edge, then 1, 2 ...
    """

    geometry: NDArray[np.object_]
    interval: NDArray[np.int64]


def polygon_parts(geometry: BaseGeometry | NDArray[np.object_]) -> NDArray[np.object_]:
    """Return the polygons of a geometry or array, singly and without lines or points."""
    parts = shapely.get_parts(shapely.get_parts(np.atleast_1d(geometry)))
    keep = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(parts)
    return np.asarray(parts[keep], dtype=object)


def cut_land(land: BaseGeometry, guides: Guides, edges: NDArray[np.float64]) -> Pieces:
    """
    Cut land at guide lines, the fast way where there is one.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        Valid land. [m]
    guides : Guides
        The family of lines.
    edges : ndarray, shape (k,)
        The t of each cut, increasing. [m]

    Returns
    -------
    pieces : Pieces
    """
    if isinstance(guides, Straight):
        return cut_straight(land, guides, edges)
    return cut_generic(land, guides, edges)


def cut_generic(land: BaseGeometry, guides: Guides, edges: NDArray[np.float64]) -> Pieces:
    """Cut land at the lines of any guide: node, polygonize, label by an inner point."""
    if land.is_empty:
        return _gather([], [])
    lines = guides.lines(np.asarray(edges), land)
    net = shapely.union_all([*lines, shapely.boundary(land)])
    faces = shapely.get_parts(shapely.polygonize([net]))
    inner = shapely.point_on_surface(faces)
    shapely.prepare(land)
    mine = shapely.contains(land, inner) & (shapely.area(faces) > CRUMB * land.area)
    t = guides.across(shapely.get_coordinates(inner[mine]))
    return Pieces(
        np.asarray(shapely.orient_polygons(faces[mine]), dtype=object),
        np.searchsorted(edges, t).astype(np.int64),
    )


def cut_straight(land: BaseGeometry, guides: Straight, edges: NDArray[np.float64]) -> Pieces:
    """Cut land at straight lines: turn it and clip it by a rectangle per interval."""
    if land.is_empty:
        return _gather([], [])
    turned = guides.turn(land)
    low_t, low_s, high_t, high_s = shapely.bounds(turned) + np.array([-1.0, -1.0, 1.0, 1.0])
    limits = np.concatenate([[low_t], np.clip(edges, low_t, high_t), [high_t]]).tolist()
    boxes = [(a, low_s, b, high_s) for a, b in itertools.pairwise(limits)]
    clipped = np.array([shapely.clip_by_rect(turned, *box) for box in boxes], dtype=object)
    if not shapely.is_valid(clipped).all():  # 5 in 19,199 bands of real fields
        return cut_generic(land, guides, edges)
    parts, label = _parts_of(clipped)
    keep = shapely.area(parts) > CRUMB * land.area
    back = shapely.orient_polygons(guides.turn_back(parts[keep]))
    return Pieces(np.asarray(back, dtype=object), label[keep])


def _parts_of(
    clipped: NDArray[np.object_],
) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Return the polygons of clipped land, and the place of each one's rectangle."""
    parts, label = shapely.get_parts(clipped, return_index=True)
    if (shapely.get_type_id(parts) > shapely.GeometryType.POLYGON).any():
        parts, inner = shapely.get_parts(parts, return_index=True)
        label = label[inner]
    area = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(parts)
    return np.asarray(parts[area], dtype=object), label[area].astype(np.int64)


def _gather(found: list[NDArray[np.object_]], labels: list[NDArray[np.int64]]) -> Pieces:
    """Join the pieces of all intervals."""
    return Pieces(
        np.concatenate([np.empty(0, dtype=object), *found]),
        np.concatenate([np.empty(0, dtype=np.int64), *labels]).astype(np.int64),
    )


def cut_at_necks(
    pieces: Pieces, guides: Guides, width_of: Callable[[int], float]
) -> tuple[Pieces, int]:
    """
    Part pieces that hang together by a neck no machine passes.

    A neck is a place where no chord square to the guide is as wide as the machine, between two
    places where one is. Each is cut by one line square to the guide where it is narrowest, so no
    ground is lost.

    Parameters
    ----------
    pieces : Pieces
        Pieces of land.
    guides : Guides
        Their guides; necks are looked for along straight guides.
    width_of : callable
        Narrowest machine that works an interval. [m]

    Returns
    -------
    pieces : Pieces
        The same ground, in the same order, in as many or more pieces.
    necks : int
        Number of necks that were cut.
    """
    if not isinstance(guides, Straight):
        return pieces, 0
    found, labels, necks = [], [], 0
    bent = ~_is_convex(pieces.geometry)
    for i, piece in enumerate(pieces.geometry):
        label = int(pieces.interval[i])
        parts = np.array([piece], dtype=object)
        if bent[i]:
            places = neck_places(guides.turn(piece), width_of(label))
            if len(places):
                necks += len(places)
                parts = cut_generic(piece, guides.square, places).geometry
        found.append(parts)
        labels.append(np.full(len(parts), label))
    return _gather(found, labels), necks


def _is_convex(polygons: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Tell which polygons bulge nowhere inwards, within rounding."""
    if not len(polygons):
        return np.empty(0, dtype=bool)
    hull = shapely.area(shapely.convex_hull(polygons))
    return np.asarray(hull - shapely.area(polygons) <= 1e-9 * hull, dtype=np.bool_)


def neck_places(turned: BaseGeometry, width: float) -> NDArray[np.float64]:
    """
    Return the s at which a turned polygon is cut at its necks, increasing.

    The widest chord is piecewise linear in s with its kinks at vertices, so it is enough to look
    just below and just above each of them.

    Parameters
    ----------
    turned : Polygon
        A polygon in the turned frame, x = t and y = s.
    width : float
        Narrowest chord a machine passes. [m]
    """
    kinks = np.unique(shapely.get_coordinates(turned)[:, 1])
    if len(kinks) < 3:
        return np.empty(0)
    step = np.minimum(1e-6, np.diff(kinks) / 4)
    s = np.stack([kinks[:-1] + step, kinks[1:] - step], axis=1).ravel()
    chords = _widest_chords(turned, s)
    passable = np.flatnonzero(chords >= width)
    if len(passable) < 2:
        return np.empty(0)
    places = []
    for a, b in itertools.pairwise(passable.tolist()):
        if b - a > 1:
            places.append(s[a + 1 + int(np.argmin(chords[a + 1 : b]))])
    return np.array(places)


def _widest_chords(turned: BaseGeometry, s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the widest single chord of a turned polygon at each s, shape (n,). [m]"""
    flipped = shapely.transform(turned, lambda xy: xy[:, ::-1])
    found = scan(flipped, s)
    widest = np.zeros(len(s))
    np.maximum.at(widest, found.line, found.s1 - found.s0)
    return widest
