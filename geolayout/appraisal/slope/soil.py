"""
What a published table gives for rows across a slope: how much soil is kept, over which length.

The support practice factor P is the share of the loss of rows straight up and down a slope. Its
table has classes of slope, with gaps between them, and for each the longest slope for which it
holds. It is a table for planning, and no promise for a field.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import NOTE, Caution
from geolayout.appraisal.slope.grades import slopes_of
from geolayout.appraisal.slope.lengths import row_steps
from geolayout.land.terrain.grade import ANNUAL
from geolayout.land.terrain.terrain import FIELD_SCALE, Terrain, points_over
from geolayout.layout.build import Layout

__all__ = ["CLASSES", "Practice", "classes_of", "longest_slope", "soil_cautions"]

SOURCE: Final = (
    "SWAT+ reference data, conservation practices (USLE P); that its rows are USDA Agriculture "
    "Handbook 537, tables 13 to 15, is from memory."
)

LEVEL: Final = 0.3
"""Ground flatter than this leads no water that a slope length could be measured by. Ours. [%]"""

ACROSS_SLOPE: Final = 0.75
"""P of rows across the slope but not on the contour; without a class of slope. [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Practice:
    """
    One class of slope in the table.

    Attributes
    ----------
    low, high : float
        The class. [%]
    contour : float
        P of rows on the contour. [-]
    contour_length : float or None
        The longest slope for which it holds; None where the sources seen give none. [m]
    meadow, crops : float or None
        P of strips on the contour, with every other one in meadow, and with row crops only. [-]
    strip_length : float or None
        The longest slope for which these hold. [m]
    """

    low: float
    high: float
    contour: float | None
    contour_length: float | None
    meadow: float | None
    crops: float | None
    strip_length: float | None


CLASSES: Final = (
    # The file prints P 0.30 for contouring on 1-2 %; Handbook 537 has 0.60 (from memory), and so
    # has the file's own row for strips of row crops.
    Practice(1.0, 2.0, 0.60, 121.0, 0.30, 0.60, 244.0),
    Practice(3.0, 5.0, 0.50, 91.0, 0.25, 0.50, 183.0),
    Practice(9.0, 12.0, 0.60, 36.0, 0.30, 0.60, 73.0),
    Practice(13.0, 16.0, 0.70, 24.0, None, None, None),
    Practice(17.0, 20.0, None, None, 0.40, 0.80, 36.0),
)
"""The rows of the table that were seen, by slope."""


def classes_of(slope: float) -> tuple[Practice, ...]:
    """
    Return the class that a slope is in, or the two that it lies between.

    Parameters
    ----------
    slope : float
        [%]

    Examples
    --------
    >>> [(one.low, one.high) for one in classes_of(4.0)]
    [(3.0, 5.0)]
    >>> [(one.low, one.high) for one in classes_of(7.0)]
    [(3.0, 5.0), (9.0, 12.0)]
    """
    inside = tuple(one for one in CLASSES if one.low <= slope <= one.high)
    if inside:
        return inside
    below = [one for one in CLASSES if one.high < slope]
    above = [one for one in CLASSES if one.low > slope]
    return (*below[-1:], *above[:1])


def longest_slope(terrain: Terrain, land: BaseGeometry) -> float:
    """
    Return the longest way that water runs downhill over land before it leaves it. [m]

    Parameters
    ----------
    terrain : Terrain
        Heights.
    land : Polygon or MultiPolygon
        The land. [m]

    Notes
    -----
    Over heights averaged over 20 m, from points all over the land half a cell at a time straight
    downhill, until the land ends, is flatter than 0.3 %, or falls no further. Ways that meet in a
    hollow are counted on to its end.
    """
    terrain = terrain.smoothed(FIELD_SCALE)
    xy = points_over(land, 2.0 * terrain.cell, 40)
    step = terrain.cell / 2.0
    way = 0.0
    while len(xy := _downhill(terrain, land, xy, step)):
        way += step
    return way


def _downhill(terrain: Terrain, land: BaseGeometry, xy: Floats, step: float) -> Floats:
    """Take a step downhill; only those points are returned that went lower and stayed on land."""
    fall = -terrain.gradient(xy)
    steep = np.hypot(*fall.T)
    moves = steep > LEVEL / 100.0
    before = xy[moves]
    after = before + step * fall[moves] / steep[moves][:, None]
    lower = terrain.height(after) < terrain.height(before)
    return np.asarray(after[lower & shapely.contains_xy(land, after[:, 0], after[:, 1])])


def soil_cautions(layout: Layout) -> list[Caution]:
    """
    Say what the table gives for the slope of a layout's land, and how its rows lie on it.

    Parameters
    ----------
    layout : Layout
        The layout; without heights of its field, or on land that is nearly level, nothing is said.

    Returns
    -------
    cautions : list of Caution
        One note.
    """
    if layout.field.terrain is None or not len(layout.rows.lines):
        return []
    terrain = layout.field.terrain.smoothed(FIELD_SCALE)
    slopes = terrain.slope(points_over(layout.field.land, terrain.cell, 50))
    slope = float(np.nanmean(slopes)) if np.isfinite(slopes).any() else 0.0
    table = classes_of(slope)
    if not table or slope < CLASSES[0].low:
        return []
    steps = row_steps(layout)
    rows = slopes_of(steps, ANNUAL) if steps is not None else None
    way = longest_slope(terrain, layout.field.land)
    over = f" {100 * rows.over_share:.0f} % of these rows are over their grade." if rows else ""
    return [
        Caution(
            key="contour-table",
            severity=NOTE,
            sentence=(
                f"The land falls {slope:.1f} % on average, by heights averaged over "
                f"{FIELD_SCALE:.0f} m; the table of support practices has {_named(table)}. Against "
                f"rows straight up and down (1.00) it gives {_given(table)}; rows across the "
                f"slope, not on the contour, {ACROSS_SLOPE:.2f} on any. The longest way downhill "
                f"in the field is {way:.0f} m{_beside(way, _shortest(table))}.{over}"
            ),
            remedy=(
                "These are a table's figures, no promise for a field: soil, rain and cover decide. "
                "Longer slopes than the table's want a grass strip, a terrace, or an adviser."
            ),
            source=SOURCE,
            value=way,
            threshold=_shortest(table),
            unit="m of slope",
        )
    ]


def _named(table: tuple[Practice, ...]) -> str:
    """Return which classes are meant."""
    words = " and ".join(f"{one.low:g} to {one.high:g} %" for one in table)
    return f"a class of {words}" if len(table) == 1 else f"no such class, but {words}"


def _shortest(table: tuple[Practice, ...]) -> float | None:
    """Return the shortest slope that rows on the contour are given up to. [m]"""
    lengths = [one.contour_length for one in table if one.contour_length is not None]
    return min(lengths, default=None)


def _beside(way: float, most: float | None) -> str:
    """Return how the longest slope compares with the longest that contouring is given for."""
    if most is None:
        return ""
    holds = "more than" if way > most else "within"
    return f", {holds} the {most:.0f} m for which it gives rows on the contour"


def _given(table: tuple[Practice, ...]) -> str:
    """Return what the table gives for each practice, as a range over its classes."""
    parts = [
        _practice("rows on the contour", [(one.contour, one.contour_length) for one in table]),
        _practice(
            "strips on the contour, every other one in meadow,",
            [(one.meadow, one.strip_length) for one in table],
        ),
        _practice("strips of row crops only", [(one.crops, one.strip_length) for one in table]),
    ]
    return "; ".join(part for part in parts if part)


def _practice(what: str, figures: list[tuple[float | None, float | None]]) -> str:
    """Return one practice with the range of its factor and of the slope length it holds for."""
    factors = sorted(factor for factor, _ in figures if factor is not None)
    lengths = sorted(length for _, length in figures if length is not None)
    if not factors:
        return ""
    factor = " to ".join(dict.fromkeys(f"{one:.2f}" for one in (factors[0], factors[-1])))
    if not lengths:
        return f"{what} {factor}"
    length = " to ".join(dict.fromkeys(f"{one:.0f}" for one in (lengths[0], lengths[-1])))
    return f"{what} {factor}, on slopes up to {length} m long"
