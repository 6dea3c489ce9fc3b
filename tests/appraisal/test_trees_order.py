"""What to order, on paper: two rows of 24 trees, 5 m apart, on 60 m by 120 m. All invented."""

import pytest
import shapely
from appraisal_layouts import GRASS, layout_of
from planted_layouts import planted

from geolayout.appraisal.trees.order import ripped_lines, tree_order


def test_spares_are_rounded_up_for_each_species():
    # row 1 oak, row 2 lime: 24 each, 10 % = 2.4, so 3 spare: 27 of each
    order = tree_order(planted("spares_percent = 10", keys='species = ["oak", "lime"]'))
    assert [(one.species, one.trees, one.spares, one.order) for one in order.species] == [
        ("lime", 24, 3, 27),
        ("oak", 24, 3, 27),
    ]


def test_a_share_that_comes_out_even_is_not_rounded_up():
    # 25 % of 48 = 12
    (one,) = tree_order(planted("spares_percent = 25")).species
    assert (one.trees, one.spares, one.order) == (48, 12, 60)


def test_what_each_tree_gets_times_the_trees():
    # 48 trees: 48 guards, 96 stakes, 48 x 40 l = 1.92 m3, 48 x 20 l = 0.96 m3, six times 5.76 m3
    order = tree_order(
        planted(
            "guards_per_tree = 1\nstakes_per_tree = 2\nmulch_per_tree = 40\n"
            "water_per_tree = 20\nwaterings = 6"
        )
    )
    assert (order.guards, order.stakes) == (48, 96)
    assert (order.mulch_m3, order.water_m3) == pytest.approx((1.92, 0.96))
    assert order.water_in_all_m3 == pytest.approx(5.76)


def test_hose_from_the_middle_of_the_field():
    # Rows 20 and 42 m from the west, the middle at 30; trees up to 57.5 m north and south of it:
    # the farthest sqrt(12^2 + 57.5^2) = 58.74 m
    order = tree_order(planted("water_from = [10.0, 0.0]"))
    assert order.hose_m == pytest.approx(58.74, abs=0.01)


@pytest.mark.parametrize(
    ("planting", "length"),
    [
        # two bands of 4 m by 120 m: 2 x 2 x (4 + 120) = 496 m
        pytest.param('fence = "bands"', 496.0, id="round the bands"),
        pytest.param('fence = "bands"\nfence_opening = 8', 488.0, id="less two gates of 4 m"),
        # 2 x (60 + 120) = 360 m
        pytest.param('fence = "field"', 360.0, id="along the edge of the field"),
    ],
)
def test_fence(planting, length):
    assert tree_order(planted(planting)).fence_m == pytest.approx(length, abs=0.01)


def test_ripping_runs_half_a_step_beyond_the_trees():
    # trees from 2.5 to 117.5 m, 2.5 m more at both ends: 120 m a row
    assert tree_order(planted("rip_depth = 0.5")).ripped_m == pytest.approx(240.0, abs=0.01)


def test_a_gap_in_the_row_is_not_ripped():
    # A gap of 12 m round the middle at 60 m: trees at 2.5 ... 52.5, and 66 + 2.5 ... 117.5 or
    # less: stretches end half a step behind their last tree, before the middle
    layout = planted("rip_depth = 0.5", keys="gaps = [ { at = [10.0, 0.0], width = 12.0 } ]")
    lines = ripped_lines(layout)
    assert len(lines) == 4
    assert not shapely.intersects(lines, shapely.LineString([(-30, 0), (30, 0)])).any()


def test_what_the_plan_does_not_say_is_said():
    order = tree_order(planted())
    assert order.guards is None
    assert order.species[0].spares is None
    assert len(order.missing) == 8
    assert "spares_percent is not in [planting]" in order.missing[0]
    full = tree_order(planted("spares_percent = 10\nguards_per_tree = 0"))
    assert full.guards == 0
    assert len(full.missing) == 6


def test_without_trees_there_is_no_order():
    bare = '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 6.0, stand = "grass" } ]'
    assert tree_order(layout_of(GRASS, bare)) is None
