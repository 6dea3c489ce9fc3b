"""Bands side by side, with or without trees, or a trial in their place."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.pattern import Band, BandTrees, Pattern
from geolayout.plan.slack import ACROSS_SLACK

PLAN = """
schema = 1
[[stand]]
name = "maize"
sowing = [ {{ crop = "maize", spacing = 0.75 }} ]
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", spacing = 0.25 }} ]
[[pattern]]
name = "p"
{keys}
"""
A = '{ name = "A", width = 6.0, stand = "maize" }'


def pattern_of(keys: str) -> Pattern:
    return parse_plan(PLAN.format(keys=keys)).patterns[0]


def trial_of(keys: str = "", **figures) -> Pattern:
    said = {"replicates": 4, "plot_width": 24.0, "guard": 6.0, "harvest_width": 12.0, **figures}
    inner = ", ".join(f"{key} = {value}" for key, value in said.items())
    return pattern_of(f'trial = {{ treatments = ["maize", "beans"], {inner} }}\n{keys}')


def trees_of(keys: str, width: float = 3.0) -> BandTrees:
    band = f'{{ name = "T", width = {width}, trees = {{ {keys} }} }}'
    return pattern_of(f"bands = [ {band} ]").bands[0].trees


# ---- what is accepted


def test_what_is_not_said_of_a_pattern_has_its_default():
    pattern = pattern_of(f"bands = [ {A} ]")
    assert (pattern.remainder, pattern.close_with, pattern.repeats, pattern.rest) == (
        "cut",
        None,
        None,
        None,
    )
    assert not pattern.laid_once
    assert not pattern.has_trees
    assert pattern.repeat_width == 6.0


def test_a_band_of_width_rest_makes_the_pattern_one_that_is_laid_once():
    pattern = pattern_of(f'bands = [ {A}, {{ name = "R", width = "rest", stand = "none" }} ]')
    assert pattern.laid_once
    assert pattern.repeat_width == 6.0


def test_the_least_width_is_the_slack_if_nothing_is_said():
    assert Band(name="A", width=6.0, stand="none").least_width == ACROSS_SLACK
    assert Band(name="A", width=6.0, stand="none", min_width=2.0).least_width == 2.0


def test_a_band_with_trees_may_be_bare_without_saying_so():
    band = pattern_of('bands = [ { name = "T", width = 3.0, trees = { in_row_spacing = 5.0 } } ]')
    assert band.bands[0].stand == "none"
    assert band.has_trees


@pytest.mark.parametrize(
    ("keys", "first", "last"),
    [
        # half of 5 m at both ends if nothing is said
        pytest.param("in_row_spacing = 5.0", 2.5, 2.5, id="half the spacing"),
        pytest.param("in_row_spacing = 5.0, first = 1.0", 1.0, 1.0, id="last is as first"),
        pytest.param("in_row_spacing = 5.0, first = 0.0, last = 3.0", 0.0, 3.0, id="both said"),
    ],
)
def test_distances_from_the_ends_of_a_tree_row(keys, first, last):
    trees = trees_of(keys)
    assert (trees.first_distance, trees.last_distance) == (first, last)


def test_triangular_trees_set_their_own_row_spacing():
    # rows of an equilateral triangle lie s x sqrt(3) / 2 apart: 2 m gives 1.732 m
    trees = trees_of('in_row_spacing = 2.0, rows = 2, arrangement = "triangular"')
    assert trees.row_step == pytest.approx(1.7320508)


# ---- what is refused


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param("", r"no bands.*trial = ", id="neither bands nor a trial"),
        pytest.param("bands = []", r"no bands", id="an empty list of bands"),
        pytest.param(f"bands = [ {A}, {A} ]", r"two bands called A", id="a band twice"),
        pytest.param(
            'bands = [ { name = "A", width = 6.0 } ]',
            r"Band A has no stand.*\"none\"",
            id="no stand",
        ),
        pytest.param(
            'bands = [ { name = "A", width = 6.0, stand = "maize", min_width = 7.0 } ]',
            r"6 m wide with min_width 7 m",
            id="a least width above the width",
        ),
        pytest.param(
            'bands = [ { name = "A", width = "rest", stand = "maize" },'
            ' { name = "B", width = "rest", stand = "maize" } ]',
            r'width = "rest" on A and B',
            id="two bands take the rest",
        ),
        pytest.param(
            'bands = [ { name = "A", width = "rest", stand = "maize" } ]\nrepeats = 2',
            r"repeats and a band of width \"rest\"",
            id="repeats of what is laid once",
        ),
        pytest.param(
            f'bands = [ {A} ]\nrest = "beans"',
            r"`rest` and no repeats.*Add repeats",
            id="rest alone",
        ),
        pytest.param(
            'bands = [ { name = "rest", width = 6.0, stand = "maize" } ]\n'
            'repeats = 1\nrest = "beans"',
            r'a band called "rest"',
            id="a band called rest beside the rest",
        ),
        pytest.param(
            f'bands = [ {A} ]\nclose_with = "B"', r"closes with 'B'", id="closes with none"
        ),
    ],
)
def test_a_pattern_that_contradicts_itself_is_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        pattern_of(keys)


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param("at = [1.0], rows = 1", r"said twice", id="at and rows"),
        pytest.param("at = [1.0], row_spacing = 1.0", r"said twice", id="at and row spacing"),
        pytest.param("at = []", r"at = \[\]", id="no places"),
        pytest.param("at = [2.0, 1.0]", r"growing", id="places falling"),
        pytest.param("at = [3.5]", r"reach 3\.5 m across a band of 3 m", id="outside the band"),
        pytest.param("rows = 2", r"rows = 2 and no row_spacing", id="rows without spacing"),
        pytest.param(
            "rows = 3, row_spacing = 2.0",
            r"reach 4 m across a band of 3 m",
            id="rows too far apart",
        ),
    ],
)
def test_trees_that_do_not_stand_in_their_band_are_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        trees_of(f"in_row_spacing = 5.0, {keys}")


# ---- trials


def test_a_plot_holds_its_guards_and_the_weighed_pass():
    # 12 + 2 x 6 = 24 m
    assert trial_of().trial.plot_width == 24.0


@pytest.mark.parametrize(
    ("figures", "match"),
    [
        pytest.param({"plot_width": 23.9}, r"23\.9 m wide and needs 24 m", id="a plot too narrow"),
        pytest.param(
            {"guard": 6.1}, r"needs 24\.2 m.*6\.1 m guard each side", id="guards too wide"
        ),
        pytest.param({"replicates": 0}, r"replicates is 0", id="no replicate"),
        pytest.param({"seed": -1}, r"seed is -1", id="a seed below 0"),
    ],
)
def test_a_trial_that_does_not_fit_its_plot_is_refused(figures, match):
    with pytest.raises(PlanError, match=match):
        trial_of(**figures)


@pytest.mark.parametrize(
    ("treatments", "match"),
    [
        pytest.param('["maize", "maize"]', r"a treatment twice.*use replicates", id="one twice"),
        pytest.param('["maize"]', r"a list of 2 or more", id="nothing to compare with"),
    ],
)
def test_a_trial_compares_different_things(treatments, match):
    with pytest.raises(PlanError, match=match):
        pattern_of(
            f"trial = {{ treatments = {treatments}, replicates = 2, plot_width = 6.0, "
            "harvest_width = 6.0 }"
        )


def test_a_trial_and_bands_do_not_go_together():
    with pytest.raises(PlanError, match=r"both bands and a trial"):
        trial_of(f"bands = [ {A} ]")


def test_a_trial_says_by_itself_how_often():
    with pytest.raises(PlanError, match=r"a trial and has repeats = 2.*replicates"):
        trial_of("repeats = 2")
