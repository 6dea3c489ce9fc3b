"""Every bearing at once: the sums of a hand-drawn field, and shapely one row at a time."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, box
from strategies import lands

from geolayout.appraisal.direction.combs import Comb, even_comb
from geolayout.appraisal.direction.rings import rings_of
from geolayout.appraisal.direction.sweep import count_rows, spans

FIELD = box(0.0, 0.0, 200.0, 100.0)
U = Polygon([(0, 0), (90, 0), (90, 80), (60, 80), (60, 30), (30, 30), (30, 80), (0, 80)])


def by_shapely(land, bearing, comb):
    """Lines, pieces and length of a comb, each line cut by itself."""
    turned = affinity.rotate(land, bearing, origin=(0, 0))
    low, south, high, north = turned.bounds
    lines = pieces = 0
    length = 0.0
    for offset in comb.offsets:
        at = low + offset
        places = []
        while at - comb.width / 2 < high - 0.05:
            places.append(at)
            at += comb.period
        if places:  # the last pass moves inward until its edge is the land's
            inward = high - comb.width / 2 if high - low > comb.width else (low + high) / 2
            places[-1] = min(places[-1], inward)
        for t in places:
            cut = turned.intersection(shapely.LineString([(t, south - 1), (t, north + 1)]))
            pieces += sum(part.length > 1e-9 for part in shapely.get_parts(cut))
            length += cut.length
        lines += len(places)
    return lines, pieces, length


def test_a_rectangle_is_counted_by_hand():
    # 6 m passes. Rows north: 200 m across, 33 of 6 m and one more = 34, each 100 m long.
    # Rows east: 100 m across, 17 of them, each 200 m long.
    found = count_rows(rings_of(FIELD), np.array([0.0, 90.0]), even_comb(6.0))
    assert found.lines.tolist() == [34.0, 17.0]
    assert found.pieces.tolist() == [34.0, 17.0]
    assert found.length == pytest.approx([3400.0, 3400.0])


def test_a_gap_between_two_legs_parts_rows_across_it():
    # Rows east, 10 m apart: at 5, 15 and 25 m whole, 90 m each; at 35 to 75 m two of 30 m each.
    found = count_rows(rings_of(U), np.array([90.0]), even_comb(10.0))
    assert (found.lines[0], found.pieces[0]) == (8.0, 3.0 + 5 * 2)
    assert found.length[0] == pytest.approx(3 * 90.0 + 5 * 60.0)


def test_a_hole_parts_rows():
    # Rows north, 10 m apart, at 5 to 195 m; the hole from 42 to 58 m across parts those at 45, 55.
    holed = FIELD - box(42.0, 40.0, 58.0, 60.0)
    found = count_rows(rings_of(holed), np.array([0.0]), even_comb(10.0))
    assert (found.lines[0], found.pieces[0]) == (20.0, 22.0)
    assert found.length[0] == pytest.approx(18 * 100.0 + 2 * 80.0)


def test_the_last_pass_moves_inward():
    # 100 m across: of 17 passes of 6 m the last would be centred at 99 m, and is at 97 m.
    teeth = even_comb(6.0).teeth(np.array([0.0]), np.array([100.0]))[0]
    assert (teeth.count[0], teeth.last[0], teeth.moved[0]) == (17.0, 97.0, 2.0)


def test_land_narrower_than_a_pass_is_driven_in_its_middle():
    teeth = even_comb(6.0).teeth(np.array([10.0]), np.array([14.0]))[0]
    assert (teeth.count[0], teeth.last[0]) == (1.0, 12.0)


def test_slack_makes_no_pass_of_four_centimetres():
    teeth = even_comb(6.0).teeth(np.zeros(2), np.array([60.04, 60.06]))[0]
    assert teeth.count.tolist() == [10.0, 11.0]


@pytest.mark.parametrize(
    ("offsets", "spacing", "overlaps"),
    [
        pytest.param((1.5, 4.5), 3.0, (0.0, 0.0), id="two passes in every 12 m"),
        pytest.param((1.5, 3.5, 7.5), 2.0, (0.0, 1.0, 0.0), id="a pass moved inward"),
    ],
)
def test_a_comb_knows_its_spacing_and_what_is_worked_twice(offsets, spacing, overlaps):
    # (1.5, 3.5): the second reaches back to 2.0, where the first worked up to 3.0. Of the
    # distances 2, 4 and 6 m, each met once, the least counts.
    comb = Comb(3.0, 12.0, offsets)
    assert comb.spacing == spacing
    assert comb.overlaps == overlaps


@settings(max_examples=60, deadline=None)
@given(
    land=lands,
    bearing=st.floats(0.0, 179.9),
    width=st.sampled_from([3.0, 6.0, 24.0]),
    teeth=st.sampled_from([(0.5,), (0.25, 0.5)]),
)
@example(land=FIELD, bearing=30.0, width=6.0, teeth=(0.5,))
@example(land=FIELD, bearing=2.2e-309, width=6.0, teeth=(0.5,))
def test_shapely_comes_to_the_same_one_row_at_a_time(land, bearing, width, teeth):
    comb = Comb(width, width * len(teeth) * 1.5, tuple(width * 1.5 * at for at in teeth))
    found = count_rows(rings_of(land), np.array([bearing]), comb)
    lines, pieces, length = by_shapely(land, bearing, comb)
    assert found.lines[0] == lines
    assert found.length[0] == pytest.approx(length, rel=1e-9, abs=1e-6)
    assert abs(found.pieces[0] - pieces) <= (2 if bearing % 90 == 0 else 0)


@given(land=lands, turn=st.floats(0.0, 360.0))
@settings(max_examples=30, deadline=None)
def test_turning_land_and_rows_together_changes_nothing(land, turn):
    bearings = np.array([3.0, 47.0, 101.0])
    turned = affinity.rotate(land, -turn, origin=(0, 0))
    here = count_rows(rings_of(land), bearings, even_comb(6.0))
    there = count_rows(rings_of(turned), bearings + turn, even_comb(6.0))
    assert there.length == pytest.approx(here.length, rel=1e-6)


def test_a_block_has_its_headland_where_its_land_ends_and_not_where_it_meets_another():
    west, both = box(0.0, 0.0, 100.0, 100.0), box(0.0, 0.0, 200.0, 100.0)
    rings = rings_of(west, both)
    middles = (rings.xy[rings.first] + rings.xy[rings.last]) / 2.0
    assert (middles[~rings.headed] == [[100.0, 50.0]]).all()
    assert rings.headed.sum() == 3


def test_edges_that_waver_have_one_direction():
    # The south edge has a corner 20 cm off in its middle; thinned, both halves run due east.
    rings = rings_of(Polygon([(0, 0), (50, -0.2), (100, 0), (100, 60), (0, 60)]))
    south = np.abs(rings.xy[rings.first][:, 1]) + np.abs(rings.xy[rings.last][:, 1]) < 1.0
    assert south.sum() == 2
    assert rings.way[south] == pytest.approx(np.array([[100.0, 0.0]] * 2))


def test_spans_are_the_widths_across():
    low, high = spans(rings_of(FIELD), np.array([0.0, 90.0, 45.0]))
    assert high - low == pytest.approx([200.0, 100.0, 300.0 * np.sqrt(0.5)])
