"""Invented land for the benchmarks: smooth, of any size, with any number of corners."""

import numpy as np
import shapely
from shapely import Polygon

from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.field import Field, make_field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan

FRAME = Frame(5.0, 52.0)
"""Where the invented land lies. [degrees]"""

GUIDE = """
schema = 1
[guide]
kind = "straight"
bearing = 12.5
from = "west"
"""


def blob(hectares: float, vertices: int) -> Polygon:
    """Return a rounded, lobed piece of land of a size, in metres round the origin."""
    rng = np.random.default_rng(vertices)
    angle = np.linspace(0.0, 2 * np.pi, vertices, endpoint=False)
    radius = np.ones(vertices)
    for lobes in range(2, 7):
        radius += rng.normal(0.0, 0.12 / lobes) * np.cos(lobes * angle + rng.uniform(0.0, 6.0))
    ring = radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return Polygon(ring * np.sqrt(hectares * 1e4 / Polygon(ring).area))


def field_of(land: Polygon, obstacles: int = 0, seed: int = 0) -> Field:
    """Return land as a field, with round ponds strewn over it."""
    rng = np.random.default_rng(seed)
    reach = np.sqrt(land.area) * 0.4
    centres = rng.uniform(-reach, reach, (obstacles, 2))
    ponds = shapely.buffer(shapely.points(centres), rng.uniform(3.0, 15.0, obstacles))
    drawn = [
        DrawnFeature("pond", str(i), pond, "drawn edge", 0.0, KeepClear(0.0, 0.0, 0.0))
        for i, pond in enumerate(FRAME.to_geographic(ponds))
    ]
    return make_field(FRAME.to_geographic(land), name="invented", features=drawn)


def laid(field: Field, plan: str) -> Layout:
    """Return the layout of a plan's tables, after the usual guide, on a field."""
    return lay_out(field, resolve_guides(parse_plan(GUIDE + plan), field, Drawn()))
