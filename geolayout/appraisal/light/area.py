"""
Light over a whole field in one year: every tree where it stands, every row with its ends.

Each place of a grid is looked at in its middle. Crop land is told apart from headlands, tree strips
and what is left over, since light that falls there feeds nobody.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.light.alley import (
    DAY_STEP,
    crop_months,
    normals,
    on_ground,
    tree_stands,
)
from geolayout.appraisal.light.sun import season_suns
from geolayout.appraisal.light.thrown import light_over
from geolayout.appraisal.light.transect import Stand, crowns_in
from geolayout.appraisal.light.walls import walls_of
from geolayout.layout.build import Layout
from geolayout.plan.trees.growth import Light

__all__ = ["BlockLight", "LightMap", "Wanted", "block_lights", "light_map"]

CROP_GROUND = "band"
"""Kind of ground that carries crop between tree strips."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """
    Which light is looked at.

    Attributes
    ----------
    light : Light
        Months of the crop, and what the sun and the sky weigh.
    year : float
        Years after planting.
    pace : float
        Years to 95 % of the mature height, where heights are an estimate: `SLOW` or `FAST`.
    behind : ndarray, shape (trees,), optional
        Years by which each tree is younger than the planting, not a number where none stands;
        all live if nothing is said.
    """

    light: Light
    year: float
    pace: float
    behind: Floats | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LightMap:
    """
    Light at places of a field over the months of the crop, in one year.

    Attributes
    ----------
    year : float
        Years after planting.
    months : (int, int)
        First and last month of the crop.
    trees : int
        Trees of known height that stand.
    height : float
        Of the highest of them. [m]
    estimated : bool
        Whether heights are an estimate.
    direct, diffuse, light : ndarray, shape (n,)
        Shares of open light, from the sun, from the sky, and of both as the plan weighs them. [-]
    block : ndarray of int, shape (n,)
        Index of the block on whose crop a place lies; -1 where it lies on none.
    """

    year: float
    months: tuple[int, int]
    trees: int
    height: float
    estimated: bool
    direct: Floats
    diffuse: Floats
    light: Floats
    block: NDArray[np.int64]

    @property
    def crop(self) -> NDArray[np.bool_]:
        """Which places carry crop, shape (n,)."""
        return np.asarray(self.block >= 0)


@dataclass(frozen=True, slots=True)
class BlockLight:
    """
    Light on the crop of one block.

    Attributes
    ----------
    block : str
        Its name.
    places : int
        Places that carry crop.
    mean, darkest : float
        Share of open light over them, and at the darkest of them. [-]
    under : float
        Share of them that have less than the plan's limit. [-]
    """

    block: str
    places: int
    mean: float
    darkest: float
    under: float


def light_map(
    layout: Layout, wanted: Wanted, xy: Floats, done: Callable[[float], None] | None = None
) -> LightMap | None:
    """
    Return the light at places of a field in one year.

    Parameters
    ----------
    layout : Layout
        The layout.
    wanted : Wanted
        Which light.
    xy : ndarray, shape (n, 2)
        Places in the field's frame. [m]
    done : callable, optional
        Is told the share of the work that is done, now and then.

    Returns
    -------
    map : LightMap or None
        None where nobody stated how high any tree grows.
    """
    field, year = layout.field, wanted.year
    stands = [stand for _, stand in tree_stands(layout, wanted.behind)]
    if not stands:
        return None
    months = crop_months(wanted.light, field.frame.lat)
    suns = season_suns(field.frame.lat, field.frame.lon, months, DAY_STEP)
    crowns = {
        month: [crowns_in(stand, year, wanted.pace, month) for stand in stands]
        for month in np.unique(suns.month).tolist()
    }
    cells, square = on_ground(field, xy), normals(field, xy)
    direct, diffuse = light_over(cells, square, suns, crowns, walls_of(field), done)
    part = wanted.light.direct
    return LightMap(
        year,
        months,
        sum(len(stand.standing(year)) for stand in stands),
        max(_height(stand, wanted) for stand in stands),
        any(stand.growth.height is None for stand in stands),
        direct,
        diffuse,
        part * direct + (1.0 - part) * diffuse,
        _crop_blocks(layout, xy),
    )


def _height(stand: Stand, wanted: Wanted) -> float:
    """Return how high the trees of a stand are. [m]"""
    return crowns_in(stand, wanted.year, wanted.pace, 1).top


def _crop_blocks(layout: Layout, xy: Floats) -> NDArray[np.int64]:
    """Return the block on whose crop each place lies, -1 where it lies on none."""
    ground = layout.ground
    crop = np.flatnonzero(ground.kind == CROP_GROUND)
    place, piece = shapely.STRtree(ground.geometry[crop]).query(shapely.points(xy), "within")
    found = np.full(len(xy), -1, dtype=np.int64)
    found[place] = ground.block[crop[piece]]
    return found


def block_lights(layout: Layout, told: LightMap, limit: float) -> list[BlockLight]:
    """
    Return the light on the crop, block by block.

    Parameters
    ----------
    layout : Layout
        The layout.
    told : LightMap
        Its light.
    limit : float
        Share of open light below which ground counts as dark. [-]

    Returns
    -------
    blocks : list of BlockLight
        Those of which some place carries crop.
    """
    found = []
    for index in np.unique(told.block[told.crop]).tolist():
        light = told.light[told.block == index]
        under = float((light < limit).mean())
        name = layout.blocks[index].name
        found.append(BlockLight(name, len(light), float(light.mean()), float(light.min()), under))
    return found
