"""Sides of land: which one bands are counted from, and the edge on one as a line."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import PlanError
from geolayout.layout.headlands.edges import canonical_ring, outer_parts, thinned_corners
from geolayout.plan.guide import Guide
from geolayout.plan.value import COMPASS_DEGREES

__all__ = ["edge_line", "nearest_side", "no_edge", "side_of"]

SIDE_REACH = 60.0
"""How far the side that bands are counted from may lie off the normal of the lines. [degrees]"""

FACING_REACH = 60.0
"""How far an edge may face away from the side it is named by. [degrees]"""


def side_of(bearing: float, guide: Guide) -> float:
    """
    Return 1 where t grows to the right of a bearing, -1 where to the left.

    Parameters
    ----------
    bearing : float
        Of the lines in the frame. [degrees]
    guide : Guide
        Says from which side bands are counted.

    Raises
    ------
    PlanError
        If that side lies at an end of the lines.
    """
    side = guide.from_ or guide.near_edge
    if side is None:
        return 1.0
    away = COMPASS_DEGREES[side] + 180.0
    off_right = abs((away - (bearing + 90.0) + 180.0) % 360.0 - 180.0)
    if off_right <= SIDE_REACH:
        return 1.0
    if off_right >= 180.0 - SIDE_REACH:
        return -1.0
    left, right = (nearest_side(bearing + turn) for turn in (-90.0, 90.0))
    raise PlanError(
        f'The bands are counted from = "{side}" along a guide of bearing {bearing:.1f} degrees.',
        "That side lies at an end of the rows, not beside them.",
        f'Use from = "{left}" or from = "{right}".',
    )


def nearest_side(bearing: float) -> str:
    """Return the compass word nearest to a bearing."""
    words = list(COMPASS_DEGREES)
    return words[round((bearing % 360.0) / 45.0) % 8]


def edge_line(land: BaseGeometry, side: str) -> NDArray[np.float64]:
    """
    Return the longest run of neighbouring outer edges that face a compass side, as drawn.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land. [m]
    side : str
        One of the eight.

    Returns
    -------
    xy : ndarray, shape (n, 2)
        Its corners, the land on its left. [m]

    Raises
    ------
    PlanError
        If no edge faces that side.
    """
    runs = [
        run
        for ring in shapely.get_exterior_ring(outer_parts(land))
        for run in _facing_runs(canonical_ring(ring), COMPASS_DEGREES[side])
    ]
    if not runs:
        raise no_edge(side)
    lengths = [round(float(np.hypot(*np.diff(run, axis=0).T).sum()), 2) for run in runs]
    return runs[int(np.argmax(lengths))]


def no_edge(side: str) -> PlanError:
    """Return the refusal of a side that no edge faces."""
    return PlanError(
        f"No edge of the land faces {side}.",
        "The guide follows the edge on that side.",
        "Name another side, or give a bearing.",
    )


def _facing_runs(xy: NDArray[np.float64], side: float) -> list[NDArray[np.float64]]:
    """Return runs of a closed ring, land on its left, whose thinned edges face a bearing."""
    kept = thinned_corners(xy)
    east, north = np.diff(xy[kept], axis=0).T
    off = np.abs((np.degrees(np.arctan2(north, -east)) - side + 180.0) % 360.0 - 180.0)
    facing = off <= FACING_REACH
    firsts = np.flatnonzero(facing & ~np.roll(facing, 1))
    lasts = np.flatnonzero(~facing & np.roll(facing, 1))
    if len(lasts) and lasts[0] < firsts[0]:
        lasts = np.roll(lasts, -1)
    runs = []
    for first, last in zip(kept[firsts], kept[lasts], strict=True):
        wraps = np.concatenate([xy[first:-1], xy[: last + 1]])
        runs.append(xy[first : last + 1] if first < last else wraps)
    return runs
