"""Dense boundaries thinned, never by more than is said."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, box

from geolayout.land.boundary.thin import LADDER, MOST_CORNERS, corners_of, thinned


def round_land(corners, stray, seed=1, radius=180.0):
    """Draw a round field whose corners stray to either side of its edge. [m]"""
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    off = radius + np.random.default_rng(seed).normal(0, stray, corners)
    return Polygon(np.column_stack((off * np.cos(angle), off * np.sin(angle))))


def test_corners_are_counted_once():
    hole = [(10, 10), (20, 10), (15, 20)]
    land = MultiPolygon([Polygon(box(0, 0, 100, 100).exterior, [hole]), box(200, 0, 300, 100)])
    assert corners_of(land) == 4 + 3 + 4


def test_land_of_few_corners_is_left_alone():
    land = round_land(MOST_CORNERS, 0.02)
    less = thinned(land)
    assert less.land is land
    assert (less.tolerance, less.before, less.after) == (0.0, MOST_CORNERS, MOST_CORNERS)


@pytest.mark.parametrize(
    ("corners", "stray", "tolerance"),
    [
        pytest.param(20_000, 0.001, 0.02, id="1 mm of noise needs the least"),
        pytest.param(20_000, 0.02, 0.05, id="2 cm of noise"),
        pytest.param(20_000, 0.1, 0.25, id="10 cm of noise"),
    ],
)
def test_the_least_tolerance_that_will_do_is_taken(corners, stray, tolerance):
    land = round_land(corners, stray)
    less = thinned(land)
    assert less.tolerance == tolerance
    assert less.before == corners
    assert less.after == corners_of(less.land) <= MOST_CORNERS
    below = [step for step in LADDER if step < tolerance]
    assert all(corners_of(shapely.simplify(land, step)) > MOST_CORNERS for step in below)


def test_the_last_tolerance_is_taken_where_none_will_do():
    less = thinned(round_land(20_000, 0.5))
    assert less.tolerance == LADDER[-1]
    assert less.after > MOST_CORNERS


@pytest.mark.parametrize("tolerance", [0.0, 0.1, 1.0])
def test_a_tolerance_asked_for_is_kept(tolerance):
    land = round_land(500, 0.02)
    less = thinned(land, tolerance)
    assert less.tolerance == tolerance
    assert (less.after < 500) == (tolerance > 0)


def test_nothing_left_out_is_a_tolerance_of_nought():
    assert thinned(box(0, 0, 100, 100), 0.1).tolerance == 0.0


@settings(max_examples=25)
@example(172, 0.25, 1.75, 55)  # the start of the ring was left out, 1.85 m off
@given(st.integers(50, 2000), st.floats(0.0, 0.5), st.floats(0.01, 2.0), st.integers(0, 99))
def test_no_corner_left_out_lies_farther_off_than_is_said(corners, stray, tolerance, seed):
    land = round_land(corners, stray, seed)
    if not land.is_valid:
        return
    less = thinned(land, tolerance)
    assert less.land.is_valid
    drawn = shapely.points(shapely.get_coordinates(land))
    assert shapely.distance(less.land.exterior, drawn).max() <= tolerance + 1e-9
    kept = {tuple(corner) for corner in shapely.get_coordinates(less.land)}
    assert kept <= {tuple(corner) for corner in shapely.get_coordinates(land)}


def test_holes_stay_and_rings_do_not_cross():
    outer, hole = round_land(8000, 0.05), round_land(8000, 0.05, seed=2, radius=179.0)
    land = Polygon(outer.exterior, [hole.exterior])
    assert land.is_valid
    less = thinned(land)
    assert less.land.is_valid
    assert len(less.land.interiors) == 1
