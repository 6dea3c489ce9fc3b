"""The light between the tree rows of a plan, as the command line asks for it."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.light.alley import AlleyLight, Pace, alley_lights
from geolayout.appraisal.light.area import BlockLight, LightMap, Wanted, block_lights, light_map
from geolayout.appraisal.light.bearings import Turned, turned_alleys
from geolayout.appraisal.trees.as_planted import years_behind
from geolayout.appraisal.trees.years import standing
from geolayout.errors import PlanError
from geolayout.handover.files.lightraster import LightCells, light_cells
from geolayout.jobs.job import Job, lay
from geolayout.jobs.planted import known_failures
from geolayout.land.frames.mapgrid import map_grid, utm_code
from geolayout.layout.build import Layout
from geolayout.plan.trees.growth import FAST, SLOW

__all__ = [
    "SITES",
    "FieldLight",
    "Lights",
    "MapWish",
    "Planting",
    "alley_lights_of",
    "field_light",
    "field_light_dict",
    "light_dict",
    "planting_of",
]

Site = Literal["slow", "fast"]

SITES: dict[Site, float] = {"slow": SLOW, "fast": FAST}
"""Years to 95 % of the mature height, by the site. [years]"""


@dataclass(frozen=True, slots=True, eq=False)
class Planting:
    """
    Trees of a plan, and what became of them.

    Attributes
    ----------
    layout : Layout
        The layout.
    behind : ndarray, shape (trees,), optional
        Years by which each tree is younger than the planting, not a number where one failed; all
        live if nothing is said.
    """

    layout: Layout
    behind: NDArray[np.float64] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Lights:
    """
    The light in one block.

    Attributes
    ----------
    alley : AlleyLight
        Across its alley, as it is laid.
    turned : list of Turned
        Across the same alley if its rows ran another way.
    """

    alley: AlleyLight
    turned: list[Turned]


@dataclass(frozen=True, slots=True)
class MapWish:
    """
    Which map of light is wanted.

    Attributes
    ----------
    year : float, optional
        Years after planting; the last that the plan asks for if nothing is said.
    site : {"slow", "fast"}
        How fast trees grow, where their heights are an estimate.
    cell : float, optional
        Side of a cell; 2 m if nothing is said, more on a large field. [m]
    """

    year: float | None = None
    site: Site = "fast"
    cell: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class FieldLight:
    """
    Light over a field in one year.

    Attributes
    ----------
    told : LightMap
        At the middles of the cells.
    cells : LightCells
        The cells.
    blocks : list of BlockLight
        On the crop, block by block.
    site : str
        "slow" or "fast".
    stands : ndarray of bool, shape (trees,)
        Which trees stand.
    """

    told: LightMap
    cells: LightCells
    blocks: list[BlockLight]
    site: Site
    stands: NDArray[np.bool_]


def planting_of(job: Job, season: int | None = None, failures: Path | None = None) -> Planting:
    """
    Lay a plan out and look what became of its trees.

    Parameters
    ----------
    job : Job
        The plan and its field.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.
    failures : Path, optional
        Table of trees that failed, and of those replaced; none did if nothing is said.

    Raises
    ------
    PlanError
        If the plan has no trees, or all of them failed.
    FileError
        If the table cannot be read, or names a tree that the plan does not have.
    """
    layout = lay(job, season)
    if not len(layout.trees):
        raise PlanError(
            f"{job.path.name} plants no trees.",
            "Nothing shades anything.",
            "Give a band trees, or look at another plan.",
        )
    if failures is None:
        return Planting(layout)
    behind = years_behind(layout, known_failures(layout, failures))
    if np.isnan(behind).all():
        raise PlanError(
            f"{failures.name} says that every tree failed.",
            "Nothing shades anything.",
            "Say which were replaced, or look at the light once trees stand.",
        )
    return Planting(layout, behind)


def alley_lights_of(planting: Planting, name: str) -> list[Lights]:
    """
    Return the light across one alley of every block that has trees with crop beside them.

    Parameters
    ----------
    planting : Planting
        The trees.
    name : str
        What the plan is called, for messages.

    Raises
    ------
    PlanError
        If no crop lies beside trees, or nobody said how high its trees grow.
    """
    layout = planting.layout
    found = alley_lights(layout, layout.plan.light, planting.behind)
    if not found:
        raise PlanError(
            f"{name} has no crop beside trees of known height.",
            "Light is told across the crop, by the year.",
            "Give the trees mature_height, or growth with heights by year.",
        )
    frame, direct = layout.field.frame, layout.plan.light.direct
    return [Lights(one, turned_alleys(one, (frame.lon, frame.lat), direct)) for one in found]


def field_light(
    planting: Planting, wish: MapWish, done: Callable[[float], None] | None = None
) -> FieldLight:
    """
    Return the light over a whole field in one year.

    Parameters
    ----------
    planting : Planting
        The trees.
    wish : MapWish
        Which map.
    done : callable, optional
        Is told the share of the work that is done, now and then.

    Raises
    ------
    PlanError
        If nobody said how high the trees grow, or there would be too many cells.
    """
    layout = planting.layout
    frame, light = layout.field.frame, layout.plan.light
    cells = light_cells(layout, map_grid(utm_code(frame.lon, frame.lat)), wish.cell)
    year = light.years[-1] if wish.year is None else wish.year
    wanted = Wanted(light, year, SITES[wish.site], planting.behind)
    told = light_map(layout, wanted, cells.xy, done)
    if told is None:
        raise PlanError(
            "No tree of the plan has a known height.",
            "Shade is reckoned from heights and crowns.",
            "Give the trees mature_height, or growth with heights by year.",
        )
    stands = standing(layout, year)
    if planting.behind is not None:
        stands = stands & (planting.behind <= year)
    return FieldLight(told, cells, block_lights(layout, told, light.limit), wish.site, stands)


def field_light_dict(found: FieldLight) -> dict[str, Any]:
    """Return the light over a field for a JSON file: lengths in m, shares of open light."""
    told = found.told
    return {
        "year": told.year,
        "site": found.site,
        "months": list(told.months),
        "heights_estimated": told.estimated,
        "height_m": round(told.height, 2),
        "trees": told.trees,
        "cell_m": found.cells.grid.cell,
        "cells": len(told.light),
        "blocks": [
            {
                "block": one.block,
                "crop_ha": round(one.places * found.cells.area / 1e4, 4),
                "mean": round(one.mean, 4),
                "darkest": round(one.darkest, 4),
                "under_limit": round(one.under, 4),
            }
            for one in found.blocks
        ],
    }


def light_dict(lights: Lights) -> dict[str, Any]:
    """Return the light in a block for a JSON file: lengths in m, shares of open light."""
    alley = lights.alley
    return {
        "block": alley.block,
        "rows": list(alley.rows),
        "pitch_m": round(alley.pitch, 3),
        "alley_m": round(alley.width, 3),
        "bearing_degrees": round(alley.bearing, 2),
        "months": list(alley.months),
        "heights_estimated": alley.estimated,
        "cells_m": np.round(alley.t, 2).tolist(),
        "crop": alley.crop.tolist(),
        "years": [
            {"year": one.year, "slow": _pace_dict(one.slow), "fast": _pace_dict(one.fast)}
            for one in alley.years
        ],
        "turned": [
            {
                "bearing_degrees": one.bearing,
                "mean": round(one.mean, 4),
                "darkest": round(one.darkest, 4),
            }
            for one in lights.turned
        ],
    }


def _pace_dict(pace: Pace) -> dict[str, Any]:
    """Return the light in a year on a site of one pace."""
    return {
        "height_m": round(pace.height, 2),
        "mean": round(pace.mean, 4),
        "edge": round(pace.edge, 4),
        "direct": np.round(pace.direct, 4).tolist(),
        "diffuse": np.round(pace.diffuse, 4).tolist(),
        "light": np.round(pace.light, 4).tolist(),
    }
