"""A plan to begin with that lays on the very field it is written for."""

import os
from dataclasses import replace
from pathlib import Path

from geolayout.errors import LayoutError
from geolayout.jobs.job import Job, lay
from geolayout.land.field import Field, make_field
from geolayout.land.readers import read_boundary
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.guides.guide import Straight
from geolayout.layout.resolve import longest_bearing
from geolayout.plan.parse import parse_plan
from geolayout.plan.start.starter import StarterField, check_practice, starter_plan

__all__ = ["fitted", "named_from", "start"]

PLAN_NAME = "plan.toml"

HEADLANDS = (18.0, 12.0, 6.0, 0.0)
"""Headlands a plan to begin with tries, the widest first. Our own choice. [m]"""

SHARES = (1.0, 0.75, 0.5)
"""Shares of the width across that such a plan tries to use. [-]"""


def start(practice: str, boundary: Path, wish: StarterField, folder: Path) -> str:
    """
    Write a plan to begin with that lays on a field.

    Parameters
    ----------
    practice : str
        One of `geolayout.plan.start.starter.PRACTICES`.
    boundary : Path
        The field's file.
    wish : StarterField
        Name, layer, id and coordinate system; bearing and width are measured here.
    folder : Path
        Where the plan will stand, for the files it names.

    Returns
    -------
    text : str
        The plan file.

    Raises
    ------
    GeolayoutError
        If the boundary cannot be read, or nothing of this practice fits on the field.
    """
    check_practice(practice)
    drawn = read_boundary(boundary, layer=wish.layer, field_id=wish.field_id, crs=wish.crs)
    name = (wish.name or drawn.name)[:80]
    land = make_field(drawn.geometry, name=name, findings=drawn.findings)
    return fitted(practice, land, replace(wish, name=name, boundary=named_from(folder, boundary)))


def fitted(practice: str, land: Field, wish: StarterField) -> str:
    """
    Write a plan to begin with, its headland and its trial as large as the field allows.

    Parameters
    ----------
    practice : str
        One of `geolayout.plan.start.starter.PRACTICES`.
    land : Field
        The field.
    wish : StarterField
        What to call it; bearing and width are measured here.

    Returns
    -------
    text : str
        The plan file.

    Raises
    ------
    GeolayoutError
        If nothing of this practice fits on the field.
    """
    bearing = longest_bearing(land.land)
    low, high = Straight(0.0, 0.0, bearing).span(land.land)
    true = land.frame.true_bearing((0.0, 0.0), bearing) % 180.0
    refusal = LayoutError(f"{land.name} holds no {practice}.")
    for headland in HEADLANDS:
        for share in SHARES:
            sized = replace(wish, bearing=true, across=(high - low) * share)
            try:
                text = starter_plan(practice, sized, headland)
                lay(Job(Path(PLAN_NAME), text, parse_plan(text), land, Drawn()))
            except LayoutError as error:
                refusal = error if share == SHARES[0] else refusal  # it tells the true width
            else:
                return text
    raise refusal


def named_from(folder: Path, boundary: Path) -> str:
    """Return a file as a plan in a folder names it."""
    try:
        return Path(os.path.relpath(boundary.resolve(), folder.resolve())).as_posix()
    except ValueError:  # on another drive
        return boundary.resolve().as_posix()
