"""Parts of tracks on their ground, past obstacles, and as far as there is something to work."""

import pytest
import shapely
from shapely import LineString, Point, Polygon, box

from geolayout.layout.headlands.rounds import Track
from geolayout.layout.headlands.trackparts import clipped, past_obstacles, reaching

LINE = Track(LineString([(0, 0), (100, 0)]), False)
RING = Track(LineString([(0, 0), (100, 0), (100, 60), (0, 60), (0, 0)]), True)


def lengths(found):
    return [one.line.length for one in found]


def test_a_closed_track_on_its_ground_stays_closed():
    (found,) = clipped([RING], box(-1, -1, 101, 61))
    assert found is RING


def test_a_closed_track_is_cut_to_ground_and_its_seam_is_no_cut():
    # The west half: 50 m of each long side and 60 m of the short one, through the ring's start
    (found,) = clipped([RING], box(-1, -1, 50, 61))
    assert not found.closed
    assert found.line.length == pytest.approx(160.0)


def test_parts_come_from_west_to_east_and_crumbs_are_left_out():
    ground = shapely.union_all([box(60, -1, 90, 1), box(10, -1, 30, 1), box(40, -1, 40.5, 1)])
    found = clipped([LINE], ground)
    assert lengths(found) == pytest.approx([20.0, 30.0])
    assert [one.line.coords[0][0] for one in found] == pytest.approx([10.0, 60.0])


def test_an_obstacle_within_reach_parts_a_track():
    # A square of 10 m whose near side is 2 m off: with a reach of 3 m it is met from 45 m, less
    # sqrt(9 - 4) = 2.236 m round its corner, to 55 + 2.236 m.
    found = past_obstacles([LINE], box(45, 2, 55, 12), 3.0)
    assert lengths(found) == pytest.approx([45 - 5**0.5] * 2, abs=0.02)


def test_an_obstacle_out_of_reach_or_none_leaves_a_track_as_it_is():
    assert past_obstacles([LINE], box(45, 3, 55, 12), 3.0) == [LINE]
    assert past_obstacles([LINE], Polygon(), 3.0) == [LINE]


def test_an_obstacle_on_a_ring_leaves_one_open_track():
    (found,) = past_obstacles([RING], Point(100, 30).buffer(0.001), 5.0)
    assert not found.closed
    assert found.line.length == pytest.approx(320 - 10.0, abs=0.02)


def test_a_track_reaches_the_last_ground_of_its_swath_and_not_beyond():
    # Ground to one side of the line from 20 to 70 m, within 3 m of it, and some out of its swath
    ground = shapely.union_all([box(20, 1, 70, 5), box(80, 3.5, 95, 6)])
    (found,) = reaching(LINE, ground, 6.0)
    assert shapely.bounds(found.line).tolist() == pytest.approx([20.0, 0.0, 70.0, 0.0])


def test_slanting_ground_is_reached_to_its_far_corner():
    # A triangle that ends at x = 60 m, 3 m beside the line
    (found,) = reaching(LINE, Polygon([(0, -3), (54, -3), (60, 3), (0, 3)]), 6.0)
    assert found.line.length == pytest.approx(60.0)


def test_two_grounds_abreast_are_one_stretch():
    ground = shapely.union_all([box(10, 0, 50, 3), box(40, -3, 80, 0)])
    assert lengths(reaching(LINE, ground, 6.0)) == pytest.approx([70.0])
