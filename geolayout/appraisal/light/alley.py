"""
Light across an alley, year by year: the profile from one tree row to the next, and its means.

The alley told is the one nearest to the middle of its block, half way along its rows, since that
is where shade is deepest; beside a single belt it is the crop on its wider side. Every tree of the
field is in the way, and so are hedges, woods, walls and buildings whose height is given. Where the
heights are an estimate, a slow and a fast site are told, and the truth is between them.
"""

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.light.shade import Walls
from geolayout.appraisal.light.stretch import CELL, Stretch, stretch_of
from geolayout.appraisal.light.sun import Suns, season_suns
from geolayout.appraisal.light.transect import Stand, crowns_in, light_at
from geolayout.appraisal.light.walls import walls_of
from geolayout.appraisal.trees.years import standing, taken_out
from geolayout.land.field import Field
from geolayout.layout.build import Layout
from geolayout.plan.pattern import BandTrees
from geolayout.plan.trees.growth import FAST, SLOW, Light

__all__ = [
    "DAY_STEP",
    "AlleyLight",
    "Pace",
    "YearLight",
    "alley_lights",
    "crop_months",
    "normals",
    "on_ground",
    "tree_stands",
]

EDGE_STRIP = 2.0
"""Crop beside the tree strip that is told apart, each side. [m]"""

DAY_STEP = 5
"""Days from one looked at to the next; every hour of each counts."""

REACH = 12.0
"""Heights beyond which a tree's shade is left out: the sun is then under 5 degrees. [-]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Pace:
    """
    Light in one year on a site of one pace.

    Attributes
    ----------
    height, crown_base, crown_width : float
        Of the highest trees. [m]
    direct, diffuse, light : ndarray, shape (n,)
        Shares of open light across the alley, and of both together as the plan weighs them. [-]
    mean, edge : float
        Mean share over the crop between the rows, and over its edge strips. [-]
    """

    height: float
    crown_base: float
    crown_width: float
    direct: Floats
    diffuse: Floats
    light: Floats
    mean: float
    edge: float


@dataclass(frozen=True, slots=True, eq=False)
class YearLight:
    """
    Light in one year.

    Attributes
    ----------
    year : float
        Years after planting.
    slow, fast : Pace
        On a slow and on a fast site; the same where the plan gives the heights.
    """

    year: float
    slow: Pace
    fast: Pace


@dataclass(frozen=True, slots=True, eq=False)
class AlleyLight:
    """
    Light across one alley.

    Attributes
    ----------
    block : str
        Name of its block.
    rows : tuple of int
        Numbers of the two tree rows beside it; of one, where crop lies on one side of it only.
    trees : BandTrees
        The trees of the first row, as the plan has them.
    pitch : float
        From row to row, or as far as is looked. [m]
    crop_from, crop_to : float
        Where the crop between them begins and ends, from the first row. [m]
    bearing : float
        Of the tree rows in the field's frame. [degrees]
    t : ndarray, shape (n,)
        Middles of the cells, from the first row. [m]
    crop : ndarray of bool, shape (n,)
        Which of them carry crop.
    estimated : bool
        Whether the heights are an estimate.
    months : (int, int)
        First and last month of the crop.
    years : tuple of YearLight
        The years asked for.
    """

    block: str
    rows: tuple[int, ...]
    trees: BandTrees
    pitch: float
    crop_from: float
    crop_to: float
    bearing: float
    t: Floats
    crop: NDArray[np.bool_]
    estimated: bool
    months: tuple[int, int]
    years: tuple[YearLight, ...]

    @property
    def width(self) -> float:
        """Of crop between the rows. [m]"""
        return self.crop_to - self.crop_from


def crop_months(light: Light, lat: float) -> tuple[int, int]:
    """Return the months of the crop, as the plan has them or as the hemisphere does."""
    if light.months is not None:
        return light.months
    return (4, 7) if lat >= 0 else (10, 1)


def tree_stands(layout: Layout, behind: Floats | None = None) -> list[tuple[int, Stand]]:
    """
    Return the trees of every tree band, each stand with the index of its block.

    Parameters
    ----------
    layout : Layout
        The layout.
    behind : ndarray, shape (n,), optional
        Years by which each tree is younger than the planting, not a number where none stands;
        all live if nothing is said.

    Returns
    -------
    stands : list of (int, Stand)
        Those whose heights are known or can be estimated; a stand for each age.
    """
    trees = layout.trees
    later = np.zeros(len(trees)) if behind is None else behind
    taken = taken_out(layout)
    band = np.array(
        [
            layout.blocks[b].section.cuts[c].index
            for b, c in zip(trees.block, trees.cut, strict=True)
        ],
        dtype=np.int64,
    )
    stands = []
    for b, i in np.unique(np.stack([trees.block, band], axis=1), axis=0).tolist():
        own = layout.blocks[b].pattern.bands[i].trees
        if own is None or (own.growth.height is None and own.mature_height is None):
            continue
        mine = (trees.block == b) & (band == i)
        for years in np.unique(later[mine & np.isfinite(later)]).tolist():
            here = mine & (later == years)
            feet = on_ground(layout.field, trees.xy[here])
            stand = Stand(feet, own.growth, own.mature_height, taken[here], years)
            stands.append((b, stand))
    return stands


def alley_lights(layout: Layout, light: Light, behind: Floats | None = None) -> list[AlleyLight]:
    """
    Return the light across one alley of every block that has trees with crop beside them.

    Parameters
    ----------
    layout : Layout
        The layout.
    light : Light
        What is asked for.
    behind : ndarray, shape (n,), optional
        Years by which each tree is younger than the planting, not a number where none stands;
        all live if nothing is said.

    Returns
    -------
    alleys : list of AlleyLight
        None for blocks whose trees' heights nobody stated.
    """
    stands = tree_stands(layout, behind)
    if not stands:
        return []
    frame = layout.field.frame
    months = crop_months(light, frame.lat)
    suns = season_suns(frame.lat, frame.lon, months, DAY_STEP)
    every = [stand for _, stand in stands]
    blocks = sorted({block for block, _ in stands})
    found = [_alley(layout, b, every, light, suns) for b in blocks]
    return [one for one in found if one is not None]


def on_ground(field: Field, xy: Floats) -> Floats:
    """
    Return places with their heights, shape (n, 3); level where there is no terrain. [m]

    A place of unknown height is as high as the nearest of the others that is known.
    """
    terrain = field.terrain
    if terrain is None or not np.isfinite(terrain.heights).any():
        return np.column_stack([xy, np.zeros(len(xy))])
    heights = terrain.height(xy)
    known = np.isfinite(heights)
    if not known.any():
        heights[:] = np.nanmean(terrain.heights)
    elif not known.all():
        near = shapely.STRtree(shapely.points(xy[known])).nearest(shapely.points(xy[~known]))
        heights[~known] = heights[known][near]
    return np.column_stack([xy, heights])


def normals(field: Field, xy: Floats) -> Floats:
    """Return unit vectors square to the ground at places, shape (n, 3)."""
    rise = np.zeros((len(xy), 2)) if field.terrain is None else field.terrain.gradient(xy)
    up = np.column_stack([-np.nan_to_num(rise), np.ones(len(xy))])
    return np.asarray(up / np.linalg.norm(up, axis=1)[:, None])


def _alley(
    layout: Layout, index: int, stands: list[Stand], light: Light, suns: Suns
) -> AlleyLight | None:
    """Return the light in a block; None where no crop lies beside its trees."""
    found = stretch_of(layout, index)
    if found is None:
        return None
    block, field = layout.blocks[index], layout.field
    walls = walls_of(field)
    crop = (found.t > found.crop_from) & (found.t < found.crop_to)

    def pace(year: float, years: float) -> Pace:
        places = _places(layout, stretch_of(layout, index, standing(layout, year)) or found)
        return _pace(places, suns, (stands, walls), (year, years), (light.direct, crop))

    return AlleyLight(
        block.name,
        found.rows,
        _trees_of_row(layout, index, found.rows[0]),
        found.length,
        found.crop_from,
        found.crop_to,
        float(block.guides.direction(found.xy[:1])[0]),
        found.t,
        crop,
        any(stand.growth.height is None for stand in stands),
        crop_months(light, field.frame.lat),
        tuple(YearLight(year, pace(year, SLOW), pace(year, FAST)) for year in light.years),
    )


def _places(layout: Layout, found: Stretch) -> tuple[Floats, Floats]:
    """Return the places of a stretch with their heights, and what is square to the ground there."""
    return on_ground(layout.field, found.xy), normals(layout.field, found.xy)


def _trees_of_row(layout: Layout, index: int, row: int) -> BandTrees:
    """Return what the plan says of the trees of one row."""
    trees, block = layout.trees, layout.blocks[index]
    cut = trees.cut[(trees.block == index) & (trees.row == row)][0]
    own: BandTrees | None = block.pattern.bands[block.section.cuts[cut].index].trees
    if own is None:
        raise ValueError(f"row {row} stands on a band without trees")
    return own


def _pace(
    places: tuple[Floats, Floats],
    suns: Suns,
    shading: tuple[list[Stand], Walls],
    when: tuple[float, float],
    shares: tuple[float, NDArray[np.bool_]],
) -> Pace:
    """Return the light in one year on a site of one pace."""
    year, pace = when
    part, crop = shares
    stands = [_near(stand, places[0], year, pace) for stand in shading[0]]
    crowns = {
        int(month): [crowns_in(stand, year, pace, int(month)) for stand in stands]
        for month in np.unique(suns.month)
    }
    direct, diffuse = light_at(*places, suns, crowns, shading[1])
    direct, diffuse = (one.reshape(len(crop), -1).mean(axis=1) for one in (direct, diffuse))
    light = part * direct + (1.0 - part) * diffuse
    highest = max((crowns_in(stand, year, pace, 1) for stand in stands), key=lambda one: one.top)
    return Pace(
        highest.top,
        highest.base,
        highest.width,
        direct,
        diffuse,
        light,
        float(light[crop].mean()) if crop.any() else float("nan"),
        float(light[_edges(crop)].mean()) if crop.any() else float("nan"),
    )


def _near(stand: Stand, cells: Floats, year: float, pace: float) -> Stand:
    """Return a stand without the trees whose shade does not reach so far."""
    height = stand.growth.height_in(max(year - stand.later, 0.0), stand.mature, pace) or 0.0
    foot, xy = stand.standing(year), cells[:, :2]
    off = np.linalg.norm(foot[:, :2] - xy.mean(axis=0), axis=1)
    near = foot[off < REACH * height + np.ptp(xy, axis=0).max()]
    return replace(stand, foot=near, taken=None)


def _edges(crop: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the cells of the edge strips of crop."""
    places = np.flatnonzero(crop)
    strip = round(EDGE_STRIP / CELL)
    chosen = np.zeros(len(crop), dtype=bool)
    chosen[places[:strip]] = chosen[places[-strip:]] = True
    return chosen
