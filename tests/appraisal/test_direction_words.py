"""Options in words: the edge they follow, the slope, light, wind and crops; what was assumed."""

import re
from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString, Polygon, box
from strategies import ALLEYS, STRIPS, field_of, plan_of

from geolayout.appraisal.direction.options import compare
from geolayout.appraisal.direction.splits import Split
from geolayout.appraisal.direction.words import (
    assumptions,
    edge_words,
    fold,
    grade_words,
    light_words,
    minutes_more,
    share_words,
    split_words,
    way_words,
    wind_words,
)
from geolayout.land.terrain.terrain import Terrain
from geolayout.layout.blocks.drawn import Drawn

FIELD = field_of(box(0.0, 0.0, 400.0, 96.0))
MACHINES = """
[[machine]]
name = "drill"
working_width = 6.0
[[operation]]
name = "drill"
machine = "drill"
"""


def only(bearing, *parts, field=FIELD):
    """Compare a plan of one bearing, and return the plan's own way."""
    pattern = parts or (STRIPS,)
    plan = plan_of(*pattern, MACHINES, guide=f"bearing = {bearing}")
    compared = compare(plan, None, field, Drawn())
    return compared, compared.written


@pytest.mark.parametrize(
    ("bearing", "words"),
    [
        pytest.param(90.0, "straight along the north edge", id="along the longest edge"),
        pytest.param(82.0, "straight, 8.0 degrees off the north edge", id="near an edge"),
        pytest.param(40.0, "straight, 5 degrees off north-east to south-west", id="near none"),
    ],
)
def test_a_way_is_told_by_the_edge_it_follows(bearing, words):
    compared, option = only(bearing)
    said = way_words(option, compared.site.rings)
    assert said.replace("south edge", "north edge").startswith(words)
    assert f"bearing {bearing:.1f} from true north" in said


@pytest.mark.parametrize(
    ("more", "passes", "words"),
    [
        # 0.5 % of two hours are 0.6 min, 5 % are 6 min
        pytest.param(0.05, 17, "takes 6 min more, with 1 more pass.", id="a pass more"),
        pytest.param(0.05, 16, "takes 6 min more.", id="as many passes"),
        pytest.param(0.005, 14, "takes 1 min more, with 2 fewer passes.", id="fewer passes"),
        pytest.param(0.004, 16, "takes as long.", id="under half a minute"),
        pytest.param(-0.05, 16, "takes 6 min less.", id="less"),
    ],
)
def test_rows_along_the_hedge_are_told_in_minutes(more, passes, words):
    compared, east = only(90.0)
    work = east.found.work
    option = replace(east, cost=2.0, found=replace(east.found, passes={"drill": 16}))
    # half the ground in half the hours is as much for each hectare
    own = replace(east.found, passes={"drill": passes}, work=work / 2.0)
    other = replace(east, cost=1.0 + more, found=own)
    assert minutes_more(option, other) == pytest.approx(120.0 * more)
    said = edge_words(option, other, compared.site.rings)
    assert said.startswith("To drive straight along the")
    assert said.endswith(words)


def test_a_bent_way_is_told_by_its_edge():
    bent = field_of(Polygon([(0, 0), (200, 0), (400, 70), (400, 300), (0, 300)]))
    compared, _ = only(0.0, field=bent)
    words = [way_words(one, compared.site.rings) for one in compared.options if one.side]
    assert words == ["along the bent south edge"]


def test_rows_on_a_slope_are_held_against_the_limit_for_the_soil():
    # 5 % to the north: rows north are too steep all along, rows east nowhere.
    rows, columns = 60, 60
    heights = np.repeat(np.arange(rows, 0.0, -1.0)[:, None] * 0.5, columns, axis=1)
    to_cells = np.array([[0.1, 0.0, 30.0], [0.0, -0.1, 30.0]])  # cells of 10 m
    field = replace(FIELD, terrain=Terrain(heights, to_cells, "invented"))
    _, north = only(0.0, field=field)
    assert grade_words(north).startswith("100 % of the rows are steeper")
    assert "the steepest 5.0 %" in grade_words(north)
    _, east = only(90.0, field=field)
    assert grade_words(east).startswith("0 % of the rows")


def test_without_heights_the_grade_is_said_to_be_unknown():
    assert "not known" in grade_words(only(0.0)[1])


def test_light_is_told_for_tree_rows():
    _, rows = only(12.0)
    assert light_words(rows) == "Rows run 12 degrees off north-south."
    _, trees = only(12.0, ALLEYS)
    assert light_words(trees).startswith("Tree rows run 12 degrees off north-south; in middle")
    assert light_words(trees).endswith("told by geolayout light.")


@pytest.mark.parametrize(
    ("wind", "how"),
    [
        pytest.param(190.0, "nearly along the rows, at 10 degrees", id="down the rows"),
        pytest.param(270.0, "nearly square to the rows, at 90 degrees", id="from the side"),
        pytest.param(225.0, "aslant to the rows, at 45 degrees", id="aslant"),
    ],
)
def test_a_wind_is_held_against_the_rows(wind, how):
    assert how in wind_words(only(0.0)[1], wind)


def test_shares_are_told_as_got_and_wanted():
    assert share_words(only(90.0)[1]) == (
        "Of the bands' ground: maize 50 % (wanted 50 %) and beans 50 % (wanted 50 %)."
    )


def test_what_the_plan_does_not_say_is_said_to_be_assumed():
    said = " ".join(assumptions(only(0.0)[0]))
    assert "No speed is given for drill" in said
    assert "No turning radius is given for drill" in said
    assert "Filling, waiting, the road and rain are not in these hours" in said


def test_a_split_is_told_with_its_place_and_where_its_hours_come_from():
    parts = (box(-200, -48, 0, 48), box(0, -48, 200, 48))
    cut = LineString([(0, -48), (0, 48)])
    split = Split(parts, (0.0, 90.0), cut, 1.5, 0.5, 0.25)
    said = split_words(split, FIELD)
    assert re.match(r"Parted by a line of 96 m near the middle of the field", said)
    assert "0 and 90 degrees" in said
    assert "about 1.5 h, 25 % less" in said
    assert "quick look" in said
    assert split_words(replace(split, cut=None), FIELD).startswith("With a block")


def test_lines_have_no_beginning():
    assert fold(350.0, 170.0) == 0.0
    assert fold(100.0, 0.0) == 80.0
