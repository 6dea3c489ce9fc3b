"""An alley in a year, with crowns and booms by sums on paper. All invented."""

import pytest
from appraisal_layouts import GRASS

from geolayout.appraisal.alleys.scene import alley_scene
from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.section.profile import profile_of

# Tree strips of 3 m, 24 m apart: at 0 to 3 and 27 to 30; rows at 1.5 and 28.5 m.
PLAN = """
schema = 1
[[machine]]
name = "drill"
working_width = 6.0
[[machine]]
name = "sprayer"
working_width = 24.0
[[operation]]
name = "drill wheat"
machine = "drill"
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
[[stand]]
name = "wheat"
sowing = [ { crop = "wheat", place = "broadcast", operation = "drill wheat" } ]
[[pattern]]
name = "alleys"
bands = [
  { name = "T", width = 3.0, whole = true, stand = "grass", trees = { TREES } },
  { name = "C", width = 24.0, stand = "wheat" },
]
"""
GROWN = (
    "in_row_spacing = 5.0, guard_radius = 0.2, "
    "growth = { height = [[10, 8.0]], crown_width = [[10, 5.0]] }"
)


def scene_of(trees=GROWN, year=10.0, span=60.0):
    plan = parse_plan(PLAN.replace("TREES", trees) + GRASS)
    return alley_scene(profile_of(plan, plan.pattern(), (0.0, span)), year)


def test_crowns_reach_over_the_crop_as_far_as_they_are_wide():
    # a crown of 5 m round a row 1.5 m from the crop: 2.5 - 1.5 = 1 m over it
    scene = scene_of()
    assert scene.alley == pytest.approx((3.0, 27.0))
    assert [tree.t for tree in scene.trees] == pytest.approx([1.5, 28.5])
    assert scene.trees[0].heights == (8.0, 8.0)
    assert scene.over_crop == pytest.approx(1.0)


def test_half_way_to_the_first_height_it_is_half():
    # straight from 0 in year 0 to 8 m and 5 m in year 10: in year 5 4 m and 2.5 m, 1.25 - 1.5 < 0
    scene = scene_of(year=5.0)
    assert scene.trees[0].heights == (4.0, 4.0)
    assert scene.over_crop == 0.0


def test_a_boom_as_wide_as_the_alley_passes_the_guard():
    # from 3 to 27 m; the row at 1.5 m with a guard of 0.2 m: 3 - 1.5 - 0.2 = 1.3 m
    scene = scene_of()
    high = [one for one in scene.passes if one.high]
    assert [(one.reach0, one.reach1) for one in high] == [pytest.approx((3.0, 27.0))]
    assert scene.room == pytest.approx(1.3)
    assert sum(not one.high for one in scene.passes) == 4  # 24 / 6 passes of the drill


def test_an_estimate_is_a_slow_and_a_fast_height():
    # 10 m grown: 10 (1 - exp(-3 x 10 / 40)) = 5.28 and 10 (1 - exp(-3 x 10 / 20)) = 7.77
    scene = scene_of("in_row_spacing = 5.0, mature_height = 10.0")
    assert scene.trees[0].heights == pytest.approx((5.28, 7.77), abs=0.01)


def test_trees_of_unknown_height_have_none():
    scene = scene_of("in_row_spacing = 5.0")
    assert scene.trees[0].heights is None
    assert scene.over_crop is None


def test_one_tree_strip_alone_is_no_alley():
    with pytest.raises(PlanError, match=r"shows no alley"):
        scene_of(span=25.0)
