"""Rows on planes whose slope is known: length along the ground, grade, limit."""

import numpy as np
import pytest
from hills import LAND, on_hill
from strategies import ALLEYS, STRIPS, field_of, laid, plan_of

from geolayout.appraisal.slope.lengths import slope_figures, surface_area
from geolayout.handover.words.slope import slope_lines

UP = 'bearing = 0.0\nfrom = "west"'
LEVEL = 'bearing = 90.0\nfrom = "south"'
WORK = """
[[machine]]
name = "drill"
working_width = 3.0
[[operation]]
name = "drill"
machine = "drill"
"""


def steep(_x, y):
    return 100 + 0.3 * y  # 30 %, up to the north


def figures_of(*parts, guide=UP):
    layout = laid(on_hill(steep), plan_of(*parts, guide=guide))
    return {one.what: one for one in slope_figures(layout)}


def test_rows_up_a_slope_of_30_percent_are_longer_on_the_ground():
    rows = figures_of(STRIPS)["rows of maize"]
    # sqrt(1 + 0.3^2) = 1.04403
    assert rows.ground_length_m == pytest.approx(rows.length_m * np.sqrt(1.09), rel=1e-6)
    assert rows.steepest_percent == pytest.approx(30.0)
    assert rows.over_percent == pytest.approx(100.0)
    assert rows.limit


def test_rows_on_the_level_are_as_long_as_on_the_plan():
    rows = figures_of(STRIPS, guide=LEVEL)["rows of maize"]
    assert rows.ground_length_m == pytest.approx(rows.length_m, rel=1e-6)
    assert rows.over_m == 0.0


def test_tree_rows_and_passes_are_told_apart():
    found = figures_of(ALLEYS, WORK)
    assert found["tree rows"].limit != found["rows of field beans"].limit
    assert found["passes of drill"].limit == ""
    assert found["passes of drill"].over_m == 0.0


def test_land_is_larger_along_the_ground():
    # 240 m x 180 m on the plan; on a plane of 30 % times sqrt(1 + 0.3^2) = 1.04403
    assert surface_area(on_hill(steep)) == pytest.approx(240 * 180 * np.sqrt(1.09), rel=1e-6)
    assert surface_area(field_of(LAND)) is None


def test_heights_beyond_the_land_say_nothing_of_its_surface():
    unknown = on_hill(lambda x, _y: np.where(np.abs(x) < 200, np.nan, 100.0))
    assert surface_area(unknown) is None


def test_without_heights_there_is_nothing_to_tell():
    layout = laid(field_of(LAND), plan_of(STRIPS, guide=UP))
    assert slope_figures(layout) == ()


def test_it_is_said_in_one_line_each():
    (line,) = slope_lines([figures_of(STRIPS)["rows of maize"]])
    assert "more along the ground; steepest 30.0 %, 100 % of it over the grade" in line
