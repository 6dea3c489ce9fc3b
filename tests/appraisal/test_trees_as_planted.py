"""As planted against as planned: offsets, missing, extra; failures by row. All invented."""

import numpy as np
import pytest
from appraisal_layouts import GRASS, layout_of
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.trees.as_planted import Failure, compare_planted, losses

# 60 m by 120 m, rows north: two rows of 24 trees, 5 m apart.
TWO_ROWS = """
[[pattern]]
name = "p"
bands = [
  { name = "C", width = 18.0, stand = "grass" },
  { name = "T", width = 4.0, trees = { in_row_spacing = 5.0 } },
]
close_with = "C"
"""
LAYOUT = layout_of(GRASS, TWO_ROWS)


def test_what_was_planted_as_planned_is_found_whole():
    planted = compare_planted(LAYOUT, LAYOUT.trees.xy)
    assert (planted.point == np.arange(48)).all()
    assert planted.off == pytest.approx(np.zeros(48))
    assert [(row.planned, row.found, row.missing) for row in planted.rows] == [(24, 24, ())] * 2
    assert planted.reach == 2.5


def test_a_row_set_off_to_the_right_a_tree_missing_and_one_too_many():
    # All of row 2 stand 0.30 m to the right (east, rows run north) and 0.40 m forward: 0.5 m off.
    # Tree 3 of row 1 is missing, and a point lies 10 m west of everything.
    points = LAYOUT.trees.xy.copy()
    second = LAYOUT.trees.row == 2
    points[second] += [0.3, 0.4]
    gone = (LAYOUT.trees.row == 1) & (LAYOUT.trees.position == 3)
    points = np.concatenate([points[~gone], [[points[:, 0].min() - 10.0, 0.0]]])
    planted = compare_planted(LAYOUT, points)
    first, other = planted.rows
    assert (first.found, first.missing) == (23, (3,))
    assert (other.found, other.missing) == (24, ())
    assert other.mean_across_m == pytest.approx(0.3)
    assert other.greatest_off_m == pytest.approx(0.5)
    assert planted.along[second] == pytest.approx(np.full(24, 0.4))
    assert planted.extra.tolist() == [len(points) - 1]
    assert np.isnan(planted.off[gone]).all()


def test_two_points_at_one_tree_are_one_tree_and_one_too_many():
    points = np.concatenate([LAYOUT.trees.xy, LAYOUT.trees.xy[:1] + np.array([0.1, 0.0])])
    planted = compare_planted(LAYOUT, points)
    assert planted.extra.tolist() == [48]
    assert planted.point[0] == 0


def test_a_point_beyond_the_reach_is_no_tree():
    points = LAYOUT.trees.xy + np.array([0.6, 0.0])
    planted = compare_planted(LAYOUT, points, reach=0.5)
    assert (planted.point == -1).all()
    assert len(planted.extra) == 48
    assert planted.rows[0].mean_across_m is None


@given(seed=st.integers(0, 10_000), left_out=st.integers(0, 20))
def test_found_and_missing_add_up_in_any_order(seed, left_out):
    draw = np.random.default_rng(seed)
    kept = draw.permutation(48)[left_out:]
    points = LAYOUT.trees.xy[kept] + draw.uniform(-0.5, 0.5, (len(kept), 2))
    planted = compare_planted(LAYOUT, points)
    assert sum(row.found for row in planted.rows) == 48 - left_out
    assert sum(len(row.missing) for row in planted.rows) == left_out
    assert len(planted.extra) == 0
    assert (planted.point[kept] == np.arange(len(kept))).all()


def test_without_points_every_tree_is_missing():
    planted = compare_planted(LAYOUT, np.empty((0, 2)))
    assert [row.found for row in planted.rows] == [0, 0]
    assert planted.rows[0].greatest_off_m is None


def test_failures_are_tallied_by_row():
    # Row 1: 3 of 24 failed, one was replaced; row 2: none
    failures = [Failure(1, 4), Failure(1, 5, replaced=True), Failure(1, 19)]
    first, second = losses(LAYOUT, failures)
    assert (first.planted, first.failed, first.replaced, first.open) == (24, 3, 1, 2)
    assert first.failed_percent == pytest.approx(12.5)
    assert (second.failed, second.failed_percent) == (0, 0.0)
