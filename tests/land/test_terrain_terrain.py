"""Slope, fall and grade on planes, cones and printed examples, where every figure is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.land.terrain.terrain import Terrain, horn


def terrain_of(height, size=40, cell=5.0, turn=0.0):
    """Heights of a function of (x, y) on a grid turned against the frame. [m]"""
    angle = np.radians(turn)
    east = cell * np.array([np.cos(angle), np.sin(angle)])
    south = cell * np.array([np.sin(angle), -np.cos(angle)])
    first = -size / 2 * (east + south)
    column, row = np.meshgrid(np.arange(size), np.arange(size))
    x, y = first[:, None, None] + east[:, None, None] * column + south[:, None, None] * row
    linear = np.linalg.inv(np.stack([east, south], axis=1))
    to_cells = np.column_stack([linear, -linear @ first])
    return Terrain(height(x, y), to_cells, "made up")


@pytest.mark.parametrize(
    ("heights", "cell", "rise"),
    [
        # Worked examples of a general GIS's handbook, as collected in its pages.
        pytest.param([[50, 45, 50], [30, 30, 30], [8, 10, 10]], 5.0, (0.05, -3.8), id="slope"),
        pytest.param(
            [[101, 92, 85], [101, 92, 85], [101, 91, 84]], 1.0, (-8.125, -0.375), id="aspect"
        ),
        # A plane that falls 1 m for 10 m to the south.
        pytest.param([[3, 3, 3], [2, 2, 2], [1, 1, 1]], 10.0, (0.0, -0.1), id="plane"),
    ],
)
def test_horn_gives_the_printed_examples(heights, cell, rise):
    assert horn(np.array(heights, dtype=float))[1, 1] / cell == pytest.approx(rise)


@given(
    east=st.floats(-0.3, 0.3),
    north=st.floats(-0.3, 0.3),
    turn=st.floats(-180, 180),
    cell=st.floats(1.0, 30.0),
)
def test_a_plane_is_a_plane_however_its_grid_is_turned(east, north, turn, cell):
    terrain = terrain_of(lambda x, y: 100 + east * x + north * y, cell=cell, turn=turn)
    xy = np.random.default_rng(1).uniform(-5 * cell, 5 * cell, (50, 2))
    assert terrain.cell == pytest.approx(cell)
    assert terrain.height(xy) == pytest.approx(100 + xy @ [east, north], abs=1e-6)
    assert terrain.gradient(xy) == pytest.approx(np.tile([east, north], (50, 1)), abs=1e-9)
    assert terrain.slope(xy) == pytest.approx(np.full(50, 100 * np.hypot(east, north)), abs=1e-6)
    bearing = np.linspace(0, 360, 50)
    known = 100 * (east * np.sin(np.radians(bearing)) + north * np.cos(np.radians(bearing)))
    assert terrain.grade(xy, bearing) == pytest.approx(known, abs=1e-6)


def test_a_plane_falls_where_it_falls():
    terrain = terrain_of(lambda x, _y: 0.1 * x)  # rises to the east
    assert terrain.fall(np.array([[3.0, 4.0]])) == pytest.approx([270.0])


def test_a_cone_falls_away_from_its_top_everywhere():
    terrain = terrain_of(lambda x, y: 50.0 - 0.08 * np.hypot(x, y), size=80, cell=2.0)
    angle = np.radians(np.arange(0, 360, 7.0))
    xy = 50.0 * np.stack([np.sin(angle), np.cos(angle)], axis=1)
    # Cells of 2 m at 50 m from the top: a chord of the circle is off by 2 x 2 / (2 x 50) of it.
    assert terrain.slope(xy) == pytest.approx(np.full(len(xy), 8.0), abs=0.02)
    turn = (terrain.fall(xy) - np.degrees(angle) + 180) % 360 - 180
    assert np.abs(turn).max() < 0.2
    # Along the contour the grade is nought, straight up it is the slope.
    assert np.abs(terrain.grade(xy, np.degrees(angle) + 90)).max() < 0.03
    assert terrain.grade(xy, np.degrees(angle) + 180) == pytest.approx(
        np.full(len(xy), 8), abs=0.02
    )


def test_a_gap_is_not_a_number_and_not_a_hole():
    heights = np.full((10, 10), 5.0)
    heights[4, 4] = np.nan
    to_cells = np.array([[1.0, 0, 0], [0, -1.0, 9.0]])
    terrain = Terrain(heights, to_cells, "gap")
    assert np.isnan(terrain.height(np.array([[4.3, 5.2]])))[0]
    assert terrain.height(np.array([[3.0, 5.0]])) == pytest.approx([5.0])
    assert np.isnan(terrain.slope(np.array([[3.0, 5.0]])))[0]  # a neighbour is missing
    assert terrain.slope(np.array([[7.0, 7.0]])) == pytest.approx([0.0])


@pytest.mark.parametrize("place", [(-1.0, 5.0), (5.0, 12.0), (100.0, 100.0)])
def test_beyond_the_grid_nothing_is_known(place):
    terrain = Terrain(np.zeros((10, 10)), np.array([[1.0, 0, 0], [0, -1.0, 9.0]]), "small")
    xy = np.array([place])
    assert np.isnan(terrain.height(xy)).all()
    assert np.isnan(terrain.slope(xy)).all()


def test_smoothed_heights_keep_a_plane_and_lose_a_clod():
    column, row = np.meshgrid(np.arange(40.0), np.arange(30.0))
    plane = 100.0 + 0.5 * column - 0.2 * row
    rough = plane + np.where((column.astype(int) + row.astype(int)) % 2 == 0, 0.3, -0.3)
    to_cells = np.array([[1.0, 0.0, 0.0], [0.0, -1.0, 0.0]])
    smooth = Terrain(rough, to_cells, "made_up.tif").smoothed(10.0)
    inner = (slice(10, -10), slice(10, -10))  # the window is cut at the edges of the grid
    assert smooth.heights[inner] == pytest.approx(plane[inner], abs=0.005)


def test_heights_coarser_than_the_window_are_left_alone():
    terrain = Terrain(np.zeros((4, 4)), np.array([[0.04, 0.0, 0.0], [0.0, -0.04, 0.0]]), "a.tif")
    assert terrain.smoothed(20.0) is terrain


def test_unknown_heights_stay_unknown_and_spoil_no_neighbour():
    heights = np.full((20, 20), 50.0)
    heights[5, 5] = np.nan
    to_cells = np.array([[1.0, 0.0, 0.0], [0.0, -1.0, 0.0]])
    smooth = Terrain(heights, to_cells, "made_up.tif").smoothed(6.0).heights
    assert np.isnan(smooth[5, 5])
    assert np.nanmax(np.abs(smooth - 50.0)) < 1e-9
