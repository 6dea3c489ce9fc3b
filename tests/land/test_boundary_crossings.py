"""What is said of rings that cross themselves."""

import numpy as np
import pytest
from shapely import Polygon

from geolayout.land.boundary.crossings import crossing, fault, said_place
from geolayout.land.boundary.repair import made_valid
from geolayout.land.frames.frame import Frame

FRAME = Frame(10.0, 52.0)
# Two triangles of 100 m by 50 m, tip to tip: 100 x 50 / 2 = 2,500 m2 each.
BOW_TIE = FRAME.to_geographic(Polygon([(0, 0), (100, 100), (0, 100), (100, 0)]))


def test_a_bow_tie_is_said_with_the_place_of_its_crossing():
    finding = crossing(BOW_TIE, made_valid(BOW_TIE), 1)
    (where,) = finding.places
    assert where == pytest.approx(tuple(FRAME.lonlat(np.array([[50.0, 50.0]]))[0]), abs=1e-7)
    assert "2 parts of 0.5000 ha kept" in finding.sentence


def test_a_bow_tie_gains_no_area_for_each_crossing_turns_inside_to_outside():
    finding = crossing(BOW_TIE, made_valid(BOW_TIE), 1)
    assert finding.area_change == pytest.approx(0.0, abs=0.01)
    assert not finding.question


def test_large_parts_are_asked_about_though_the_area_stays():
    assert crossing(BOW_TIE, made_valid(BOW_TIE), 2).question


def test_a_loop_that_is_gone_round_twice_is_gained_and_asked_about():
    # The line turns left into a loop of 20 m by 20 m, which even-odd counts as outside: 400 m2.
    ring = [(0, 0), (100, 0), (100, 60), (40, 60), (40, 40), (60, 40), (60, 100), (0, 100)]
    drawn = FRAME.to_geographic(Polygon(ring))
    finding = crossing(drawn, made_valid(drawn), 1)
    # 100 x 60 + 60 x 40 = 8,400 m2 lie within the line.
    assert "of 0.8400 ha kept, 400.0 m2 more" in finding.sentence
    assert finding.area_change == pytest.approx(400.0, abs=0.01)
    assert finding.question


def test_a_sound_shape_has_no_fault_anywhere():
    assert fault(Polygon([(0, 0), (1, 0), (1, 1)])) == ("Valid Geometry", ())


def test_a_hole_outside_is_told_in_plain_words():
    drawn = Polygon([(0, 0), (1, 0), (1, 1)], [[(5, 5), (6, 5), (6, 6)]])
    assert fault(drawn)[0] == "A hole lies outside the boundary"


def test_a_place_that_is_not_known_is_not_made_up():
    assert said_place(()) == "a place not told"
