"""Bundles in the order of planting."""

import pytest
from appraisal_layouts import GRASS, layout_of

from geolayout.appraisal.trees.bundles import bundles, position_words


def alleys(**said):
    keys = ", ".join(f"{key} = {value}" for key, value in said.items())
    return layout_of(
        GRASS,
        f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "C", width = 18.0, stand = "grass" }},
  {{ name = "T", width = 4.0, trees = {{ in_row_spacing = 5.0, {keys} }} }},
]
close_with = "C"
""",
    )


def test_a_row_of_one_species_is_one_bundle():
    # two rows of 24 trees
    told = [
        (one.row, position_words(one.positions), one.species)
        for one in bundles(alleys(species='"oak"'))
    ]
    assert told == [(1, "1 to 24", "oak"), (2, "1 to 24", "oak")]


def test_runs_of_ten_break_at_the_end_of_a_row():
    # 24 a row: a x 10, b x 10, a x 4 | a x 6, b x 10, a x 8
    layout = alleys(species='["a", "b"]', mixing="{ run = 10 }")
    told = [(one.row, position_words(one.positions), one.species) for one in bundles(layout)]
    assert told == [
        (1, "1 to 10", "a"),
        (1, "11 to 20", "b"),
        (1, "21 to 24", "a"),
        (2, "1 to 6", "a"),
        (2, "7 to 16", "b"),
        (2, "17 to 24", "a"),
    ]
    assert [one.number for one in bundles(layout)] == [1, 2, 3, 4, 5, 6]


@pytest.mark.parametrize(("most", "sizes"), [(25, [24, 24]), (10, [10, 10, 4, 10, 10, 4])])
def test_a_nursery_ties_so_many_at_most(most, sizes):
    assert [len(one.positions) for one in bundles(alleys(species='"oak"'), most)] == sizes


def test_a_pollinator_on_every_eighth_tree_is_a_bundle_of_its_own():
    # 24 a row: a on 21, b on 8, 16 and 24
    layout = alleys(species='["a", "b"]', mixing='{ rule = "every", every = 8 }')
    told = [(one.row, position_words(one.positions), one.species) for one in bundles(layout)][:2]
    assert told == [(1, "1 to 7, 9 to 15, 17 to 23", "a"), (1, "8 to 24 by 8", "b")]


def test_without_trees_there_are_no_bundles():
    bare = '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 6.0, stand = "grass" } ]'
    assert bundles(layout_of(GRASS, bare)) == ()
