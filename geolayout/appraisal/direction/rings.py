"""The edges of land as arrays, each with the direction of its thinned edge, which wavers not."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.headlands.edges import canonical_ring, outer_parts, thinned_corners

__all__ = ["Rings", "rings_of"]

ON_EDGE = 1e-3
"""An edge nearer than this to the drivable land's edge is on it; overlays round by far less. [m]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Rings:
    """
    Land by its edges, holes included, the land on the left of each.

    Attributes
    ----------
    xy : ndarray, shape (v, 2)
        Corners, ring after ring, each ring closed. [m]
    first, last : ndarray of int, shape (n,)
        The corners of each edge.
    way : ndarray, shape (n, 2)
        Step of the thinned edge that each edge belongs to: what it is an end or a side by. [m]
    headed : ndarray of bool, shape (n,)
        Whether a headland is measured from it, if rows end there.
    area : float
        Of the land. [m2]
    """

    xy: Floats
    first: Whole
    last: Whole
    way: Floats
    headed: NDArray[np.bool_]
    area: float

    def __len__(self) -> int:
        """Return the number of edges."""
        return len(self.first)

    @property
    def lengths(self) -> Floats:
        """Length of each edge, shape (n,). [m]"""
        return np.asarray(np.hypot(*(self.xy[self.last] - self.xy[self.first]).T))

    def bearings(self, most: int) -> Floats:
        """
        Return bearings along edges: of the hull, of the thinned edges, and of those as drawn.

        Parameters
        ----------
        most : int
            Where there are more edges than this, only those of the hull and the longest.

        Returns
        -------
        bearings : ndarray
            Rising, at least 0 and under 180. [degrees]
        """
        hull = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(self.xy)))
        drawn = np.concatenate([self.way, self.xy[self.last] - self.xy[self.first]])
        longest = np.argsort(-np.hypot(*drawn.T), kind="stable")[:most]
        east, north = np.concatenate([np.diff(hull, axis=0), drawn[longest]]).T
        # Rounding may give 180 itself for an edge that runs a hair west of south.
        return np.unique(np.degrees(np.arctan2(east, north)) % 180.0 % 180.0)


def rings_of(land: BaseGeometry, drivable: BaseGeometry | None = None) -> Rings:
    """
    Take land apart into its edges.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land; not empty. [m]
    drivable : Polygon or MultiPolygon, optional
        The land whose outer edges a headland is measured from, where it is not this land's. [m]

    Returns
    -------
    rings : Rings

    Examples
    --------
    >>> rings = rings_of(shapely.box(0, 0, 200, 100))
    >>> len(rings), rings.bearings(100).tolist(), bool(rings.headed.all())
    (4, [0.0, 90.0], True)
    """
    parts = outer_parts(land)
    outer = [(canonical_ring(ring), True) for ring in shapely.get_exterior_ring(parts)]
    inner = [(canonical_ring(ring)[::-1], False) for part in parts for ring in part.interiors]
    xy, first, way, headed = [], [], [], []
    at = 0
    for ring, is_outer in outer + inner:
        count = len(ring) - 1
        xy.append(ring)
        first.append(np.arange(at, at + count))
        way.append(_thinned_steps(ring))
        headed.append(np.full(count, is_outer))
        at += len(ring)
    corners, starts, on = np.concatenate(xy), np.concatenate(first), np.concatenate(headed)
    if drivable is not None:
        on &= _on_edge((corners[starts] + corners[starts + 1]) / 2.0, drivable)
    return Rings(corners, starts, starts + 1, np.concatenate(way), on, float(land.area))


def _thinned_steps(ring: Floats) -> Floats:
    """Return for each edge of a closed ring the step of its thinned edge, shape (n, 2)."""
    kept = thinned_corners(ring)
    steps: Floats = np.repeat(np.diff(ring[kept], axis=0), np.diff(kept), axis=0)
    return steps


def _on_edge(middles: Floats, drivable: BaseGeometry) -> NDArray[np.bool_]:
    """Return which points lie on the outer edges of the drivable land."""
    outer = shapely.union_all(shapely.get_exterior_ring(outer_parts(drivable)))
    return np.asarray(shapely.dwithin(shapely.points(middles), outer, ON_EDGE))
