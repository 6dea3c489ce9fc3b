"""Tree rows against the crop's light: distances, heights by year, and the way they run."""

import pytest
import shapely
from appraisal_layouts import layout_of, of_key, the_one
from strategies import ALLEYS, field_of, laid, plan_of

from geolayout.appraisal.alleys.cautions import year_of_height
from geolayout.plan.pattern import BandTrees
from geolayout.plan.trees.growth import FAST, SLOW, Growth

EAST = 'bearing = 90.0\nfrom = "south"'
NORTH = 'bearing = 0.0\nfrom = "west"'


def alleys(keys, guide=NORTH, crop=24.0):
    """Alleys of so much crop between tree strips of 3 m."""
    stand = '[[stand]]\nname = "barley"\nsowing = [ { crop = "barley", spacing = 0.125 } ]'
    bands = (
        f'[[pattern]]\nname = "p"\nclose_with = "C"\nbands = [ {{ name = "C", width = {crop}, '
        f'stand = "barley", min_width = 6.0 }}, {{ name = "T", width = 3.0, whole = true, '
        f"trees = {{ in_row_spacing = 5.0, {keys} }} }} ]"
    )
    return layout_of(stand, bands, guide=guide)


@pytest.mark.parametrize(
    ("mature", "warned"),
    [
        pytest.param(13.5, False, id="27 m are two heights"),
        pytest.param(14.0, True, id="27 m are less than 28"),
    ],
)
def test_rows_nearer_than_two_heights_are_told(mature, warned):
    found = of_key(alleys(f"mature_height = {mature}"), "tree-rows-near")
    assert bool(found) == warned
    if warned:
        assert (found[0].value, found[0].threshold) == (pytest.approx(27.0), 28.0)
        assert "27.0 m apart" in found[0].sentence


def test_the_year_in_which_the_crop_begins_to_suffer_by_hand():
    # 0.8 x 24 m = 19.2 m; heights of 10 m in year 10 and 30 m in year 30 pass it in year 19.2.
    caution = the_one(alleys("growth = { height = [[10, 10.0], [30, 30.0]] }"), "trees-high")
    assert (caution.severity, caution.threshold) == ("warning", 0.8)
    assert "19.2 m high" in caution.sentence
    assert "year 19.5;" in caution.sentence  # to the half year


def test_half_the_alley_is_a_note():
    # 0.5 x 24 = 12 m in year 12; never 19.2
    caution = the_one(alleys("growth = { height = [[10, 10.0], [14, 14.0]] }"), "trees-high")
    assert (caution.severity, caution.threshold) == ("note", 0.5)
    assert "year 12;" in caution.sentence


def test_an_estimate_is_told_as_a_span_of_years():
    caution = the_one(alleys("mature_height = 25.0"), "trees-high")
    assert "by our estimate of growth" in caution.sentence


def test_trees_that_stay_low_and_trees_of_unknown_height_are_left_in_peace():
    assert of_key(alleys("mature_height = 6.0"), "trees-high") == []
    assert of_key(alleys("species = 'pear'"), "trees-high") == []


@pytest.mark.parametrize(
    ("guide", "warned"),
    [pytest.param(NORTH, False, id="north"), pytest.param(EAST, True, id="east")],
)
def test_rows_that_run_east_at_52_degrees_are_told(guide, warned):
    layout = laid(field_of(shapely.box(0, 0, 120, 110)), plan_of(ALLEYS, guide=guide))
    assert bool(of_key(layout, "tree-rows-east-west")) == warned


def test_at_the_equator_rows_may_run_as_they_like():
    assert of_key(alleys("mature_height = 8.0", EAST), "tree-rows-east-west") == []


def test_a_height_that_is_never_reached_has_no_year():
    trees = BandTrees(in_row_spacing=5.0, mature_height=10.0, growth=Growth())
    assert year_of_height(trees, 11.0, FAST) is None
    # 10 (1 - exp(-3 t / 40)) = 5 at t = 40 ln 2 / 3 = 9.24
    assert year_of_height(trees, 5.0, SLOW) == 9.5
