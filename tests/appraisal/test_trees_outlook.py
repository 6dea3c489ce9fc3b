"""Scenarios of crops beside trees: the published figures, and land equivalents by hand."""

import pytest
from shapely import box
from strategies import field_of, laid, plan_of, refused

from geolayout.appraisal.trees.outlook import SCENARIOS, outlook_years
from geolayout.errors import PlanError
from geolayout.handover.words.outlook import outlook_lines

# 24 m of crop, 3 m of trees: a field of 8 repeats, 24 / 27 of it crop
LAND = box(0, 0, 216, 100)
ALLEYS = (
    '[[pattern]]\nname = "alleys"\nbands = [\n'
    '  { name = "C", width = 24.0, stand = "maize" },\n'
    '  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 5.0 } },\n]\n'
)


def years_of(outlook, pattern=ALLEYS):
    guide = 'bearing = 0.0\nfrom = "west"'
    return outlook_years(laid(field_of(LAND), plan_of(pattern, outlook, guide=guide)))


def test_the_european_trials_start_at_96_and_lose_2_6_points_a_year():
    # 96 - 21 x 2.6 = 41.4 % in the last year of the trials (meta-analysis of 2021, abstract)
    trials = SCENARIOS[1]
    assert trials.in_year(0) == pytest.approx(0.96)
    assert trials.in_year(21) == pytest.approx(0.414)
    assert trials.in_year(22) is None


def test_the_other_two_do_not_change_with_the_years():
    # No loss over the field (Swieter and others 2018); 30 % less (Panozzo and others), abstracts
    assert [SCENARIOS[0].in_year(year) for year in (0, 20)] == [1.0, 1.0]
    assert [SCENARIOS[2].in_year(year) for year in (0, 20)] == [0.7, 0.7]


def test_land_equivalents_add_what_crop_and_trees_yield():
    found = years_of("[outlook]\ncrop = [[0, 1.0], [10, 0.8]]\ntrees = [[5, 0.3]]\nyears = [5]")
    own = found[0]
    # Halfway from 1.0 to 0.8, on 24 of 27 m: 0.9 x 24 / 27 = 0.8; and 0.3 of a plantation
    assert (own.scenario, own.crop) == ("your own", pytest.approx(0.9))
    assert own.crop_part == pytest.approx(0.8, abs=1e-4)
    assert own.land_equivalent == pytest.approx(1.1, abs=1e-4)
    assert [one.scenario for one in found[1:]] == [one.name for one in SCENARIOS]
    lines = outlook_lines(found)
    assert lines[0] == "your own: year 5 90 % of the sole crop (land equivalent 1.10)."
    assert any("says nothing of money" in line for line in lines)
    assert any("Swieter" in line for line in lines)


def test_without_figures_of_the_trees_no_land_equivalent_is_told():
    found = years_of("[outlook]\nyears = [10, 30]")
    assert all(one.land_equivalent is None for one in found)
    assert [one.year for one in found if one.scenario == SCENARIOS[1].name] == [10]
    assert "land equivalent" not in outlook_lines(found)[0]


@pytest.mark.parametrize(
    ("outlook", "pattern"),
    [
        pytest.param("", ALLEYS, id="not asked for"),
        pytest.param(
            "[outlook]",
            '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 24.0, stand = "maize" } ]',
            id="no trees",
        ),
    ],
)
def test_where_there_is_nothing_to_tell_nothing_is_said(outlook, pattern):
    assert years_of(outlook, pattern) == ()
    assert outlook_lines(()) == []


def test_years_out_of_order_are_refused():
    error = refused(plan_of, ALLEYS, "[outlook]\ncrop = [[5, 0.9], [2, 0.8]]")
    assert isinstance(error, PlanError)
    assert "for the years [5.0, 2.0]" in error.found or "for the years [5, 2]" in error.found
