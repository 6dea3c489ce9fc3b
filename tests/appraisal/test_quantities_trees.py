"""
Trees counted and the two ways of saying their density.

Of the printed densities left out: those of triangles and squares on 20 ft, which lie in tests of
places; scheme classes and country ranges of trees per hectare, which are counts without a layout.
"""

import pytest
import shapely
from appraisal_layouts import ALLEYS, GRASS, close, layout_of

from geolayout.appraisal.quantities.trees import tree_figures


def pitch_of(width, step, strip=2.0):
    return (
        f'[[pattern]]\nname = "p"\nbands = [ {{ name = "C", width = {width - strip}, '
        f'stand = "grass" }}, {{ name = "T", width = {strip}, whole = true, '
        f"trees = {{ in_row_spacing = {step} }} }} ]"
    )


def test_trees_are_counted_row_by_row():
    # 60 m: 24 + 3 + 24 + 3 + 6 (closed with C). Two rows of 120 m, 3 m apart, the first at 1.5 m:
    # floor((120 - 1.5 - 1.5) / 3) + 1 = 40 each.
    result = tree_figures(layout_of(GRASS, ALLEYS))
    assert [row.trees for row in result.by_row] == [40, 40]
    assert (result.trees, result.rows) == (80, 2)
    assert [row.number for row in result.by_row] == [2, 4]
    # 80 trees on 0.72 ha.
    assert result.trees_per_ha_of_field == pytest.approx(80 / 0.72, rel=1e-6)
    # 2 x 3 m of 60 m.
    assert result.tree_band_share_of_field == close(0.1)


@pytest.mark.parametrize(
    ("pattern", "density"),
    [
        # BUR (Burgess et al. 2004), SAFE: rows 10 m apart, 6.4 m in the row, 156.25 trees/ha
        pytest.param(pitch_of(10.0, 6.4), 156.25, id="BUR rows 10 m apart, 6.4 m in the row"),
        # plain geometry: alley 24 m + strip 3 m, trees 3 m apart
        pytest.param(ALLEYS, 123.457, id="alley 24 m and strip 3 m, 3 m in the row"),
        # plain geometry: rows at 24 m pitch, trees 3 m apart
        pytest.param(pitch_of(24.0, 3.0), 138.889, id="pitch 24 m, 3 m in the row"),
        # practice of the trade, C5: 12 m x 4 m
        pytest.param(pitch_of(12.0, 4.0), 208.333, id="12 m x 4 m"),
    ],
)
def test_density_by_pitch(pattern, density):
    (band,) = tree_figures(layout_of(GRASS, pattern)).by_band
    assert band.trees_per_ha_by_pitch == pytest.approx(density, abs=0.001)


def test_land_share_of_a_strip_of_3_m_by_an_alley_of_24_m():
    # geometry: 3 / 27 = 11.1 %.
    (band,) = tree_figures(layout_of(GRASS, ALLEYS)).by_band
    assert (band.pitch_m, band.bands) == (27.0, 2)
    assert 100 * band.strip_share_of_pitch == pytest.approx(11.1, abs=0.02)


def test_the_two_densities_differ_on_a_field():
    # 12 x 4 m on 60 x 60 m: by pitch 10,000 / 48 x 0.36 = 75 trees; five rows of 15 posts stand.
    result = tree_figures(layout_of(GRASS, pitch_of(12.0, 4.0), land=shapely.box(0, 0, 60, 60)))
    assert result.by_band[0].trees_per_ha_by_pitch * 0.36 == close(75.0)
    assert result.trees == 75


def test_a_double_row_counts_twice():
    double = pitch_of(12.0, 4.0).replace(
        "in_row_spacing = 4.0", "in_row_spacing = 4.0, rows = 2, row_spacing = 1.0"
    )
    (band,) = tree_figures(layout_of(GRASS, double)).by_band
    assert band.rows_in_band == 2
    assert band.trees_per_ha_by_pitch == close(2 * 10_000 / 48)


def test_a_pattern_laid_once_has_no_pitch():
    once = (
        '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = "rest", stand = "grass" }, '
        '{ name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 3.0 } } ]'
    )
    (band,) = tree_figures(layout_of(GRASS, once)).by_band
    assert band.pitch_m is None
    assert band.trees_per_ha_by_pitch is None
    assert band.strip_width_m == 3.0


def test_a_tree_band_that_takes_the_rest_has_its_width_as_laid():
    # 60 m less 24 m.
    rest = (
        '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 24.0, stand = "grass" }, '
        '{ name = "T", width = "rest", trees = { in_row_spacing = 3.0 } } ]'
    )
    (band,) = tree_figures(layout_of(GRASS, rest)).by_band
    assert band.strip_width_m == close(36.0)


def test_a_tree_band_without_room_is_not_listed():
    # 20 m hold no alley of 24 m with a whole strip of 3 m.
    narrow = layout_of(GRASS, ALLEYS, land=shapely.box(0, 0, 20, 120))
    assert tree_figures(narrow).by_band == ()


def test_species_are_told_by_row():
    mixed = pitch_of(30.0, 4.0).replace(
        "in_row_spacing = 4.0", 'in_row_spacing = 4.0, species = ["oak", "lime"]'
    )
    assert [row.species for row in tree_figures(layout_of(GRASS, mixed)).by_row] == ["oak", "lime"]


def test_without_trees_there_are_none():
    bare = '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 6.0, stand = "grass" } ]'
    result = tree_figures(layout_of(GRASS, bare))
    assert (result.trees, result.rows, result.by_row, result.by_band) == (0, 0, (), ())
