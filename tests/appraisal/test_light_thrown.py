"""Shadows thrown over very many places: against place by place, and against trigonometry."""

from math import cos, hypot, pi, radians, sin, tan

import numpy as np
import pytest

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from geolayout.appraisal.light.shade import Crowns, Walls
from geolayout.appraisal.light.sun import Suns, season_suns
from geolayout.appraisal.light.thrown import light_over
from geolayout.appraisal.light.transect import NO_WALLS, light_at

JUNE = 6
UP = np.array([[0.0, 0.0, 1.0]])
SEASON = season_suns(52.0, 7.0, (3, 6), 15)


def sun_at(elevation, azimuth):
    """A season of one moment; angles in degrees."""
    e, a = radians(elevation), radians(azimuth)
    up = np.array([[cos(e) * sin(a), cos(e) * cos(a), sin(e)]])
    return Suns(up, np.ones(1), np.array([JUNE]))


def square(half, cell):
    """Middles of level cells round the origin."""
    steps = np.arange(-half + cell / 2.0, half, cell)
    x, y = (a.ravel() for a in np.meshgrid(steps, steps))
    return np.column_stack([x, y, np.zeros(len(x))])


def light_on(cells, suns, crowns=(), walls=NO_WALLS):
    normals = np.repeat(UP, len(cells), axis=0)
    return light_over(cells, normals, suns, {JUNE: list(crowns)}, walls)


def wall(start, end, height):
    return Walls(np.array([start]), np.array([end]), np.array([height]), np.zeros(1))


def crowns(feet, *, base=2.0, top=8.0, width=4.0, density=1.0):
    return Crowns(np.array(feet, dtype=float).reshape(-1, 3), base, top, width, density)


@pytest.mark.parametrize(
    "rise", [pytest.param(0.0, id="level"), pytest.param(1.0, id="on a hill, 5 to 15 % steep")]
)
@pytest.mark.parametrize("walled", [False, True], ids=["trees alone", "trees and walls"])
def test_every_place_has_the_light_that_it_has_looked_at_alone(rise, walled):
    rng = np.random.default_rng(3)

    def on_hill(xy):
        height = rise * (3.0 * np.sin(xy[:, 0] / 30.0) + 0.05 * xy[:, 1])
        return np.column_stack([xy, height])

    cells = on_hill(rng.uniform(-50, 50, (120, 2)))
    slope = -rise * np.column_stack([0.1 * np.cos(cells[:, 0] / 30.0), np.full(120, 0.05)])
    normals = np.column_stack([slope, np.ones(120)])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    tall, small = (on_hill(rng.uniform(-60, 60, (count, 2))) for count in (40, 15))
    trees = {
        month: [
            crowns(tall, top=9.0, width=6.0, density=1.0 if month > 4 else 0.2),
            crowns(small, base=1.0, top=5.0, width=3.0, density=0.7),
        ]
        for month in (3, 4, 5, 6)
    }
    edges = rng.uniform(-60, 60, (2, 5, 2))
    walls = Walls(*edges, rng.uniform(2, 10, 5), np.array([0.0, 0.0, 0.3, 0.5, 0.0]))
    walls = walls if walled else NO_WALLS
    alone = light_at(cells, normals, SEASON, trees, walls)
    together = light_over(cells, normals, SEASON, trees, walls)
    for one, other in zip(together, alone, strict=True):
        assert one == pytest.approx(other, abs=1e-9)
        assert 0.3 < other.mean() < 0.98  # there is shade to agree on


@pytest.mark.parametrize(
    ("elevation", "azimuth"), [(45.0, 180.0), (30.0, 137.0), (60.0, 265.0), (20.0, 40.0)]
)
def test_the_shadow_of_a_post_on_the_map(elevation, azimuth):
    # A post 8 m high and 1 m wide that faces the sun: its shadow is a strip of 1 m by 8 cot e,
    # away from the sun. Cells of 0.25 m: its end to one cell's diagonal, its area to its rim.
    a, cell = radians(azimuth), 0.25
    across, away = np.array([cos(a), -sin(a)]), -np.array([sin(a), cos(a)])
    cells = square(24.0, cell)
    direct, _ = light_on(cells, sun_at(elevation, azimuth), walls=wall(-across / 2, across / 2, 8))
    dark = cells[direct == 0.0, :2]
    length = 8.0 / tan(radians(elevation))
    assert (dark @ away).max() == pytest.approx(length, abs=cell * 2**0.5)
    assert (dark @ away).min() >= 0.0
    assert np.abs(dark @ across).max() <= 0.5
    rim = 2.0 * (length + 1.0) * cell
    assert len(dark) * cell**2 == pytest.approx(length, abs=rim / 2.0)


@pytest.mark.parametrize(
    ("elevation", "azimuth", "width"),
    [
        # a wall of 5 m that runs north; 5 cot e |sin(azimuth)|
        pytest.param(45.0, 90.0, 5.0, id="the sun square to it"),
        pytest.param(30.0, 150.0, 4.33, id="aslant: 5 x 1.7321 x 0.5"),
        pytest.param(30.0, 210.0, 4.33, id="from the other side"),
    ],
)
def test_the_shadow_of_a_wall_on_the_map(elevation, azimuth, width):
    cells = square(20.0, 0.1)[::7]
    direct, _ = light_on(cells, sun_at(elevation, azimuth), walls=wall((0, -500), (0, 500), 5.0))
    dark = cells[direct == 0.0, 0]
    side = -1.0 if azimuth < 180.0 else 1.0  # in the west of it in the morning
    assert (side * dark).max() == pytest.approx(width, abs=0.1)  # a cell
    assert (side * dark).min() > 0.0
    assert set(direct.tolist()) == {0.0, 1.0}


@pytest.mark.parametrize("elevation", [25.0, 50.0, 90.0])
def test_what_dense_crowns_take_is_missing_on_the_ground(elevation):
    # A dense spheroid 4 m wide, 6 m deep is seen as an ellipse of pi a sqrt(a2 sin2 e + c2 cos2 e)
    # with a = 2, c = 3; its shadow times sin e has that area. Nine of them, 18 m and more apart.
    aside = np.random.default_rng(5).uniform(0.0, 2.0, (9, 2))  # not all alike on the cells
    around = [(x, y) for x in (-20.0, 0.0, 20.0) for y in (-20.0, 0.0, 20.0)]
    feet = np.column_stack([around + aside, np.zeros(9)])
    cells = square(44.0, 0.4)
    direct, _ = light_on(cells, sun_at(elevation, 200.0), [crowns(feet, density=1e6)])
    e = radians(elevation)
    taken = (1.0 - direct).sum() * 0.4**2 * sin(e)
    assert taken == pytest.approx(9 * pi * 2.0 * hypot(2.0 * sin(e), 3.0 * cos(e)), rel=0.015)


def test_light_taken_and_light_left_are_the_open_light():
    """What leaves take, followed along each ray in small steps, and what arrives are all of it."""
    feet = np.array([(0, 0, 0), (2.5, 1, 0), (-1, 4, 0), (3, -3, 0)], dtype=float)
    suns = sun_at(40.0, 215.0)
    up, cells = suns.up[0], square(16.0, 0.4)
    left = light_on(cells, suns, [crowns(feet, density=0.8)])[0].sum()
    taken, reaching = 0.0, np.ones(len(cells))
    for step in np.arange(14.0, 0.0, -0.1):  # from the light down to the ground
        places = cells + (step - 0.05) * up
        off = (places[:, None, :] - feet - [0, 0, 5.0]) / [2.0, 2.0, 3.0]
        leaves = ((off**2).sum(axis=2) < 1.0).sum(axis=1)
        passed = reaching * np.exp(-0.5 * 0.8 * leaves * 0.1)
        taken += (reaching - passed).sum()
        reaching = passed
    assert taken > 0.04 * len(cells)
    assert taken + left == pytest.approx(len(cells), rel=1e-3)


def test_thin_crowns_take_half_if_there_are_half_as_many():
    # exp(-x) is 1 - x for the thinnest leaves, whatever lies over what
    feet = np.column_stack([np.zeros(40), np.arange(-40.0, 40.0, 2.0), np.zeros(40)])
    cells = square(70.0, 1.0)
    every, second = (
        (1.0 - light_on(cells, SEASON_OF_JUNE, [crowns(f, density=1e-3)])[0]).sum()
        for f in (feet, feet[::2])
    )
    assert second / every == pytest.approx(0.5, abs=0.005)


SEASON_OF_JUNE = season_suns(52.0, 7.0, (JUNE, JUNE), 10)


def test_the_work_done_is_told_and_grows():
    told = []
    cells = square(3.0, 1.0)
    light_over(cells, np.repeat(UP, len(cells), 0), SEASON_OF_JUNE, {JUNE: []}, done=told.append)
    assert told == sorted(told)
    assert 0.0 <= told[0] <= told[-1] < 1.0


def test_no_trees_and_no_walls_leave_all_light():
    direct, diffuse = light_on(square(5.0, 1.0), SEASON_OF_JUNE)
    assert direct == pytest.approx(1.0)
    assert diffuse == pytest.approx(1.0)
