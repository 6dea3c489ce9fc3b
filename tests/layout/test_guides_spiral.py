"""Spirals of round fields against closed forms and against drawn ones."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geolayout.errors import LayoutError
from geolayout.layout.guides.spiral import Circle, circle_of, spiral, spiral_length, worked_twice

MIDDLE = Circle(3.0, -4.0, 100.0)


@given(outer=st.floats(40.0, 300.0), pitch=st.floats(2.0, 12.0), inner=st.floats(5.0, 30.0))
def test_the_drawn_spiral_is_as_long_as_the_closed_form(outer, pitch, inner):
    xy = spiral(MIDDLE, outer, pitch, inner)
    drawn = np.hypot(*np.diff(xy, axis=0).T).sum()
    assert drawn == pytest.approx(spiral_length(outer, pitch, inner), rel=1e-4)


def test_every_turn_comes_in_by_the_pitch():
    xy = spiral(MIDDLE, 97.0, 6.0, 10.0)
    radius = np.hypot(*(xy - [3.0, -4.0]).T)
    angle = np.unwrap(np.arctan2(*(xy - [3.0, -4.0]).T[::-1]))
    # 97 m at 0, 91 m after one turn, 85 m after two
    found = np.interp([0.0, 2 * np.pi, 4 * np.pi], angle, radius)
    assert found == pytest.approx([97.0, 91.0, 85.0], abs=0.01)


def test_a_circle_of_the_same_turns_is_about_as_long():
    # 14.5 turns from 97 m to 10 m at 53.5 m in the mean: 2 pi x 53.5 x 14.5 = 4,874 m
    assert spiral_length(97.0, 6.0, 10.0) == pytest.approx(4874.2, abs=1.5)


def test_ground_worked_twice_by_overlay():
    round_ = disc(100.0) - disc(94.0)
    turn = spiral(Circle(0.0, 0.0, 100.0), 97.0, 6.0, 91.0)
    unit = turn / np.hypot(*turn.T)[:, None]
    swath = shapely.Polygon(np.concatenate([turn + 3 * unit, (turn - 3 * unit)[::-1]]))
    both = shapely.intersection(round_, swath.buffer(0))
    assert both.area == pytest.approx(worked_twice(100.0, 6.0), rel=2e-3)


def disc(radius):
    """Return a fine circle about the origin."""
    return shapely.Point(0, 0).buffer(radius, quad_segs=400)


def test_a_round_edge_is_found_and_another_refused():
    edge = np.asarray(shapely.Point(5, 5).buffer(80, quad_segs=60).exterior.coords)
    found = circle_of(edge, 1.0)
    assert (found.x, found.y, found.radius) == pytest.approx((5.0, 5.0, 80.0), abs=0.05)
    with pytest.raises(LayoutError, match=r"41\.4 m outside the greatest circle"):
        # the corner of a square of 200 m is 141.4 m from its middle, its circle 100 m
        circle_of(np.asarray(shapely.box(-100, -100, 100, 100).exterior.coords), 1.0)
