"""Trees left after thinning, counted as a forester would walk the row."""

import numpy as np
import pytest
from appraisal_layouts import GRASS, layout_of

from geolayout.appraisal.trees.years import standing, thinning_figures


def thinned(*thinning):
    keys = ", ".join(f"{{ year = {year}, keep_every = {every} }}" for year, every in thinning)
    # One row of 120 m, 2 m apart, the first at 1 m: 60 trees
    return layout_of(
        GRASS,
        f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "A", width = 28.0, stand = "grass" }},
  {{ name = "T", width = 4.0, trees = {{ in_row_spacing = 2.0, thinning = [ {keys} ] }} }},
  {{ name = "B", width = "rest", stand = "grass" }},
]
""",
    )


def test_every_third_tree_stays_the_first_among_them():
    layout = thinned((10.0, 3))
    stands = standing(layout, 10.0)
    assert layout.trees.position[stands].tolist() == list(range(1, 61, 3))
    assert standing(layout, 9.9).all()


def test_a_second_thinning_counts_what_the_first_one_left():
    # 60 -> every second: 30 -> every third of these: 10; on 0.72 ha
    years = thinning_figures(thinned((8.0, 2), (15.0, 3)))
    assert [(one.year, one.trees, one.taken) for one in years] == [
        (0.0, 60, 0),
        (8.0, 30, 30),
        (15.0, 10, 20),
    ]
    assert years[-1].trees_per_ha_of_field == pytest.approx(10 / 0.72, rel=1e-6)


def test_spacing_after_thinning():
    # Rivest et al. 2009 (abstract): poplars 2 m apart in the row, thinned to 6 m
    layout = thinned((6.0, 3))
    left = layout.trees.xy[standing(layout, 6.0)]
    assert np.hypot(*np.diff(left, axis=0).T) == pytest.approx(np.full(19, 6.0), abs=1e-3)


def test_nothing_is_told_where_nothing_is_thinned():
    assert thinning_figures(thinned()) == ()
