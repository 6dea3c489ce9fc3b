"""
Published yields of strips and mixtures, and published headlands, against what the code reckons.

Keys of sources: EWC maize and soybean at 14 locations, 1976-79, East-West Center, abstract; XU Xu
et al. 2020, Field Crops Research 107661, as summarised by Wageningen University; YU the range that
a citing paper gives for Yu 2015, Martin-Guay 2018 and Xu 2020; BORD *Border effects on yields in a
strip-intercropped soybean, corn, and wheat production system*, Minnesota 1991-94, abstract; FP11
Farm Progress, *Farming on the edge*, October 2011; GHA Ghaffarzadeh and others, American Journal of
Alternative Agriculture, abstract; VER Verdelli and others 2012, International Journal of Agronomy
980284, abstract; TEAGH Teagasc, *Managing headlands and yield reductions of up to 30 % on tillage
farms*; RMA the article *Headland (agriculture)* of an encyclopedia; PF Progressive Forage, *Farm
field equipment: efficiency versus capacity*.
"""

import pytest
from sample_layouts import STRIPS, paper_layout, rectangle

from geolayout.appraisal.driving.hours import area_capacity
from geolayout.appraisal.money.equivalent import land_equivalent, land_saved, partial_ratio
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.seed.rate import Span

FOOT = 0.3048
ACRE = 0.40468564224
"""[ha]"""


def strip(rows, *edges):
    """Return the yield of a strip over that of its inner rows, by what its edge rows yield."""
    return (rows - len(edges) + sum(edges)) / rows


@pytest.mark.parametrize(
    ("ratio", "saved"),
    [
        # saved = 1 - 1 / ratio, by hand
        pytest.param(1.64, 0.3902, id="EWC: 64 % more without nitrogen"),
        pytest.param(1.42, 0.2958, id="EWC: 42 % more with all of it"),
        pytest.param(1.32, 0.2424, id="XU: maize and soybean, the world's mean"),
        pytest.param(1.22, 0.1803, id="YU: the lowest mean of reviews"),
    ],
)
def test_land_that_a_published_ratio_saves(ratio, saved):
    assert land_saved(ratio) == pytest.approx(saved, abs=5e-5)


@pytest.mark.parametrize(
    ("maize", "soya", "ratio"),
    [
        # Six rows of 30 in make the 15 ft of BORD; maize outside rows +18 % beside soybean there,
        # soybean south -34 %, north -11 %: (4 + 2 x 1.18) / 6 = 1.060, (4 + 0.66 + 0.89) / 6 =
        # 0.925; half the land each: 0.530 + 0.4625
        pytest.param((1.18, 1.18), (0.66, 0.89), 0.9925, id="BORD: rows from east to west"),
        # maize +23 % was beside wheat; without it maize is not told for rows from north to south,
        # so its edges count as its inner rows: 0.5 + (4 + 0.81 + 0.79) / 12 = 0.9667
        pytest.param((1.0, 1.0), (0.81, 0.79), 0.9667, id="BORD: soybean alone, north to south"),
    ],
)
def test_edge_rows_of_a_published_strip_hardly_change_its_land(maize, soya, ratio):
    parts = [
        partial_ratio(Span.of(strip(6, *edges) / 2.0), Span.of(1.0)) for edges in (maize, soya)
    ]
    assert land_equivalent(parts).low == pytest.approx(ratio, abs=5e-5)


def test_maize_in_strips_yields_more_than_its_share_of_the_land():
    # FP11: 235 bushels an acre in strips of six rows, 200 alone; on half the land 235 / 400
    part = partial_ratio(Span.of(235.0 / 2.0), Span.of(200.0))
    assert part.low == pytest.approx(0.5875)
    # GHA: in dry 1989 the gain at the edge was not there. A range says both years.
    assert partial_ratio(Span(100.0, 117.5), Span.of(200.0)) == Span(0.5, 0.5875)


ALL_ROUND = STRIPS.replace('where = "ends"\nwidth = 10.0', 'where = "all round"\nwidth = 24.0')


@pytest.mark.parametrize(
    ("width", "height", "share"),
    [
        # TEAGH says half of a field of 4 ha. A trap: 1 - 302 x 66 / (350 x 114) = 0.5005, but of a
        # square of 200 m 1 - 152 x 152 / 40,000 = 0.4224
        pytest.param(114.0, 350.0, 0.5005, id="TEAGH: 350 m by 114 m"),
        pytest.param(200.0, 200.0, 0.4224, id="a square of as many hectares"),
    ],
)
def test_a_headland_of_24_m_on_four_hectares(width, height, share):
    told = figures(paper_layout(ALL_ROUND, rectangle(width, height)))
    headland = next(one.area_m2 for one in told.kinds if one.kind == "headland")
    assert headland / told.field.record_m2 == pytest.approx(share, abs=2e-4)


@pytest.mark.parametrize("passes", [2, 3, 4])
def test_a_headland_is_so_many_widths_of_the_planter(passes):
    # RMA: two, three or four times the planting implement; 6 m here, on both ends of 60 m
    said = f'passes = {passes}\nmachine = "planter"\n'
    told = figures(paper_layout(STRIPS.replace("width = 10.0\n", said)))
    headland = next(one.area_m2 for one in told.kinds if one.kind == "headland")
    assert headland == pytest.approx(2 * 60.0 * 6.0 * passes, rel=1e-3)


def test_a_capacity_that_its_source_cuts_and_does_not_round():
    # PF: 30 ft at 5 mph and 80 %: printed 14.5, exact 30 x 5 x 0.8 / 8.25 = 14.545 acres an hour
    found = area_capacity(30.0 * FOOT, 5 * 1.609344, 0.80) / ACRE
    assert int(found * 10) / 10 == 14.5
    assert found == pytest.approx(14.545, abs=5e-4)


@pytest.mark.parametrize("more", [0.13, 0.16])
def test_a_strip_that_yields_more_than_alone_has_more_than_its_share(more):
    # VER: maize strips +13 to +16 % over maize alone in three seasons; half the land: 0.565, 0.58
    part = partial_ratio(Span.of((1.0 + more) / 2.0), Span.of(1.0))
    assert part.low == pytest.approx(0.5 + more / 2.0)
    assert part.low > 0.5
