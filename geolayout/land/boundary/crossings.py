"""Where the rings of a boundary cross themselves, and what that means for its area."""

import re
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.tangle import AT_ONCE, edges_of
from geolayout.land.frames.frame import geodesic_area
from geolayout.land.places import place, places

__all__ = ["crossing", "fault", "said_place"]

SMALLEST_CHANGE = 1.0
"""Area gained or lost at crossings from which on it is asked which side is meant. [m2]"""


def crossing(drawn: Polygon, mended: Sequence[Polygon], large: int) -> Finding:
    """
    Say where a ring crosses itself, and what mending it did to the area.

    Parameters
    ----------
    drawn : Polygon
        Not valid. [degrees]
    mended : sequence of Polygon
        What was made of it. [degrees]
    large : int
        How many of its parts are no slips of the pen; of several it is asked which are meant.

    Returns
    -------
    finding : Finding
        With the places of the crossings and the area gained. [degrees, m2]
    """
    reason, where = fault(drawn)
    area = sum(geodesic_area(part) for part in mended)
    change = area * _share_gained(drawn, mended)
    made = "1 part" if len(mended) == 1 else f"{len(mended)} parts"
    sentence = (
        f"{reason} at {said_place(where)}; {made} of {area / 1e4:.4f} ha kept, {_gain(change)}"
        " what it encloses if each crossing of the line turns inside to outside."
    )
    is_open = large > 1 or abs(change) > SMALLEST_CHANGE
    question = "Which side of each crossing belongs to the field?" if is_open else ""
    return Finding("crossing", sentence, change, _crossings(drawn) or where, question)


def _crossings(drawn: Polygon) -> tuple[tuple[float, float], ...]:
    """Find the places where rings cross between their corners."""
    drawn_corners = {tuple(corner) for corner in shapely.get_coordinates(drawn).tolist()}
    noded = shapely.get_coordinates(shapely.union_all(shapely.get_rings(drawn))).tolist()
    met = dict.fromkeys(tuple(corner) for corner in noded)
    return places(np.array(corner) for corner in met if corner not in drawn_corners)


_FAULTS = {
    "Self-intersection": "The line crosses itself",
    "Ring Self-intersection": "The line touches itself",
    "Hole lies outside shell": "A hole lies outside the boundary",
    "Holes are nested": "A hole lies inside another hole",
    "Nested holes": "A hole lies inside another hole",
    "Nested shells": "A part lies inside another part",
    "Interior is disconnected": "Holes cut the land in two",
    "Duplicate Rings": "A ring is drawn twice",
    "Too few points in geometry component": "A ring has too few corners",
}


def fault(geometry: BaseGeometry) -> tuple[str, tuple[tuple[float, float], ...]]:
    """Tell what is wrong with a geometry, in words, and where; nowhere if unknown. [degrees]"""
    reason = str(shapely.is_valid_reason(geometry))
    found = re.fullmatch(r"(.*)\[(\S+) (\S+)\]", reason)
    if found is None:
        return reason, ()
    words, lon, lat = found.groups()
    return _FAULTS.get(words, words), ((float(lon), float(lat)),)


def said_place(where: tuple[tuple[float, float], ...]) -> str:
    """Write the first of some places, if there is one. [degrees]"""
    return place(*where[0]) if where else "a place not told"


def _gain(change: float) -> str:
    if abs(change) < 0.05:
        return "the same area as"
    return f"{abs(change):.1f} m2 {'more' if change > 0 else 'less'} than"


def _share_gained(drawn: Polygon, mended: Sequence[Polygon]) -> float:
    """
    Tell which share of the mended area is more than the even-odd reading of the rings.

    In degrees, for both readings lie on the same ground and only their ratio counts.
    """
    rings = shapely.get_rings(drawn)
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all(rings)]))
    odd = _edges_to_the_east(shapely.point_on_surface(faces), rings) % 2 == 1
    kept = float(shapely.area(mended).sum())
    return 1.0 - float(shapely.area(faces[odd]).sum()) / kept if kept else 0.0


def _edges_to_the_east(
    points: NDArray[np.object_], rings: NDArray[np.object_]
) -> NDArray[np.int64]:
    """Count for each point the edges of the rings that a ray eastward from it crosses."""
    starts, ends = edges_of(rings)
    tree = shapely.STRtree(shapely.linestrings(np.stack((starts, ends), axis=1)))
    east = max(starts[:, 0].max(), ends[:, 0].max()) + 1.0
    corners = shapely.get_coordinates(points)
    counted = [np.zeros(0, dtype=np.int64)]
    for first in range(0, len(corners), AT_ONCE):
        x, y = corners[first : first + AT_ONCE].T
        far = np.c_[np.full_like(x, east), y]
        ray, edge = tree.query(shapely.linestrings(np.stack((np.c_[x, y], far), axis=1)))
        (x0, y0), (x1, y1) = starts[edge].T, ends[edge].T
        astride = (y0 <= y[ray]) != (y1 <= y[ray])
        ray, x0, y0, x1, y1 = (values[astride] for values in (ray, x0, y0, x1, y1))
        crossed = x0 + (y[ray] - y0) / (y1 - y0) * (x1 - x0) > x[ray]
        counted.append(np.bincount(ray[crossed], minlength=len(x)))
    return np.concatenate(counted)
