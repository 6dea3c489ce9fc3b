"""Guides: signs and turns by hand, and what must hold for every straight guide."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import box
from strategies import bearings

from geolayout.layout.guides.guide import Straight

straights = st.builds(
    Straight,
    st.floats(-500.0, 500.0),
    st.floats(-500.0, 500.0),
    bearings,
    st.sampled_from([1.0, -1.0]),
)


@pytest.mark.parametrize(
    ("bearing", "side", "across", "along"),
    [
        pytest.param(0.0, 1.0, 30.0, 40.0, id="rows north, t grows east"),
        pytest.param(0.0, -1.0, -30.0, 40.0, id="rows north, t grows west"),
        pytest.param(90.0, 1.0, -40.0, 30.0, id="rows east, t grows south"),
        pytest.param(90.0, -1.0, 40.0, 30.0, id="rows east, t grows north"),
        pytest.param(180.0, 1.0, -30.0, -40.0, id="rows south, t grows west"),
        # 30 sin 45 + 40 cos 45 = 70 / sqrt 2; 30 cos 45 - 40 sin 45 = -10 / sqrt 2
        pytest.param(45.0, 1.0, -10 / 2**0.5, 70 / 2**0.5, id="rows north-east"),
    ],
)
def test_a_point_30_m_east_and_40_m_north(bearing, side, across, along):
    lines, point = Straight(0.0, 0.0, bearing, side), np.array([[30.0, 40.0]])
    assert lines.across(point) == pytest.approx([across])
    assert lines.along(point) == pytest.approx([along])
    assert lines.direction(point).tolist() == [bearing]


def test_span_of_a_rectangle_is_its_width_square_to_the_rows():
    # Rows run north; the line t = 0 lies 10 m east of the west edge of a 200 m x 100 m field.
    assert Straight(10.0, 0.0, 0.0).span(box(0, 0, 200, 100)) == pytest.approx((-10.0, 190.0))


def test_lines_reach_beyond_the_land_at_both_ends():
    land = box(0, 0, 200, 100)
    (line,) = Straight(0.0, 0.0, 90.0).lines(np.array([-50.0]), land)
    assert shapely.length(shapely.intersection(line, land)) == pytest.approx(200.0)
    assert shapely.length(shapely.difference(line, land)) == pytest.approx(2.0)


@given(lines=straights, x=st.floats(-2000, 2000), y=st.floats(-2000, 2000))
@example(lines=Straight(0.0, 0.0, 0.0), x=1.0, y=1.0)
def test_turning_there_and_back_changes_nothing(lines, x, y):
    xy = np.array([[x, y]])
    ts = lines.to_turned(xy)
    assert lines.from_turned(ts) == pytest.approx(xy, abs=1e-9)
    assert ts[:, 0] == pytest.approx(lines.across(xy), abs=1e-9)
    assert ts[:, 1] == pytest.approx(lines.along(xy), abs=1e-9)


@given(lines=straights)
def test_lines_square_to_the_guide_measure_along_it(lines):
    xy = np.array([[3.0, 700.0], [-250.0, 8.0]])
    assert lines.square.across(xy) == pytest.approx(lines.along(xy), abs=1e-9)


@given(lines=straights)
def test_turned_land_keeps_its_area_and_lies_over_its_span(lines):
    land = box(0, 0, 200, 100)
    turned = lines.turn(land)
    assert turned.area == pytest.approx(20_000.0)
    assert turned.bounds[::2] == pytest.approx(lines.span(land))
    back = lines.turn_back(turned)
    assert shapely.symmetric_difference(back, land).area == pytest.approx(0.0, abs=1e-6)


@given(lines=straights, t=st.lists(st.floats(-500, 500), min_size=1, max_size=5, unique=True))
def test_every_point_of_a_line_has_its_t(lines, t):
    found = lines.lines(np.array(t), box(0, 0, 200, 100))
    ends = shapely.get_coordinates(found)
    assert lines.across(ends) == pytest.approx(np.repeat(t, 2), abs=1e-9)
