"""
From a resolved guide to the lines of a block: one family, or one for each stretch between bends.

A straight guide gives one family. A guide along a bent line is smoothed, and where lines on the
inside of a bend would turn tighter than the machines, the land is split there, each part with
straight lines up to the split, and the wedge between is kept for turning.
"""

from dataclasses import dataclass

import numpy as np
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.field import Field
from geolayout.layout.bends import Bends, smoothed
from geolayout.layout.guides import Guides, Straight
from geolayout.layout.overlay import joined, without
from geolayout.layout.parallel import Parallel
from geolayout.layout.sides import side_of
from geolayout.layout.split import Tight, stretches_of, tight_bends, wedge_of
from geolayout.plan.guide import Guide

__all__ = ["MOST_SPLITS", "Part", "Wedge", "bends_of", "guides_of", "parts_of"]

MOST_SPLITS = 2
"""A line that splits its land more often is no line to drive along. Our own choice. [-]"""

SMOOTHER = (1.0, 2.0, 4.0, 8.0, 16.0)
"""How far smoothing may move a line, tried to find what would do. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """
    Land with one family of lines.

    Attributes
    ----------
    land : Polygon or MultiPolygon
        Its land, without wedges. [m]
    guides : Guides
        Its lines.
    """

    land: BaseGeometry
    guides: Guides


@dataclass(frozen=True, slots=True, eq=False)
class Wedge:
    """
    Ground on the inside of a bend that lines cannot follow.

    Attributes
    ----------
    ground : Polygon or MultiPolygon
        It. [m]
    radius : float
        Radius of the bend. [m]
    place : tuple of float
        Where its two edges would meet. [m]
    smoother : float or None
        How far smoothing would have to move the line so that nothing splits; None where none of
        the distances tried is enough. [m]
    """

    ground: BaseGeometry
    radius: float
    place: tuple[float, float]
    smoother: float | None


def guides_of(guide: Guide, field: Field) -> Guides:
    """
    Return the lines of a resolved guide in the field's frame, bends and all.

    Raises
    ------
    LayoutError
        If the guide is not resolved, or its line cannot be laid along.
    """
    if guide.kind == "along" and guide.points is not None:
        bends = bends_of(guide, field)
        return Parallel(bends.xy, side_of(_middle_bearing(bends), guide), guide.start)
    if guide.bearing is None or guide.anchor is None or guide.north != "true":
        raise LayoutError(
            "The plan's guide is not resolved.",
            "A layout needs a bearing and an anchor, or a line, and not a wish.",
            "Resolve the plan first.",
        )
    x, y = field.frame.metres(np.array([guide.anchor]))[0].tolist()
    bearing = field.frame.frame_bearing((x, y), guide.bearing)
    return Straight(x, y, bearing, side_of(guide.bearing, guide))


def bends_of(guide: Guide, field: Field) -> Bends:
    """Return the smoothed line of a guide that follows drawn points."""
    xy = field.frame.metres(np.array(guide.points))
    return smoothed(LineString(xy), guide.smooth)


def parts_of(
    guide: Guide, field: Field, land: BaseGeometry, least: float, width: float
) -> tuple[list[Part], list[Wedge]]:
    """
    Part land where one family of lines cannot cover it.

    Parameters
    ----------
    guide : Guide
        A resolved guide.
    field : Field
        The field.
    land : Polygon or MultiPolygon
        The block's land. [m]
    least : float
        Tightest radius that the machines turn at. [m]
    width : float
        How far a wedge reaches on each side of a split. [m]

    Returns
    -------
    parts : list of Part
        In order along the line; one where nothing splits.
    wedges : list of Wedge

    Raises
    ------
    LayoutError
        If the line bends too tightly in too many places.
    """
    guides = guides_of(guide, field)
    if not isinstance(guides, Parallel) or land.is_empty:
        return [Part(land, guides)], []
    bends = bends_of(guide, field)
    tight = tight_bends(bends, land, least)
    if not tight:
        return [Part(land, guides)], []
    if len(tight) > MOST_SPLITS:
        raise _too_bent(guide, field, land, tight, least)
    wedges, left = [], land
    smoother = _smoother(guide, field, land, least, most=0)
    for one in tight:
        ground = wedge_of(one, left, width)
        wedges.append(Wedge(ground, one.radius, one.corner, smoother))
        left = without(left, ground)  # two wedges that meet share no ground
    taken = joined([wedge.ground for wedge in wedges])
    parts = [
        Part(without(stretch.land, taken), Parallel(stretch.xy, guides.side, guides.start))
        for stretch in stretches_of(bends, tight, land)
    ]
    return [part for part in parts if not part.land.is_empty], wedges


def _too_bent(
    guide: Guide, field: Field, land: BaseGeometry, tight: tuple[Tight, ...], least: float
) -> LayoutError:
    """Say how often the line would split its land, and what smoothing would do."""
    smooth = _smoother(guide, field, land, least, most=MOST_SPLITS)
    remedy = (
        f"Write smooth = {smooth:.1f}: the line may then be moved by as many metres."
        if smooth is not None
        else "Draw a simpler line, or make blocks of your own."
    )
    radius = min(one.radius for one in tight)
    return LayoutError(
        f"The line bends in {len(tight)} places so tightly, down to a radius of {radius:.1f} m, "
        "that lines on the inside could not follow it.",
        f"The land would be split more than {MOST_SPLITS} times.",
        remedy,
    )


def _smoother(
    guide: Guide, field: Field, land: BaseGeometry, least: float, *, most: int
) -> float | None:
    """Return the least smoothing tried that leaves at most so many splits. [m]"""
    drawn = LineString(field.frame.metres(np.array(guide.points)))
    for smooth in SMOOTHER:
        if smooth > guide.smooth and len(tight_bends(smoothed(drawn, smooth), land, least)) <= most:
            return smooth
    return None


def _middle_bearing(bends: Bends) -> float:
    """Return the bearing of a smoothed line half way along it. [degrees]"""
    length = np.hypot(*np.diff(bends.xy, axis=0).T)
    middle = int(np.searchsorted(np.cumsum(length), length.sum() / 2.0))
    east, north = bends.xy[middle + 1] - bends.xy[middle]
    return float(np.degrees(np.arctan2(east, north)) % 360.0)
