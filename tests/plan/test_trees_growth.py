"""Trees by year: given heights, and the stated estimate where none are given."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.trees.growth import FAST, SLOW, Growth, estimated_height


@pytest.mark.parametrize(
    ("year", "height"),
    [
        pytest.param(0.0, 0.0, id="planted as good as nothing"),
        pytest.param(5.0, 3.0, id="half way to the first figure"),
        pytest.param(10.0, 6.0, id="the first figure"),
        pytest.param(15.0, 9.0, id="half way between two"),  # (6 + 12) / 2
        pytest.param(60.0, 12.0, id="level after the last"),
    ],
)
def test_given_heights_are_joined_by_straight_lines(year, height):
    growth = Growth(height=((10.0, 6.0), (20.0, 12.0)))
    assert growth.height_in(year, 30.0, SLOW) == pytest.approx(height)


def test_the_estimate_is_95_percent_after_the_years_of_the_site():
    assert estimated_height(20.0, SLOW, SLOW) == pytest.approx(0.95 * 20.0, abs=0.005)
    assert estimated_height(20.0, FAST, FAST) == pytest.approx(0.95 * 20.0, abs=0.005)


@given(year=st.floats(0.1, 100.0), mature=st.floats(2.0, 40.0))
def test_a_fast_site_is_ahead_and_none_outgrows_the_tree(year, mature):
    slow, fast = (estimated_height(mature, year, pace) for pace in (SLOW, FAST))
    assert slow < fast <= mature


def test_nobody_knows_a_height_that_nobody_gave():
    assert Growth().height_in(10.0, None, SLOW) is None


def test_a_crown_is_half_as_wide_as_the_tree_is_high_unless_it_is_said():
    assert Growth().crown_in(10.0, 8.0) == 4.0
    assert Growth(crown_width=((10.0, 3.0),)).crown_in(10.0, 8.0) == 3.0


@pytest.mark.parametrize(
    ("leaf", "month", "leafy"),
    [
        pytest.param((4, 10), 3, False, id="before spring"),
        pytest.param((4, 10), 4, True, id="the first month"),
        pytest.param((4, 10), 10, True, id="the last month"),
        pytest.param((10, 4), 1, True, id="summer of the south"),
        pytest.param((10, 4), 7, False, id="winter of the south"),
        pytest.param((10, 4), 4, True, id="the south's last month"),
    ],
)
def test_leaves_come_and_go(leaf, month, leafy):
    growth = Growth(leaf=leaf, leaf_density=2.0, bare=0.25)
    assert growth.density_in(month) == (2.0 if leafy else 0.5)


def test_years_that_do_not_grow_are_refused():
    trees = "trees = { in_row_spacing = 5.0, growth = { height = [[10, 6.0], [5, 3.0]] } }"
    text = f'[[pattern]]\nname = "p"\nbands = [ {{ name = "T", width = 3.0, {trees} }} ]'
    with pytest.raises(PlanError, match=r"Years grow"):
        parse_plan(f"schema = 1\n{text}")
