"""A field drawn in letters keeps its shape, its marks and its scale."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geolayout.handover.pictures.sketch import field_drawing, plain_dots
from geolayout.plan.units import IMPERIAL

SQUARE = shapely.box(0.0, 0.0, 100.0, 100.0)


def lines_of(drawn):
    return drawn.split("\n")[:-1]


def test_a_square_is_as_high_as_wide():
    # 15 letters of 4 dots are 60 dots down; 60 dots across are 30 letters of 2
    lines = lines_of(field_drawing(SQUARE, {}))
    assert len(lines) == 15
    assert {len(line) for line in lines} == {30}


def test_a_square_is_drawn_as_its_four_sides():
    lines = lines_of(field_drawing(SQUARE, {}, columns=8, lines=4))
    assert lines == ["⡏⠉⠉⠉⠉⠉⠉⢹", "⡇      ⢸", "⡇      ⢸", "⣇⣀⣀⣀⣀⣀⣀⣸"]


def test_north_is_up():
    triangle = shapely.Polygon([(0, 0), (100, 0), (50, 100)])
    top, *_, bottom = lines_of(field_drawing(triangle, {}))
    assert len(top.split()[0]) <= 2
    assert len(bottom.split()[0]) > 20


def test_a_hole_is_drawn():
    holed = SQUARE - shapely.box(40.0, 40.0, 60.0, 60.0)
    assert field_drawing(holed, {}) != field_drawing(SQUARE, {})


def test_marks_stand_at_their_places():
    # (0, 0) is the lower left corner, (100, 100) the upper right
    marks = {"1": np.array([[0.0, 0.0]]), "2": np.array([[100.0, 100.0]])}
    lines = lines_of(field_drawing(SQUARE, marks))
    assert lines[-1][0] == "1"
    assert lines[0][-1] == "2"


def test_of_two_marks_in_one_place_the_first_is_seen():
    here = np.array([[50.0, 50.0]])
    drawn = field_drawing(SQUARE, {"1": here, "2": here})
    assert "1" in drawn
    assert "2" not in drawn.split("\n")[7]


def test_a_mark_off_the_drawing_is_left_out():
    assert field_drawing(SQUARE, {"1": np.array([[900.0, 900.0]])}) == field_drawing(SQUARE, {})


def test_a_mark_without_a_place_is_no_mark():
    assert field_drawing(SQUARE, {"1": np.empty((0, 2))}) == field_drawing(SQUARE, {})


def test_the_line_of_a_feature_is_sparser_than_an_edge():
    wire = shapely.LineString([(0.0, 50.0), (100.0, 50.0)])
    middle = lines_of(field_drawing(SQUARE, {}, [wire]))[7][1:-1]
    assert middle.strip()
    assert "⠉" * 3 not in middle
    assert "⠒" * 3 not in middle


@pytest.mark.parametrize(
    ("side", "units", "said"),
    [
        # 100 m on 59 steps of a dot: a letter is 3.39 m, ten letters 33.9 m: 20 m is a bar of 6
        pytest.param(100.0, "metric", "├────┤ 20 m, north is up", id="metres"),
        # 100 m are 328 ft: ten letters are 111 ft, so the bar is 100 ft long
        pytest.param(100.0, "imperial", "├───────┤ 100 ft, north is up", id="feet"),
        # a letter is 0.102 m, ten letters 1.02 m
        pytest.param(3.0, "metric", "├────────┤ 1 m, north is up", id="a very small field"),
    ],
)
def test_the_bar_has_a_round_length(side, units, said):
    land = shapely.box(0.0, 0.0, side, side)
    more = {"units": IMPERIAL.length} if units == "imperial" else {}
    assert field_drawing(land, {}, **more).split("\n")[-1] == said


@given(
    width=st.floats(0.5, 5000.0),
    height=st.floats(0.5, 5000.0),
    columns=st.integers(4, 80),
    lines=st.integers(2, 40),
)
def test_a_drawing_keeps_within_its_room(width, height, columns, lines):
    drawn = lines_of(
        field_drawing(shapely.box(0.0, 0.0, width, height), {}, columns=columns, lines=lines)
    )
    assert len(drawn) <= lines
    assert max(map(len, drawn)) <= columns
    assert any(line.strip() for line in drawn)


def test_moving_a_field_does_not_change_its_drawing():
    shape = shapely.Polygon([(0, 0), (140, 15), (120, 90), (-10, 70)])
    away = shapely.transform(shape, lambda xy: xy + np.array([1000.0, -2000.0]))
    assert field_drawing(shape, {}) == field_drawing(away, {})


@pytest.mark.parametrize("shape", [SQUARE, shapely.Point(50, 50).buffer(40)])
def test_plain_letters_are_plain_and_leave_no_letter_out(shape):
    drawn = field_drawing(shape, {"1": np.array([[50.0, 50.0]])})
    plain = plain_dots(drawn)
    assert plain.isascii()
    assert [len(line) for line in plain.split("\n")] == [len(line) for line in drawn.split("\n")]
    assert [c == " " for c in plain] == [c == " " for c in drawn]
