"""Places and strips in words."""

import pytest
import shapely
from appraisal_layouts import strips

from geolayout.appraisal.places import listed, place_of, place_words, strips_of, strips_words


@pytest.mark.parametrize(
    ("place", "words"),
    [
        pytest.param((0.0, 0.0), "near the middle of the field", id="the middle"),
        pytest.param((0.0, 50.0), "50 m north of the middle", id="north"),
        pytest.param((20.0, 20.0), "28 m north-east of the middle", id="north-east"),
        pytest.param((-25.0, 1.0), "25 m west of the middle", id="west"),
        pytest.param((-1.0, -40.0), "40 m south of the middle", id="south"),
    ],
)
def test_place_words(place, words):
    said = place_words(strips().field, place)
    assert said.startswith(words)
    assert "lon 10.000" in said or "lon 9.999" in said


def test_a_place_of_something_outside_is_its_nearest_point():
    land = shapely.box(0, 0, 10, 10)
    assert place_of(shapely.LineString([(12, 0), (20, 0)]), land) == (12.0, 0.0)
    assert place_of(shapely.Point(5, 5), land) == (5.0, 5.0)


def test_a_place_of_a_line_is_the_middle_of_what_lies_in_the_land():
    land = shapely.box(0, 0, 10, 10)
    assert place_of(shapely.LineString([(-5, 4), (30, 4)]), land) == (5.0, 4.0)


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ([], ""),
        (["A"], "A"),
        (["A", "A"], "A"),
        (["A", "B"], "A and B"),
        (list("ABCD"), "A, B, C and D"),
        (list("ABCDE"), "A, B, C and 2 more"),
    ],
)
def test_listed(names, words):
    assert listed(names) == words


def test_strips_are_grouped_by_width_and_by_edge():
    # 62 m: five A and five B of 6 m, and an A of 2 m at the edge.
    layout = strips(land=shapely.box(0, 0, 62, 120))
    whole, edge = strips_of(layout, layout.plan.operation("plant"))
    assert strips_words(layout, whole) == "5 strips A are 6.00 m wide"
    assert strips_words(layout, edge) == "Strip A, number 11, is 2.00 m wide"
    assert (whole.at_edge, edge.at_edge) == (False, True)
