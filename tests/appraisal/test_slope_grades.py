"""Grades along rows on planes and cones, against the limits of the conservation standards."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.slope.grades import grades_along, grades_of, slopes_of
from geolayout.land.terrain.grade import ANNUAL, PERENNIAL
from geolayout.land.terrain.terrain import Terrain
from geolayout.layout.shapes.lines import Lines


def plane(east, north, size=100, cell=5.0):
    column, row = np.meshgrid(np.arange(size), np.arange(size))
    x, y = cell * (column - size / 2), -cell * (row - size / 2)
    to_cells = np.array([[1 / cell, 0, size / 2], [0, -1 / cell, size / 2]])
    return Terrain(100 + east * x + north * y, to_cells, "made up")


def line(*points):
    xy = np.array(points, dtype=float)
    return Lines(xy, np.array([0, len(xy)]))


@pytest.mark.parametrize(
    ("limit", "slope", "most"),
    [
        # Annual rows: the smaller of 2 % and half the slope (USDA NRCS Code 330).
        pytest.param(ANNUAL, 3.0, 1.5, id="annual on 3 %: half the slope"),
        pytest.param(ANNUAL, 10.0, 2.0, id="annual on 10 %: 2 %"),
        # Perennial rows: the smaller of half the slope and 4 % (USDA NRCS Code 331).
        pytest.param(PERENNIAL, 6.0, 3.0, id="trees on 6 %: half the slope"),
        pytest.param(PERENNIAL, 20.0, 4.0, id="trees on 20 %: 4 %"),
    ],
)
def test_limits_are_those_of_the_standards(limit, slope, most):
    assert limit.at(np.array([slope])) == pytest.approx([most])


@given(bearing=st.floats(0, 360), slope=st.floats(0.5, 30))
def test_on_a_plane_the_grade_is_the_slope_by_the_cosine(bearing, slope):
    terrain = plane(0.0, slope / 100)  # rises to the north
    angle = np.radians(bearing)
    way = 100 * np.array([np.sin(angle), np.cos(angle)])
    found = grades_along(terrain, line(-way, way))
    assert found.grade == pytest.approx(np.full(len(found.line), slope * np.cos(angle)), abs=1e-6)
    assert found.length.sum() == pytest.approx(200.0)
    # On the ground a metre is longer by the square root of 1 + grade squared.
    known = 200 * np.sqrt(1 + (slope * np.cos(angle) / 100) ** 2)
    assert found.on_ground.sum() == pytest.approx(known)


def test_the_length_over_the_limit_is_measured():
    # 8 % to the north. One row up the slope for 100 m, then along the contour for 300 m.
    terrain = plane(0.0, 0.08)
    told = grades_of(terrain, line((0, -50), (0, 50), (240, 50)), ANNUAL)
    assert told.length_m == pytest.approx(340.0)
    assert told.over_m == pytest.approx(100.0)
    assert told.over_share == pytest.approx(100 / 340)
    assert told.steepest == pytest.approx(8.0)
    assert told.place[0] == pytest.approx(0.0)
    # 100 m at 8 %: 100 x 1.0031949 = 100.319 m on the ground.
    assert told.ground_length_m == pytest.approx(340.319, abs=1e-3)


def test_a_row_at_its_limit_is_not_over_it():
    # A plane of 4 %: half of it is 2 %. A row at 60 degrees to the slope climbs 4 cos 60 = 2 %.
    angle = np.radians(60)
    way = 100 * np.array([np.sin(angle), np.cos(angle)])
    told = grades_of(plane(0.0, 0.04), line(-way, way), ANNUAL)
    assert told.steepest == pytest.approx(2.0)
    assert told.over_m == 0.0


def test_where_no_height_is_known_nothing_is_said():
    terrain = plane(0.0, 0.05, size=10)
    assert grades_of(terrain, line((500, 500), (600, 500)), ANNUAL) is None
    half = slopes_of(grades_along(terrain, line((0, 0), (0, 15), (0, 30))), ANNUAL)
    assert 0.0 < half.known_share < 1.0


def test_near_a_stable_outlet_rows_may_be_steeper():
    # USDA NRCS Code 330: up to 3 % within 150 feet (45.72 m) of a stable outlet. On a plane of
    # 6 % the limit is 2 %; a row that climbs 2.5 % may do so for 45.72 m and not beyond.
    terrain = plane(0.025, 0.0545)
    row = line((-90.0, 0.0), (90.0, 0.0))
    ditch = shapely.LineString([(-90.0, -50.0), (-90.0, 50.0)])
    found = grades_of(terrain, row, ANNUAL, ditch)
    assert found.over_m == pytest.approx(180.0 - 45.72, abs=2.5)
    assert grades_of(terrain, row, ANNUAL).over_m == pytest.approx(180.0)


def test_tree_rows_may_be_a_quarter_steeper_there():
    # USDA NRCS Code 331: the smaller of 4 % and half the slope, and 25 % more near an outlet.
    # On 20 %: 4 % and 5 %; on 4 %: half is 2 %, and 1.25 x 2 = 2.5 %.
    slopes = np.array([20.0, 4.0])
    assert PERENNIAL.at(slopes, np.array([True, True])) == pytest.approx([5.0, 2.5])
    assert PERENNIAL.at(slopes, np.array([False, False])) == pytest.approx([4.0, 2.0])
