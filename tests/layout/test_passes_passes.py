"""Passes: what they work, how far they reach, and what they work twice."""

import numpy as np
import pytest
from shapely import MultiPolygon, Polygon, box
from strategies import ENDS, field_of, laid, plan_of

from geolayout.layout.shapes.strips import reaches

RECTANGLE = box(0, 0, 200, 100)
DRILL = """
[[machine]]
name = "drill"
working_width = 6.0
[[operation]]
name = "drill"
machine = "drill"
over = "{over}"
"""


def bands_of(width, over="band"):
    return DRILL.format(over=over) + (
        f'[[pattern]]\nname = "one"\nbands = [ {{ name = "A", width = {width}, stand = "maize" }} ]'
    )


def passes_of(land, *parts, guide='near_edge = "south"'):
    return laid(field_of(land), plan_of(*parts, guide=guide)).passes


def test_a_pass_a_strip_where_the_strip_is_a_machine_wide():
    # 100 m hold 16 strips of 6 m and one of 4 m: 17 passes of 200 m, the last centred on its 4 m.
    passes = passes_of(RECTANGLE, bands_of(6.0))
    assert passes.passes == len(passes) == 17
    assert passes.lines.length == pytest.approx(np.full(17, 200.0), rel=1e-6)
    assert passes.number.tolist() == list(range(1, 18))
    assert passes.beyond_edge.tolist() == [0.0] * 17
    assert (passes.reach0[-1], passes.reach1[-1]) == pytest.approx((95.0, 101.0), abs=2e-3)


def test_the_last_pass_of_a_band_moves_inward_and_says_what_it_works_twice():
    # 14 m band: 0 to 6, 6 to 12, then 12 to 14 fresh with the machine on 8 to 14: 4 m twice.
    passes = passes_of(box(0, 0, 200, 14), bands_of(14.0))
    assert passes.t0 == pytest.approx([0, 6, 12], abs=2e-3)
    assert passes.t1 == pytest.approx([6, 12, 14], abs=2e-3)
    assert passes.reach0 == pytest.approx([0, 6, 8], abs=2e-3)
    assert passes.reach1 == pytest.approx([6, 12, 14], abs=2e-3)
    twice = (passes.reach1 - passes.reach0) - (passes.t1 - passes.t0)
    assert twice == pytest.approx([0, 0, 4], abs=4e-3)


def test_a_pass_reaches_the_farthest_ground_of_its_strip_at_slanting_ends():
    # Both ends slant at 45 degrees. In a strip 6 m wide ground begins 3 m before the centre line
    # enters the land and ends 3 m after it leaves: 206 m long, 6 m of it beyond the edge.
    slanting = Polygon([(0, 0), (200, 0), (260, 60), (60, 60)])
    passes = passes_of(slanting, bands_of(6.0))
    assert passes.passes == 10
    assert passes.lines.length == pytest.approx(np.full(10, 206.0), rel=1e-5)
    assert passes.beyond_edge == pytest.approx(np.full(10, 6.0), rel=1e-4)


def test_a_pass_over_a_flat_headland_is_not_beyond_what_can_be_driven_on():
    # The headland of 12 m, measured square to ends at 45 degrees, takes 12 sqrt 2 m along the row
    # at each end, and the pass reaches 3 m into it, on land that can be driven on.
    slanting = Polygon([(0, 0), (200, 0), (260, 60), (60, 60)])
    passes = passes_of(slanting, bands_of(6.0), ENDS)
    inner = passes.lines.length[2:-2]
    assert inner == pytest.approx(np.full(6, 206.0 - 24 * 2**0.5), rel=1e-4)
    assert passes.beyond_edge.max() == 0.0


def test_land_in_two_parts_is_worked_by_passes_of_two_pieces():
    two = MultiPolygon([box(0, 0, 80, 30), box(120, 0, 200, 30)])
    passes = passes_of(two, bands_of(6.0))
    assert passes.passes == 5
    assert passes.piece.tolist() == [1, 2] * 5
    assert passes.lines.length == pytest.approx(np.full(10, 80.0), rel=1e-6)


def test_passes_over_the_block_span_bands():
    # Bands of 4 m across 48 m, machine 6 m over the block: 48 / 6 = 8 passes, of no one band
    passes = passes_of(box(0, 0, 200, 48), bands_of(4.0, over="block"))
    assert passes.passes == 8
    assert set(passes.cut.tolist()) == {-1}


def test_every_square_metre_of_the_bands_lies_under_the_fresh_ground_of_one_pass():
    layout = laid(field_of(RECTANGLE), plan_of(bands_of(9.0)))
    order = np.argsort(layout.passes.t0)
    t0, t1 = layout.passes.t0[order], layout.passes.t1[order]
    assert t0[1:] == pytest.approx(t1[:-1], abs=1e-9)
    assert t1[-1] - t0[0] == pytest.approx(100.0, abs=1e-3)


def test_without_operations_there_are_no_passes():
    plan = '[[pattern]]\nname = "one"\nbands = [ { name = "A", width = 6.0, stand = "maize" } ]'
    passes = passes_of(RECTANGLE, plan)
    assert len(passes) == passes.passes == 0


def test_stretches_side_by_side_in_a_strip_are_one_drive():
    # Two tongues that overlap along the row: one stretch from 0 to 60; a third apart from 80 on
    land = MultiPolygon([box(0, 0, 2, 40), box(3, 30, 5, 60), box(0, 80, 5, 90)])
    strip, s0, s1 = reaches(land, np.array([0.0]), np.array([6.0]))
    assert strip.tolist() == [0, 0]
    assert s0.tolist() == [0.0, 80.0]
    assert s1.tolist() == [60.0, 90.0]


def test_no_land_is_reached_where_there_is_none():
    strip, s0, s1 = reaches(Polygon(), np.array([0.0]), np.array([6.0]))
    assert len(strip) == len(s0) == len(s1) == 0
