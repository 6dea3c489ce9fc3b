"""Trees: fence posts that a person can count, and what they keep away from."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, box
from strategies import ALLEYS, feature_beside, field_of, laid, plan_of

from geolayout.layout.scan import Chords
from geolayout.layout.trees import posts

RECTANGLE = box(0, 0, 200, 100)


def one_row(trees):
    """A pattern of one tree row, 50 m from the near side of a field 100 m wide."""
    return f"""
[[pattern]]
name = "one row"
bands = [
  {{ name = "A", width = 49.0, stand = "beans" }},
  {{ name = "T", width = 2.0, whole = true, trees = {trees} }},
  {{ name = "B", width = "rest", stand = "beans" }},
]
"""


def trees_of(land, *parts, features=(), guide='near_edge = "south"'):
    return laid(field_of(land, features), plan_of(*parts, guide=guide)).trees


def chord(s0, s1):
    return Chords(np.array([0]), np.array([s0]), np.array([s1]))


@pytest.mark.parametrize(
    ("length", "step", "first", "last", "count"),
    [
        # floor((L - first - last) / s) + 1
        pytest.param(60.0, 4.0, 0.0, 0.0, 16, id="from end to end: 60 / 4 + 1 = 16"),
        pytest.param(60.0, 4.0, 2.0, 2.0, 15, id="half a step from both ends: 56 / 4 + 1 = 15"),
        pytest.param(59.9, 4.0, 0.0, 0.0, 15, id="a decimetre short: floor(14.98) + 1 = 15"),
        pytest.param(60.0, 4.0, 0.5, 3.0, 15, id="unequal ends: floor(56.5 / 4) + 1 = 15"),
        pytest.param(3.0, 4.0, 2.0, 2.0, 0, id="too short for both ends: none"),
        pytest.param(4.0, 4.0, 2.0, 2.0, 1, id="room for one"),
    ],
)
def test_posts_on_one_piece(length, step, first, last, count):
    piece = chord(10.0, 10.0 + length)
    _, s = posts(piece, piece, step, np.array([first]), last)
    assert len(s) == count
    assert s == pytest.approx(10.0 + first + step * np.arange(count))


def test_a_centimetre_of_slack_makes_room_for_the_last_post():
    _, s = posts(chord(0.0, 59.99), chord(-0.01, 60.0), 4.0, np.array([0.0]), 0.0)
    assert len(s) == 16
    assert s.min() >= -0.01
    assert s.max() <= 60.0


@given(
    length=st.floats(1.0, 500.0),
    step=st.floats(0.5, 20.0),
    first=st.floats(0.0, 10.0),
    last=st.floats(0.0, 10.0),
)
def test_posts_are_what_walking_the_row_would_count(length, step, first, last):
    piece = chord(0.0, length)
    _, s = posts(piece, piece, step, np.array([first]), last)
    walked, at = 0, first
    while at + last <= length + 1e-9 * length:
        walked, at = walked + 1, first + (walked + 1) * step
    edge = (length - first - last) / step
    if abs(edge - round(edge)) > 1e-6:
        assert len(s) == walked


def test_12_by_4_m_on_60_by_60_m_with_trees_on_its_edges():
    # Common planting arithmetic, plain geometry: rows at 0, 12 ... 60 m, 6 rows; trees at 0, 4 ...
    # 60 m, 16 trees; 6 x 16 = 96 trees, where area / (12 x 4) would say 75.
    orchard = """
[[pattern]]
name = "orchard"
[[pattern.bands]]
name = "T"
width = 60.0
stand = "grass"
trees = { at = [0.0, 12.0, 24.0, 36.0, 48.0, 60.0], in_row_spacing = 4.0, first = 0.0 }
"""
    trees = trees_of(box(0, 0, 60, 60), orchard)
    assert len(trees) == 96
    assert np.bincount(trees.row)[1:].tolist() == [16] * 6
    assert trees.position[:16].tolist() == list(range(1, 17))


def test_alleys_of_24_m_with_tree_strips_of_3_m_close_with_a_crop_band_at_both_sides():
    # 100 m across: 24 3 24 3 24 3 19. Trees at 2.5, 7.5 ... 197.5 m: 40 a row, 3 rows.
    layout = laid(field_of(RECTANGLE), plan_of(ALLEYS))
    widths = [cut.width for cut in layout.blocks[0].section.cuts]
    assert widths == pytest.approx([24, 3, 24, 3, 24, 3, 19], abs=2e-3)
    assert len(layout.trees) == 3 * 40
    assert np.unique(layout.trees.number).tolist() == [2, 4, 6]


@pytest.mark.parametrize(
    ("setback", "count"),
    [
        # first = 0: floor((200 - 2 d) / 4) + 1
        pytest.param("{ }", 51, id="without setback 200 / 4 + 1"),
        pytest.param("{ boundary = 3.0 }", 49, id="3 m from the boundary floor(194 / 4) + 1"),
        pytest.param("{ headland = 5.0 }", 51, id="from a headland that there is none of"),
    ],
)
def test_setback_from_the_boundary(setback, count):
    trees = trees_of(
        RECTANGLE, one_row(f"{{ in_row_spacing = 4.0, first = 0.0, setback = {setback} }}")
    )
    assert len(trees) == count


def test_setback_from_the_headland():
    # 200 - 2 x 12 = 176 m between the headlands, 5 m off each: floor(166 / 4) + 1 = 42
    ends = '[headland]\nwhere = "ends"\nwidth = 12.0'
    row = one_row("{ in_row_spacing = 4.0, first = 0.0, setback = { headland = 5.0 } }")
    assert len(trees_of(RECTANGLE, row, ends)) == 42


def test_an_obstacle_in_a_tree_row_makes_two_fences():
    # Pond 90 to 110 m: two pieces of 90 m; first and last 2.5 m: floor(85 / 5) + 1 = 18 each
    pond = feature_beside(RECTANGLE, "pond", box(90, 40, 110, 60))
    trees = trees_of(RECTANGLE, one_row("{ in_row_spacing = 5.0 }"), features=[pond])
    assert len(trees) == 36
    assert trees.position.tolist() == list(range(1, 37))


def test_setback_from_a_feature_counts_from_what_is_drawn():
    # Pond 90 to 110 m, 4 m off: pieces of 86 m; first = last = 0: floor(86 / 5) + 1 = 18 each
    pond = feature_beside(RECTANGLE, "pond", box(90, 40, 110, 60))
    row = one_row("{ in_row_spacing = 5.0, first = 0.0, setback = { feature = 4.0 } }")
    assert len(trees_of(RECTANGLE, row, features=[pond])) == 36


def test_a_tree_too_near_the_last_one_across_a_gap_is_left_out():
    # Wall 96.5 to 98.5 m: the first piece ends its trees at 95 m; the second would begin at 98.5,
    # 3.5 m on, and begins at 103.5: 20 trees, and floor((200 - 98.5) / 5) + 1 = 21 less one.
    wall = feature_beside(RECTANGLE, "wall", box(96.5, 40, 98.5, 60))
    row = one_row("{ in_row_spacing = 5.0, first = 0.0 }")
    trees = trees_of(RECTANGLE, row, features=[wall])
    assert len(trees) == 40
    assert np.diff(np.sort(trees.xy[:, 0])).min() == pytest.approx(5.0, abs=1e-6)


def test_a_line_kept_clear_of_trees_only_leaves_the_crop_under_it():
    # Overhead line across the rows at 100 m, trees 10 m off: pieces of 90 m, first = 0:
    # 90 / 5 + 1 = 19 each. No ground is taken from the crop.
    line = feature_beside(
        RECTANGLE,
        "overhead line",
        LineString([(100, -10), (100, 110)]),
        measured_from="centre line",
        trees=10.0,
    )
    layout = laid(
        field_of(RECTANGLE, [line]), plan_of(one_row("{ in_row_spacing = 5.0, first = 0.0 }"))
    )
    assert len(layout.trees) == 38
    assert np.unique(layout.ground.kind).tolist() == ["band", "tree band"]
    assert layout.rows.length == pytest.approx(np.full(len(layout.rows), 200.0), rel=1e-6)


def test_staggered_rows_are_half_a_step_apart():
    # Rows 2 m apart, 5 m in the row, first 2.5 m: row 1 at 2.5, 7.5 ... 40 trees;
    # row 2 starts half a step later, at 5, and its last may stand at 197.5: 39 trees.
    band = """
[[pattern]]
name = "double"
bands = [
  { name = "A", width = 45.0, stand = "beans" },
  { name = "T", width = 10.0, trees = { TREES } },
  { name = "B", width = "rest", stand = "beans" },
]
"""
    double = 'rows = 2, row_spacing = 2.0, in_row_spacing = 5.0, arrangement = "staggered"'
    trees = trees_of(RECTANGLE, band.replace("TREES", double))
    assert np.bincount(trees.row)[1:].tolist() == [40, 39]
    nearest = shapely.distance(
        Point(*trees.xy[trees.row == 2][0]), shapely.points(trees.xy[trees.row == 1])
    ).min()
    assert nearest == pytest.approx((2.0**2 + 2.5**2) ** 0.5, abs=1e-6)


def test_triangular_trees_stand_equally_far_from_all_neighbours():
    band = """
[[pattern]]
name = "triangles"
[[pattern.bands]]
name = "T"
width = 100.0
trees = { rows = 3, in_row_spacing = 8.0, arrangement = "triangular" }
"""
    trees = trees_of(RECTANGLE, band)
    middle = trees.xy[(trees.row == 2) & (trees.position == 5)][0]
    off = np.sort(np.hypot(*(trees.xy - middle).T))
    assert off[1:7] == pytest.approx(np.full(6, 8.0), abs=1e-6)


def test_species_go_row_by_row():
    # 3 tree rows of the alleys, two species in turn
    mixed = ALLEYS.replace(
        "in_row_spacing = 5.0", 'in_row_spacing = 5.0, species = ["oak", "lime"]'
    )
    trees = trees_of(RECTANGLE, mixed)
    assert [trees.species[trees.row == row][0] for row in np.unique(trees.row)] == [0, 1, 0]


def test_two_bands_of_trees_in_one_pattern_are_numbered_across_the_block():
    # 40 m repeat: rows at 11 m (every 5 m, 40 trees) and at 31 m (every 10 m, 20 trees), and so
    # on for two repeats and a half
    two = """
[[pattern]]
name = "two kinds"
bands = [
  { name = "A", width = 10.0, stand = "beans" },
  { name = "S", width = 2.0, trees = { in_row_spacing = 5.0 } },
  { name = "B", width = 18.0, stand = "beans" },
  { name = "L", width = 2.0, trees = { in_row_spacing = 10.0 } },
  { name = "C", width = 8.0, stand = "beans" },
]
"""
    trees = trees_of(RECTANGLE, two)
    assert np.bincount(trees.row)[1:].tolist() == [40, 20, 40, 20, 40]
    across = trees.xy[:, 1] - trees.xy[0, 1]
    per_row = [np.unique(np.round(across[trees.row == row], 2)) for row in range(1, 6)]
    assert np.concatenate(per_row).tolist() == [0.0, 20.0, 40.0, 60.0, 80.0]
