"""Trees: fence posts that a person can count, and what they keep away from."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate
from strategies import ALLEYS, feature_beside, field_of, laid, plan_of

from geolayout.errors import LayoutError

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


# ---- setbacks by kind, gaps, and trees abreast


# Hedge drawn along 150 m, 10 m or 2 x 4 m off; ditch of 4 m drawn along 50 m, 6 m from its bank,
# the body 48 to 52 m: rows of 200 m, first = 0, 5 m apart.
@pytest.mark.parametrize(
    ("setback", "count"),
    [
        # 0 to 48: floor(48 / 5) + 1 = 10 trees; 52 to 200: 30, a drawn line takes no ground
        pytest.param("{ }", 10 + 30, id="none said"),
        # 0 to 48: 10; 52 to 140: 18; 160 to 200: 9
        pytest.param("{ kinds = { hedge = 10.0 } }", 10 + 18 + 9, id="10 m from the hedge"),
        # 0 to 42: 9; 58 to 140: 17; 160 to 200: 9
        pytest.param(
            "{ kinds = { hedge = 10.0, ditch = 6.0 } }", 9 + 17 + 9, id="and 6 m from the bank"
        ),
        # 0 to 48: 10; 52 to 142: 19; 158 to 200: 9
        pytest.param("{ mature = { hedge = 2.0 } }", 10 + 19 + 9, id="two heights of 4 m"),
    ],
)
def test_setback_by_kind_of_feature(setback, count):
    ditch = feature_beside(
        RECTANGLE,
        "ditch",
        LineString([(50, -10), (50, 110)]),
        measured_from="top of bank",
        half_width=2.0,
    )
    hedge = feature_beside(
        RECTANGLE, "hedge", LineString([(150, -10), (150, 110)]), measured_from="centre line"
    )
    row = f"{{ in_row_spacing = 5.0, first = 0.0, mature_height = 4.0, setback = {setback} }}"
    assert len(trees_of(RECTANGLE, one_row(row), features=[ditch, hedge])) == count


def test_a_way_through_the_rows_stays_open():
    # The middle of the field, 100 m along, 12 m wide: 94 m before it and 94 m behind, first = 0:
    # floor(94 / 5) + 1 = 19 in each.
    way = "gaps = [ { at = [10.0, 52.0], width = 12.0 } ]"
    row = f"{{ in_row_spacing = 5.0, first = 0.0, {way} }}"
    trees = trees_of(RECTANGLE, one_row(row))
    assert len(trees) == 38
    along = np.sort(trees.xy[:, 0])
    before, behind = along[along < 0].max(), along[along > 0].min()
    assert behind - before >= 12.0 - 0.021
    assert behind == pytest.approx(6.0, abs=0.011)


def test_aligned_trees_stand_abreast_on_slanting_land():
    # A parallelogram: rows begin 10 m farther along for every 20 m across, and the marks lie
    # 4 m apart; each row takes those that are 1 m inside of it.
    land = Polygon([(0, 0), (200, 0), (250, 100), (50, 100)])
    alleys = ALLEYS.replace(
        "in_row_spacing = 5.0", 'in_row_spacing = 4.0, first = 1.0, set_out = "aligned"'
    )
    trees = trees_of(land, alleys)
    assert len(np.unique(trees.row)) == 3
    off = (trees.xy[:, 0] - trees.xy[0, 0]) / 4.0
    assert off == pytest.approx(np.round(off), abs=1e-6)
    begins = [trees.xy[trees.row == row][0, 0] for row in (1, 2, 3)]
    assert begins[0] < begins[1] < begins[2]


@pytest.mark.parametrize("degrees", [0.0, 17.0, 45.0, 118.0])
def test_aligned_and_rounded_land_has_the_same_trees(degrees):
    land = rotate(box(0, 0, 181.0, 78.0), degrees)
    bearing = f'bearing = {(90.0 - degrees) % 360.0}\nfrom = "{side_of_land(degrees)}"'
    alleys = ALLEYS.replace("in_row_spacing = 5.0", 'in_row_spacing = 3.0, set_out = "aligned"')
    whole = trees_of(land, alleys, guide=bearing)
    # 181 m, 1.5 m from both ends, marks from the corner on: 3 ... 177 m: 59 in each of 2 rows
    assert len(whole) == 2 * 59


def side_of_land(degrees):
    """The side that the first edge of a turned rectangle faces."""
    return {0.0: "south", 17.0: "south", 45.0: "south-east", 118.0: "east"}[degrees]


def test_trees_abreast_along_a_bend_are_refused():
    bent = 'kind = "along"\npoints = [[9.998, 51.9996], [10.0, 51.9999], [10.002, 51.9996]]'
    alleys = ALLEYS.replace("in_row_spacing = 5.0", 'in_row_spacing = 4.0, set_out = "aligned"')
    with pytest.raises(LayoutError, match=r"lines that bend"):
        trees_of(box(0, 0, 240, 100), alleys, guide=f'{bent}\nfrom = "south"')


def test_two_species_of_one_of_two_tree_bands_take_turns():
    # S has the tree rows 1, 3 and 5 of the block: first, second and third of its own
    two = """
[[pattern]]
name = "two kinds"
bands = [
  { name = "A", width = 10.0, stand = "beans" },
  { name = "S", width = 2.0, trees = { in_row_spacing = 5.0, species = ["plum", "pear"] } },
  { name = "B", width = 18.0, stand = "beans" },
  { name = "L", width = 2.0, trees = { in_row_spacing = 10.0 } },
  { name = "C", width = 8.0, stand = "beans" },
]
"""
    trees = trees_of(RECTANGLE, two)
    assert [int(trees.species[trees.row == row][0]) for row in (1, 3, 5)] == [0, 1, 0]


# ---- lines that bend, and part of a field

BENT = (
    'kind = "along"\nfrom = "south"\n'
    "points = [[9.9982, 51.9995], [9.9995, 51.9998], [10.0005, 51.9998], [10.0018, 51.9995]]"
)


@pytest.mark.parametrize("set_out", ["from start", "centred", "equalised"])
def test_along_a_bend_trees_keep_their_spacing_on_the_ground(set_out):
    alleys = ALLEYS.replace("in_row_spacing = 5.0", f'in_row_spacing = 4.0, set_out = "{set_out}"')
    trees = trees_of(box(0, 0, 240, 100), alleys, guide=BENT)
    for row in np.unique(trees.row):
        apart = np.hypot(*np.diff(trees.xy[trees.row == row], axis=0).T)
        # the line bends by 20.5 degrees: a step over the bend is 4 m x cos(10.25) straight across
        assert apart.min() >= 4.0 * 0.984 - 0.021
        # most steps are those of the rule; the row leaves the field and comes back elsewhere
        assert 4.0 - 0.021 <= np.median(apart) <= 4.4


def test_a_way_through_rows_that_bend_crosses_each_of_them_square():
    way = "gaps = [ { at = [10.0, 52.0], width = 12.0 } ]"
    alleys = ALLEYS.replace("in_row_spacing = 5.0", f"in_row_spacing = 4.0, {way}")
    whole = trees_of(
        box(0, 0, 240, 100),
        ALLEYS.replace("in_row_spacing = 5.0", "in_row_spacing = 4.0"),
        guide=BENT,
    )
    trees = trees_of(box(0, 0, 240, 100), alleys, guide=BENT)
    for row in np.unique(trees.row):
        mine = trees.xy[trees.row == row]
        apart = np.hypot(*np.diff(mine, axis=0).T)
        assert (apart > 11.9).sum() == 1
        # the gap lies at the middle of the field, where the way goes through
        gap = int(np.argmax(apart))
        assert mine[gap, 0] < 0.0 < mine[gap + 1, 0]
    assert len(trees) < len(whole)


def test_gaps_along_rings_are_refused():
    way = "gaps = [ { at = [10.0, 52.0], width = 12.0 } ]"
    alleys = ALLEYS.replace("in_row_spacing = 5.0", f"in_row_spacing = 4.0, {way}")
    drill = """
[[machine]]
name = "drill"
working_width = 3.0
turning_radius = 6.5
[[operation]]
name = "drill"
machine = "drill"
"""
    with pytest.raises(LayoutError, match=r"gaps along rings"):
        trees_of(box(0, 0, 240, 160), alleys, drill, guide='kind = "round"')


def test_trees_on_a_part_of_the_field_only():
    # The western 100 m of 200 m: one tree row 50 m from the south, 100 m long, 5 m apart: 20 trees
    blocks = """
[[block]]
name = "trees"
part = { side = "west", width = 100.0 }
pattern = "one row"
[[block]]
name = "crop"
rest = true
pattern = "crop"
[[pattern]]
name = "crop"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
"""
    trees = trees_of(RECTANGLE, one_row("{ in_row_spacing = 5.0 }"), blocks)
    assert len(trees) == 20
    assert trees.xy[:, 0].max() < 0.0


@given(
    set_out=st.sampled_from(["from start", "centred", "equalised", "aligned"]),
    arrangement=st.sampled_from(["square", "staggered", "triangular"]),
    bearing=st.floats(0.0, 180.0),
    step=st.floats(2.0, 9.0),
)
@settings(max_examples=25, deadline=None)
def test_trees_keep_every_distance_however_they_are_set_out(set_out, arrangement, bearing, step):
    """5 m from the boundary, 8 m from a pond by its kind, and a step from each other."""
    land = Polygon([(0, 0), (180, 20), (210, 120), (90, 160), (10, 100)])
    pond = feature_beside(land, "pond", box(80, 60, 110, 80))
    rows = f"rows = 2, row_spacing = {step}" if arrangement != "triangular" else "rows = 2"
    band = f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "C", width = 12.0, stand = "beans" }},
  {{ name = "T", width = 10.0, whole = true, trees = {{ {rows}, in_row_spacing = {step},\
 arrangement = "{arrangement}", set_out = "{set_out}",\
 setback = {{ boundary = 5.0, kinds = {{ pond = 8.0 }} }} }} }},
]
"""
    side = "west" if 45.0 < (bearing + 90.0) % 180.0 < 135.0 else "south"
    field = field_of(land, [pond])
    trees = laid(field, plan_of(band, guide=f'bearing = {bearing}\nfrom = "{side}"')).trees
    points = shapely.points(trees.xy)
    assert (shapely.distance(points, shapely.boundary(field.land)) >= 5.0 - 0.015).all()
    assert (shapely.distance(points, field.features[0].geometry) >= 8.0 - 0.015).all()
    for row in np.unique(trees.row):
        apart = np.hypot(*np.diff(trees.xy[trees.row == row], axis=0).T)
        assert (apart >= step - 0.021).all()
