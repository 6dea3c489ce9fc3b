"""Long edges as landmarks: which rows run along one, and which could for little more."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from geolayout.appraisal.direction.landmarks import (
    landmark,
    long_bearings,
    runs_along,
    to_an_edge,
)
from geolayout.appraisal.direction.rings import rings_of

FIELD = rings_of(box(0.0, 0.0, 400.0, 100.0))

# 400 m of hedge in the south that rises by 7 m: it runs at atan(400 / 7) = 88.9974 degrees.
SLANTING = rings_of(Polygon([(0, 0), (400, 7), (400, 107), (0, 100)]))
SOUTH = 88.99743


@pytest.mark.parametrize(
    ("bearing", "off", "sides"),
    [
        pytest.param(90.0, 0.0, {"north", "south"}, id="along the long edges"),
        pytest.param(95.0, 5.0, {"north", "south"}, id="near them"),
        pytest.param(170.0, 10.0, {"east", "west"}, id="over north, near the short ones"),
        pytest.param(45.0, 45.0, {"north", "south"}, id="between them the longest"),
    ],
)
def test_rows_are_told_by_the_long_edge_that_they_turn_least_from(bearing, off, sides):
    found, side = landmark(FIELD, bearing)
    assert found == pytest.approx(off)
    assert side in sides


def test_a_short_edge_is_no_landmark():
    # A corner cut off by 10 m in 45 degrees: 14 m of a boundary of 994 m are 1.4 %.
    cut = rings_of(Polygon([(0, 0), (390, 0), (400, 10), (400, 100), (0, 100)]))
    assert not runs_along(cut, 45.0)
    assert long_bearings(cut).tolist() == [0.0, 90.0]


def test_of_many_short_edges_the_longest_is_a_landmark():
    angle = np.linspace(0.0, 2.0 * np.pi, 60, endpoint=False)
    round_land = rings_of(Polygon(100.0 * np.stack([np.cos(angle), np.sin(angle)], axis=1)))
    assert len(long_bearings(round_land)) > 0


@pytest.mark.parametrize(
    ("others", "more", "place"),
    [
        pytest.param([89.3, SOUTH], [0.0, 0.004], 1, id="along the hedge for 0.4 %"),
        pytest.param([89.3, SOUTH], [0.0, 0.012], None, id="too dear"),
        pytest.param([89.3, 88.8], [0.0, 0.001], None, id="cheap, along no edge"),
        pytest.param([SOUTH, SOUTH], [0.004, 0.002], 1, id="the cheaper of two"),
        pytest.param([SOUTH + 180.0], [0.004], 0, id="driven the other way"),
        pytest.param([], [], None, id="nothing else was laid"),
    ],
)
def test_rows_just_off_a_hedge_could_run_along_it(others, more, place):
    assert to_an_edge(SLANTING, 89.3, np.array(others), np.array(more)) == place


def test_rows_along_an_edge_need_no_other():
    assert to_an_edge(SLANTING, SOUTH, np.array([0.0, 89.1]), np.array([0.0, 0.0])) is None


def test_rows_far_off_an_edge_are_meant_to_be():
    assert to_an_edge(SLANTING, 91.5, np.array([SOUTH]), np.array([0.001])) is None


@given(bearing=st.floats(0.0, 180.0))
def test_an_edge_told_is_near_cheap_and_an_edge(bearing):
    others = np.array([0.0, 90.0, bearing])
    place = to_an_edge(FIELD, bearing, others, np.array([0.002, 0.002, 0.0]))
    if place is not None:
        assert runs_along(FIELD, float(others[place]))
        assert 0.0 < abs((others[place] - bearing + 90.0) % 180.0 - 90.0) <= 2.0
