"""Layouts on paper for the tests of what a layout means. Every figure is invented."""

import pytest
import shapely
import shapely.affinity
from strategies import centred, laid

from geolayout.appraisal.cautions import cautions
from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.plan.parse import parse_plan

LAND = shapely.box(0, 0, 60, 120)
"""60 m from west to east, 120 m from south to north. [m]"""

PLACE = Frame(10.0, 0.0)
"""On the equator, where meridians run side by side and sums on paper need no correction."""

NORTH = 'bearing = 0.0\nfrom = "west"'
"""Rows run north, bands count from the west."""

GRASS = """
[[stand]]
name = "grass"
sowing = [ { crop = "grass", place = "broadcast", rate = { kg_per_ha = 25 } } ]
"""
STANDS = (
    GRASS
    + """
[[stand]]
name = "maize"
[[stand.sowing]]
crop = "maize"
spacing = 0.75
rate = { plants_per_ha = 80000 }
operation = "plant"
[[stand]]
name = "beans"
[[stand.sowing]]
crop = "field beans"
spacing = 0.25
rate = { seeds_per_m2 = 40 }
operation = "drill"
"""
)
BANDS = """
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
"""
ONE_PLANTER = f"""{BANDS}[[machine]]
name = "planter"
working_width = 6.0
[[operation]]
name = "plant"
machine = "planter"
[[operation]]
name = "drill"
machine = "planter"
"""
"""The bands, both crops sown by one machine that comes back."""

MACHINES = """
[[machine]]
name = "planter"
working_width = 6.0
far_side_access = true
[[machine]]
name = "drill"
working_width = 3.0
far_side_access = true
[[operation]]
name = "plant"
machine = "planter"
[[operation]]
name = "drill"
machine = "drill"
"""
HEADLAND = """
[headland]
where = "ends"
width = 10.0
stand = "grass"
"""
ALLEYS = """
[[pattern]]
name = "alleys"
bands = [
  { name = "C", width = 24.0, stand = "grass" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 3.0, mature_height = 14.0 } },
]
close_with = "C"
"""


def close(value):
    """Compare with a sum on paper, to what the anchor's nine decimals leave: 0.1 mm."""
    return pytest.approx(value, rel=2e-5, abs=2e-4)


def one_stand(sowing, width='"rest"', *, name="crop"):
    """Return a pattern of one band over and over, and the stand on it."""
    return (
        f'[[stand]]\nname = "{name}"\nsowing = [ {sowing} ]\n'
        f'[[pattern]]\nname = "beds"\n'
        f'bands = [ {{ name = "A", width = {width}, stand = "{name}" }} ]'
    )


def worked_by(name, keys, over="band", operation="work"):
    """Return a machine with further keys, and an operation that it does."""
    return (
        f'[[machine]]\nname = "{name}"\n{keys}\n'
        f'[[operation]]\nname = "{operation}"\nmachine = "{name}"\nover = "{over}"'
    )


def feature_in(land, kind, shape, measured_from="drawn edge", *, half_width=0.0, **keep_clear):
    """Draw a feature in the same metres as the land it stands in."""
    west, south, east, north = land.bounds
    moved = shapely.affinity.translate(shape, -(west + east) / 2, -(south + north) / 2)
    kept = KeepClear(**keep_clear)
    return DrawnFeature(
        kind, "invented", PLACE.to_geographic(moved), measured_from, half_width, kept
    )


def layout_of(*parts, land=LAND, features=(), guide=NORTH, year=None):
    """Lay out a plan of further parts on land given in metres."""
    field = make_field(PLACE.to_geographic(centred(land)), features=features)
    plan = parse_plan("\n".join(["schema = 1", *parts, "[guide]", guide]))
    return laid(field, plan, year=year)


def strips(*parts, **place):
    """Lay out strips of 6 m, maize and beans, with further parts."""
    return layout_of(STANDS, BANDS, MACHINES, *parts, **place)


def of_key(layout, key):
    """Return the cautions of one key."""
    return [caution for caution in cautions(layout) if caution.key == key]


def the_one(layout, key):
    """Return the only caution of a key."""
    (caution,) = of_key(layout, key)
    return caution
