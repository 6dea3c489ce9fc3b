"""Widths along a slope, on planes whose slope is known."""

import numpy as np
import pytest
import shapely
from hills import heights, on_hill
from strategies import faults_of_ground, faults_of_rows_and_trees, field_of, laid, plan_of

from geolayout.errors import PlanError
from geolayout.layout.guides.guide import Straight
from geolayout.layout.steep import flatness

LAND = shapely.box(0, 0, 240, 180)
STRIPS = """
[[pattern]]
name = "p"
bands = [ { name = "A", width = 12.0, stand = "maize" } ]
"""
EAST = 'bearing = 90.0\nfrom = "south"\nwidths = "ground"'
NORTH = 'bearing = 0.0\nfrom = "west"\nwidths = "ground"'


def steep(_x, y):
    return 100 + 0.3 * y  # 30 %, up to the north


def test_30_percent_across_the_rows_take_0_9578_of_a_metre():
    found = flatness(heights(steep), LAND, Straight(0.0, 0.0, 90.0))
    # cos(atan 0.3) = 1 / sqrt(1.09) = 0.95783
    assert (found.mean, found.least) == pytest.approx((0.95783, 0.95783), abs=1e-5)
    assert found.slope == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("bearing", "flat"),
    [
        pytest.param(0.0, 1.0, id="up the slope: level across"),
        # across rows at 45 degrees the ground rises 30 % x cos 45 = 21.21 %
        pytest.param(45.0, 1 / np.sqrt(1 + 0.045), id="aslant"),
    ],
)
def test_only_the_slope_across_the_rows_counts(bearing, flat):
    found = flatness(heights(steep), LAND, Straight(0.0, 0.0, bearing))
    assert found.mean == pytest.approx(flat, abs=1e-6)


def test_bands_and_rows_are_as_far_apart_on_the_ground_as_they_should_be():
    layout = laid(on_hill(steep), plan_of(STRIPS, guide=EAST))
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []
    assert layout.plan.guide.flat == pytest.approx(0.957826, abs=1e-6)
    whole = layout.ground.area[1:15]  # the first runs along the edge, which bows by a hair
    # 12 m along the ground are 11.494 m on the plan, 240 m long
    assert whole == pytest.approx(np.full(14, 12 * 0.957826 * 240), rel=1e-6)
    y = layout.rows.lines.xy[layout.rows.lines.offsets[:-1], 1]
    # rows 0.75 m apart on the ground: 0.7184 m on the plan
    assert np.diff(np.unique(y.round(6)))[:10] == pytest.approx(0.75 * 0.957826, abs=1e-5)
    said = [given.what for given in layout.gave_way if "along the slope" in given.what]
    assert "10 m across the rows are 9.58 m on the plan" in said[0]


def test_the_spread_of_slopes_and_what_one_width_misses_are_told():
    # The north half is a plane of 30 %, the south half level; rows run east. The mean of the
    # cosines is (0.95783 + 1) / 2 = 0.979; a pass of 10 m laid so leaves 10 x (0.979 / 0.95783 - 1)
    # = 0.22 m where it is steep.
    field = on_hill(lambda _x, y: 100 + 0.3 * np.maximum(y, 0.0))
    layout = laid(field, plan_of(STRIPS, guide=EAST))
    (said,) = [given.what for given in layout.gave_way if "along the slope" in given.what]
    assert "(from 0 to 30 %)" in said
    assert "leaves a gap of 0.22 m" in said


def test_rows_up_the_slope_are_as_far_apart_as_on_the_level():
    layout = laid(on_hill(steep), plan_of(STRIPS, guide=NORTH))
    assert layout.plan.guide.flat == pytest.approx(1.0)


def test_a_contour_is_laid_along_the_ground_too():
    layout = laid(on_hill(steep), plan_of(STRIPS, guide='kind = "contour"\nwidths = "ground"'))
    assert faults_of_ground(layout) == []
    assert layout.plan.guide.flat == pytest.approx(0.957826, abs=1e-4)
    (block,) = layout.blocks
    # 180 m on the plan are 187.9 m on the ground: 15 bands of 12 m and 7.9 m, shared out
    assert [round(cut.width, 2) for cut in block.section.cuts] == [12.53] * 15


def test_a_resolved_plan_lays_the_same_again():
    field = on_hill(steep)
    first = laid(field, plan_of(STRIPS, guide=EAST))
    again = laid(field, first.plan)
    assert (first.ground.area == again.ground.area).all()
    assert (first.rows.length == again.rows.length).all()


def test_without_heights_nobody_knows_the_slope():
    with pytest.raises(PlanError, match=r"no terrain"):
        laid(field_of(LAND), plan_of(STRIPS, guide=EAST))
