"""Rounds on paper: lengths, corners missed, necks, reflex corners, and what must hold anywhere."""

from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from shapely import Polygon, affinity, box
from strategies import lands

from geolayout.layout.headlands.rounds import (
    NEARER,
    about,
    missed,
    round_distances,
    rounded_core,
    swath,
    tracks,
)

RADIUS, WIDTH = 6.5, 6.0
RECTANGLE = box(0, 0, 200, 100)
ELL = Polygon([(0, 0), (200, 0), (200, 60), (80, 60), (80, 150), (0, 150)])
ARCS = 0.005
"""What chords may take off an arc of a few metres, several offsets together. [m]"""


def circle(radius, corners=1440):
    angle = np.linspace(0, 2 * pi, corners, endpoint=False)
    return Polygon(np.stack([np.cos(angle), np.sin(angle)], axis=1) * radius)


def driven(land, distance, radius=RADIUS):
    return tracks(rounded_core(land, distance, radius), distance, radius)


def turns_of_line(line):
    """Return run and heading at the middle of each edge of a line. [m], [rad]"""
    edges = np.diff(shapely.get_coordinates(line), axis=0)
    length = np.hypot(*edges.T)
    return np.cumsum(length) - length / 2, np.unwrap(np.arctan2(edges[:, 1], edges[:, 0]))


def most_turned_beyond(line, radius):
    """Return the most that a line turns over a metre more than a circle of the radius. [rad]"""
    run, heading = turns_of_line(line)
    gap = run[None, :] - run[:, None]
    more = np.abs(heading[None, :] - heading[:, None]) - gap / radius
    return float(more[(gap >= 0) & (gap < 1.0)].max(initial=0.0))


@pytest.mark.parametrize(
    ("headland", "expected"),
    [
        pytest.param(12.0, [3, 9], id="two whole rounds"),
        pytest.param(12.04, [3, 9], id="four centimetres more are no third round"),
        pytest.param(14.0, [3, 9, 11], id="the third moves outwards: its inner edge at 14 m"),
        pytest.param(4.0, [3], id="a headland narrower than the machine keeps to the edge"),
        pytest.param(0.0, [], id="no headland has no round"),
    ],
)
def test_rounds_lie_half_a_width_from_the_edge_and_a_width_apart(headland, expected):
    assert round_distances(headland, WIDTH).tolist() == pytest.approx(expected)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_round_of_a_rectangle_is_straight_sides_and_four_quarter_circles(number):
    # Round k at d = 6 (k - 1/2): sides of 200 - 2 d - 2 R and 100 - 2 d - 2 R, twice, and 2 pi R.
    distance = WIDTH * (number - 0.5)
    (track,) = driven(RECTANGLE, distance)
    straight = 2 * (200 - 2 * distance - 2 * RADIUS) + 2 * (100 - 2 * distance - 2 * RADIUS)
    assert track.closed
    assert track.line.length == pytest.approx(straight + 2 * pi * RADIUS, abs=ARCS)


def test_one_round_misses_the_corner_outside_a_circle_of_radius_r_and_half_a_width():
    # (1 - pi / 4) (6.5 + 3)^2 = 19.37 m2 in each of four right angles
    (track,) = driven(RECTANGLE, WIDTH / 2)
    strip = RECTANGLE - box(6, 6, 194, 94)
    left = missed(strip, swath(track.line, WIDTH))
    assert left.area == pytest.approx(4 * (1 - pi / 4) * (RADIUS + 3) ** 2, rel=1e-3)
    assert len(shapely.get_parts(left)) == 4


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_round_of_a_circle_is_a_circle_and_misses_nothing(number):
    # Radius 100 m: round k has 100 - 6 (k - 1/2), and its length is 2 pi that.
    distance = WIDTH * (number - 0.5)
    (track,) = driven(circle(100), distance)
    strip = circle(100 - distance + 3) - circle(100 - distance - 3)
    assert track.line.length == pytest.approx(2 * pi * (100 - distance), rel=1e-5)
    assert missed(strip, swath(track.line, WIDTH)).area < 0.05  # chords, of 3,500 m2


def test_a_ring_shaped_field_has_a_round_along_either_edge():
    # Between circles of 100 m and 50 m: 2 pi 97 outside, 2 pi 53 inside.
    found = sorted(one.line.length for one in driven(circle(100) - circle(50), 3.0))
    assert found == pytest.approx([2 * pi * 53, 2 * pi * 97], rel=1e-5)


def test_a_reflex_corner_that_cannot_be_followed_parts_the_round_and_is_driven_straight_over():
    # R = 6.5 over d = 3 comes 1.45 m nearer than 3 m: cut. Both ends run on to (77, 57), the
    # corner of the offset edges. Five corners of 90 degrees: 2 (194 + 144) - 5 (2 - pi / 2) R.
    (track,) = driven(ELL, 3.0)
    ends = shapely.get_coordinates(track.line)[[0, -1]]
    assert not track.closed
    assert ends == pytest.approx(np.array([[77, 57], [77, 57]]), abs=0.01)
    assert track.line.length == pytest.approx(676 - 5 * (2 - pi / 2) * RADIUS, abs=ARCS)


def test_a_reflex_corner_is_followed_where_the_edge_is_farther_than_the_turning_radius():
    # The offset edges, 2 (182 + 132), meet at (71, 51). An arc of 9 m about (80, 60) leaves them
    # 9 m before; five corners of 90 degrees are rounded.
    (track,) = driven(ELL, 9.0)
    expected = 2 * (182 + 132) - 5 * (2 - pi / 2) * RADIUS - 2 * 9 + pi / 2 * 9
    assert track.closed
    assert track.line.length == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(
    ("neck", "rounds"),
    [
        pytest.param(18.8, 2, id="narrower than 2 R + w = 19 m: a round on each side"),
        pytest.param(19.2, 1, id="wider: one outline goes through"),
    ],
)
def test_a_neck_narrower_than_two_radii_and_a_width_has_two_rounds(neck, rounds):
    land = shapely.union_all(
        [box(0, 0, 60, 60), box(60, 30 - neck / 2, 80, 30 + neck / 2), box(80, 0, 140, 60)]
    )
    core = rounded_core(land, WIDTH / 2, RADIUS)
    assert len(shapely.get_parts(core)) == rounds


def test_a_round_goes_straight_past_a_way_that_is_too_narrow_to_turn_in():
    # 54 m squares rounded at four corners: 4 x 54 - 4 (2 - pi / 2) R
    land = shapely.union_all([box(0, 0, 60, 60), box(60, 22, 80, 38), box(80, 0, 140, 60)])
    found = driven(land, WIDTH / 2)
    assert [one.closed for one in found] == [True, True]
    assert [one.line.length for one in found] == pytest.approx(
        [216 - 4 * (2 - pi / 2) * RADIUS] * 2, abs=ARCS
    )


def test_a_round_goes_straight_past_several_such_ways_in_their_order():
    # 194 x 94 m rounded at four corners: 576 - 4 (2 - pi / 2) R
    lanes = [box(x, 90, x + 16, 140) for x in (40, 90, 140)]
    lanes += [box(x, -40, x + 16, 10) for x in (60, 130)]
    (found,) = driven(shapely.union_all([box(0, 0, 200, 100), *lanes]), WIDTH / 2)
    assert found.closed
    assert found.line.length == pytest.approx(576 - 4 * (2 - pi / 2) * RADIUS, abs=ARCS)


@pytest.mark.parametrize(
    "lane",
    [
        pytest.param(box(-60, 142, 10, 158), id="west"),
        pytest.param(box(290, 142, 360, 158), id="east"),
        pytest.param(box(142, 290, 158, 350), id="north"),
        pytest.param(box(142, -50, 158, 10), id="south"),
    ],
)
def test_such_a_way_changes_nothing_on_land_whose_corners_part_the_round(lane):
    # The four corners of a cross that point inwards cannot be followed.
    cross = box(0, 100, 300, 200) | box(100, 0, 200, 300)
    plain, beside = driven(cross, WIDTH / 2), driven(cross | lane, WIDTH / 2)
    assert len(plain) == 4
    lengths = [one.line.length for one in plain]
    assert [one.line.length for one in beside] == pytest.approx(lengths, abs=ARCS)


def test_rounds_about_an_obstacle_turn_its_corners_as_reflex_ones():
    # 20 x 10 m: at 3 m four runs of 26 and 16 m meet in corners, at 9 m a loop 2 (20 + 10) + 18 pi.
    ground = about(box(0, 0, 20, 10), 60.0)
    near = [one for one in driven(ground, 3.0) if one.line.distance(box(0, 0, 20, 10)) < 4]
    far = [one for one in driven(ground, 9.0) if one.line.distance(box(0, 0, 20, 10)) < 10]
    assert sorted(one.line.length for one in near) == pytest.approx([16, 16, 26, 26], abs=0.01)
    assert [one.line.length for one in far] == pytest.approx([60 + 18 * pi], abs=ARCS)
    assert not shapely.is_ccw(far[0].line)  # clockwise, obstacle on the right


def test_a_round_of_a_field_runs_anticlockwise():
    (track,) = driven(RECTANGLE, 3.0)
    assert shapely.is_ccw(track.line)


def test_land_too_narrow_to_be_driven_round_has_no_round():
    assert driven(box(0, 0, 200, 18.9), 3.0) == []


@settings(max_examples=40, deadline=None)
@given(land=lands)
def test_no_track_is_tighter_than_the_turning_radius_or_nearer_to_the_edge_than_allowed(land):
    for track in driven(land, 3.0):
        assert most_turned_beyond(track.line, RADIUS) < np.radians(7.0)  # kinks at most
        assert shapely.distance(track.line, land.boundary) > 3.0 - NEARER - 0.005
        assert land.covers(track.line)


@settings(max_examples=20, deadline=None)
@given(land=lands)
def test_swaths_and_what_they_miss_are_the_strip(land):
    strip = land - shapely.buffer(land, -WIDTH)
    covered = shapely.union_all([swath(one.line, WIDTH) for one in driven(land, 3.0)])
    left = missed(strip, covered)
    worked = shapely.intersection(strip, covered)
    assert left.area + worked.area == pytest.approx(strip.area, rel=1e-9, abs=1e-4)


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda xy: xy[::-1], id="the other winding"),
        pytest.param(lambda xy: np.roll(xy[:-1], 3, axis=0), id="another first vertex"),
    ],
)
def test_how_the_ring_is_written_changes_nothing(change):
    again = Polygon(change(shapely.get_coordinates(ELL)))
    for one, other in zip(driven(ELL, 3.0), driven(again, 3.0), strict=True):
        assert one.line.hausdorff_distance(other.line) < 1e-6
        assert one.closed == other.closed


def test_turning_the_land_turns_its_rounds():
    turned = driven(affinity.rotate(ELL, 33.0, origin=(0, 0)), 9.0)
    back = affinity.rotate(turned[0].line, -33.0, origin=(0, 0))
    assert back.hausdorff_distance(driven(ELL, 9.0)[0].line) < 0.002
