"""Crop rows on fields that can be checked with a tape."""

import numpy as np
import pytest
import shapely
from shapely import Polygon, box
from strategies import ENDS, STRIPS, feature_beside, field_of, laid, plan_of

RECTANGLE = box(0, 0, 200, 100)
TRIANGLE = Polygon([(0, 0), (200, 0), (0, 100)])
TENS = """
[[pattern]]
name = "tens"
bands = [ { name = "A", width = 10.0, stand = "four rows" } ]
[[stand]]
name = "four rows"
sowing = [ { crop = "maize", spacing = 2.5 } ]
"""


def rows_of(land, *parts, guide='near_edge = "south"', features=()):
    return laid(field_of(land, features), plan_of(*parts, guide=guide)).rows


def test_rows_of_6_m_strips_on_200_by_100_m():
    # 100 m across: strips 1 to 16 are whole, strip 17 is 4 m of an A.
    # 8 strips A of 6 / 0.75 = 8 rows, 8 strips B of 6 / 0.5 = 12 rows: 64 + 96 = 160 rows.
    # The cut A keeps the rows at 0.375, 1.125, 1.875, 2.625 and 3.375 m: 165 rows of 200 m.
    rows = rows_of(RECTANGLE, STRIPS)
    assert rows.rows == len(rows) == 165
    assert rows.length.sum() == pytest.approx(165 * 200.0, rel=1e-7)
    assert rows.row[rows.number == 17].tolist() == [1, 2, 3, 4, 5]


def test_headland_at_the_ends_shortens_every_row():
    # 12 m at each end: 165 rows of 200 - 24 = 176 m
    rows = rows_of(RECTANGLE, STRIPS, ENDS)
    assert rows.length == pytest.approx(np.full(165, 176.0), rel=1e-7)


def test_rows_along_the_long_leg_of_a_right_triangle():
    # Rows at 1.25, 3.75 ... 98.75 m: 40 rows. At t a row is 200 (1 - t / 100) m long.
    # Sum: 200 x (40 - (40 x 1.25 + 2.5 x 780) / 100) = 200 x (40 - 20) = 4,000 m
    rows = rows_of(TRIANGLE, TENS)
    assert rows.rows == 40
    assert rows.length.max() == pytest.approx(197.5, rel=1e-6)
    assert rows.length.min() == pytest.approx(2.5, rel=1e-3)
    assert rows.length.sum() == pytest.approx(4000.0, rel=1e-6)


def test_rows_along_the_short_leg_of_a_right_triangle():
    # Rows at 1.25, 3.75 ... 198.75 m: 80 rows. At t a row is 100 (1 - t / 200) m long.
    # Sum: 100 x (80 - (80 x 1.25 + 2.5 x 3160) / 200) = 100 x (80 - 40) = 4,000 m
    # The last is 100 x 1.25 / 200 = 0.625 m long: listed, not counted.
    rows = rows_of(TRIANGLE, TENS, guide='near_edge = "west"')
    assert len(rows) == 80
    assert rows.rows == 79
    assert rows.length.sum() == pytest.approx(4000.0, rel=1e-6)


def test_a_pond_parts_rows_into_pieces_numbered_along_the_guide():
    # A pond 20 m x 20 m in the middle, from 40 to 60 m across: rows 17 to 24 (at 41.25 ... 58.75).
    pond = feature_beside(RECTANGLE, "pond", box(90, 40, 110, 60))
    rows = rows_of(RECTANGLE, TENS, features=[pond])
    parted = (rows.t > 40) & (rows.t < 60)
    assert rows.rows == 40
    assert len(rows) == 40 + 8
    assert rows.piece[parted].tolist() == [1, 2] * 8
    assert rows.length[parted] == pytest.approx(np.full(16, 90.0), rel=1e-6)
    starts = shapely.get_coordinates(rows.lines.geometry[parted])[::2, 0]
    assert (starts[1::2] > starts[::2]).all()  # near_edge resolves to a bearing of 90: eastwards


def test_twin_rows_with_a_second_crop_between():
    # Twin rows of wheat 7.5 inches apart on 30 inch centres, soya between them (OSCIA, Ontario,
    # "Relay beans", trials 2018-2019, seen as an excerpt). A band of 6.096 m holds 8 motifs of
    # 0.762 m: 16 rows of wheat and 8 of soya. 10 bands across 60.96 m.
    relay = """
[[stand]]
name = "relay"
sowing = [
  { crop = "wheat", at = [0.0953, 0.2858], every = 0.762 },
  { crop = "soya", at = [0.5715], every = 0.762 },
]
[[pattern]]
name = "relay"
bands = [ { name = "R", width = 6.096, stand = "relay" } ]
"""
    rows = rows_of(box(0, 0, 100, 60.96), relay)
    assert np.bincount(rows.sowing).tolist() == [160, 80]
    # 0.0953 + 0.1905 = 0.2858 m, and 0.2857 m on to the soya
    assert np.diff(rows.t)[:2] == pytest.approx([0.1905, 0.2857])


def test_a_repeat_of_a_narrow_and_a_wide_band():
    # 1.5 + 4.5 m: 60 m hold 10 repeats; two rows of maize at 0.375 and 1.125 m, 9 rows of beans.
    repeat = """
[[pattern]]
name = "six"
bands = [
  { name = "M", width = 1.5, stand = "maize" },
  { name = "L", width = 4.5, stand = "beans" },
]
"""
    rows = rows_of(box(0, 0, 100, 60), repeat)
    maize = rows.t[rows.number % 2 == 1]
    assert rows.rows == 10 * (2 + 9)
    assert maize[:4] == pytest.approx([0.375, 1.125, 6.375, 7.125], abs=1e-3)


def test_rows_under_sprayer_wheels_are_left_out_and_said():
    # Sprayer 24 m, wheels at 12 -+ 0.9 m = 11.1 and 12.9 m, tyres 0.4 m. Bean rows stand at
    # 0.25 + 0.5 k: 11.25 lies 0.15 m off one wheel and 12.75 m 0.15 m off the other: both go.
    tramlines = """
[[stand]]
name = "drilled"
sowing = [ { crop = "barley", spacing = 0.5, skip = ["spray"] } ]
[[pattern]]
name = "whole"
bands = [ { name = "A", width = 24.0, stand = "drilled" } ]
[[machine]]
name = "sprayer"
working_width = 24.0
track_width = 1.8
tyre_width = 0.4
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""
    layout = laid(field_of(box(0, 0, 100, 48)), plan_of(tramlines))
    assert layout.rows.rows == 2 * (48 - 2)
    assert np.setdiff1d(np.arange(1, 49), layout.rows.row).tolist() == [23, 26]
    assert [g.what for g in layout.gave_way] == ["4 rows of barley are left out for wheel tracks."]


def test_a_row_on_the_border_of_two_bands_belongs_to_the_farther_one():
    # `at = [0.0, 3.0]` puts a row on each border of bands 6 m wide: none is laid twice.
    borders = """
[[stand]]
name = "on the border"
sowing = [ { crop = "maize", at = [0.0, 3.0] } ]
[[pattern]]
name = "borders"
bands = [ { name = "A", width = 6.0, stand = "on the border" } ]
"""
    rows = rows_of(box(0, 0, 100, 60), borders)
    assert rows.rows == 20
    assert rows.t == pytest.approx(np.arange(20) * 3.0, abs=2e-3)
    assert rows.number.tolist() == [1 + k // 2 for k in range(20)]


@pytest.mark.parametrize("bearing", [0.0, 0.0004, 0.0008, 0.0012, 0.0016, 359.9996, 359.9992])
def test_a_row_along_an_edge_is_counted_whichever_way_it_leans(bearing):
    # A notch 20 m deep ends at 165.75 m, where row 8 of strip 28 stands (27 x 6 + 3.75 m), 16 m
    # long between headlands of 12 m. It leans by tenths of a millimetre: some of it, or none, or
    # all of it is in the land. Under the notch 20 m are all headland. Rows before it: 11 strips A
    # of 8, 10 B of 12 and 3 of strip 22; beyond: 5 of strip 28, 7 A, 7 B and 4 of the last, cut to
    # 3 m: 88 + 120 + 3 + 5 + 56 + 84 + 4 = 360.
    land = box(0, 0, 255, 40) - box(127.5, 20, 165.75, 41)
    rows = rows_of(land, STRIPS, ENDS, guide=f'bearing = {bearing}\nfrom = "west"')
    mine = (rows.number == 28) & (rows.row == 8)
    assert rows.rows == 360
    assert rows.length[mine].sum() > 1.0


def test_a_stub_under_a_metre_is_listed_and_not_counted():
    # A stub 0.9 m wide and 0.3 m long in the direction of the rows, two rows of 0.5 m wide
    land = shapely.union_all([box(0, 0, 100, 50), box(100, 20.1, 100.9, 20.4)])
    rows = rows_of(land, TENS.replace("2.5", "0.5"), guide='near_edge = "west"')
    stub = rows.t > 100.0
    assert rows.length[stub] == pytest.approx([0.3, 0.3], abs=1e-3)
    assert not rows.counts[stub].any()
