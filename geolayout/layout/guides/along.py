"""
From a resolved guide to the lines of a block: one family, or one for each stretch between bends.

A straight guide gives one family. A guide along a bent line is smoothed, and where lines on the
inside of a bend would turn tighter than the machines, the land is split there, each part with
straight lines up to the split, and the wedge between is kept for turning.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.field import Field
from geolayout.layout.guides.bends import Bends, smoothed
from geolayout.layout.guides.contour import FoundBaseline, lands_of, lines_of
from geolayout.layout.guides.guide import Guides, Straight
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.guides.rings import Rings
from geolayout.layout.guides.split import Tight, stretches_of, tight_bends, wedge_of
from geolayout.layout.headlands.edges import canonical_ring
from geolayout.layout.headlands.sides import side_of
from geolayout.layout.shapes.overlay import common, joined, without
from geolayout.plan.guide import Guide

__all__ = [
    "MOST_SPLITS",
    "UNCARRIED",
    "Part",
    "Parted",
    "Wedge",
    "bends_of",
    "guides_of",
    "parts_of",
]

MOST_SPLITS = 2
"""A line that splits its land more often is no line to drive along. Our own choice. [-]"""

UNCARRIED = "no contour carries bands there"
"""Reason of land that is left over between baselines."""

NOWHERE = Polygon()
"""No land."""

ROUND_OFF = 0.005
"""Corners that move the edge of rings by less are left out. [m]"""

ROUND_THIN = 0.01
"""Land beside rings that is thinner than twice this is no corner. [m]"""

ROUND_WIDTH = 3.0
"""Width of a pass of rings where no machine says. Our own choice. [m]"""

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
    name : str
        What it is called among several of one block.
    """

    land: BaseGeometry
    guides: Guides
    name: str = ""


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
    smoother : float or None
        How far smoothing would have to move the line so that nothing splits; None where none of
        the distances tried is enough. [m]
    """

    ground: BaseGeometry
    radius: float
    smoother: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Parted:
    """
    Land with one family of lines or several.

    Attributes
    ----------
    parts : tuple of Part
        Each with its lines.
    wedges : tuple of Wedge
        Ground between them, kept for turning.
    left : Polygon or MultiPolygon
        Land that no family of lines is carried over. [m]
    left_reason : str
        Why it is not.
    """

    parts: tuple[Part, ...]
    wedges: tuple[Wedge, ...] = ()
    left: BaseGeometry = NOWHERE
    left_reason: str = ""


def guides_of(guide: Guide, field: Field, least: float = 0.0, width: float = 0.0) -> Guides:
    """
    Return the lines of a resolved guide in the field's frame, bends and all.

    Parameters
    ----------
    guide : Guide
        A resolved guide.
    field : Field
        The field.
    least, width : float
        Of rings: the tightest radius that the machines turn at, and the width of a pass. [m]

    Raises
    ------
    LayoutError
        If the guide is not resolved, or its line cannot be laid along.
    """
    if guide.kind == "along" and guide.points is not None:
        return _parallel(bends_of(guide, field), guide)
    if guide.kind == "round" and guide.points is not None:
        edge = shapely.LinearRing(field.frame.metres(np.array(guide.points)))
        edge = shapely.simplify(edge, ROUND_OFF)
        return Rings(canonical_ring(edge), least, width or ROUND_WIDTH, guide.start)
    if guide.bearing is None or guide.anchor is None or guide.north != "true":
        raise LayoutError(
            "The plan's guide is not resolved.",
            "A layout needs a bearing and an anchor, or a line, and not a wish.",
            "Resolve the plan first.",
        )
    x, y = field.frame.metres(np.array([guide.anchor]))[0].tolist()
    bearing = field.frame.frame_bearing((x, y), guide.bearing)
    return Straight(x, y, bearing, side_of(guide.bearing, guide), guide.flat or 1.0)


def _parallel(bends: Bends, guide: Guide) -> Parallel:
    """Return the lines along a smoothed line, whole."""
    side = side_of(_middle_bearing(bends), guide)
    return Parallel(bends.xy, side, guide.start, guide.flat or 1.0)


def bends_of(guide: Guide, field: Field) -> Bends:
    """Return the smoothed line of a guide that follows drawn points."""
    xy = field.frame.metres(np.array(guide.points))
    return smoothed(LineString(xy), guide.smooth)


def parts_of(
    guide: Guide,
    field: Field,
    land: BaseGeometry,
    least: float,
    width: float,
    pass_width: float = 0.0,
) -> Parted:
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
    parted : Parted
        Its parts in order along the line; one where nothing splits.

    Raises
    ------
    LayoutError
        If the line bends too tightly in too many places.
    """
    if guide.kind == "contour":
        return _on_the_contour(guide, field, land)
    if guide.kind == "round":
        return _round_and_round(guide, field, land, least, pass_width)
    if guide.kind != "along" or guide.points is None or land.is_empty:
        return Parted((Part(land, guides_of(guide, field)),))
    bends = bends_of(guide, field)
    guides = _parallel(bends, guide)
    tight = tight_bends(bends, land, least)
    if not tight:
        return Parted((Part(land, guides),))
    if len(tight) > MOST_SPLITS:
        raise _too_bent(guide, field, land, tight, least)
    wedges, left = [], land
    smoother = _smoother(guide, field, land, least, most=0)
    for one in tight:
        ground = wedge_of(one, left, width)
        wedges.append(Wedge(ground, one.radius, smoother))
        left = without(left, ground)  # two wedges that meet share no ground
    taken = joined([wedge.ground for wedge in wedges])
    parts = [
        Part(
            without(stretch.land, taken),
            Parallel(stretch.xy, guides.side, guides.start, guides.flat),
            f"stretch {i}",
        )
        for i, stretch in enumerate(stretches_of(bends, tight, land), 1)
    ]
    return Parted(tuple(part for part in parts if not part.land.is_empty), tuple(wedges))


def _on_the_contour(guide: Guide, field: Field, land: BaseGeometry) -> Parted:
    """Return land with the lines of each baseline, bands beginning at the top of each."""
    found = [
        FoundBaseline(field.frame.metres(np.array(one.points)), one.low, one.high)
        for one in guide.baselines
    ]
    lands, left = lands_of(found, land, guide.smooth)
    parts = []
    for i, (one, mine) in enumerate(zip(found, lands, strict=True), 1):
        if not mine.is_empty:
            lines = lines_of(one.xy, guide.smooth)
            top = max(one.low, lines.span(mine)[0])
            guides = Parallel(lines.xy, 1.0, top, guide.flat or 1.0)
            parts.append(Part(mine, guides, f"contour {i}"))
    return Parted(tuple(parts), (), left, UNCARRIED)


def _round_and_round(
    guide: Guide, field: Field, land: BaseGeometry, least: float, width: float
) -> Parted:
    """Return land with rings along its edge, without the middle that nothing can turn in."""
    rings = guides_of(guide, field, least, width)
    if not isinstance(rings, Rings) or rings.deepest <= 0.0 or not least:
        raise _no_rings(rings, guide, least)
    beside = without(land, rings.strip(-rings.start, rings.deepest))
    thick = shapely.buffer(shapely.buffer(beside, -ROUND_THIN), ROUND_THIN, join_style="mitre")
    left = common(beside, thick)
    return Parted((Part(without(land, left), rings),), (), left, "no round reaches it")


def _no_rings(rings: Guides, guide: Guide, least: float) -> LayoutError:
    """Return the refusal of land that cannot be worked round and round."""
    if not least:
        return LayoutError(
            'The guide has kind = "round", and no machine has a turning_radius.',
            "Nothing says how tightly a round may turn.",
            "Measure the turn both ways and give turning_radius, in metres.",
        )
    wide = 2.0 * rings.inscribed if isinstance(rings, Rings) else 0.0
    return LayoutError(
        f"The land is {wide:.1f} m across where it is widest.",
        f"Machines that turn at {least:g} m find no room for a round in it, from "
        f"{guide.start:g} m inwards.",
        'Use kind = "straight", or "along" an edge.',
    )


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
