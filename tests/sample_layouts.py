"""Layouts for the tests of what leaves the house: the sample plans, and a field on paper."""

from functools import cache
from pathlib import Path

import numpy as np
import shapely

from geolayout.jobs import lay, read
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan

REPOSITORY = Path(__file__).parents[1]
SAMPLE_FOLDER = REPOSITORY / "sample_fields"
PLAN_FOLDER = REPOSITORY / "tests" / "plans"
SAMPLES = (
    "pond_piece",
    "crooked_hedge",
    "two_halves",
    "wire_field",
    "windy_bank",
    "bore_paddock",
    "poplar_ground",
    "hive_ground",
    "church_close",
    "market_plots",
    "ridge_road",
    "slough_quarter",
)

# Rows run north; bands of 6 m from the west on 60 m: five of maize, five of beans. Invented.
STRIPS = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[headland]
where = "ends"
width = 10.0
stand = "grass"
[[stand]]
name = "maize"
sowing = [
  { crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 }, operation = "plant" },
]
[[stand]]
name = "beans"
sowing = [
  { crop = "field beans", spacing = 0.25, rate = { seeds_per_m2 = 40 }, operation = "drill" },
]
[[stand]]
name = "grass"
sowing = [ { crop = "grass", place = "broadcast", rate = { kg_per_ha = 25 } } ]
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
[[machine]]
name = "planter"
working_width = 6.0
[[machine]]
name = "drill"
working_width = 3.0
[[operation]]
name = "plant"
machine = "planter"
[[operation]]
name = "drill"
machine = "drill"
"""


@cache
def sample_layout(name):
    """Return the layout of a sample plan, first season."""
    return lay(read(SAMPLE_FOLDER / f"{name}.toml"))


def rectangle(width=60.0, height=120.0, lon=10.0, lat=52.0):
    """Return a field that is a rectangle in its own frame, centred on the frame's origin."""
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * [width / 2, height / 2]
    return make_field(shapely.Polygon(Frame(lon, lat).lonlat(corners)), name="Paper (invented)")


def paper_layout(text=STRIPS, field=None):
    """Lay a plan out on a field on paper."""
    field = field or rectangle()
    plan = resolve_guides(parse_plan(text), field, Drawn())
    return lay_out(field, plan, plan.season())
