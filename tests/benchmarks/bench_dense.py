"""
The whole layout of one dense boundary: 20,000 noisy corners round 10 ha.

The plain way is one offset of the land as drawn, by the headland's width and nothing more. Ours
makes the field, which thins it, and lays it out whole.
"""

import time
from collections.abc import Callable, Iterator

import numpy as np
import shapely
from bench_whole import PLAN
from made_land import FRAME, GUIDE, blob
from race import Result
from shapely import Polygon

from geolayout.land.field import Field, make_field
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan

CORNERS = 20_000
"""Corners of the boundary."""

AIM = 1.0
"""Longest that making and laying out the field may take. [s]"""

REPEATS = 3
"""Runs of ours; the fastest counts."""


def results() -> Iterator[Result]:
    """Yield a measurement for boundaries of little and of usual noise."""
    for noise in (0.02, 0.1):
        yield _measured(
            noisy(10.0, CORNERS, noise), f"whole layout, 20,000 corners, {noise:g} m noise"
        )


def noisy(hectares: float, corners: int, noise: float) -> Polygon:
    """Return invented land whose corners stray towards and away from its middle, as surveyed."""
    ring = shapely.get_coordinates(blob(hectares, corners))[:-1]
    rng = np.random.default_rng(1)
    stray = rng.normal(0.0, noise, (corners, 1)) / np.hypot(*ring.T)[:, None]
    return Polygon(ring * (1.0 + stray))


def _measured(land: Polygon, work: str) -> Result:
    boundary = FRAME.to_geographic(land)

    def ours() -> Layout:
        field: Field = make_field(boundary)
        return lay_out(field, resolve_guides(parse_plan(GUIDE + PLAN), field, Drawn()))

    taken = min(_seconds(ours) for _ in range(REPEATS))
    plain = _seconds(lambda: shapely.buffer(land, -12.0, join_style="mitre"))
    return Result(
        work, f"{taken:.2f} s", f"{plain:.2f} s", f"{taken:.2f} s", f"{AIM:g} s", taken <= AIM
    )


def _seconds(work: Callable[[], object]) -> float:
    begin = time.process_time()  # of this process alone, whatever else the machine does
    work()
    return time.process_time() - begin
