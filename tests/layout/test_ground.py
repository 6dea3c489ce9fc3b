"""Ground: a partition in which every square metre has one kind, by sums done on paper."""

import math

import numpy as np
import pytest
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon, box
from strategies import (
    ALLEYS,
    ENDS,
    STRIPS,
    area_of,
    faults_of_ground,
    feature_beside,
    field_of,
    laid,
    plan_of,
)

from geolayout.errors import LayoutError
from geolayout.layout.blocks.drawn import Drawn

RECTANGLE = box(0, 0, 200, 100)
TRIANGLE = Polygon([(0, 0), (200, 0), (0, 100)])
ELL = Polygon([(0, 0), (200, 0), (200, 100), (100, 100), (100, 200), (0, 200)])
TENS = '[[pattern]]\nname = "tens"\nbands = [ { name = "A", width = 10.0, stand = "maize" } ]'


def layout_of(land, *parts, guide='near_edge = "south"', features=()):
    layout = laid(field_of(land, features), plan_of(*parts, guide=guide))
    assert faults_of_ground(layout) == []
    return layout


def areas(layout, **columns):
    """Areas of the ground with these columns, in the layout's order."""
    ground = layout.ground
    mine = np.all([getattr(ground, name) == value for name, value in columns.items()], axis=0)
    return ground.area[mine]


def test_strips_of_6_m_across_100_m():
    # 8 whole A and 4 m of a ninth: 52 m x 200 m = 10,400 m2; 8 B: 48 x 200 = 9,600 m2
    layout = layout_of(RECTANGLE, STRIPS)
    assert layout.ground.bands == len(layout.ground) == 17
    assert area_of(layout, band="A") == pytest.approx(10_400.0, rel=1e-6)
    assert area_of(layout, band="B") == pytest.approx(9600.0, rel=1e-6)
    assert layout.ground.number.tolist() == list(range(1, 18))
    assert layout.ground.reason[-1] == "cut to 4.00 m"


def test_bands_of_a_triangle_along_its_long_leg():
    # At t the land is 200 (1 - t / 100) m long: 1,900, 1,700 ... 100 m2
    layout = layout_of(TRIANGLE, TENS)
    assert areas(layout, kind="band") == pytest.approx(np.arange(1900, 0, -200), rel=1e-4)


def test_bands_of_a_triangle_along_its_short_leg():
    # At t the land is 100 (1 - t / 200) m long: 975, 925 ... 25 m2, 20 bands
    layout = layout_of(TRIANGLE, TENS, guide='near_edge = "west"')
    assert areas(layout, kind="band") == pytest.approx(np.arange(975, 0, -50), rel=1e-4)


def test_a_repeat_of_1_5_and_4_5_m():
    # 10 repeats on 60 m x 100 m: 10 x 1.5 x 100 and 10 x 4.5 x 100 m2
    repeat = """
[[pattern]]
name = "six"
bands = [
  { name = "M", width = 1.5, stand = "maize" },
  { name = "L", width = 4.5, stand = "beans" },
]
"""
    layout = layout_of(box(0, 0, 100, 60), repeat)
    assert area_of(layout, band="M") == pytest.approx(1500.0, rel=1e-6)
    assert area_of(layout, band="L") == pytest.approx(4500.0, rel=1e-6)
    assert layout.ground.repeat.tolist() == [1 + k // 2 for k in range(20)]


@pytest.mark.parametrize(
    ("across", "widths"),
    [
        # rules of the plan: C 24 at least 12, T 3 whole, closed with C
        pytest.param(100, [24, 3, 24, 3, 24, 3, 19], id="100 m cut the last alley to 19"),
        pytest.param(90, [24, 3, 24, 3, 36], id="90 m leave 9 m and a tree band: joined, 36"),
        pytest.param(80, [24, 3, 24, 3, 26], id="80 m leave 2 m: joined, 26"),
    ],
)
def test_alleys_give_way_at_the_far_side_as_groups(across, widths):
    layout = layout_of(box(0, 0, 200, across), ALLEYS)
    assert layout.ground.area == pytest.approx(200.0 * np.array(widths), rel=1e-4)
    assert layout.ground.band.tolist() == ["C", "T"] * (len(widths) // 2) + ["C"]
    tree_land = 3.0 * 200.0 * (len(widths) // 2)
    assert area_of(layout, kind="tree band") == pytest.approx(tree_land, rel=1e-4)


@pytest.mark.parametrize(
    ("remainder", "bands", "kinds", "last"),
    [
        # 10 m bands, none of them ever cut, across 104 m
        pytest.param("cut", 10, {"band", "left over"}, 10.0, id="whole bands leave 4 m over"),
        pytest.param("widen", 10, {"band"}, 14.0, id="the last is widened to 14 m"),
        pytest.param("headland", 10, {"band", "headland"}, 10.0, id="4 m become headland"),
    ],
)
def test_what_is_left_goes_by_the_pattern(remainder, bands, kinds, last):
    pattern = TENS.replace('stand = "maize"', 'stand = "maize", whole = true')
    layout = layout_of(box(0, 0, 200, 104), pattern, f'remainder = "{remainder}"')
    assert layout.ground.bands == bands
    assert set(layout.ground.kind) == kinds
    assert areas(layout, number=10)[0] == pytest.approx(200 * last, rel=1e-5)
    assert len(layout.gave_way) > 0


def test_what_is_left_is_spread_over_bands_that_may_change():
    # 104 m: 10 bands of 10.4 m
    layout = layout_of(
        box(0, 0, 200, 104),
        TENS.replace('d = "maize"', 'd = "maize", min_width = 8.0'),
        'remainder = "spread"',
    )
    assert layout.ground.area == pytest.approx(np.full(10, 2080.0), rel=1e-5)


@pytest.mark.parametrize(
    ("corners", "headland"),
    [
        # Mitred: 30,000 - (176^2 - 100^2) = 9,024 m2. Rounded: 0.25 (4 - pi) 12^2 = 30.9 m2 less.
        pytest.param("mitred", 9024.0, id="mitred"),
        pytest.param("rounded", 9024.0 - 0.25 * (4 - math.pi) * 144, id="rounded"),
    ],
)
def test_headland_all_round_an_ell(corners, headland):
    around = f'[headland]\nwhere = "all round"\nwidth = 12.0\ncorners = "{corners}"'
    layout = layout_of(ELL, STRIPS, around)
    assert area_of(layout, kind="headland") == pytest.approx(headland, abs=0.2)


def test_headland_at_the_ends_of_an_ell_lies_where_rows_end():
    # Rows east: ends are the east edge (100 m), the inner north-south edge (100 m) and the west
    # edge (200 m): 12 x (100 + 100 + 200) = 4,800 m2; where the inner edge meets the inner corner
    # the strip is cut flat.
    layout = layout_of(ELL, STRIPS, ENDS)
    assert area_of(layout, kind="headland") == pytest.approx(4800.0, rel=1e-6)
    assert sorted(run.side for run in layout.blocks[0].ends) == ["east", "east", "west"]


def test_a_hole_in_the_boundary_is_not_in_the_field():
    # A round hole of 10 m at 51 m: it parts the bands 42-48, 48-54 and 54-60; 36-42 and 60-66
    # run past it. 17 bands, 20 pieces.
    hole = Point(100, 51).buffer(10, quad_segs=64)
    layout = layout_of(RECTANGLE - hole, STRIPS)
    assert layout.ground.bands == 17
    assert len(layout.ground) == 20
    assert layout.ground.area.sum() == pytest.approx(20_000 - hole.area, rel=1e-7)
    parted = layout.ground.number[layout.ground.piece == 2]
    assert parted.tolist() == [8, 9, 10]


def test_kinds_of_ground_take_each_other_in_order():
    # Pond 20 x 20 m on the west edge, 5 m kept clear round it, margin 3 m, headland 12 m at the
    # ends, from what is left. Pond 400; kept clear: 20 x 5 x 2 beside it, 20 x 5 before it, and
    # two quarter circles of 5 m. The margin loses its 3 m x 30 m there.
    pond = feature_beside(RECTANGLE, "pond", box(0, 40, 20, 60), all=5.0)
    layout = layout_of(RECTANGLE, STRIPS, ENDS, "[margin]\nwidth = 3.0", features=[pond])
    ring = 200 - 6, 100 - 6
    assert area_of(layout, kind="obstacle") == pytest.approx(400.0, rel=1e-6)
    assert area_of(layout, kind="keep-clear") == pytest.approx(
        200 + 100 + math.pi * 25 / 2, abs=0.1
    )
    assert area_of(layout, kind="margin") == pytest.approx(
        20_000 - ring[0] * ring[1] - 90, rel=1e-5
    )
    assert set(layout.ground.stand[layout.ground.kind == "margin"]) == {"grass"}
    assert area_of(layout, kind="headland") > 0


def test_a_margin_by_sides():
    # North 3 m x 200 m, west 2 m x 100 m, counted once where they meet: 600 + 200 - 6 = 794 m2
    layout = layout_of(RECTANGLE, STRIPS, "[margin]\nsides = { north = 3.0, west = 2.0 }")
    assert area_of(layout, kind="margin") == pytest.approx(794.0, rel=1e-6)


@pytest.mark.parametrize(
    ("keep_clear", "taken"),
    [
        # Line 200 m long across the field, along the rows: d m each side
        pytest.param({"all": 4.0}, 1600.0, id="all makes ground: 8 m x 200 m"),
        pytest.param({"trees": 10.0, "turning": 20.0}, 0.0, id="trees and turning make none"),
    ],
)
def test_only_what_is_kept_clear_of_everything_is_ground(keep_clear, taken):
    cable = feature_beside(
        RECTANGLE,
        "buried cable",
        LineString([(-50, 50), (250, 50)]),
        measured_from="centre line",
        **keep_clear,
    )
    layout = layout_of(RECTANGLE, STRIPS, features=[cable])
    assert area_of(layout, kind="keep-clear") == pytest.approx(taken, rel=1e-6)


def test_obstacles_get_a_headland_only_on_request():
    # A pond 20 m x 20 m well inside: (20 + 24)^2 - 20^2 = 1,536 m2 of headland round it
    pond = feature_beside(RECTANGLE, "pond", box(90, 40, 110, 60))
    asked = ENDS + "round_obstacles = true\n"
    with_it = layout_of(RECTANGLE, STRIPS, asked, features=[pond])
    without = layout_of(RECTANGLE, STRIPS, ENDS, features=[pond])
    more = area_of(with_it, kind="headland") - area_of(without, kind="headland")
    assert more == pytest.approx(1536.0, rel=1e-6)


def test_an_hourglass_is_parted_at_its_neck():
    # Two squares of 30 m joined by a neck 0.6 m wide and 4 m long, narrower than a metre: the
    # band across both has two pieces and no ground is lost.
    hourglass = shapely.union_all([box(0, 0, 30, 30), box(30, 14.7, 34, 15.3), box(34, 0, 64, 30)])
    wide = TENS.replace("10.0", "30.0")
    layout = layout_of(hourglass, wide)
    assert layout.ground.bands == 1
    assert layout.ground.piece.tolist() == [1, 2]
    assert [given.what for given in layout.gave_way] == [
        "Bands are parted at 1 neck too narrow for the machine."
    ]


def two_blocks(north="", rest=""):
    return f"""
[[block]]
name = "north"
part = {{ side = "north", width = 40.0 }}
pattern = "tens"
{north}
[[block]]
name = "south"
rest = true
pattern = "tens"
{rest}
"""


def test_two_blocks_with_rows_of_their_own():
    # North 200 x 40 m, rows east: 4 bands of 2,000 m2. South 200 x 60 m, rows north: 20 of 600 m2.
    own = 'guide = { near_edge = "west" }'
    layout = layout_of(RECTANGLE, TENS, two_blocks(rest=own))
    assert areas(layout, block=0) == pytest.approx(np.full(4, 2000.0), rel=1e-5)
    assert areas(layout, block=1) == pytest.approx(np.full(20, 600.0), rel=1e-5)
    assert layout.ground.bands == 24


def test_no_headland_lies_between_two_blocks_unless_one_has_its_own():
    # Rows north in both: the plan's headland lies at the outer edges, 2 x 12 x 200 m2. One of the
    # south block's own lies at its north edge too: 12 x 200 m2 more.
    north, own = 'near_edge = "west"', 'headland = { where = "ends", width = 12.0 }'
    shared = layout_of(RECTANGLE, TENS, two_blocks(), ENDS, guide=north)
    with_own = layout_of(RECTANGLE, TENS, two_blocks(rest=own), ENDS, guide=north)
    assert area_of(shared, kind="headland") == pytest.approx(4800.0, rel=1e-6)
    assert area_of(with_own, kind="headland") == pytest.approx(7200.0, rel=1e-6)


def test_land_in_no_block_is_left_over_with_a_reason():
    # One block of 80 m along the west side: 120 x 100 m2 are left
    part = '[[block]]\nname = "west"\npart = { side = "west", width = 80.0 }\npattern = "tens"'
    layout = layout_of(RECTANGLE, TENS, part)
    assert area_of(layout, kind="left over", reason="in no block") == pytest.approx(12_000.0)
    assert areas(layout, kind="band") == pytest.approx(np.full(10, 800.0), rel=1e-5)


def drawn_blocks(*names):
    return "".join(
        f'[[block]]\nname = "{name}"\nland = "{name}.geojson"\npattern = "tens"\n' for name in names
    )


def test_a_block_is_the_part_of_its_outline_that_lies_in_the_field():
    outline = box(-150, -60, 0, 60)  # in the field's frame; the field reaches from -100 to 100
    plan = plan_of(TENS, drawn_blocks("half"))
    layout = laid(field_of(RECTANGLE), plan, drawn=Drawn(lands={"half": outline}))
    assert area_of(layout, block=0) == pytest.approx(10_000.0, rel=1e-6)
    assert faults_of_ground(layout) == []


@pytest.mark.parametrize(
    ("names", "lands", "match"),
    [
        pytest.param(["a"], {}, "was not read", id="outline not read"),
        pytest.param(["a"], {"a": box(500, 0, 600, 9)}, "no land in the field", id="elsewhere"),
        pytest.param(
            ["a", "b"],
            {"a": box(-100, -50, 10, 50), "b": box(0, -50, 100, 50)},
            r"share 1000\.0 m2",
            id="two blocks share 10 m x 100 m",
        ),
    ],
)
def test_blocks_that_cannot_be_are_refused(names, lands, match):
    plan = plan_of(TENS, drawn_blocks(*names))
    with pytest.raises(LayoutError, match=match):
        laid(field_of(RECTANGLE), plan, drawn=Drawn(lands=lands))


def test_land_in_two_parts_is_one_block():
    two = MultiPolygon([box(0, 0, 80, 30), box(120, 0, 200, 30)])
    layout = layout_of(two, TENS)
    assert layout.ground.bands == 3
    assert areas(layout, kind="band") == pytest.approx(np.full(6, 800.0), rel=1e-5)
    assert layout.ground.piece.tolist() == [1, 2] * 3


def test_columns_cannot_be_written():
    ground = layout_of(RECTANGLE, STRIPS).ground
    for name in ("geometry", "kind", "cut", "number", "stand"):
        assert not getattr(ground, name).flags.writeable, name
