"""Ways laid out and measured: hand counts, order, curves, contour, crop shares, the choice."""

import numpy as np
import pytest
from shapely import Polygon, box
from strategies import ALLEYS, STRIPS, field_of, plan_of

from geolayout.appraisal.direction.choose import settle_choices
from geolayout.appraisal.direction.options import compare
from geolayout.appraisal.direction.words import fold
from geolayout.errors import GeolayoutError, PlanError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.resolve import resolve_guides

FIELD = field_of(box(0.0, 0.0, 400.0, 96.0))
ENDS = '[headland]\nwhere = "ends"\nwidth = 12.0\n'
MACHINES = """
[[machine]]
name = "drill"
working_width = 6.0
turning_radius = 6.5
speed = 9.0
[[operation]]
name = "drill"
machine = "drill"
"""
FEWEST = 'choose = "fewest hours"'


def compared(*parts, field=FIELD, guide=FEWEST, bent=True):
    plan = plan_of(STRIPS, MACHINES, *parts, guide=guide)
    return compare(plan, None, field, Drawn(), bent=bent)


def test_the_best_way_over_a_long_field_is_measured_by_hand():
    # Rows east: 96 m are 16 bands of 6 m, a pass each, of 400 less 24 m.
    best = compared(ENDS).options[0]
    assert (best.kind, best.bearing) == ("straight", pytest.approx(90.0, abs=1e-3))
    assert best.found.passes == {"drill": 16}
    assert best.found.turns == {"omega": 15}
    assert (best.found.short, best.found.point) == (0, 0)
    assert best.found.headland == pytest.approx(2 * 96.0 * 12.0)
    assert best.found.double == pytest.approx(0.0, abs=1.0)
    assert best.found.work == pytest.approx(400.0 * 96.0)
    (drill,) = compared(ENDS).site.tasks
    hours = 16 * 376.0 / 9000.0 + 15 * drill.turn_length / 5000.0 + 2304.0 / 6.0 / 9000.0
    assert best.found.hours.usual == pytest.approx(hours, rel=1e-6)
    assert best.cost == best.found.hours.usual


def test_what_is_laid_out_agrees_with_the_quick_look():
    found = compared(ENDS)
    for option in found.options:
        if option.bearing is not None:
            place = int(np.argmin(np.abs(found.look.bearings - option.bearing)))
            assert option.cost == pytest.approx(found.look.cost[place], rel=0.05)


def test_ways_are_in_order_and_straight_ones_apart():
    found = compared(ENDS)
    rates = [option.rate for option in found.options]
    assert rates == sorted(rates)
    bearings = np.array([one.bearing for one in found.options if one.bearing is not None])
    apart = np.abs((bearings[:, None] - bearings + 90.0) % 180.0 - 90.0)
    assert (apart[~np.eye(len(bearings), dtype=bool)] >= 5.0).all()


def test_the_plans_own_lines_are_compared_too():
    found = compared(ENDS, guide='bearing = 0.0\nfrom = "west"')
    assert found.written is not None
    assert found.written.bearing == pytest.approx(0.0, abs=0.01)
    assert found.written.found.passes == {"drill": 67}  # 400 / 6 = 66.7
    assert found.written.rate > found.options[0].rate


def test_the_plans_own_lines_stay_where_nothing_is_gained():
    found = compared(ENDS, guide='near_edge = "south"')
    assert found.options[0] is found.written


def test_a_wish_has_no_lines_of_its_own():
    assert compared(ENDS).written is None


def test_a_bent_edge_is_a_way_of_its_own_and_a_corner_is_none():
    # The south edge bends by 20 degrees in its middle; the corners of the field turn by more.
    bent = Polygon([(0, 0), (200, 0), (400, 70), (400, 300), (0, 300)])
    found = compared(ENDS, field=field_of(bent))
    assert [option.side for option in found.options if option.kind == "along"] == ["south"]
    assert all(option.kind == "straight" for option in compared(ENDS).options)


def test_rows_along_the_hedge_that_a_choice_all_but_follows_are_told():
    # The best rows turn by 0.1 degrees from the north hedge, for some of a minute.
    field = field_of(Polygon([(0, 0), (399, 0), (509, 4), (509, 89), (23, 89)]))
    found = compared(ENDS, field=field, bent=False)
    assert len(found.edges) == len(found.options)
    best, edge = found.options[0], found.edges[0]
    assert edge is not None
    assert 0.05 < abs(best.bearing - 90.0) < 0.2
    assert edge.bearing == pytest.approx(90.0, abs=0.01)
    assert best.rate < edge.rate < 1.01 * best.rate


def test_rows_along_a_hedge_have_no_others_beside_them():
    found = compared(ENDS)
    assert found.edges[0] is None


def test_crop_shares_are_told_as_wanted_and_as_got():
    # Rows east: 8 bands of maize and 8 of beans; of 42 m across 4 and 3.
    shares = {share.stand: share for share in compared(ENDS).options[0].shares}
    assert shares["maize"].wanted == 0.5
    assert shares["maize"].got == pytest.approx(0.5, abs=1e-4)
    narrow = compared(ENDS, field=field_of(box(0.0, 0.0, 400.0, 42.0))).options[0]
    assert {share.stand: share.got for share in narrow.shares} == pytest.approx(
        {"maize": 4 / 7, "beans": 3 / 7}, abs=1e-4
    )


def test_nothing_that_can_be_laid_is_a_refusal():
    deep = '[headland]\nwhere = "ends"\nwidth = 60.0\n'
    with pytest.raises(GeolayoutError):
        compared(deep, field=field_of(box(0.0, 0.0, 100.0, 100.0)))


def test_a_choice_becomes_a_resolved_guide_that_says_so():
    plan = plan_of(STRIPS, MACHINES, ENDS, guide=FEWEST)
    settled = settle_choices(plan, FIELD, Drawn())
    assert settled.guide is not None
    assert settled.guide.resolved
    assert settled.guide.bearing == pytest.approx(90.0, abs=0.01)
    assert settled.guide.origin is not None
    assert settled.guide.origin.choose == "fewest hours"
    assert resolve_guides(settled, FIELD, Drawn()) == settled


@pytest.mark.parametrize("side", ["north", "south"])
def test_a_choice_counts_from_the_side_that_was_said(side):
    plan = plan_of(STRIPS, MACHINES, ENDS, guide=f'{FEWEST}\nfrom = "{side}"')
    guide = settle_choices(plan, FIELD, Drawn()).guide
    assert guide is not None
    assert guide.from_ == side
    assert (guide.anchor[1] > FIELD.frame.lat) == (side == "north")


def test_a_side_that_is_said_leaves_out_rows_that_end_on_it():
    # Rows east are best, and end on the west.
    plan = plan_of(STRIPS, MACHINES, ENDS, guide=f'{FEWEST}\nfrom = "west"')
    guide = settle_choices(plan, FIELD, Drawn()).guide
    assert guide is not None
    assert guide.bearing is not None
    assert min(guide.bearing % 180.0, 180.0 - guide.bearing % 180.0) <= 60.0 + 1e-6


def test_every_block_chooses_for_itself():
    # 40 m in the west of a field of 400 x 96 m: rows from north to south are the longest there.
    blocks = """
    [[block]]
    name = "west"
    pattern = "strips"
    part = { side = "west", width = 40.0 }
    guide = { choose = "fewest hours" }
    [[block]]
    name = "rest"
    pattern = "strips"
    rest = true
    guide = { choose = "fewest hours" }
    """
    plan = plan_of(STRIPS, MACHINES, blocks, guide="bearing = 45.0")
    settled = settle_choices(plan, FIELD, Drawn())
    west, rest = (block.guide for block in settled.blocks)
    assert fold(west.bearing, 0.0) == pytest.approx(0.0, abs=0.1)
    assert fold(rest.bearing, 90.0) == pytest.approx(0.0, abs=0.1)
    assert [block.land for block in settled.blocks] == [None, None]


def test_other_guides_stay_as_they_are():
    plan = plan_of(STRIPS, MACHINES, guide='near_edge = "south"')
    assert settle_choices(plan, FIELD, Drawn()) is plan


def test_a_choice_without_machines_is_refused():
    plan = plan_of(STRIPS, guide=FEWEST)
    with pytest.raises(PlanError, match="No operation"):
        settle_choices(plan, FIELD, Drawn())


def test_tree_rows_can_be_chosen_for():
    plan = plan_of(ALLEYS, MACHINES, ENDS, guide=FEWEST)
    best = compare(plan, None, FIELD, Drawn(), bent=False).options[0]
    assert best.bearing == pytest.approx(90.0, abs=0.2)
    assert len(best.layout.trees) > 100


def test_a_block_in_tiers_is_compared_with_tiers_along_each_way():
    # Rows east: 16 passes in each of two tiers, with a gap for turning between them.
    tiers = """
    [[block]]
    name = "all"
    pattern = "strips"
    rest = true
    tiers = { count = 2, gap = 20.0, places = [ [ 0.0, 30.0 ], [ 50.0, 80.0 ] ] }
    """
    plan = plan_of(STRIPS, MACHINES, tiers, guide=FEWEST)
    best = compare(plan, plan.blocks[0], FIELD, Drawn()).options[0]
    assert best.found.passes == {"drill": 32}
    assert best.found.turns == {"omega": 30}
