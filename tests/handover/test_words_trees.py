"""Trees in words."""

from appraisal_layouts import GRASS, layout_of

from geolayout.appraisal.quantities.trees import tree_figures
from geolayout.handover.words.trees import tree_lines


def test_species_years_and_pollinators_are_said():
    # One row of 120 m, 5 m apart: 24 trees by turns, 12 and 12; every second left: 12 on 0.72 ha
    layout = layout_of(
        GRASS,
        """
[[pattern]]
name = "p"
bands = [
  { name = "C", width = 28.0, stand = "grass" },
  { name = "T", width = 4.0, trees = { in_row_spacing = 5.0, species = ["A", "B"], \
mixing = { rule = "sequence" }, pollination = [ { species = "A", needs = ["B"] } ], \
thinning = [ { year = 9.0, keep_every = 2 } ] } },
  { name = "D", width = "rest", stand = "grass" },
]
""",
    )
    lines = tree_lines(tree_figures(layout))
    assert lines[0] == "24 trees in 1 row, counted where they stand."
    assert "By species: 12 A, 12 B." in lines
    assert any(
        line.startswith("Thinned in year 9: 12 trees taken, 12 left, 16.7 trees") for line in lines
    )
    assert (
        lines[-1]
        == "A (12 trees): nearest pollinator at most 5.0 m off, reach 15.0 m; 0 beyond it."
    )


def test_no_trees_are_no_lines():
    bare = '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 6.0, stand = "grass" } ]'
    assert tree_lines(tree_figures(layout_of(GRASS, bare))) == []
