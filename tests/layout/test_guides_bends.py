"""A drawn line smoothed once: arcs with known radii, near what was drawn."""

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString

from geolayout.errors import LayoutError
from geolayout.layout.guides.bends import TURN, smoothed

RIGHT_BEND = LineString([(0, 0), (0, 100), (100, 100)])


def turns(xy):
    east, north = np.diff(xy, axis=0).T
    turn = np.diff(np.degrees(np.arctan2(east, north)))
    return (turn + 180.0) % 360.0 - 180.0


def test_a_corner_becomes_an_arc_that_stays_near_it():
    bends = smoothed(RIGHT_BEND, 2.0)
    # Half the 2 m is for rounding. An arc back by b from a corner of 90 degrees passes it at
    # b tan(22.5): b = 1 / 0.41421 = 2.414, and its radius is b / tan(45) = 2.414 m.
    assert bends.radius == pytest.approx([2.41421], abs=1e-4)
    assert bends.turn == pytest.approx([90.0])
    assert bends.moved == pytest.approx(1.0, abs=1e-3)


def test_an_arc_begins_no_farther_than_the_middle_of_an_edge():
    line = LineString([(0, 0), (0, 100), (10, 200)])
    bends = smoothed(line, 5.0)
    # The turn is atan(0.1) = 5.711 degrees; back by 50 m, radius 50 / tan(2.855) = 1002.5 m.
    assert bends.radius == pytest.approx([1002.5], abs=0.1)


def test_a_circle_drawn_with_corners_is_nearly_its_circle_again():
    angle = np.radians(np.arange(0, 91, 5))
    drawn = LineString(100.0 * np.stack([np.sin(angle), np.cos(angle)], axis=1))
    # Too fine to leave a corner out: sagitta of 5 degrees is 100 (1 - cos 2.5) = 0.095 m.
    bends = smoothed(drawn, 0.18)
    # Half of 0.18 m rounds: b tan(1.25) = 0.09, b = 4.124 m, radius 4.124 / tan(2.5) = 94.5 m.
    assert bends.radius == pytest.approx(np.full(17, 94.5), abs=0.1)


@given(
    steps=st.lists(
        st.tuples(st.floats(5.0, 80.0), st.floats(-40.0, 40.0)), min_size=1, max_size=12
    ),
    deviation=st.floats(0.05, 3.0),
)
def test_no_vertex_turns_much_and_the_line_stays_near(steps, deviation):
    bearing = np.radians(np.cumsum([turn for _, turn in steps]))
    length = np.array([step for step, _ in steps])
    xy = np.cumsum(length[:, None] * np.stack([np.sin(bearing), np.cos(bearing)], axis=1), axis=0)
    drawn = LineString([(0.0, 0.0), *xy])
    assume(drawn.is_simple)
    bends = smoothed(drawn, deviation)
    assert np.abs(turns(bends.xy)).max(initial=0.0) <= TURN + 1e-6
    assert shapely.hausdorff_distance(drawn, LineString(bends.xy)) <= deviation + 1e-6
    assert bends.moved <= deviation + 1e-6
    assert bends.xy[[0, -1]] == pytest.approx(shapely.get_coordinates(drawn)[[0, -1]])
    for first, last, turn in zip(bends.first, bends.last, bends.turn, strict=True):
        inner = turns(bends.xy)[first - 1 : last]
        assert inner.sum() == pytest.approx(turn, abs=1e-6)


@pytest.mark.parametrize(
    ("drawn", "says"),
    [
        pytest.param([(0, 0), (0, 0)], "has no length", id="a point"),
        pytest.param([(0, 0), (10, 10), (10, 0), (0, 10)], "crosses itself", id="a loop"),
    ],
)
def test_a_line_that_nothing_can_lie_along_is_refused(drawn, says):
    with pytest.raises(LayoutError, match=says):
        smoothed(LineString(drawn), 0.5)
