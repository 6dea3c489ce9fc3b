"""
Depth and length of turns against closed forms.

Of the printed headland widths left out: two to four times the planter, one sprayer boom, and the
share of a 4 ha field under a 24 m headland: those are customs, not what a turn takes.
"""

from math import acos, hypot, pi, sin

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.plan.turns import (
    headland_for_turn,
    headland_needed,
    turn_depth,
    turn_length,
    turn_word,
)


@pytest.mark.parametrize(
    ("spacing", "needed"),
    [
        # plain geometry of the omega, radius 6.5 m, 6 m implement:
        # k = 1: sqrt(169 - 9.5^2) + 6.5 + 3 = 8.87 + 9.5
        pytest.param(6.0, 18.4, id="neighbouring pass"),
        # k = 2: sqrt(169 - 12.5^2) + 9.5 = 3.57 + 9.5
        pytest.param(12.0, 13.1, id="every second pass"),
        pytest.param(13.0, 9.5, id="two radii"),
        pytest.param(40.0, 9.5, id="far more than two radii"),
    ],
)
def test_headland_needed_for_a_step(spacing, needed):
    assert headland_needed(6.5, spacing, 6.0) == pytest.approx(needed, abs=0.05)


@given(radius=st.floats(3.0, 12.0), share=st.floats(0.05, 0.999))
@example(radius=6.5, share=6.0 / 13.0)
def test_an_omega_is_as_deep_as_three_touching_circles_reach(radius, share):
    """
    The outer arc touches both arcs that begin at the ends of the passes.

    Their centres lie a radius outside the passes, so the arc's centre is above the middle at the
    height of a triangle with sides of two radii. The way round is R (pi + 4 alpha).
    """
    spacing = share * 2.0 * radius
    alpha = acos((radius + spacing / 2.0) / (2.0 * radius))
    height = 2.0 * radius * sin(alpha)
    depth = turn_depth(radius, spacing)
    assert depth == pytest.approx(height + radius, rel=1e-9)
    assert hypot(radius + spacing / 2.0, depth - radius) == pytest.approx(2.0 * radius)
    assert turn_length(radius, spacing) == pytest.approx(radius * (pi + 4.0 * alpha))


@pytest.mark.parametrize(
    ("spacing", "word", "depth", "length"),
    [
        # radius 6.5: pi x 6.5 = 20.42; at 13 m nothing is left between the quarter circles
        pytest.param(13.0, "U", 6.5, 20.42, id="two radii, a half circle"),
        # 20.42 + 20 - 13
        pytest.param(20.0, "U", 6.5, 27.42, id="a straight of 7 m between"),
        # cos a = 9.5 / 13, a = 0.7516; 6.5 x (3.1416 + 3.0063)
        pytest.param(6.0, "omega", 15.37, 39.96, id="the neighbouring pass"),
    ],
)
def test_a_turn_forward_by_hand(spacing, word, depth, length):
    assert turn_word(6.5, spacing) == word
    assert turn_depth(6.5, spacing) == pytest.approx(depth, abs=0.005)
    assert turn_length(6.5, spacing) == pytest.approx(length, abs=0.005)


def test_a_three_point_turn_is_two_quarter_circles_and_a_way_back():
    # 20.42 + (13 - 6) back; no deeper than the radius
    assert turn_length(6.5, 6.0, "three-point") == pytest.approx(27.42, abs=0.005)
    assert turn_depth(6.5, 6.0, "three-point") == 6.5
    assert turn_word(6.5, 6.0, "three-point") == "three-point"


def test_from_two_radii_on_nobody_goes_back():
    assert turn_word(6.5, 13.0, "three-point") == "U"
    assert turn_length(6.5, 20.0, "three-point") == turn_length(6.5, 20.0)


@given(radius=st.floats(3.0, 12.0))
def test_length_and_depth_have_no_step_where_an_omega_becomes_a_u(radius):
    nearly = 2.0 * radius * (1.0 - 1e-9)
    assert turn_depth(radius, nearly) == pytest.approx(radius, rel=1e-3)
    assert turn_length(radius, nearly) == pytest.approx(pi * radius, rel=1e-3)


@pytest.mark.parametrize(
    ("step", "way", "width"),
    [
        pytest.param(1, "forward", 24.0, id="18.4 m needed, four widths of 6 m"),
        pytest.param(2, "forward", 18.0, id="13.1 m needed, three widths"),
        pytest.param(3, "forward", 12.0, id="9.5 m needed, two widths"),
        pytest.param(1, "three-point", 12.0, id="9.5 m needed, going back once"),
    ],
)
def test_the_headland_for_a_turn_is_whole_widths(step, way, width):
    assert headland_for_turn(6.5, step, 6.0, way) == width


def test_a_width_that_is_short_by_rounding_is_not_doubled():
    # radius 3 m, U: 3 + 3 = 6 m needed; 6.0 m must not become 12
    assert headland_for_turn(3.0, 1, 6.0) == 6.0
