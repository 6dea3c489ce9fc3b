"""Real fields parted by a line, in tiers and in blocks of other bearings, are partitions still."""

import numpy as np
import pytest
import shapely
from shapely import LineString, MultiLineString
from strategies import (
    ENDS,
    STRIPS,
    faults_of_ground,
    laid,
    plan_of,
    real_fields,
)

from geolayout.errors import GeolayoutError
from geolayout.layout.blocks.drawn import Drawn

BLOCKS = """
[[block]]
name = "a"
piece = {{ line = "s", near = {near} }}
pattern = "strips"
guide = {{ bearing = {one}, from = "{side}" }}
tiers = {{ count = 3, gap = 6.0 }}
[[block]]
name = "b"
rest = true
pattern = "strips"
guide = {{ bearing = {other}, from = "{other_side}" }}
tiers = {{ length = 25.0 }}
headland = {{ where = "ends", width = 6.0 }}
"""


def side(bearing):
    """Return a side that bands at a bearing can be counted from."""
    return "south" if 45 <= bearing % 180 <= 135 else "west"


def parted(field, rng):
    """Return the plan and the line of two blocks of a field, on both sides of its middle."""
    one, other, across = rng.uniform(0, 179, 3).tolist()
    middle = shapely.get_coordinates(field.land.centroid)[0]
    step = 3000.0 * np.array([np.sin(np.radians(across)), np.cos(np.radians(across))])
    line = LineString([middle - step, middle + step])
    halves = shapely.polygonize([shapely.union_all([line, field.land.boundary])])
    inside = [p for p in halves.geoms if field.land.contains(p.point_on_surface())]
    if len(inside) < 2:
        return None
    largest = max(inside, key=lambda piece: piece.area)
    place = shapely.get_coordinates(largest.representative_point())
    near = field.frame.lonlat(place)[0].tolist()
    text = BLOCKS.format(near=near, one=one, other=other, side=side(one), other_side=side(other))
    return plan_of(STRIPS, ENDS, text), Drawn(cuts={"s": MultiLineString([line])})


def faults(count):
    """Return how many fields were laid, and what is wrong with any of them."""
    rng = np.random.default_rng(11)
    done, found = 0, []
    for field in real_fields(count, seed=11):
        given = parted(field, rng)
        if given is None:
            continue
        plan, drawn = given
        try:
            layout = laid(field, plan, drawn=drawn, rounds=False)
        except GeolayoutError:
            continue
        done += 1
        found += [(field.name, fault) for fault in faults_of_ground(layout)]
    return done, found


def test_some_real_fields_parted_are_partitions():
    done, found = faults(25)
    assert done >= 6
    assert found == []


@pytest.mark.every_field
def test_hundreds_of_real_fields_parted_are_partitions():
    done, found = faults(600)
    assert done >= 200
    assert found == []
