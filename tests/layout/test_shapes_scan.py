"""Upright lines in turned land: the half-open rule, the slack, and another road to the answer."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, box
from strategies import lands, real_fields

from geolayout.layout.guides.guide import Straight
from geolayout.layout.shapes.scan import chords_with_slack, scan

FIELD = box(0, 0, 100, 40)
HOLED = FIELD - box(30, 10, 50, 30)


def stretches(chords):
    """Chords as (line, s0, s1)."""
    return [
        (int(line), pytest.approx(a, abs=1e-9), pytest.approx(b, abs=1e-9))
        for line, a, b in zip(chords.line, chords.s0, chords.s1, strict=True)
    ]


def test_a_line_round_a_hole_runs_in_two_stretches():
    assert stretches(scan(HOLED, np.array([20.0, 40.0]))) == [
        (0, 0.0, 40.0),
        (1, 0.0, 10.0),
        (1, 30.0, 40.0),
    ]


@pytest.mark.parametrize(
    ("t", "found"),
    [
        pytest.param(0.0, [(0, 0.0, 40.0)], id="on the near edge it runs in the land beyond"),
        pytest.param(100.0, [], id="on the far edge there is no land beyond"),
        pytest.param(30.0, [(0, 0.0, 10.0), (0, 30.0, 40.0)], id="on a hole's near edge it parts"),
        pytest.param(50.0, [(0, 0.0, 40.0)], id="on a hole's far edge it is whole again"),
        pytest.param(-1.0, [], id="beside the land it finds nothing"),
    ],
)
def test_a_line_along_an_edge_has_the_land_towards_higher_t(t, found):
    assert stretches(scan(HOLED, np.array([t]))) == found


def test_a_line_through_a_vertex_is_met_once():
    diamond = Polygon([(0, 0), (10, -10), (20, 0), (10, 10)])
    assert stretches(scan(diamond, np.array([10.0]))) == [(0, -10.0, 10.0)]


def test_no_land_and_no_lines_find_nothing():
    assert len(scan(Polygon(), np.array([1.0])).line) == 0
    assert len(scan(FIELD, np.empty(0)).line) == 0
    true, wide = chords_with_slack(Polygon(), np.array([1.0]))
    assert len(true.line) == len(wide.line) == 0


@pytest.mark.parametrize(
    ("t", "count"),
    [
        pytest.param(-0.009, 1, id="9 mm outside the near edge counts"),
        pytest.param(-0.011, 0, id="11 mm outside the near edge does not"),
        pytest.param(100.009, 1, id="9 mm outside the far edge counts"),
        pytest.param(100.011, 0, id="11 mm outside the far edge does not"),
    ],
)
def test_a_line_beside_an_edge_counts_within_a_centimetre(t, count):
    true, wide = chords_with_slack(FIELD, np.array([t]))
    assert len(true.line) == len(wide.line) == count
    assert (true.s1 - true.s0 >= 40.0 - 1e-9).all()


def test_slack_is_square_to_a_hedge_that_lies_5_7_degrees_off_the_rows():
    # tan 5.7 = 0.0998: along the row a centimetre square to the hedge is 0.01 / sin 5.7 = 0.101 m.
    hedge = Polygon([(0, 0), (20, 0), (20, 200.3)])  # rows are upright; the hedge slants
    true, wide = chords_with_slack(hedge, np.array([10.0]))
    assert true.s1 == pytest.approx([100.15])
    assert wide.s1 - true.s1 == pytest.approx([0.01 / np.sin(np.arctan2(20, 200.3))], rel=1e-6)


def test_a_gap_narrower_than_two_slacks_does_not_part_a_row():
    slit = FIELD - box(10, 20.0, 90, 20.015)
    true, wide = chords_with_slack(slit, np.array([50.0]))
    assert stretches(true) == [(0, 0.0, 40.0)]
    assert len(wide.line) == 1


def test_parts_of_land_are_all_met():
    land = MultiPolygon([FIELD, box(0, 50, 100, 60)])
    assert stretches(scan(land, np.array([5.0]))) == [(0, 0.0, 40.0), (0, 50.0, 60.0)]


def lengths_by_overlay(land, guides, t):
    """Length of each guide line inside the land, by overlay."""
    return shapely.length(shapely.intersection(guides.lines(t, land), land))


def lengths_by_scan(land, guides, t):
    chords = scan(guides.turn(land), t)
    return np.bincount(chords.line, chords.s1 - chords.s0, minlength=len(t))


@given(land=lands, bearing=st.floats(0, 180), t=st.lists(st.floats(-150, 150), max_size=8))
def test_a_scan_is_as_long_as_the_overlay(land, bearing, t):
    guides, t = Straight(0.0, 0.0, bearing), np.sort(t)
    corners = guides.across(shapely.get_coordinates(land))
    t = t[(np.abs(t[:, None] - corners) > 1e-6).all(axis=1)]  # along an edge the rules differ
    slow = lengths_by_overlay(land, guides, t)
    assert lengths_by_scan(land, guides, t) == pytest.approx(slow, rel=1e-9, abs=1e-7)


def test_a_scan_of_real_fields_is_as_long_as_the_overlay():
    rng = np.random.default_rng(11)
    for field in real_fields(60, seed=11):
        guides = Straight(0.0, 0.0, rng.uniform(0, 180))
        t = np.sort(rng.uniform(*guides.span(field.land), size=40))
        slow = lengths_by_overlay(field.land, guides, t)
        fast = lengths_by_scan(field.land, guides, t)
        assert fast == pytest.approx(slow, rel=1e-9, abs=1e-6), field.name


@example(land=FIELD, bearing=2.2e-309, t=[10.0])  # the slope of an edge overflowed
@given(land=lands, bearing=st.floats(0, 180), t=st.lists(st.floats(-150, 150), max_size=8))
def test_true_chords_lie_in_wide_ones_and_wide_ones_in_grown_land(land, bearing, t):
    guides, t = Straight(0.0, 0.0, bearing), np.sort(t)
    turned = guides.turn(land)
    true, wide = chords_with_slack(turned, t)
    assert (true.line == wide.line).all()
    assert (wide.s0 <= true.s0).all()
    assert (true.s1 <= wide.s1).all()
    assert (true.s0 < true.s1).all()
    grown = shapely.buffer(turned, 0.0101, join_style="mitre", mitre_limit=1000.0)
    at = np.repeat(t[true.line], 2).reshape(-1, 2)
    rows = shapely.linestrings(np.stack([at, np.stack([true.s0, true.s1], axis=1)], axis=-1))
    assert shapely.covers(grown, rows).all()
