"""Shadows and light beside walls, hedges and trees, against trigonometry."""

from math import atan2, cos, exp, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.light.shade import Crowns, Walls, past_walls, through_crowns
from geolayout.appraisal.light.sky import sky_directions

FAR = 1e7


def towards(elevation, azimuth):
    """Unit vectors towards the sun, angles in degrees."""
    e, a = np.radians(elevation), np.radians(azimuth)
    return np.stack(
        np.broadcast_arrays(np.cos(e) * np.sin(a), np.cos(e) * np.cos(a), np.sin(e)), -1
    )


def wall(start, end, height, passed=0.0):
    """One wall."""
    return Walls(np.array([start]), np.array([end]), np.array([height]), np.array([passed]))


def endless(height, passed=0.0):
    """A wall along x = 0, without an end that matters."""
    return wall((0.0, -FAR), (0.0, FAR), height, passed)


def crowns(foot, *, base=2.0, top=8.0, width=4.0, density=1.0):
    return Crowns(np.atleast_2d(np.array(foot, dtype=float)), base, top, width, density)


@pytest.mark.parametrize(
    ("elevation", "length"),
    [
        # 10 m x cot(elevation)
        pytest.param(45.0, 10.0, id="as long as the pole is high"),
        pytest.param(30.0, 17.32, id="cot 30 degrees is 1.732"),
        pytest.param(60.0, 5.77, id="cot 60 degrees is 0.577"),
    ],
)
@pytest.mark.parametrize("azimuth", [0.0, 137.0, 180.0, 265.0])
def test_the_shadow_of_a_pole(elevation, length, azimuth):
    # A board 2 cm wide that faces the sun; its shadow lies on the other side.
    a = radians(azimuth)
    across, away = np.array([cos(a), -sin(a)]), -np.array([sin(a), cos(a)])
    pole = wall(across * -0.01, across * 0.01, 10.0)
    steps = np.arange(0.005, 30.0, 0.01)
    cells = np.column_stack([away * steps[:, None], np.zeros(len(steps))])
    light = past_walls(cells, pole, towards(elevation, azimuth)[None])[:, 0]
    assert steps[light == 0].max() == pytest.approx(length, abs=0.01)
    assert (light[steps < length - 0.01] == 0).all()


@given(
    elevation=st.floats(5.0, 85.0),
    azimuth=st.floats(5.0, 175.0),
    height=st.floats(0.5, 20.0),
)
def test_the_shadow_across_an_alley_is_the_trades_formula(elevation, azimuth, height):
    # H cot(elevation) |sin(sun azimuth - row azimuth)|, rows running north; the sun in the east.
    reach = height / tan(radians(elevation)) * abs(sin(radians(azimuth)))
    cells = np.array([[-reach * 0.999, 0.0, 0.0], [-reach * 1.001, 0.0, 0.0]])
    shaded, lit = past_walls(cells, endless(height), towards(elevation, azimuth)[None])[:, 0]
    assert (shaded, lit) == (0.0, 1.0)


@pytest.mark.parametrize("x", [1.0, 3.0, 10.0, 40.0])
def test_the_sky_beside_an_endless_hedge(x):
    # A sky as bright everywhere, seen beside a wall that takes the angle b: (1 + cos b) / 2 left.
    left = past_walls(np.array([[x, 0.0, 0.0]]), endless(6.0), sky_directions(60, 180)).mean()
    assert left == pytest.approx((1.0 + cos(atan2(6.0, x))) / 2.0, abs=0.004)


def test_a_day_at_the_equator_beside_an_endless_hedge():
    # At the equinox the sun goes up in the east and over; with the same strength all day a hedge
    # in the west that takes the angle b takes the last b of 180 degrees: the integral of the sine
    # over it is 1 - cos b, of 2 in the whole day.
    angle = np.linspace(0.0, 180.0, 20_001)[1:-1]
    up = np.stack([np.cos(np.radians(angle)), np.zeros(len(angle)), np.sin(np.radians(angle))], 1)
    lit = past_walls(np.array([[4.0, 0.0, 0.0]]), endless(3.0), up)[0]
    share = (lit * up[:, 2]).sum() / up[:, 2].sum()
    assert share == pytest.approx(1.0 - (1.0 - cos(atan2(3.0, 4.0))) / 2.0, abs=1e-3)


def test_a_hedge_that_lets_a_third_through():
    light = past_walls(np.array([[-1.0, 0.0, 0.0]]), endless(5.0, 1 / 3), towards(30.0, 90.0)[None])
    assert light[0, 0] == pytest.approx(1 / 3)


def test_a_ray_through_the_middle_of_a_crown_by_hand():
    # The crown is 6 m deep and 4 m wide. Straight up: 6 m; level: 4 m. G 0.5, density 1.
    cell = np.array([[0.0, 0.0, 0.0]])
    up = through_crowns(cell, crowns((0.0, 0.0, 0.0)), np.array([[0.0, 0.0, 1.0]]))
    assert up[0, 0] == pytest.approx(exp(-0.5 * 6.0))
    level = np.array([[-10.0, 0.0, 5.0]])
    across = through_crowns(level, crowns((0.0, 0.0, 0.0)), np.array([[1.0, 0.0, 1e-9]]))
    assert across[0, 0] == pytest.approx(exp(-0.5 * 4.0))


def test_a_crown_behind_shades_nothing():
    light = through_crowns(
        np.array([[10.0, 0.0, 5.0]]), crowns((0.0, 0.0, 0.0)), np.array([[1.0, 0.0, 1e-6]])
    )
    assert light[0, 0] == 1.0


@given(
    x=st.floats(-20, 20),
    y=st.floats(-20, 20),
    elevation=st.floats(1.0, 89.0),
    azimuth=st.floats(0.0, 360.0),
    width=st.floats(0.5, 10.0),
    density=st.floats(0.05, 5.0),
)
def test_a_crown_against_small_steps_along_the_ray(x, y, elevation, azimuth, width, density):
    tree = crowns((0.0, 0.0, 0.0), width=width, density=density)
    ray = towards(elevation, azimuth)
    steps = np.arange(0.0025, 60.0, 0.005)
    places = np.array([x, y, 0.0]) + steps[:, None] * ray
    inside = ((places - [0, 0, 5.0]) / [width / 2, width / 2, 3.0]) ** 2
    way = 0.005 * (inside.sum(axis=1) < 1.0).sum()
    light = through_crowns(np.array([[x, y, 0.0]]), tree, ray[None])[0, 0]
    assert light == pytest.approx(exp(-0.5 * density * way), abs=0.5 * density * 0.011)


@given(more=st.lists(st.tuples(st.floats(-30, 30), st.floats(-30, 30)), min_size=1, max_size=6))
def test_more_trees_never_let_more_light_through(more):
    cells = np.array([[0.0, 0.0, 0.0], [5.0, -3.0, 0.0]])
    up = sky_directions(6, 12)
    few = through_crowns(cells, crowns((4.0, 4.0, 0.0)), up)
    many = through_crowns(cells, crowns([(4.0, 4.0, 0.0), *((a, b, 0.0) for a, b in more)]), up)
    assert (many <= few + 1e-12).all()
    assert ((many >= 0.0) & (many <= 1.0)).all()


@pytest.mark.parametrize("elevation", [20.0, 45.0, 90.0])
def test_light_taken_by_a_crown_is_light_missing_on_the_ground(elevation):
    # A dense spheroid 4 m wide and 6 m high, seen at the elevation e: an ellipse of
    # pi a sqrt(a^2 sin^2 e + c^2 cos^2 e), a = 2, c = 3. Its shadow, times sin e, is that area.
    steps = np.arange(-30.0, 30.0, 0.1) + 0.05
    x, y = (a.ravel() for a in np.meshgrid(steps, steps))
    cells = np.column_stack([x, y, np.zeros(len(x))])
    tree = crowns((0.0, 0.0, 0.0), density=1e6)
    left = through_crowns(cells, tree, towards(elevation, 200.0)[None])[:, 0]
    e = radians(elevation)
    seen = pi * 2.0 * np.hypot(2.0 * sin(e), 3.0 * cos(e))
    assert (1.0 - left).sum() * 0.01 * sin(e) == pytest.approx(seen, rel=0.01)


def test_rows_that_mirror_each_other_shade_alike():
    up = sky_directions(12, 36)
    east = through_crowns(np.array([[3.0, 0.0, 0.0]]), crowns((0.0, 0.0, 0.0)), up).mean()
    west = through_crowns(np.array([[-3.0, 0.0, 0.0]]), crowns((0.0, 0.0, 0.0)), up).mean()
    assert east == pytest.approx(west, rel=1e-9)


def test_no_leaves_no_shade():
    light = through_crowns(np.zeros((1, 3)), crowns((1.0, 1.0, 0.0), top=2.0), sky_directions(4, 8))
    assert (light == 1.0).all()


def test_the_sky_leans_to_no_side():
    up = sky_directions(24, 72)
    assert up[:, :2].sum(axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)
    assert np.linalg.norm(up, axis=1) == pytest.approx(1.0)
