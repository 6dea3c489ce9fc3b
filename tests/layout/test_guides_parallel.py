"""Lines parallel to a bent reference, on circles and rings where every figure is known."""

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point
from strategies import lands, real_fields

from geolayout.layout.guides.bends import smoothed
from geolayout.layout.guides.guide import Straight
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.shapes.cut import cut_generic
from geolayout.layout.shapes.scan import chords_with_slack

RADIUS = 200.0
ANGLES = np.radians(np.arange(0.0, 120.25, 0.5))
# A reference along a circle round (0, 0), clockwise from the west; t grows towards its middle.
ROUND = Parallel(RADIUS * np.stack([-np.cos(ANGLES), np.sin(ANGLES)], axis=1))
SAG = 1.0 - np.cos(np.radians(0.25))  # how far a chord of half a degree lies inside its circle


def at(radius, degrees):
    """Places on circles round (0, 0), by the angle from the west."""
    angle = np.radians(degrees)
    return np.stack([-radius * np.cos(angle), radius * np.sin(angle)], axis=-1)


@given(
    radius=st.floats(20.0, 400.0),
    degrees=st.floats(1.0, 119.0),
)
def test_across_is_the_radius_lost(radius, degrees):
    place = at(radius, degrees)
    # The chords lie inside their circles by at most R (1 - cos 0.25 degrees): 4 mm at 400 m.
    assert ROUND.across(place[None])[0] == pytest.approx(RADIUS - radius, abs=400.0 * SAG)


@given(
    t=st.floats(-200.0, 180.0),
    s=st.floats(-100.0, 520.0),
    side=st.sampled_from([1.0, -1.0]),
    start=st.floats(-20.0, 20.0),
)
def test_a_place_turned_and_turned_back_is_where_it_was(t, s, side, start):
    guides = Parallel(ROUND.xy, side, start)
    inside = side * (t + start) < 0.95 * RADIUS
    if inside:
        place = guides.from_turned(np.array([[t, s]]))
        assert guides.to_turned(place) == pytest.approx(np.array([[t, s]]), abs=1e-9)


@given(land=lands, bearing=st.floats(0, 360), side=st.sampled_from([1.0, -1.0]))
def test_along_a_straight_line_it_is_the_straight_guide(land, bearing, side):
    straight = Straight(3.0, -5.0, bearing, side)
    line = straight.from_turned(np.array([[0.0, 0.0], [0.0, 30.0], [0.0, 31.0], [0.0, 200.0]]))
    bent = Parallel(line, side)
    corners = shapely.get_coordinates(land)
    assert bent.to_turned(corners) == pytest.approx(straight.to_turned(corners), abs=1e-9)
    t = np.linspace(*straight.span(land), 9)[1:-1]
    true, wide = chords_with_slack(straight.turn(land), t)
    found, grown = chords_with_slack(bent.turn(land), t)
    for known, new in ((true, found), (wide, grown)):
        assert (known.line == new.line).all()
        assert new.s0 == pytest.approx(known.s0, abs=1e-6)
        assert new.s1 == pytest.approx(known.s1, abs=1e-6)


def test_neighbours_are_as_far_apart_as_they_should_be():
    t = np.arange(-60.0, 181.0, 6.0)
    lines = ROUND.paths(t, np.full(len(t), 10.0), np.full(len(t), 400.0)).geometry
    for near, far in itertools.pairwise(lines):
        # Square to the line, at places along it: the ends are rays and slant by nothing.
        places = shapely.line_interpolate_point(near, np.linspace(0.05, 0.95, 50), normalized=True)
        assert shapely.distance(places, far) == pytest.approx(6.0, abs=0.01)


@pytest.mark.parametrize("t", [-100.0, 0.0, 100.0])
def test_a_line_is_as_long_as_its_circle(t):
    end = ROUND.along(ROUND.xy[-1:])
    line = ROUND.paths(np.array([t]), np.array([0.0]), end)
    # The reference is 200 m x 120 degrees = 418.879 m. Its end rays are square to its end chords,
    # which turn by 119.5 degrees, so a line loses or gains t x 119.5 degrees = 2.08567 t.
    assert line.length[0] == pytest.approx(418.879 - 2.08567 * t, rel=2e-5)
    run = ROUND.run(np.array([t, t]), np.array([0.0, end[0]]))
    assert run[1] - run[0] == pytest.approx(line.length[0], abs=1e-9)


@given(t=st.floats(-100, 150), s=st.floats(-50, 500))
def test_a_length_along_a_line_is_found_again(t, s):
    here, place = np.array([t]), np.array([s])
    assert ROUND.from_run(here, ROUND.run(here, place)) == pytest.approx(place, abs=1e-9)


def test_a_curved_family_with_a_pond_balances():
    pond = Point(-150, 150).buffer(15)
    land = Point(-150, 150).buffer(80) - pond
    edges = np.arange(-90.0, 70.0, 6.0)
    pieces = cut_generic(land, ROUND, edges)
    areas = shapely.area(pieces.geometry)
    assert areas.sum() == pytest.approx(land.area, rel=1e-9)
    assert shapely.is_valid(pieces.geometry).all()
    # Each band also by another road: clipped in turned land and measured on the ground.
    turned = ROUND.turn(land)
    for i in range(1, len(edges)):
        strip = shapely.clip_by_rect(turned, edges[i - 1], -1e3, edges[i], 1e3)
        assert ROUND.area(strip) == pytest.approx(areas[pieces.interval == i].sum(), abs=0.5)


def test_rays_are_square_to_the_lines():
    land = Point(-150, 150).buffer(30)
    (ray,) = ROUND.square.lines(np.array([200.0]), land)
    ends = shapely.get_coordinates(ray)
    # s = 200 m is 200 / 200 = 1 rad from the west; the ray runs to the middle of the circle.
    assert np.hypot(*ends.T).min() < np.hypot(*ends.T).max()
    angles = np.degrees(np.arctan2(ends[:, 1], -ends[:, 0]))
    assert angles == pytest.approx(np.full(2, np.degrees(1.0)), abs=0.01)


def test_real_edges_give_lines_that_keep_their_distance():
    for field in real_fields(40, seed=4):
        ring = shapely.get_exterior_ring(shapely.get_parts(field.land)[0])
        edge = shapely.ops.substring(ring, 0.0, 0.25, normalized=True)
        bends = smoothed(LineString(shapely.get_coordinates(edge)), 1.0)
        guides = Parallel(bends.xy)
        places = guides.from_turned(np.array([[0.0, 1.0], [0.0, 2.0]]))
        assert shapely.distance(shapely.points(places), LineString(bends.xy)).max() < 1e-6
        assert bends.moved <= 1.0 + 1e-9
