"""Corners of rounds, quarter turns and ways over, against sums on paper."""

from math import acos, pi, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.corners import (
    begun_near,
    corner_length,
    quarter_turn,
    rounded,
    shift_ahead,
    shift_length,
)
from geolayout.layout.headlands.rounds import rounded_core, tracks
from geolayout.layout.headlands.turns import shortest_turns
from geolayout.layout.shapes.lines import Lines


def ring_of(land, distance, radius):
    """Return the one closed round of a land as lines."""
    (track,) = tracks(rounded_core(land, distance, radius), distance, radius)
    xy = shapely.get_coordinates(track.line)
    return Lines(xy, np.array([0, len(xy)]))


def test_a_ring_in_a_rectangle_has_four_quarters_of_corner():
    lines = ring_of(shapely.box(0, 0, 96, 240), 6.0, 7.0)
    # 84 x 228 m between the corners of its rectangle, each corner 2 R less and a quarter more
    assert lines.length[0] == pytest.approx(2 * (84 + 228) - 8 * 7 + 2 * pi * 7, abs=0.05)
    assert corner_length(lines, np.array([0]), 7.0)[0] == pytest.approx(2 * pi * 7, rel=1e-3)


def test_a_ring_round_a_wide_circle_has_no_corner():
    lines = ring_of(shapely.Point(0, 0).buffer(100, quad_segs=64), 6.0, 7.0)
    assert corner_length(lines, np.array([0]), 7.0)[0] == 0.0


def test_a_straight_line_has_no_corner():
    lines = Lines(np.array([[0.0, 0.0], [50.0, 0.0], [90.0, 0.0]]), np.array([0, 3]))
    assert corner_length(lines, np.array([0]), 7.0)[0] == 0.0


@given(turn=st.floats(20.0, 170.0), radius=st.floats(3.0, 12.0))
def test_a_corner_is_the_radius_times_its_angle(turn, radius):
    angle = np.radians(turn)
    points = np.array([[-400.0, 0.0], [0.0, 0.0], [400 * np.cos(angle), 400 * np.sin(angle)]])
    xy = rounded(points, radius)
    lines = Lines(xy, np.array([0, len(xy)]))
    assert corner_length(lines, np.array([0]), radius)[0] == pytest.approx(radius * angle, rel=5e-3)


@given(over=st.floats(0.5, 40.0), radius=st.floats(3.0, 12.0))
def test_a_way_over_is_the_shortest_one_to_where_it_ends(over, radius):
    start = np.array([[0.0, 0.0, 0.0]])
    stop = np.array([[over, shift_ahead(radius, over), 0.0]])
    turn = shortest_turns(start, stop, radius)
    assert turn.length[0] == pytest.approx(shift_length(radius, over), abs=1e-6)


def test_ways_over_on_paper():
    # 6 m over at 6 m: cos a = 1 - 6 / 12, two arcs of 60 degrees, 6 sqrt(3) m ahead
    assert shift_length(6.0, 6.0) == pytest.approx(2 * 6 * acos(0.5))
    assert shift_ahead(6.0, 6.0) == pytest.approx(6 * sqrt(3))
    # 20 m over: two quarters and 8 m between them
    assert shift_length(6.0, 20.0) == pytest.approx(pi * 6 + 8)
    assert shift_ahead(6.0, 20.0) == 12.0


def test_a_quarter_turn_on_paper():
    # a quarter of 6 m is 9.42 m long and brings 6 m of the way
    assert float(quarter_turn(6.0, 106.0)) == pytest.approx(9.4248 + 100.0, abs=1e-3)
    assert float(quarter_turn(6.0, 2.0)) == pytest.approx(9.4248, abs=1e-3)


def test_a_closed_line_is_begun_where_it_is_nearest():
    square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0], [0.0, 0.0]])
    begun = begun_near(square, np.array([[4.0, 30.0], [90.0, 90.0]]))
    assert begun[0].tolist() == begun[-1].tolist() == [4.0, 10.0]
    assert shapely.LineString(begun).length == pytest.approx(40.0)
    assert shapely.LinearRing(begun).equals(shapely.LinearRing(square))
    assert begun_near(square, np.empty((0, 2))) is square


def test_a_line_is_rounded_as_far_as_its_stretches_are_long():
    short = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 2.0], [40.0, 2.0]])
    line = rounded(short, 6.0)
    # the stretch of 2 m has room for two arcs of 1 m: 19 + pi / 2 + pi / 2 + 19
    assert shapely.LineString(line).length == pytest.approx(38.0 + pi, abs=0.05)
    assert line[0].tolist() == [0.0, 0.0]
    assert line[-1].tolist() == [40.0, 2.0]
