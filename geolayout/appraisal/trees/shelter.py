"""
Shelter of tree rows from the wind, counted in tree heights to leeward.

A row of height h shelters the ground that the wind reaches within so many h after it: each stretch
of row, moved along with the wind, sweeps a parallelogram. Wind that blows along a row finds no
shelter. How much the wind loses there hangs on the row's density and on the year's leaves; what
was measured elsewhere stands in `MEASURED`, as ranges, and is no promise.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.light.walls import outline, standing
from geolayout.appraisal.slope.lengths import tree_lines, tree_order
from geolayout.land.features import Feature
from geolayout.layout.build import Layout
from geolayout.plan.pattern import BandTrees
from geolayout.plan.trees.growth import FAST, SLOW
from geolayout.plan.trees.shelter import Shelter

__all__ = ["COMPETES", "MEASURED", "ShelterYear", "leeward", "shelter_years"]

COMPETES: Final = (1.0, 1.5)
"""
Heights from a belt within which the crop loses to its roots and shade: a column that quotes a
windbreak yield study of USDA NRCS. [-]
"""

MEASURED: Final = (
    "10 heights to leeward are usually called protected, with some effect to 20 or 30 (Purdue "
    "Extension); 61 % less wind was measured 3.5 heights behind a belt of seven rows 6 m high, "
    "wind square on (Hogg 1965)"
)
"""What was published of wind behind belts, with who said it."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ShelterYear:
    """
    Shelter in one year, between a slow and a fast site.

    Attributes
    ----------
    year : float
        After planting.
    height_m : tuple of float
        Of the trees, slow and fast; the tallest where bands differ. [m]
    sheltered_percent : tuple of float
        Share of the crop ground that lies to leeward within reach, over all winds given, slow and
        fast; hedges, woods, walls and buildings count too, where the plan gives their height. [%]
    by_wind : tuple of (from, percent, percent)
        The same for each direction, of that wind's own time. [degrees], [%]
    beside_percent : tuple of float
        Share of the crop ground within `COMPETES` heights of trees, from the nearer limit on a
        slow site to the farther on a fast one. [%]
    """

    year: float
    height_m: tuple[float, float]
    sheltered_percent: tuple[float, float]
    by_wind: tuple[tuple[float, float, float], ...]
    beside_percent: tuple[float, float]


def leeward(lines: Sequence[BaseGeometry], wind_from: float, far: float) -> BaseGeometry:
    """
    Return the ground that wind reaches within a distance after it has passed lines.

    Parameters
    ----------
    lines : sequence of LineString
        Rows. [m]
    wind_from : float
        Direction that the wind comes from, clockwise from the frame's north. [degrees]
    far : float
        How far along the wind. [m]

    Returns
    -------
    ground : Polygon or MultiPolygon

    Examples
    --------
    >>> row = shapely.LineString([(0, 0), (0, 100)])
    >>> leeward([row], 270.0, 50.0).area, round(leeward([row], 210.0, 50.0).area, 6)
    (5000.0, 2500.0)
    """
    angle = np.radians(wind_from + 180.0)
    step = far * np.array([np.sin(angle), np.cos(angle)])
    swept = [one for line in lines for one in _swept(shapely.get_coordinates(line), step)]
    return shapely.union_all(swept)


def _swept(xy: Floats, step: Floats) -> list[BaseGeometry]:
    """Return the parallelograms that a line's edges sweep; none that the wind runs along."""
    corners = np.stack([xy[:-1], xy[1:], xy[1:] + step, xy[:-1] + step], axis=1)
    shapes = shapely.polygons(corners)
    return list(shapes[shapely.area(shapes) > 0.0])


def shelter_years(layout: Layout) -> tuple[ShelterYear, ...]:
    """
    Measure how much of the crop ground tree rows shelter, year by year.

    Parameters
    ----------
    layout : Layout
        Without a `shelter` in its plan, trees whose height can be told, or crop ground, nothing is
        returned.

    Returns
    -------
    years : tuple of ShelterYear
    """
    asked = layout.plan.shelter
    if asked is None or not len(layout.trees):
        return ()
    crop = shapely.union_all(layout.ground.geometry[layout.ground.kind == "band"])
    rows, beside = _rows(layout), standing(layout.field)
    if crop.is_empty or not rows:
        return ()
    return tuple(_year(asked, year, (rows, beside), crop) for year in asked.years)


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """One tree row: its line, and the trees of its band."""

    line: BaseGeometry
    trees: BandTrees

    def height(self, year: float, pace: float) -> float:
        """Return its height in a year, grown in so many years; 0 where nothing tells it. [m]"""
        return self.trees.growth.height_in(year, self.trees.mature_height, pace) or 0.0


def _rows(layout: Layout) -> list[_Row]:
    """Return the tree rows of more than one tree whose height can be told."""
    trees, lines, order = layout.trees, tree_lines(layout), tree_order(layout)
    found = []
    for first, line in zip(order[lines.offsets[:-1]].tolist(), lines.geometry, strict=True):
        block = layout.blocks[trees.block[first]]
        band = block.pattern.bands[block.section.cuts[trees.cut[first]].index].trees
        if band is None or line.length == 0.0:
            continue
        if band.growth.height is not None or band.mature_height is not None:
            found.append(_Row(line, band))
    return found


def _year(
    asked: Shelter, year: float, shields: tuple[list[_Row], list[Feature]], crop: BaseGeometry
) -> ShelterYear:
    """Return the shelter of one year."""
    rows, hedges = shields
    heights = [[row.height(year, pace) for row in rows] for pace in (SLOW, FAST)]
    slow, fast = (
        [
            _share(
                crop, [*_lee(rows, tall, wind, asked.reach), *_behind(hedges, wind, asked.reach)]
            )
            for wind, _ in asked.wind
        ]
        for tall in heights
    )
    by_wind = tuple(zip([wind for wind, _ in asked.wind], slow, fast, strict=True))
    blown = sum(share for _, share in asked.wind)
    weighted = [
        sum(share * found for (_, share), found in zip(asked.wind, site, strict=True)) / blown
        for site in (slow, fast)
    ]
    beside = [
        _share(crop, [row.line.buffer(far * high) for row, high in zip(rows, tall, strict=True)])
        for far, tall in zip(COMPETES, heights, strict=True)
    ]
    return ShelterYear(
        year,
        (max(heights[0]), max(heights[1])),
        (weighted[0], weighted[1]),
        by_wind,
        (beside[0], beside[1]),
    )


def _lee(
    rows: Sequence[_Row], heights: Sequence[float], wind: float, reach: float
) -> list[BaseGeometry]:
    """Return the ground to leeward of each row, as far as its height reaches."""
    return [
        leeward([row.line], wind, reach * high) for row, high in zip(rows, heights, strict=True)
    ]


def _behind(hedges: Sequence[Feature], wind: float, reach: float) -> list[BaseGeometry]:
    """Return the ground to leeward of what stands already, as high in every year."""
    return [
        leeward(shapely.get_parts(outline(one)).tolist(), wind, reach * one.height)
        for one in hedges
    ]


def _share(crop: BaseGeometry, grounds: Sequence[BaseGeometry]) -> float:
    """Return the share of the crop ground that lies on some ground. [%]"""
    return 100.0 * float(shapely.intersection(crop, shapely.union_all(grounds)).area / crop.area)
