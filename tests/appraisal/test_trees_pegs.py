"""Peg lists that a person with a tape can follow, and checks that catch a mistake."""

import numpy as np
import pytest
import shapely
from appraisal_layouts import GRASS, layout_of

from geolayout.appraisal.trees.pegs import border_pegs, tree_pegs

# 60 m by 120 m, rows north: tree rows at 20 and 42 m, trees at 2.5, 7.5 ... 117.5 m.
ALLEYS = """
[[pattern]]
name = "p"
bands = [
  { name = "C", width = 18.0, stand = "grass" },
  { name = "T", width = 4.0, trees = { in_row_spacing = 5.0 } },
]
close_with = "C"
"""
BENT = 'kind = "along"\npoints = [[10.0, -0.0006], [10.0002, 0.0], [10.0, 0.0006]]\nfrom = "west"'


def test_trees_are_taped_from_the_pegging_line():
    (block,) = tree_pegs(layout_of(GRASS, ALLEYS))
    first, last = block.lines
    assert (first.name, last.name) == ("tree row 1", "tree row 2")
    assert (first.across, last.across) == pytest.approx((0.0, 22.0))
    assert first.chainage == pytest.approx(np.arange(0.0, 116.0, 5.0), abs=1e-6)
    assert block.outside == ()
    assert (block.bearing + 90.0) % 360.0 == pytest.approx(90.0, abs=1e-6)


def test_the_diagonals_of_the_check_are_what_the_tape_must_show():
    # 22 m between the rows, 115 m along: sqrt(22^2 + 115^2) = sqrt(13709) = 117.085 m
    (block,) = tree_pegs(layout_of(GRASS, ALLEYS))
    check = block.check
    assert (check.width, check.length) == pytest.approx((22.0, 115.0), abs=1e-6)
    assert check.diagonal == pytest.approx(117.085, abs=1e-3)
    # the second way: between the corners by their coordinates
    a, b, c, d = np.array(check.corners)
    assert np.hypot(*(c - a)) == pytest.approx(check.diagonal, abs=1e-6)
    assert np.hypot(*(d - b)) == pytest.approx(check.diagonal, abs=1e-6)
    # 1 in 1000 of 117 m is 0.117 m, more than 0.10 m
    assert check.tolerance == pytest.approx(0.117085, abs=1e-5)


@pytest.mark.parametrize(
    "land",
    [
        pytest.param(shapely.box(0, 0, 60, 120), id="a rectangle"),
        pytest.param(shapely.Polygon([(0, 0), (60, 30), (60, 150), (0, 120)]), id="slanting ends"),
        pytest.param(shapely.Polygon([(0, 0), (90, 0), (60, 120), (30, 120)]), id="a trapezium"),
    ],
)
def test_a_peg_is_where_its_two_distances_lead(land):
    """From the corner peg across, then along: the coordinates come out again."""
    layout = layout_of(GRASS, ALLEYS, land=land)
    for block in (*tree_pegs(layout), *border_pegs(layout)):
        angle = np.radians(layout.blocks[0].bearing)
        forward = np.array([np.sin(angle), np.cos(angle)])
        right = np.array([np.cos(angle), -np.sin(angle)])
        for line in block.lines:
            led = np.array(block.corner) + line.across * right + line.chainage[:, None] * forward
            assert line.xy == pytest.approx(led, abs=1e-6)


def test_every_tree_has_one_peg():
    layout = layout_of(GRASS, ALLEYS)
    (block,) = tree_pegs(layout)
    pegged = np.concatenate([line.trees for line in block.lines])
    assert sorted(pegged.tolist()) == list(range(len(layout.trees)))


def test_borders_have_pegs_at_both_ends_and_names_of_both_sides():
    # C 18, T 4, C 18, T 4, C 16: borders at 0, 18, 22, 40, 44, 60
    (block,) = border_pegs(layout_of(GRASS, ALLEYS))
    assert [line.across for line in block.lines] == pytest.approx([0, 18, 22, 40, 44, 60], abs=1e-3)
    assert block.lines[1].name == "C 1 | T 2"
    assert [len(line.chainage) for line in block.lines[1:5]] == [2] * 4
    assert block.lines[1].chainage == pytest.approx([0.0, 120.0], abs=1e-3)


def test_a_row_whose_peg_lies_off_the_field_is_named():
    # A triangle: rows get shorter and farther from any common line across them
    land = shapely.Polygon([(0, 0), (120, 0), (0, 120)])
    (block,) = border_pegs(layout_of(GRASS, ALLEYS, land=land))
    assert block.outside == ()
    turned = shapely.Polygon([(0, 0), (200, 300), (200, 400), (0, 100)])
    (block,) = border_pegs(layout_of(GRASS, ALLEYS, land=turned))
    assert len(block.outside) > 0


def test_one_row_alone_has_no_check():
    one = ALLEYS.replace('close_with = "C"', "").replace(
        "\n]", '\n  { name = "D", width = "rest", stand = "grass" },\n]'
    )
    (block,) = tree_pegs(layout_of(GRASS, one))
    assert len(block.lines) == 1
    assert block.check is None


def test_rows_that_bend_are_told_along_the_row():
    layout = layout_of(GRASS, ALLEYS, guide=BENT)
    for block in tree_pegs(layout):
        assert not block.straight
        assert block.check is None
        for line in block.lines:
            assert line.chainage[0] == 0.0
            assert np.diff(line.chainage) == pytest.approx(5.0, abs=0.02)
    for block in border_pegs(layout):
        for line in block.lines:
            apart = np.hypot(*np.diff(line.xy, axis=0).T)
            assert apart.max(initial=0.0) <= 20.0 + 1e-6


def test_without_trees_there_is_nothing_to_peg():
    bare = '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 6.0, stand = "grass" } ]'
    assert tree_pegs(layout_of(GRASS, bare)) == ()
