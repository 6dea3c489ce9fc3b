"""
Published tree layouts that have figures enough, placed tree by tree.

Densities printed per hectare are those of an endless planting: the land here is as long and as wide
as whole steps, so that placing gives them without edges. Sources were seen in excerpts or pages;
what they lack is listed in docs/trees.md.
"""

import numpy as np
import pytest
import shapely
from appraisal_layouts import GRASS, layout_of

from geolayout.appraisal.quantities.trees import tree_figures
from geolayout.appraisal.trees.years import standing

FOOT = 0.3048


def orchard(pitch, step, *, across, along, keys=""):
    """Rows in the middle of bands as wide as the pitch."""
    band = (
        f'{{ name = "T", width = {pitch}, stand = "grass", trees = '
        f"{{ in_row_spacing = {step}{keys and f', {keys}'} }} }}"
    )
    pattern = f'[[pattern]]\nname = "p"\nbands = [ {band} ]'
    return layout_of(GRASS, pattern, land=shapely.box(0, 0, across, along))


@pytest.mark.parametrize(
    ("pitch", "step", "across", "along", "trees", "density"),
    [
        pytest.param(
            10.0,
            6.4,
            100.0,
            640.0,
            1000,  # 10 rows of 100 trees on 6.4 ha
            156.25,
            id="Burgess et al. 2004 (UK poplar trial): 10 m x 6.4 m, printed as 156 trees/ha",
        ),
        pytest.param(
            6.0,
            2.0,
            60.0,
            120.0,
            600,  # 10 rows of 60 on 0.72 ha
            833.33,
            id="Rivest et al. 2009 (Quebec), rows 6 m apart, 2 m in the row",
        ),
        pytest.param(
            8.0,
            2.0,
            80.0,
            120.0,
            600,  # 10 rows of 60 on 0.96 ha
            625.0,
            id="Rivest et al. 2009 (Quebec), rows 8 m apart, 2 m in the row",
        ),
        pytest.param(
            20 * FOOT,
            20 * FOOT,
            200 * FOOT,
            400 * FOOT,
            200,  # 10 rows of 20
            108.9 * 2.47105,
            id="20 ft x 20 ft: 43 560 / 400 = 108.9 trees an acre",
        ),
        pytest.param(
            27.0,
            3.0,
            270.0,
            300.0,
            1000,  # 10 rows of 100 on 8.1 ha
            123.457,
            id="alley 24 m and strip 3 m, trees 3 m apart",
        ),
        pytest.param(
            24.0,
            3.0,
            240.0,
            300.0,
            1000,  # 10 rows of 100 on 7.2 ha
            138.889,
            id="TRAP: 24 m of pitch, not of alley",
        ),
    ],
)
def test_density_comes_out_of_placing(pitch, step, across, along, trees, density):
    figures = tree_figures(orchard(pitch, step, across=across, along=along))
    assert figures.trees == trees
    assert figures.trees_per_ha_of_field == pytest.approx(density, rel=2e-4)


@pytest.mark.parametrize(
    ("pitch", "left", "density"),
    [
        # every third of 60 a row: 20 a row, 200 trees; on 0.72 and on 0.96 ha
        pytest.param(6.0, 200, 277.8, id="833 trees/ha thinned to 278"),
        pytest.param(8.0, 200, 208.3, id="625 trees/ha thinned to 208"),
    ],
)
def test_poplars_thinned_from_2_m_to_6_m(pitch, left, density):
    """Rivest et al. 2009, abstract: in the row 2 m, thinned to 6 m."""
    layout = orchard(
        pitch,
        2.0,
        across=10 * pitch,
        along=120.0,
        keys="thinning = [ { year = 6, keep_every = 3 } ]",
    )
    assert standing(layout, 6.0).sum() == left
    assert tree_figures(layout).years[-1].trees_per_ha_of_field == pytest.approx(density, abs=0.1)


@pytest.mark.parametrize(
    ("alley", "share"),
    [
        # strips of 12 m, our assumption: 12 / 60 and 12 / 108 of the land
        pytest.param(48.0, 20.0, id="alleys of 48 m"),
        pytest.param(96.0, 11.1, id="alleys of 96 m"),
    ],
)
def test_coppice_strips_of_six_rows(alley, share):
    """Swieter et al. 2018: strips of 6 rows of poplar, 10,000 trees/ha of strip: 1 m2 a tree."""
    pattern = f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "C", width = {alley}, stand = "grass" }},
  {{ name = "T", width = 12.0, trees = {{ in_row_spacing = 0.5, rows = 6, row_spacing = 2.0 }} }},
]
"""
    layout = layout_of(GRASS, pattern, land=shapely.box(0, 0, alley + 12.0, 100.0))
    # 6 rows of 200 trees on 12 m x 100 m
    assert len(layout.trees) == 1200
    strip = layout.ground.area[layout.ground.kind == "tree band"].sum()
    assert len(layout.trees) / (strip / 1e4) == pytest.approx(10_000, rel=1e-4)
    assert 100.0 * strip / layout.field.area == pytest.approx(share, abs=0.02)


def nearest_of_middle(layout):
    """The least distance from a tree in the middle to another one. [m]"""
    xy = layout.trees.xy
    middle = xy[np.argmin(np.hypot(*xy.T))]
    return np.sort(np.hypot(*(xy - middle).T))[1]


def test_trap_the_centre_tree_of_a_10_m_square_is_7_07_m_from_its_corners():
    # A square of 10 m with a tree in its middle: rows 5 m apart, staggered; sqrt(5^2 + 5^2).
    # One page prints 8.66 m, which is the row pitch of a triangle of 10 m.
    five = orchard(
        100.0,
        10.0,
        across=100.0,
        along=100.0,
        keys='rows = 19, row_spacing = 5.0, arrangement = "staggered"',
    )
    assert nearest_of_middle(five) == pytest.approx(7.071, abs=1e-3)


def test_the_rows_of_a_triangle_of_10_m_lie_8_66_m_apart():
    triangle = orchard(
        100.0, 10.0, across=100.0, along=100.0, keys='rows = 11, arrangement = "triangular"'
    )
    assert nearest_of_middle(triangle) == pytest.approx(10.0, abs=1e-3)
    rows = np.unique(np.round(triangle.trees.xy[:, 0], 3))
    assert np.diff(rows) == pytest.approx(np.full(10, 8.660), abs=2e-3)


def test_a_triangle_holds_15_percent_more_than_a_square():
    """2 / sqrt(3) = 1.1547, the rule of trade says 15 %; away from the edges, by neighbours."""
    # Trees of the inner 200 m of 400 m, both 5 m apart
    square = orchard(5.0, 5.0, across=400.0, along=400.0)
    triangle = orchard(
        400.0, 5.0, across=400.0, along=400.0, keys='rows = 92, arrangement = "triangular"'
    )
    inner = [(np.abs(layout.trees.xy) < 100.0).all(axis=1).sum() for layout in (square, triangle)]
    assert inner[1] / inner[0] == pytest.approx(1.1547, rel=0.02)


def test_six_poplar_rows_take_a_fifth_of_the_land():
    """
    Coppice alleys of Swieter et al. 2018: alleys of 48 and 96 m, strips of 6 rows.

    The strip's width is not in the text that was seen; with 12 m the shares are 12 / 60 and
    12 / 108. 10,000 trees/ha of strip are 1 m2 a tree: 6 rows 2 m apart, 0.5 m in the row.
    """
    for alley, share in ((48.0, 20.0), (96.0, 11.1)):
        pattern = f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "C", width = {alley}, stand = "grass" }},
  {{ name = "T", width = 12.0, trees = {{ rows = 6, row_spacing = 2.0, in_row_spacing = 0.5 }} }},
]
"""
        layout = layout_of(GRASS, pattern, land=shapely.box(0, 0, 2 * (alley + 12.0), 100.0))
        figures = tree_figures(layout)
        assert 100 * figures.tree_band_share_of_field == pytest.approx(share, abs=0.05)
        strips = figures.tree_band_share_of_field * layout.field.area / 1e4
        assert figures.trees / strips == pytest.approx(10_000, rel=1e-3)
