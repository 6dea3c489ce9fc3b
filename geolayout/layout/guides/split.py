"""
Where lines along a bent reference cannot follow it: the land is split, and the wedge is named.

On the inside of a bend lines have its radius less their distance. Where that falls under what the
machines can turn, the land is split along the middle of the bend. On each side lines run on
straight to there, and the wedge on both sides of the split, where rows would meet at an angle, is
kept for turning.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
import shapely.ops
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides.bends import Bends
from geolayout.layout.shapes.overlay import common, joined

__all__ = ["Stretch", "Tight", "stretches_of", "tight_bends", "wedge_of"]

TOUCHED = 1.0
"""A split that meets less of the land than this has nothing to part. [m]"""

NEARLY = 0.98
"""Another part of the reference is nearer only if it is by more than this share. [-]"""

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Tight:
    """
    A bend too tight for lines on its inside.

    Attributes
    ----------
    bend : int
        Its index among the bends.
    radius : float
        Its own. [m]
    corner : tuple of float
        Where its two edges would meet. [m]
    inward : tuple of float
        Unit vector from there to the middle of the bend.
    """

    bend: int
    radius: float
    corner: tuple[float, float]
    inward: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """
    Land along one stretch of a reference.

    Attributes
    ----------
    xy : ndarray of float, shape (n, 2)
        The stretch, which goes on straight beyond both ends. [m]
    land : Polygon or MultiPolygon
        Its part of the land. [m]
    """

    xy: Points
    land: BaseGeometry


def tight_bends(bends: Bends, land: BaseGeometry, least: float) -> tuple[Tight, ...]:
    """
    Find the bends on whose inside lines would turn tighter than machines can.

    Parameters
    ----------
    bends : Bends
        The smoothed reference.
    land : Polygon or MultiPolygon
        The land that lines are laid on, on either side. [m]
    least : float
        Tightest radius that the machines turn at. [m]

    Returns
    -------
    tight : tuple of Tight
        In order along the reference.
    """
    found = []
    for i in range(len(bends.radius)):
        one = _bisector(bends, i)
        ray = _ray(one, land, both_ways=False)
        middle = one.radius / np.cos(np.radians(bends.turn[i] / 2))  # of the arc, from the corner
        start = float(np.maximum(middle - least, 0.0))
        met = shapely.intersection(land, shapely.ops.substring(ray, start, ray.length))
        if met.length > TOUCHED and _nearest_there(bends, one, met):
            found.append(one)
    return tuple(found)


def stretches_of(bends: Bends, tight: Sequence[Tight], land: BaseGeometry) -> tuple[Stretch, ...]:
    """
    Split land at tight bends.

    Parameters
    ----------
    bends : Bends
        The smoothed reference.
    tight : sequence of Tight
        The bends to split at.
    land : Polygon or MultiPolygon
        The land. [m]

    Returns
    -------
    stretches : tuple of Stretch
        In order along the reference; their lands are the land. A stretch that no land lies
        along is left out.
    """
    firsts = [0, *(int(bends.last[one.bend]) for one in tight)]
    lasts = [*(int(bends.first[one.bend]) for one in tight), len(bends.xy) - 1]
    chains = [bends.xy[a : b + 1] for a, b in zip(firsts, lasts, strict=True)]
    faces = _faces(land, tight)
    inner = shapely.point_on_surface(faces)
    off = np.array([shapely.distance(LineString(chain), inner) for chain in chains])
    owner = np.argmin(off, axis=0)
    return tuple(
        Stretch(chain, joined(list(faces[owner == k])))
        for k, chain in enumerate(chains)
        if (owner == k).any()
    )


def wedge_of(tight: Tight, land: BaseGeometry, width: float) -> BaseGeometry:
    """
    Return the ground on both sides of a split, on the inside of its bend.

    Parameters
    ----------
    tight : Tight
        The bend.
    land : Polygon or MultiPolygon
        The land. [m]
    width : float
        How far the wedge reaches from the split, square to it. [m]

    Returns
    -------
    wedge : Polygon or MultiPolygon
        Empty where the split misses the land.
    """
    ray = _ray(tight, land, both_ways=False)
    met = shapely.intersection(ray, land)
    if met.length <= TOUCHED:
        return Polygon()
    return common(land, shapely.buffer(met, width, cap_style="flat", join_style="mitre"))


def _bisector(bends: Bends, i: int) -> Tight:
    """Return a bend with its corner and the direction to its middle."""
    first, last = int(bends.first[i]), int(bends.last[i])
    before = bends.xy[first] - bends.xy[first - 1]
    after = bends.xy[last + 1] - bends.xy[last]
    before, after = before / np.hypot(*before), after / np.hypot(*after)
    inward = after - before
    inward = inward / np.hypot(*inward)
    ahead = bends.xy[last] - bends.xy[first]
    # Both edges reach the corner after the same way, along each its own direction.
    way = np.hypot(*ahead) / np.hypot(*(before + after))
    corner = bends.xy[first] + way * before
    return Tight(i, float(bends.radius[i]), tuple(corner.tolist()), tuple(inward.tolist()))


def _nearest_there(bends: Bends, one: Tight, met: BaseGeometry) -> bool:
    """Whether the land on the inside lies along this bend, and not along another part."""
    place = shapely.ops.nearest_points(met, shapely.Point(one.corner))[0]
    own = bends.xy[bends.first[one.bend] - 1 : bends.last[one.bend] + 2]
    here = shapely.distance(place, LineString(own))
    return bool(shapely.distance(place, LineString(bends.xy)) >= NEARLY * here)


def _ray(one: Tight, land: BaseGeometry, *, both_ways: bool) -> LineString:
    """Return the line along the middle of a bend, inward or both ways, beyond the land."""
    corner, inward = np.array(one.corner), np.array(one.inward)
    reach = float(shapely.distance(shapely.Point(corner), shapely.envelope(land)))
    reach += float(np.hypot(*np.ptp(np.reshape(shapely.bounds(land), (2, 2)), axis=0))) + 1.0
    return LineString([corner - both_ways * reach * inward, corner + reach * inward])


def _faces(land: BaseGeometry, tight: Sequence[Tight]) -> NDArray[np.object_]:
    """Return the land cut along the middle of every tight bend."""
    lines = [_ray(one, land, both_ways=True) for one in tight]
    net = shapely.union_all([*lines, shapely.boundary(land)])
    faces = shapely.get_parts(shapely.polygonize([net]))
    shapely.prepare(land)
    mine = shapely.contains(land, shapely.point_on_surface(faces))
    return np.asarray(faces[mine], dtype=object)
