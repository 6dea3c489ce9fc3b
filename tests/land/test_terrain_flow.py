"""Flow lines on shapes whose answer is plain: valleys, planes, bowls."""

import numpy as np
import pytest
import shapely
from shapely.geometry import box

from geolayout.land.terrain import flow
from geolayout.land.terrain.flow import flow_lines, upslope
from geolayout.land.terrain.terrain import Terrain


def terrain_of(height, rows=41, columns=61, cell=5.0):
    """Heights of a function of metres east and north; (0, 0) is the middle of the grid."""
    column, row = np.meshgrid(np.arange(columns), np.arange(rows))
    x, y = cell * (column - columns // 2), -cell * (row - rows // 2)
    to_cells = np.array([[1 / cell, 0, columns // 2], [0, -1 / cell, rows // 2]])
    return Terrain(height(x, y).astype(float), to_cells, "made up")


# A valley along y = 0 that falls to the east: walls of 10 %, bottom of 2 %.
VALLEY = terrain_of(lambda x, y: 50 - 0.02 * x + 0.1 * np.abs(y))


def test_a_valley_has_one_flow_line_along_its_bottom():
    (line,) = flow_lines(VALLEY, box(-100, -50, 100, 50))
    xy = shapely.get_coordinates(line.line)
    assert np.abs(xy[:, 1]).max() == 0.0
    assert (np.diff(xy[:, 0]) > 0).all()
    # It ends at the east edge of the grid, 30 cells from the middle.
    assert xy[-1] == pytest.approx((150.0, 0.0))
    # All the ground there is ends there: 61 x 41 cells of 25 m2.
    assert line.upslope == pytest.approx(61 * 41 * 25 / 1e4)


def test_rows_across_a_valley_cross_it_where_they_should():
    (line,) = flow_lines(VALLEY, box(-100, -50, 100, 50))
    row = shapely.LineString([(40.0, -50.0), (40.0, 50.0)])
    crossing = shapely.intersection(row, line.line)
    # The bottom is y = 0 and the row begins at y = -50: 0 - (-50) = 50 m along it
    assert shapely.line_locate_point(row, crossing) == pytest.approx(50.0, abs=1e-6)


def test_a_plane_gives_every_cell_to_the_one_below():
    terrain = terrain_of(lambda _x, y: 0.05 * y, rows=9, columns=7)
    down, area = upslope(terrain)
    inner = np.arange(63).reshape(9, 7)[1:-1, 1:-1]
    assert (down[inner] == inner + 7).all()  # southward, one row on
    # Each inner column gathers its cells from the north: 25 m2 more from row to row.
    assert area[1:-1, 3] * 1e4 / 25 == pytest.approx(np.arange(2, 9))


def test_a_bowl_is_left_over_its_lowest_rim():
    bowl = terrain_of(lambda x, y: np.hypot(x, y) / 10 - 0.01 * x, rows=31, columns=31)
    down, _ = upslope(bowl)
    place = 15 * 31 + 15
    for _ in range(200):
        if down[place] < 0:
            break
        place = int(down[place])
    row, column = divmod(place, 31)
    # The rim is lowest half way along the east side: hypot grows to the corners.
    assert column == 30
    assert abs(row - 15) <= 1


def test_no_water_flows_in_a_circle():
    rough = np.random.default_rng(3).normal(size=(40, 40))
    down, area = upslope(Terrain(rough, np.array([[1.0, 0, 0], [0, -1.0, 39]]), "rough"))
    step = np.where(down < 0, np.arange(1600), down)
    for _ in range(11):  # two to the eleventh is more than there are cells
        step = step[step]
    assert (down[step] < 0).all()
    ends = np.flatnonzero(down < 0)
    assert area.ravel()[ends].sum() * 1e4 == pytest.approx(1600.0)


def test_a_gap_in_the_heights_takes_no_water_and_stops_no_other():
    heights = VALLEY.heights.copy()
    heights[5:10, 5:10] = np.nan
    (line,) = flow_lines(Terrain(heights, VALLEY.to_cells, "gap"), box(-100, -50, 100, 50))
    assert shapely.get_coordinates(line.line)[-1] == pytest.approx((150.0, 0.0))


def test_a_large_grid_is_averaged_and_its_line_stays(monkeypatch):
    monkeypatch.setattr(flow, "MOST_CELLS", 700)
    (line, *_) = flow_lines(VALLEY, box(-100, -50, 100, 50))
    assert np.abs(shapely.get_coordinates(line.line)[:, 1]).max() <= 5.0


def test_water_that_gathers_only_at_the_rim_is_no_line():
    terrain = terrain_of(lambda _x, y: 0.05 * y, rows=101, columns=5)
    # 100 cells of 25 m2 gather 0.25 ha at the last but one row of each column.
    assert flow_lines(terrain, box(-5, -500, 5, 500), least=0.2525) == ()


def test_a_dry_plane_has_no_line():
    flat = terrain_of(lambda x, _y: 0.01 * x)
    assert flow_lines(flat, box(-50, -50, 50, 50), least=2.0) == ()
