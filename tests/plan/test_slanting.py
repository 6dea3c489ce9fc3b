"""Turns at slanting ends, by sums on paper. The lines themselves are in tests/layout/test_turns."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.plan.slanting import (
    headland_needed_aslant,
    turn_depth_aslant,
    turn_length_aslant,
)
from geolayout.plan.turns import headland_needed, turn_depth, turn_length

WAYS = st.sampled_from(["forward", "three-point"])


@given(radius=st.floats(2, 15), spacing=st.floats(0.5, 40), way=WAYS)
def test_at_right_angles_it_is_the_turn_of_square_ends(radius, spacing, way):
    assert turn_depth_aslant(radius, spacing, 90.0, way) == turn_depth(radius, spacing, way)
    assert turn_length_aslant(radius, spacing, 90.0, way) == turn_length(radius, spacing, way)
    square = headland_needed(radius, spacing, 6.0, way)
    assert headland_needed_aslant(radius, spacing, 6.0, 90.0, way) == pytest.approx(square)


@given(radius=st.floats(2, 15), spacing=st.floats(0.5, 40), way=WAYS)
def test_just_off_right_angles_it_is_nearly_that(radius, spacing, way):
    near = turn_depth_aslant(radius, spacing, 89.9, way)
    assert near == pytest.approx(turn_depth(radius, spacing, way), abs=0.01 * radius)


def test_a_u_at_60_degrees():
    # R (1 + cos 60) = 6.5 x 1.5 = 9.75; half an implement of 6 m, and 3 x cos 60 driven on: 4.5
    assert turn_depth_aslant(6.5, 13.0, 60.0) == pytest.approx(9.75)
    assert headland_needed_aslant(6.5, 13.0, 6.0, 60.0) == pytest.approx(14.25)
    # pi 6.5 + 13 / tan 60 = 20.42 + 7.506
    assert turn_length_aslant(6.5, 13.0, 60.0) == pytest.approx(27.926, abs=1e-3)


def test_an_omega_at_60_degrees():
    # d = 6 / tan 60 = 3.464; D = sqrt(19^2 + 12) = 19.313; sqrt(169 - 93.25) = 8.703
    # (6 / 0.866 + 13 x 0.866) / 19.313 = 0.9417; 8.703 x 0.9417 + 6.5 = 14.696
    assert turn_depth_aslant(6.5, 6.0, 60.0) == pytest.approx(14.696, abs=1e-3)


def test_a_bulb_where_the_edge_runs_so_flat_that_passes_end_two_radii_apart_along_it():
    # 6 / sin 20 = 17.54, above 13: R (1 + cos 20) = 6.5 x 1.9397
    assert turn_depth_aslant(6.5, 6.0, 20.0) == pytest.approx(12.608, abs=1e-3)


def test_a_three_point_turn_at_60_degrees():
    # 6.5 x (sin 60 + cos 60) = 6.5 x 1.366 = 8.879, above 6.5 - 0.5 x 0.5
    assert turn_depth_aslant(6.5, 6.0, 60.0, "three-point") == pytest.approx(8.879, abs=1e-3)
    # 27.42 + 6 / tan 60
    assert turn_length_aslant(6.5, 6.0, 60.0, "three-point") == pytest.approx(30.884, abs=1e-3)
