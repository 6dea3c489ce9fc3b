"""Alleys that fit drill, boom and header, with what each means for the trees. All invented."""

import pytest
from appraisal_layouts import GRASS

from geolayout.appraisal.alleys.fit import alley_fits
from geolayout.appraisal.alleys.words import alley_rows, alley_words
from geolayout.appraisal.fit.band_widths import band_widths
from geolayout.plan.parse import parse_plan
from geolayout.plan.section.profile import profile_of

MACHINES = """
[[machine]]
name = "drill"
working_width = 3.0
[[machine]]
name = "sprayer"
working_width = 24.0
[[operation]]
name = "sow"
machine = "drill"
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""


def fits_of(alley=26.0, *, trees="in_row_spacing = 3.0, mature_height = 14.0", strip=3.0):
    plan = parse_plan(
        f"""
schema = 1
{GRASS}
{MACHINES}
[[stand]]
name = "wheat"
sowing = [ {{ crop = "wheat", place = "broadcast", operation = "sow" }} ]
[[pattern]]
name = "alleys"
bands = [
  {{ name = "C", width = {alley}, stand = "wheat" }},
  {{ name = "T", width = {strip}, whole = true, stand = "grass", trees = {{ {trees} }} }},
]
"""
    )
    pattern = plan.pattern()
    profile = profile_of(plan, pattern, (0.0, pattern.repeat_width))
    return alley_fits(plan, pattern, band_widths(profile))


def test_the_nearest_alley_that_fits_both_is_24_m():
    # 3 m drill and 24 m boom: 24 and 48 m; 24 / 3 = 8 passes, even (Agridea's example)
    (fit,) = fits_of()
    assert fit.nearest.choice.width == pytest.approx(24.0)
    assert fit.nearest.pitch == pytest.approx(27.0)
    assert fit.nearest.choice.odd == ()
    assert fit.wish.choice.misfits != ()


def test_density_and_share_are_those_of_the_handbook():
    # alley 24 m and strip 3 m, trees 3 m apart: 10000 / (27 x 3) = 123.5 trees/ha, 11.1 %
    (fit,) = fits_of(24.0)
    assert fit.wish.trees_per_ha == pytest.approx(123.457, abs=0.001)
    assert 100 * fit.wish.strip_share == pytest.approx(11.1, abs=0.02)
    # 27 m over 14 m: 1.93 heights, under 2
    assert fit.wish.heights_apart == pytest.approx(1.93, abs=0.01)
    assert fit.wish.near


def test_trap_pitch_is_not_alley():
    # 24 m of pitch, 21 m of alley: 10000 / (24 x 3) = 138.9 trees/ha, not 123.5
    (fit,) = fits_of(21.0)
    assert fit.wish.pitch == pytest.approx(24.0)
    assert fit.wish.trees_per_ha == pytest.approx(138.889, abs=0.001)


@pytest.mark.parametrize(
    ("trees", "strip", "have", "short"),
    [
        # 1.5 m to the edge, guard 0.2 and 1 m of room: 1.2 m
        pytest.param("guard_radius = 0.2", 3.0, 1.5, 0.0, id="room enough"),
        # 0.75 m to the edge: 0.45 m lacking
        pytest.param("guard_radius = 0.2", 1.5, 0.75, 0.45, id="a narrow strip"),
        # a tree row 0.5 m from one edge: 0.5 - 1.0 m
        pytest.param("at = [0.5]", 3.0, 0.5, 0.5, id="a row beside one edge"),
        # rows 2 m apart on 3 m: 0.5 m to both edges
        pytest.param("rows = 2, row_spacing = 2.0", 3.0, 0.5, 0.5, id="two rows"),
    ],
)
def test_room_beside_the_trees(trees, strip, have, short):
    (fit,) = fits_of(24.0, trees=f"in_row_spacing = 3.0, {trees}", strip=strip)
    (room,) = fit.strips
    assert room.have == pytest.approx(have)
    assert room.short == pytest.approx(short)
    assert any("lacking" in line for line in alley_words(fit)) == bool(short)


def test_the_table_has_a_row_for_each_choice():
    (fit,) = fits_of(24.0)
    rows = alley_rows(fit)
    assert len(rows) == len(fit.choices)
    assert rows[0][2] == "yes"


def test_what_has_no_pitch_has_no_alleys():
    plan = parse_plan(
        f"""
schema = 1
{GRASS}
{MACHINES}
[[pattern]]
name = "one belt"
bands = [
  {{ name = "C", width = 24.0, stand = "grass" }},
  {{ name = "T", width = 3.0, trees = {{ in_row_spacing = 3.0 }} }},
]
repeats = 1
rest = "grass"
"""
    )
    span = (0.0, 60.0)
    widths = band_widths(profile_of(plan, plan.pattern(), span))
    assert alley_fits(plan, plan.pattern(), widths) == ()
