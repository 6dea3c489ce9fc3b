"""A map made into rate zones: coverage, coarse cells, classes that smoothing takes away."""

import numpy as np
import pytest
import shapely
from shapely import box

from geolayout.errors import LayoutError
from geolayout.land.boundary.finding import Finding
from geolayout.land.zones.map import ZoneMap
from geolayout.layout.zones.field import make_zones
from geolayout.plan.parse import parse_plan

LAND = box(0, 0, 100, 50)

PLAN = """
schema = 1
[[pattern]]
name = "p"
bands = [{{ name = "A", width = 6.0, stand = "maize" }}]
[[stand]]
name = "maize"
sowing = [{{ crop = "maize", spacing = 0.75, rate = {{ plants_per_ha = 80000 }} }}]
[[machine]]
name = "planter"
working_width = 6.0
[rate_zones]
source = "soil.tif"
classes = ["low", "high"]
limits = [5.0]
{keys}
rate = [{{ sowing = "maize", factor = {{ low = 0.9, high = 1.1 }} }}]
"""


def made(mapped, keys='machine = "planter"'):
    return make_zones(mapped, LAND, parse_plan(PLAN.format(keys=keys)))


def mapped(*shapes, cell=None, findings=()):
    found = np.empty(len(shapes), dtype=object)
    found[:] = [shape for shape, _ in shapes]
    values = np.array([value for _, value in shapes], dtype=float)
    return ZoneMap(found, values, "soil.tif", cell, findings)


HALVES = mapped((box(0, 0, 60, 50), 3.0), (box(60, 0, 100, 50), 8.0))


def test_each_class_tells_its_ends_and_its_ground():
    low, high = made(HALVES).classes
    # 60 m x 50 m and 40 m x 50 m
    assert (low.name, low.above, low.below, low.drawn_m2, low.area_m2) == (
        "low",
        None,
        5,
        3000,
        3000,
    )
    assert (high.above, high.below, high.area_m2) == (5.0, None, 2000.0)


def test_no_zone_is_narrower_than_the_machine_or_smaller_than_its_square():
    assert made(HALVES).least.width == 6.0
    assert made(HALVES).least.area == 36.0
    least = made(HALVES, "narrowest = 10.0\nsmallest = 500.0").least
    assert (least.width, least.area) == (10.0, 500.0)


def test_what_the_map_does_not_cover_is_refused_with_its_area():
    half = mapped((box(0, 0, 60, 50), 3.0))
    with pytest.raises(LayoutError, match=r"0\.200 ha .* 40\.0 %.*outside = \"low\""):
        made(half)


def test_what_the_map_does_not_cover_is_in_the_class_that_the_plan_says():
    zones = made(mapped((box(0, 0, 60, 50), 3.0)), 'machine = "planter"\noutside = "high"')
    assert [one.area_m2 for one in zones.classes] == [3000.0, 2000.0]
    assert zones.uncovered_m2 == 2000.0
    assert "0.200 ha of the field without a value; they are in class high" in zones.notes[0]


def test_a_narrow_gap_closes_and_is_told():
    gap = mapped((box(0, 0, 58, 50), 3.0), (box(60, 0, 100, 50), 8.0))
    zones = made(gap)
    assert sum(one.area_m2 for one in zones.classes) == pytest.approx(5000.0)
    assert "went to the class beside them" in zones.notes[0]


def test_a_class_that_smoothing_takes_away_is_told():
    spot = box(50, 20, 54, 24)
    zones = made(mapped((LAND.difference(spot), 3.0), (spot, 8.0)))
    assert zones.classes[1].geometry.is_empty
    assert "Class high has 0.002 ha on the map and none after smoothing" in zones.notes[0]


def test_a_class_without_ground_is_told():
    assert made(mapped((LAND, 3.0))).notes == ("Class high has no ground on the field.",)


def test_cells_wider_than_a_pass_are_told_and_finer_ones_are_not():
    cells = ((box(0, 0, 50, 50), 3.0), (box(50, 0, 100, 50), 8.0))
    assert "Cells of soil.tif are 50.0 m wide" in made(mapped(*cells, cell=50.0)).notes[0]
    assert made(mapped(*cells, cell=5.0)).notes == ()


def test_what_was_found_in_the_file_is_told():
    found = (Finding("bands", "soil.tif has 3 bands of values; the first was taken."),)
    assert made(mapped((LAND, 3.0), findings=found)).notes[0].startswith("soil.tif has 3 bands")


def test_zones_are_the_field_to_a_thousand_millionth():
    turned = shapely.transform(np.array([LAND]), lambda xy: xy @ [[0.8, 0.6], [-0.6, 0.8]])[0]
    zones = make_zones(HALVES, turned, parse_plan(PLAN.format(keys='narrowest=6.0\noutside="low"')))
    assert sum(one.area_m2 for one in zones.classes) == pytest.approx(5000.0, rel=1e-9)
