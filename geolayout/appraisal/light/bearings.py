"""The same alley turned: what light it would have if its rows ran another way."""

from dataclasses import dataclass
from math import prod

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.light.alley import DAY_STEP, AlleyLight
from geolayout.appraisal.light.stretch import ALONG
from geolayout.appraisal.light.sun import season_suns
from geolayout.appraisal.light.transect import Stand, crowns_in, light_at
from geolayout.plan.trees.growth import FAST

__all__ = ["BEARINGS", "Turned", "turned_alleys"]

BEARINGS = (0.0, 45.0, 90.0, 135.0)
"""Ways in which rows might run. [degrees]"""

ROWS = 2
"""Rows on each side beside the two of the alley."""

REACH = 8.0
"""Heights to which rows run on both ways. [-]"""

LEVEL = np.array([[0.0, 0.0, 1.0]])


@dataclass(frozen=True, slots=True)
class Turned:
    """
    Light of an alley whose rows run another way.

    Attributes
    ----------
    bearing : float
        Of its rows. [degrees]
    mean, darkest : float
        Mean share of open light over the crop, and that of its darkest metre. [-]
    """

    bearing: float
    mean: float
    darkest: float


def turned_alleys(alley: AlleyLight, place: tuple[float, float], direct: float) -> list[Turned]:
    """
    Return the light that an alley would have on level ground if its rows ran another way.

    Parameters
    ----------
    alley : AlleyLight
        The alley between two rows; the last of its years counts, on a fast site.
    place : (float, float)
        Longitude and latitude. [degrees]
    direct : float
        Share of open light that comes straight from the sun. [-]

    Returns
    -------
    turned : list of Turned
        None beside a single row; else one a bearing of `BEARINGS`, with rows long and many
        enough that their ends do not matter. Thinned as the plan has it by that year.
    """
    if len(alley.rows) < 2:
        return []
    lon, lat = place
    suns = season_suns(lat, lon, alley.months, DAY_STEP)
    growth, mature = alley.trees.growth, alley.trees.mature_height
    year = alley.years[-1].year
    kept = prod(one.keep_every for one in alley.trees.thinning if one.year <= year)
    spacing = alley.trees.in_row_spacing * kept
    height = growth.height_in(year, mature, FAST) or 0.0
    along = np.arange(-REACH * height, REACH * height + spacing, spacing)
    across = alley.pitch * np.arange(-ROWS, ROWS + 2)
    feet = np.stack(np.meshgrid(across, along, indexing="ij"), axis=-1).reshape(-1, 2)
    count = ALONG * kept
    places = (np.arange(count) + 0.5) / count * spacing
    cells = np.stack(np.meshgrid(alley.t, places, indexing="ij"), axis=-1).reshape(-1, 2)
    found = []
    for bearing in BEARINGS:
        stand = Stand(_upright(feet, bearing), growth, mature)
        crowns = {
            int(month): [crowns_in(stand, year, FAST, int(month))]
            for month in np.unique(suns.month)
        }
        normals = np.repeat(LEVEL, len(cells), axis=0)
        sun, sky = light_at(_upright(cells, bearing), normals, suns, crowns)
        light = (direct * sun + (1.0 - direct) * sky).reshape(len(alley.t), -1).mean(axis=1)
        crop = light[alley.crop]
        found.append(Turned(bearing, float(crop.mean()), float(crop.min())))
    return found


def _upright(ts: NDArray[np.float64], bearing: float) -> NDArray[np.float64]:
    """Return level places given by t to the right of rows of a bearing, and s along them."""
    east, north = np.sin(np.radians(bearing)), np.cos(np.radians(bearing))
    xy = ts @ np.array([[north, -east], [east, north]])
    return np.column_stack([xy, np.zeros(len(xy))])
