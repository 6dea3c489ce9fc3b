"""Pieces one by one: headland taken, reach, slant, and what is worked twice, by hand."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from strategies import lands

from geolayout.appraisal.direction.combs import even_comb
from geolayout.appraisal.direction.pieces import Ends, end_lengths, tally_passes
from geolayout.appraisal.direction.rings import rings_of
from geolayout.appraisal.direction.sweep import count_rows

FIELD = box(0.0, 0.0, 200.0, 100.0)
NORTH, EAST = np.array([0.0]), np.array([90.0])


def tallied(land, bearing, width=10.0, headland=0.0, short=50.0):
    tally = tally_passes(
        rings_of(land), np.asarray(bearing), even_comb(width), Ends(headland, 30.0, short)
    )
    return {name: getattr(tally, name)[0] for name in type(tally).__slots__}


def test_a_headland_at_square_ends_takes_its_width_of_each_piece():
    # 20 passes north of 100 m, 12 m off either end: 76 m each.
    found = tallied(FIELD, NORTH, headland=12.0)
    assert (found["passes"], found["pieces"]) == (20, 20)
    assert found["length"] == pytest.approx(20 * 76.0)
    assert (found["short"], found["point"], found["slant"]) == (0, 0, 0)


def test_slanting_ends_cost_reach_slant_and_double_work():
    # A parallelogram, ends at 45 degrees. Rows east, 10 m apart: at its end a pass reaches
    # 10 / 2 / tan(45) = 5 m past its centre line on both sides; the next pass ends 10 m farther on;
    # what lies beyond the slanting edge is 10 x 5 = 50 m2 an end.
    land = Polygon([(0, 0), (300, 0), (400, 100), (100, 100)])
    found = tallied(land, EAST)
    assert found["length"] == pytest.approx(10 * (300.0 + 2 * 5.0))
    assert found["slant"] == pytest.approx(10 * 10.0)
    assert found["double"] == pytest.approx(10 * 2 * 50.0)


def test_a_headland_at_slanting_ends_takes_more_of_each_piece():
    # 12 / sin(45) = 16.97 m an end.
    land = Polygon([(0, 0), (300, 0), (400, 100), (100, 100)])
    with_it, without = tallied(land, EAST, headland=12.0), tallied(land, EAST)
    assert without["length"] - with_it["length"] == pytest.approx(20 * 12.0 / np.sqrt(0.5))


def test_pieces_that_run_out_on_a_side_have_no_headland_there():
    # The west edge leans by 20 degrees from the rows, less than 30: a side. Its rows run out there.
    lean = 100.0 * np.tan(np.radians(20.0))
    land = Polygon([(0, 0), (200, 0), (200, 100), (lean, 100)])
    found = tallied(land, NORTH, width=6.0, headland=12.0)
    # at 3, 9, ... 33 m across 6 pieces end on the leaning side; the first is 3 / tan(20) = 8.2 m
    # long, and the headland of the south end takes it
    assert found["point"] == 5


def test_short_pieces_are_counted_after_the_headland():
    # 100 m less 2 x 30 m leaves 40 m: all 20 are short; with 2 x 20 m none is.
    assert tallied(FIELD, NORTH, headland=30.0, short=60.0)["short"] == 20
    assert tallied(FIELD, NORTH, headland=20.0, short=60.0)["short"] == 0


def test_pieces_that_the_headland_takes_whole_are_none():
    assert tallied(FIELD, NORTH, headland=50.0)["pieces"] == 0


def test_the_last_pass_works_ground_twice_where_it_moved_inward():
    # 17 passes of 6 m over 100 m: the last overlaps by 2 m along 200 m.
    assert tallied(FIELD, EAST, width=6.0)["double"] == pytest.approx(2.0 * 200.0)


def test_a_hole_has_no_headland():
    holed = FIELD - box(42.0, 40.0, 58.0, 60.0)
    with_it, without = tallied(holed, NORTH, headland=5.0), tallied(holed, NORTH)
    assert without["length"] - with_it["length"] == pytest.approx(20 * 2 * 5.0)
    assert with_it["pieces"] == 22


def test_ends_are_the_edges_that_rows_meet_steeply():
    rings = rings_of(FIELD)
    found = end_lengths(rings, np.array([0.0, 29.4, 45.0, 60.6, 90.0]), 30.0)
    # at 29.4 the long edges are met at 60.6, the short ones at 29.4: sides; at 45 all are ends
    assert found == pytest.approx([400.0, 400.0, 600.0, 200.0, 200.0])


@settings(max_examples=60, deadline=None)
@given(land=lands, bearing=st.floats(0.0, 179.9), width=st.sampled_from([3.0, 8.0]))
def test_without_ends_pieces_are_those_of_the_quick_count(land, bearing, width):
    rings, at, comb = rings_of(land), np.array([bearing]), even_comb(width)
    quick = count_rows(rings, at, comb)
    found = tally_passes(rings, at, comb, Ends(0.0, 30.0, 50.0))
    assert found.passes[0] == quick.lines[0]
    # pieces under 1 m are counted only by the quick count
    assert 0 <= quick.pieces[0] - found.pieces[0] <= 6
    assert found.length[0] >= quick.length[0] - 6.0


@settings(max_examples=40, deadline=None)
@given(land=lands, first=st.floats(0.0, 170.0))
def test_bearings_looked_at_together_are_those_looked_at_alone(land, first):
    rings, comb, ends = rings_of(land), even_comb(6.0), Ends(12.0, 30.0, 50.0)
    bearings = first + np.arange(10.0)
    together = tally_passes(rings, bearings, comb, ends)
    for i, bearing in enumerate(bearings):
        alone = tally_passes(rings, np.array([bearing]), comb, ends)
        assert alone.length[0] == pytest.approx(together.length[i], rel=1e-12)
        assert alone.pieces[0] == together.pieces[i]


def test_no_line_leaves_no_piece():
    sliver = shapely.box(0.0, 0.0, 100.0, 0.5)
    found = tallied(sliver, NORTH, headland=1.0)
    assert (found["pieces"], found["length"]) == (0, 0)
