"""Blocks with a bearing each: told where they save, by hand, and not where they do not."""

import numpy as np
import pytest
from shapely import MultiPolygon, Polygon, box

from geolayout.appraisal.direction.candidates import look_everywhere
from geolayout.appraisal.direction.site import site_of
from geolayout.appraisal.direction.splits import best_split
from geolayout.jobs.direction import Implement
from geolayout.plan.parse import parse_plan

PLAN = parse_plan(Implement(6.0, 6.5, 8.0).plan())
L = Polygon([(0, 0), (600, 0), (600, 60), (60, 60), (60, 600), (0, 600)])


def split_of(land):
    site = site_of(PLAN, None, (land, land), None)
    return best_split(site, land, look_everywhere(site))


def test_an_l_of_two_long_arms_is_two_blocks():
    # Two arms of 60 m, 600 and 540 m long: rows along both are ten passes of each arm.
    found = split_of(L)
    assert found is not None
    assert sorted(part.area for part in found.parts) == pytest.approx([540 * 60.0, 600 * 60.0])
    turned = abs(found.bearings[0] - found.bearings[1]) % 180.0
    assert turned == pytest.approx(90.0)
    assert found.cut is not None
    assert found.cut.length == pytest.approx(60.0)
    # ten passes an arm, of 1,140 m in all, at 8 km/h; nine turns an arm and one between them
    turn = 6.5 * (np.pi + 4 * np.arccos(9.5 / 13.0))
    assert found.cost == pytest.approx(11.4 / 8.0 + 19 * turn / 5000.0, rel=1e-6)
    assert found.saved > 0
    assert found.share == pytest.approx(found.saved / (found.saved + found.cost))


def test_a_convex_field_stays_whole():
    assert split_of(box(0, 0, 300, 200)) is None


def test_two_parts_at_right_angles_have_a_bearing_each():
    land = MultiPolygon([box(0, 0, 600, 60), box(700, 0, 760, 600)])
    found = split_of(land)
    assert found is not None
    assert found.cut is None
    assert sorted(bearing % 180.0 for bearing in found.bearings) == pytest.approx([0.0, 90.0])


def test_a_small_corner_is_no_block():
    nibbled = box(0, 0, 300, 200) - box(280, 190, 300, 200)
    assert split_of(nibbled) is None


def test_a_saving_that_is_small_is_not_told():
    # Both legs of a U run the same way: a cut saves nothing there.
    legs = [(0, 0), (90, 0), (90, 300), (60, 300), (60, 60), (30, 60), (30, 300), (0, 300)]
    assert split_of(Polygon(legs)) is None
