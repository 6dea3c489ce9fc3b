"""Trees by their band, and species by name."""

import numpy as np
from appraisal_layouts import GRASS, layout_of
from planted_layouts import planted

from geolayout.appraisal.trees.bands import planted_bands, species_counts, species_of_trees


def test_every_tree_belongs_to_one_band():
    layout = layout_of(
        GRASS,
        """
[[pattern]]
name = "two kinds"
bands = [
  { name = "S", width = 4.0, trees = { in_row_spacing = 5.0 } },
  { name = "C", width = 16.0, stand = "grass" },
  { name = "L", width = 4.0, trees = { in_row_spacing = 10.0 } },
  { name = "D", width = 6.0, stand = "grass" },
]
""",
    )
    small, large = planted_bands(layout)
    # 60 m: two repeats of 30 m; rows of 120 m: 24 and 12 trees
    assert (small.band.name, len(small.cuts), len(small.which)) == ("S", 2, 48)
    assert (large.band.name, len(large.cuts), len(large.which)) == ("L", 2, 24)
    both = np.concatenate([small.which, large.which])
    assert sorted(both.tolist()) == list(range(len(layout.trees)))


def test_species_by_name_and_count():
    # every second tree of 24 in two rows
    layout = planted(keys='species = ["oak", "lime"], mixing = { rule = "sequence" }')
    assert species_counts(layout) == {"lime": 24, "oak": 24}
    names = species_of_trees(layout)
    assert names[layout.trees.row == 1][:4].tolist() == ["oak", "lime", "oak", "lime"]


def test_a_species_named_twice_is_counted_once():
    layout = planted(keys='species = ["oak", "lime", "oak"], mixing = { rule = "sequence" }')
    # 24 a row in threes: 16 oaks and 8 limes
    assert species_counts(layout) == {"lime": 16, "oak": 32}
