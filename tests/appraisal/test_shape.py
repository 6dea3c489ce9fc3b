"""What the shape of the land makes hard."""

import pytest
import shapely
from appraisal_layouts import HEADLAND, close, layout_of, of_key, one_stand, strips, the_one

MAIZE = one_stand('{ crop = "maize", spacing = 0.75 }', "6.0")
TRIANGLE = shapely.Polygon([(0, 0), (60, 0), (0, 120)])


def test_short_rows_are_listed_once_with_the_shortest():
    # Legs 60 and 120 m: the row at x is 120 - 2 x long. Under 50 m from x = 35 on: rows at
    # 35.625 ... 59.625 m, 33 of them, 48.75 ... 0.75 m long; the last is under 1 m and no row.
    caution = the_one(layout_of(MAIZE, land=TRIANGLE), "short-rows")
    assert (caution.code, caution.count, caution.threshold) == ("W07", 32, 50.0)
    assert caution.value == close(2.25)
    # 32 rows of mean length (48.75 + 2.25) / 2 on 0.75 m: 816 m, 612 m2.
    assert "816 m in all" in caution.sentence
    assert "612 m2" in caution.sentence
    assert caution.place == close((58.875 - 30, 1.125 - 60))


def test_a_wide_headland_makes_longer_rows_short():
    # 100 m rows with a headland of 10 m: limit 50 m. With 30 m of headland rows are 60 m, and
    # 2 x 30 = 60 m is the limit, which they are not under.
    assert of_key(strips(HEADLAND), "short-rows") == []
    wide = HEADLAND.replace("10.0", "35.0")
    assert the_one(strips(wide), "short-rows").threshold == 70.0


def test_a_sliver_of_a_band():
    # Bands of 6 m by the west edge; the east edge cuts 0.5 m off a new one over 120 m.
    layout = layout_of(MAIZE, land=shapely.box(0, 0, 60.5, 120))
    caution = the_one(layout, "slivers")
    assert (caution.code, caution.count) == ("W08", 1)
    assert caution.value == close(0.5)
    assert "60.0 m2 in all" in caution.sentence
    assert of_key(layout_of(MAIZE), "slivers") == []


def test_bands_meant_narrow_are_no_slivers_where_their_ends_slant():
    # Bands of 1.0 m, sown by hand; the north edge slants by 6 in 60: each piece is 0.1 m longer
    # on one side, so its mean width is 0.05 in some 120 m less than 1 m.
    garden = one_stand('{ crop = "maize", spacing = 0.5 }', "1.0")
    slanting = shapely.Polygon([(0, 0), (60, 0), (60, 126), (0, 120)])
    assert of_key(layout_of(garden, land=slanting), "slivers") == []
    # The last 0.4 m of land are under half of a band of 1.0 m, and hard to work all the same.
    narrow = layout_of(garden, land=shapely.box(0, 0, 60.4, 120))
    assert the_one(narrow, "slivers").value == close(0.4)


def test_one_piece_of_a_pass_beyond_the_edge_runs():
    # One strip of 6 m with its north edge slanting by 6 m: the planter's only pass, down its
    # middle, reaches 3 m farther than the land does under it.
    land = shapely.Polygon([(0, 0), (6, 0), (6, 60), (0, 66)])
    caution = the_one(strips(land=land), "beyond-the-edge")
    assert caution.count == 1
    assert caution.sentence.startswith("1 piece of a pass (plant) runs 3 m in all")


def test_one_short_piece_of_row_is_short():
    # A corner of 0.75 x 30 m beside 120 m of land: its one row, and no other, is under 50 m.
    land = shapely.union(shapely.box(0, 0, 60, 120), shapely.box(60, 0, 60.75, 30))
    caution = the_one(layout_of(MAIZE, land=land), "short-rows")
    assert caution.count == 1
    assert "1 of 81 pieces of row is shorter than 50 m" in caution.sentence


def test_lines_beyond_the_edge_are_one_line_with_the_longest():
    # As in test_pass_quantities: planter 3 m beyond in 5 strips, drill 1.5 m in 10 passes.
    land = shapely.Polygon([(0, 0), (60, 0), (60, 60), (0, 120)])
    caution = the_one(strips(land=land), "beyond-the-edge")
    assert caution.count == 15
    assert caution.value == close(3.0)
    assert "30 m in all" in caution.sentence
    assert "plant and drill" in caution.sentence
    assert of_key(strips(), "beyond-the-edge") == []


def test_an_unusual_area_is_a_warning_in_hectares():
    # 30 x 30 m = 0.09 ha; under 0.1 ha the coordinates are worth a second look.
    caution = the_one(layout_of(MAIZE, land=shapely.box(0, 0, 30, 30)), "boundary: unusual area")
    assert (caution.code, caution.severity) == ("W19", "warning")
    assert caution.value == pytest.approx(0.09, rel=1e-5)
    assert of_key(layout_of(MAIZE), "boundary: unusual area") == []


def test_what_was_mended_in_a_boundary_is_a_note():
    spiky = shapely.Polygon([(0, 0), (60, 0), (60, 120), (30, 120), (30, 150), (30, 120), (0, 120)])
    caution = the_one(layout_of(MAIZE, land=spiky), "boundary: spike")
    assert caution.severity == "note"
