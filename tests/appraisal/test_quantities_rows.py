"""
Rows, in-row spacing and plants, against paper and against printed figures.

Of the printed figures of plant population left out: plants counted on a stretch or under a hoop
(soybean counts, factor tables, 113 plants on 25 m2), because a layout counts no plants that grow;
seed units of 50,000, which belong to the seed order; 75 x 25 and 75 x 22 cm, which are printed
rounded and wrong; and the field rule of 70, 35 and 17.5 ft, which is rounded too.
"""

import pytest
import shapely
from appraisal_layouts import HEADLAND, close, layout_of, one_stand, strips
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.growing import SquareRate
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.quantities.rows import in_row_spacing, row_figures, short_pieces, sowings

FOOT = 0.3048
INCH = 0.0254
ACRE = 4046.8564224  # international acre, encyclopedia article "Acre" citing NIST [m2]


def test_rows_are_counted_and_measured_by_crop():
    # 5 bands x 8 rows of maize and 5 x 24 of beans, 100 m long.
    every, beans, maize = row_figures(strips(HEADLAND))
    assert (every.rows, maize.rows, beans.rows) == (160, 40, 120)
    assert every.length_m == close(16_000.0)
    assert (maize.crop, maize.length_m) == ("maize", close(4000.0))
    assert (maize.shortest_m, maize.longest_m, maize.mean_m) == close((100.0, 100.0, 100.0))


def test_a_row_in_two_pieces_is_one_row():
    # A hole of 20 x 20 m in the middle: 20 rows are 50 + 50 m, the other 40 are 120 m.
    land = shapely.box(0, 0, 60, 120).difference(shapely.box(20, 50, 40, 70))
    (maize,) = row_figures(
        layout_of(one_stand('{ crop = "maize", spacing = 1.0 }', "1.0"), land=land)
    )[1:]
    assert (maize.rows, maize.pieces) == (60, 80)
    assert maize.shortest_m == close(100.0)
    assert maize.length_m == close(40 * 120 + 20 * 100)


def test_pieces_under_a_metre_are_listed_and_not_counted():
    # A right triangle of 60 m legs: rows at 0.375 + 0.75 k are 60 - x long. The last, at 59.625 m,
    # is 0.375 m long; the one before, at 58.875 m, 1.125 m.
    land = shapely.Polygon([(0, 0), (60, 0), (0, 60)])
    layout = layout_of(one_stand('{ crop = "maize", spacing = 0.75 }', "6.0"), land=land)
    (piece,) = short_pieces(layout)
    assert piece.length_m == close(0.375)
    assert (piece.crop, piece.band, piece.number, piece.row) == ("maize", "A", 10, 8)
    assert piece.place == close((59.625 - 30, 0.1875 - 30))
    every = row_figures(layout)[0]
    assert every.rows == 79
    assert every.shortest_m == close(1.125)


def test_plants_are_row_length_over_in_row_spacing():
    # 10,000 / (80,000 x 6 / 8) = 0.16667 m; 4000 m of row hold 24,000 plants, which is 80,000 x
    # 0.3 ha. 40 seeds/m2 on 6 m and 24 rows: 0.1 m; 12,000 m hold 120,000 seeds.
    maize, beans = sowings(strips(HEADLAND))
    assert maize.in_row_spacing_m == close(1 / 6)
    assert (maize.counted, maize.number_in_rows) == ("plants", close(24_000))
    assert (maize.rows_in_band, maize.band_width_m, maize.rows) == (8, 6.0, 40)
    assert beans.in_row_spacing_m == close(0.1)
    assert (beans.counted, beans.number_in_rows) == ("seeds", close(120_000))


def test_a_cut_band_keeps_the_in_row_spacing_of_the_whole_one():
    # 63 m: 10 bands of 6 m and one of 3 m with 4 rows; the planter is set once.
    layout = layout_of(
        one_stand('{ crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 } }', "6.0"),
        land=shapely.box(0, 0, 63, 100),
    )
    (maize,) = sowings(layout)
    assert maize.rows == 84
    assert maize.in_row_spacing_m == close(1 / 6)
    assert maize.number_in_rows == close(84 * 100 * 6)


def test_a_share_is_of_the_sole_rate():
    rate = "rate = { share = 0.5 }, sole_rate = { seeds_per_m2 = 300 }"
    layout = layout_of(one_stand(f'{{ crop = "oats", spacing = 0.125, {rate} }}', "6.0"))
    (oats,) = sowings(layout)
    assert (oats.rate, oats.rate_unit) == (150.0, "seeds_per_m2")
    # 48 rows in 6 m: 48 / (150 x 6) = 0.05333 m.
    assert oats.in_row_spacing_m == close(48 / 900)


@pytest.mark.parametrize(
    "keys",
    [
        pytest.param("spacing = 0.125, rate = { kg_per_ha = 180 }", id="kilograms count nothing"),
        pytest.param("spacing = 0.125", id="no rate says nothing"),
        pytest.param("spacing = 0.125, rate = { share = 0.5 }", id="a share of nothing known"),
        pytest.param('place = "broadcast", rate = { seeds_per_m2 = 40 }', id="broadcast seed"),
    ],
)
def test_where_nothing_is_counted_in_rows_there_is_no_in_row_spacing(keys):
    (sowing,) = sowings(layout_of(one_stand(f'{{ crop = "oats", {keys} }}', "6.0")))
    assert sowing.in_row_spacing_m is None
    assert sowing.number_in_rows is None
    assert sowing.counted == ""


def test_wheel_tracks_are_taken_from_a_broadcast_sowing_that_skips_them():
    # 3 passes of 20 m, two tracks of 0.4 m each, 120 m long: 6 x 0.4 x 120 = 288 m2.
    spray = (
        '[[machine]]\nname = "sprayer"\nworking_width = 20.0\ntrack_width = 1.8\ntyre_width = 0.4\n'
        '[[operation]]\nname = "spray"\nmachine = "sprayer"\nover = "block"'
    )
    clover = '{ crop = "clover", place = "broadcast", skip = ["spray"], rate = { kg_per_ha = 4 } }'
    (figure,) = sowings(layout_of(one_stand(clover, "6.0"), spray))
    assert figure.wheel_ground_m2 == close(288.0)
    assert figure.ground_m2 == close(7200.0)


@pytest.mark.parametrize(
    ("spacing", "land", "length"),
    [
        # metres of row per ha = 10,000 / row spacing; plain geometry
        pytest.param(0.75, (150.0, 10_000 / 150), 13_333.3, id="0.75 m"),
        pytest.param(0.50, (100.0, 100.0), 20_000.0, id="0.50 m"),
        pytest.param(0.125, (100.0, 100.0), 80_000.0, id="0.125 m"),
    ],
)
def test_metres_of_row_per_hectare(spacing, land, length):
    layout = layout_of(
        one_stand(f'{{ crop = "c", spacing = {spacing} }}'), land=shapely.box(0, 0, *land)
    )
    assert figures(layout).rows[0].length_m == pytest.approx(length, abs=0.1)


@pytest.mark.parametrize(
    ("inches", "feet"),
    [
        # length of row in a thousandth of an acre: UTC (University of Tennessee crops), page; TPS
        pytest.param(30.0, 17.424, id="30 in: 17 ft 5 in"),
        pytest.param(15.0, 34.848, id="15 in: 34 ft 10 in"),
        pytest.param(20.0, 26.136, id="20 in: 26 ft 2 in"),
        pytest.param(36.0, 14.52, id="36 in: 14 ft 6 in"),
        pytest.param(7.5, 69.696, id="7.5 in: 69 ft 8 in"),
    ],
)
def test_row_length_of_a_thousandth_of_an_acre(inches, feet):
    # 120 rows on 120 spacings of width, as long as makes 1 acre: 1000 times the printed length.
    width = 120 * inches * INCH
    land = shapely.box(0, 0, width, ACRE / width)
    layout = layout_of(one_stand(f'{{ crop = "c", spacing = {inches * INCH} }}'), land=land)
    assert figures(layout).rows[0].length_m / FOOT / 1000 == pytest.approx(feet, abs=0.001)


@pytest.mark.parametrize(
    ("plants", "unit", "row", "in_row"),
    [
        # GOL, page: 75 x 40 cm is 33,333 plants/ha, 75 x 20 cm 66,667
        pytest.param(33_333, "plants_per_ha", 0.75, 0.40, id="GOL 75 x 40 cm"),
        pytest.param(66_667, "plants_per_ha", 0.75, 0.20, id="GOL 75 x 20 cm"),
        # IGP, page: the table builds in 95 % emergence
        pytest.param(65_000 / 0.95, "plants_per_ha", 0.75, 0.195, id="IGP 65,000 plants"),
        pytest.param(75_000 / 0.95, "plants_per_ha", 0.75, 0.169, id="IGP 75,000 plants"),
        pytest.param(80_000 / 0.95, "plants_per_ha", 0.75, 0.158, id="IGP 80,000 plants"),
        pytest.param(90_000 / 0.95, "plants_per_ha", 0.75, 0.141, id="IGP 90,000 plants"),
        pytest.param(100_000 / 0.95, "plants_per_ha", 0.75, 0.127, id="IGP 100,000 plants"),
        pytest.param(110_000 / 0.95, "plants_per_ha", 0.75, 0.115, id="IGP 110,000 plants"),
        # practice of the trade: 90,000/ha at 0.70 m is 0.159 m; plain geometry
        pytest.param(90_000, "plants_per_ha", 0.70, 0.159, id="90,000 plants in 0.70 m rows"),
        # LG12, page: 130,000 seeds/ac in 30 in rows, 1.6 in apart; in 7 in rows 6.9 in
        pytest.param(130_000 / ACRE, "seeds_per_m2", 30 * INCH, 1.6 * INCH, id="LG12 30 in"),
        pytest.param(130_000 / ACRE, "seeds_per_m2", 7 * INCH, 6.9 * INCH, id="LG12 7 in"),
    ],
)
def test_in_row_spacing_as_printed(plants, unit, row, in_row):
    spacing = in_row_spacing(SquareRate(plants, unit), row, 1)
    assert spacing == pytest.approx(in_row, abs=0.0013)


def test_plants_per_acre_by_the_foot_of_row():
    # PSU, page: 17,424 ft of 30 in rows at 1.7 plants/ft are 29,621 plants/ac.
    rate = SquareRate(29_621 / ACRE, "seeds_per_m2")
    assert in_row_spacing(rate, 30 * INCH, 1) / FOOT == pytest.approx(1 / 1.7, rel=1e-4)


@given(
    plants=st.floats(10_000, 5_000_000),
    width=st.floats(0.7, 36.0),
    rows=st.integers(1, 300),
    length=st.floats(1.0, 2000.0),
)
@example(plants=80_000.0, width=6.0, rows=8, length=100.0)
def test_a_whole_band_holds_what_its_rate_asks_for(plants, width, rows, length):
    spacing = in_row_spacing(SquareRate(plants, "plants_per_ha"), width, rows)
    assert rows * length / spacing == close(plants / 1e4 * width * length)


def test_the_stands_of_a_headland_have_no_rows():
    layout = strips(HEADLAND)
    assert {figure.band for figure in sowings(layout)} == {"A", "B"}
    assert "grass" not in {figure.crop for figure in row_figures(layout)}
