"""
Cutting land by guide lines into pieces, each labelled by the interval of t it lies in.

Two ways lead to the same pieces. The generic way works for every family of guides: node the
lines with the land's edges, make polygons of the net, and label each by the t of a point inside
it. The fast way works for straight guides: turn the land, so that each band is an upright
rectangle, and clip. The generic way is the judge of the fast one.
"""

import itertools
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides.guide import Across, Guides, Straight
from geolayout.layout.guides.rings import Rings
from geolayout.layout.shapes.overlay import common, without

__all__ = ["Pieces", "clipped", "cut_generic", "cut_land", "cut_straight"]

CRUMB = 1e-12
"""Share of the land below which a piece is rounding and no piece. [-]"""

CRUMB_AREA = 1e-7
"""Area below which a piece is rounding however small the land is: a tenth of a mm2. [m2]"""


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
    if isinstance(guides, Rings):
        return _cut_rings(land, guides, edges)
    return cut_generic(land, guides, edges)


def _cut_rings(land: BaseGeometry, guides: Rings, edges: NDArray[np.float64]) -> Pieces:
    """Cut land at rings: what lies within one and not within the next."""
    within = [land]
    for t in edges.tolist():
        within.append(common(within[-1], guides.level(t).ground))
    rings = [without(a, b) for a, b in itertools.pairwise(within)]
    clipped = np.array([*rings, within[-1]], dtype=object)
    parts, label = _parts_of(clipped)
    keep = shapely.area(parts) > _crumb(land)
    return Pieces(np.asarray(shapely.orient_polygons(parts[keep]), dtype=object), label[keep])


def cut_generic(land: BaseGeometry, guides: Across, edges: NDArray[np.float64]) -> Pieces:
    """Cut land at the lines of any guide: node, polygonize, label by an inner point."""
    if land.is_empty:
        return _no_pieces()
    lines = guides.lines(np.asarray(edges), land)
    net = shapely.union_all([*lines, shapely.boundary(land)])
    faces = shapely.get_parts(shapely.polygonize([net]))
    inner = shapely.point_on_surface(faces)
    shapely.prepare(land)
    mine = shapely.contains(land, inner) & (shapely.area(faces) > _crumb(land))
    t = guides.across(shapely.get_coordinates(inner[mine]))
    return Pieces(
        np.asarray(shapely.orient_polygons(faces[mine]), dtype=object),
        np.searchsorted(edges, t).astype(np.int64),
    )


def cut_straight(land: BaseGeometry, guides: Straight, edges: NDArray[np.float64]) -> Pieces:
    """Cut land at straight lines: turn it and clip it by a rectangle per interval."""
    if land.is_empty:
        return _no_pieces()
    turned = guides.turn(land)
    low_t, low_s, high_t, high_s = shapely.bounds(turned) + np.array([-1.0, -1.0, 1.0, 1.0])
    limits = np.concatenate([[low_t], np.clip(edges, low_t, high_t), [high_t]]).tolist()
    boxes = [(a, low_s, b, high_s) for a, b in itertools.pairwise(limits)]
    boxed = np.array([clipped(turned, *box) for box in boxes], dtype=object)
    parts, label = _parts_of(boxed)
    keep = shapely.area(parts) > _crumb(land)
    back = shapely.orient_polygons(guides.turn_back(parts[keep]))
    if not (shapely.is_valid(boxed).all() and shapely.is_valid(back).all()):
        return cut_generic(land, guides, edges)  # rare: a hair folds over when it is turned
    return Pieces(np.asarray(back, dtype=object), label[keep])


def clipped(land: BaseGeometry, t0: float, s0: float, t1: float, s1: float) -> BaseGeometry:
    """
    Return the part of land in a box; none where the box lies beside all land.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        Valid land. [m]
    t0, s0, t1, s1 : float
        The least and the greatest coordinates of the box. [m]
    """
    if t0 >= t1:
        return shapely.Polygon()
    try:
        return shapely.clip_by_rect(land, t0, s0, t1, s1)
    except shapely.errors.GEOSException:  # a corner that touches the box by its last digit alone
        return shapely.intersection(land, shapely.box(t0, s0, t1, s1))


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


def _crumb(land: BaseGeometry) -> float:
    """Return the area below which a piece of land is rounding. [m2]"""
    return float(max(CRUMB * land.area, CRUMB_AREA))


def _no_pieces() -> Pieces:
    """Return what empty land is cut into."""
    return Pieces(np.empty(0, dtype=object), np.empty(0, dtype=np.int64))
