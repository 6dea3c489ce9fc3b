"""The light between the tree rows of a plan, as the command line asks for it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from geolayout.appraisal.light.alley import AlleyLight, Pace, alley_lights
from geolayout.appraisal.light.bearings import Turned, turned_alleys
from geolayout.errors import PlanError
from geolayout.jobs.job import Job, lay

__all__ = ["Lights", "light_dict", "light_of"]


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


def light_of(job: Job, season: int | None = None) -> list[Lights]:
    """
    Return the light across one alley of every block that has trees with crop beside them.

    Parameters
    ----------
    job : Job
        The plan and its field.
    season : int, optional
        Harvest year; the plan's first season if nothing is said.

    Raises
    ------
    PlanError
        If no crop lies beside trees, or nobody said how high its trees grow.
    """
    layout = lay(job, season)
    if not len(layout.trees):
        raise PlanError(
            f"{job.path.name} plants no trees.",
            "Nothing shades anything.",
            "Give a band trees, or look at another plan.",
        )
    found = alley_lights(layout, layout.plan.light)
    if not found:
        raise PlanError(
            f"{job.path.name} has no crop beside trees of known height.",
            "Light is told across the crop, by the year.",
            "Give the trees mature_height, or growth with heights by year.",
        )
    frame, direct = layout.field.frame, layout.plan.light.direct
    return [Lights(one, turned_alleys(one, (frame.lon, frame.lat), direct)) for one in found]


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
