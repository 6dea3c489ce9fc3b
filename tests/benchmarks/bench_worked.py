"""
Work done, held against rounds: the search for the nearest line, and the whole comparison.

A round has hundreds of corners, so a search line by line looks through all of them for every place.
"""

import sys
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import shapely
from made_land import blob, field_of
from race import Race, Result, run

from geolayout.appraisal.worked.as_sown import compare_work
from geolayout.appraisal.worked.places import _legs_of
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan

sys.path.append(str(Path(__file__).parents[1]))
from work_records import as_planned  # records as the tests make them

PLAN = """
schema = 1
[guide]
kind = "round"
[headland]
where = "all round"
width = 12.0
[[stand]]
name = "beans"
sowing = [ { crop = "field beans", spacing = 0.5, operation = "drill" } ]
[[pattern]]
name = "whole"
bands = [ { name = "A", width = 6.0, stand = "beans" } ]
[[machine]]
name = "drill"
working_width = 6.0
turning_radius = 6.5
[[operation]]
name = "drill"
machine = "drill"
"""

HECTARES = 10.0
"""Of the land. [ha]"""

STEP = 2.0
"""From place to place: a second at 7 km/h. [m]"""

WAIT = 5.0
"""What a person waits for a comparison. Our own; searched whole it was 12 s. [s]"""


def results() -> Iterator[Result]:
    """Yield the race of the searches and the time of a whole comparison."""
    layout = _round_and_round()
    work = as_planned(layout, "drill", step=STEP)
    lines = layout.passes.lines.geometry
    xy = np.concatenate([one.xy for one in work.strands])
    yield run(_race(lines, xy))
    begin = time.process_time()
    sown = compare_work(layout, 0, work)
    seconds = time.process_time() - begin
    name = f"worked, {HECTARES:g} ha of rounds, {len(xy):,} places"
    missed = f"{100.0 * sown.missed_m2 / sown.planned_m2:.2f} % missed"
    yield Result(
        name, f"{seconds:.1f} s", missed, f"{seconds:.1f} s", f"{WAIT:g} s", seconds < WAIT
    )


def _round_and_round() -> Layout:
    field = field_of(blob(HECTARES, 60))
    return lay_out(field, resolve_guides(parse_plan(PLAN), field, Drawn()))


def _race(lines: np.ndarray, xy: np.ndarray) -> Race:
    """Return the search by legs against that by whole lines."""
    points = shapely.points(xy)

    def by_legs() -> np.ndarray:
        legs = _legs_of(lines)
        return np.abs(legs.beside(legs.nearest(xy), xy))

    def by_lines() -> np.ndarray:
        _, apart = shapely.STRtree(lines).query_nearest(
            points, all_matches=False, return_distance=True
        )
        return apart

    def total(apart: np.ndarray) -> dict[str, float]:
        return {"metres aside": float(apart.sum()) + 1.0}

    return Race("nearest line of rounds", by_legs, by_lines, total, total, 3.0)
