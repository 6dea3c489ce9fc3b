"""Hours by hand, and what is driven over a block as combs of passes."""

import numpy as np
import pytest
from shapely import box
from strategies import ALLEYS, STRIPS, plan_of

from geolayout.appraisal.direction.combs import even_comb
from geolayout.appraisal.direction.hours import Driven, hours_of, summed
from geolayout.appraisal.direction.look import look_at, steep_shares, weighed
from geolayout.appraisal.direction.site import site_of
from geolayout.appraisal.direction.tasks import Task, tasks_of
from geolayout.errors import LayoutError, PlanError
from geolayout.plan.machines import Machine
from geolayout.plan.weigh import Weigh

FIELD = box(0.0, 0.0, 400.0, 96.0)

MACHINES = """
[[machine]]
name = "drill"
working_width = 3.0
turning_radius = 6.5
speed = 9.0
[[machine]]
name = "sprayer"
working_width = 24.0
turning_radius = 7.0
speed = 10.0
[[operation]]
name = "drill beans"
machine = "drill"
stands = ["beans"]
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""


def tasks(*parts, across=200.0):
    plan = plan_of(*parts, guide='choose = "fewest hours"')
    return {task.operation: task for task in tasks_of(plan, plan.pattern(), across)}


def test_hours_are_work_turns_and_headland():
    # 9 km at 9 km/h is 1 h. 30 turns of 40 m are 1.2 km: at 5 km/h 0.24 h. A headland of 2,700 m2,
    # 3 m wide, is 900 m: 0.1 h.
    task = Task("drill", Machine(name="drill", working_width=3.0, speed=9.0), even_comb(3.0), 1.0)
    hours = hours_of(task, Driven(9000.0, 30.0, 1200.0, 2700.0))
    assert (hours.working, hours.turning, hours.headland) == pytest.approx((1.0, 0.24, 0.1))
    assert hours.usual == pytest.approx(1.34)
    # a tenth faster and turns at 7 km/h; a tenth slower and turns at 4 km/h
    assert hours.least == pytest.approx(1.1 / 1.1 + 1.2 / 7.0)
    assert hours.most == pytest.approx(1.1 / 0.9 + 1.2 / 4.0)
    assert hours.efficiency == pytest.approx(1.1 / 1.34)


def test_a_machine_without_a_speed_has_the_range_of_a_grain_drill():
    # 8.8 km: ASABE D497.7, table 3, grain drill, 6.5 to 11 km/h, typical 8 (from memory)
    task = Task("drill", Machine(name="drill", working_width=3.0), even_comb(3.0), 1.0)
    hours = hours_of(task, Driven(8800.0, 0.0, 0.0, 0.0))
    assert (hours.least, hours.usual) == pytest.approx((0.8, 1.1))
    assert hours.most == pytest.approx(8.8 / 6.5)


def test_hours_of_several_operations_add_up():
    task = Task("drill", Machine(name="drill", working_width=3.0, speed=9.0), even_comb(3.0), 1.0)
    one = hours_of(task, Driven(9000.0, 1.0, 100.0, 0.0))
    both = summed([one, one])
    assert (both.least, both.usual, both.most) == (2 * one.least, 2 * one.usual, 2 * one.most)


@pytest.mark.parametrize(
    ("radius", "turn", "length"),
    [
        # yard arithmetic: radius 6.5 m, passes of 3 m: an omega of 6.5 (pi + 4 acos(8 / 13))
        pytest.param(6.5, "omega", 6.5 * (np.pi + 4 * np.arccos(8.0 / 13.0)), id="an omega"),
        pytest.param(1.0, "U", np.pi + 1.0, id="a U and a straight of 1 m"),
        pytest.param(None, "U", 1.5 * np.pi, id="no radius: straight into the next pass"),
    ],
)
def test_turns_are_named_and_measured(radius, turn, length):
    machine = Machine(name="drill", working_width=3.0, turning_radius=radius)
    task = Task("drill", machine, even_comb(3.0), 1.0)
    assert (task.turn, task.turn_length) == (turn, pytest.approx(length))


def test_bands_make_combs_of_their_passes():
    # Beans on the second 6 m of every 12 m: passes of 3 m at 7.5 and 10.5 m, on half the ground.
    found = tasks(STRIPS, MACHINES)
    assert found["drill beans"].comb.offsets == pytest.approx((7.5, 10.5))
    assert found["drill beans"].comb.period == 12.0
    assert found["drill beans"].share == pytest.approx(0.5)
    assert (found["spray"].comb, found["spray"].share) == (even_comb(24.0), pytest.approx(1.0))


def test_passes_stop_at_tree_bands():
    # Alleys of 24 m and tree bands of 3 m: the boom drives once in every 27 m, in the middle.
    found = tasks(ALLEYS, MACHINES)
    assert found["spray"].comb.offsets == pytest.approx((12.0,))
    assert found["spray"].comb.period == 27.0
    assert found["spray"].share == pytest.approx(24.0 / 27.0)


def test_bands_that_do_not_repeat_are_taken_by_their_share_of_the_width():
    belt = """
    [[pattern]]
    name = "belt"
    bands = [
      { name = "A", width = 50.0, stand = "beans" },
      { name = "B", width = "rest", stand = "maize" },
    ]
    """
    found = tasks(belt, MACHINES)
    assert found["drill beans"].share == pytest.approx(0.25)
    # 17 passes over 50 of 200 m, of some 67 that would cover it
    assert found["drill beans"].part == pytest.approx(17 * 3.0 / 200.0)


def test_without_operations_there_are_no_hours():
    with pytest.raises(PlanError, match="No operation of the plan works here"):
        tasks(STRIPS)


def test_a_headland_that_takes_all_leaves_nothing_to_compare():
    ends = '[headland]\nwhere = "all round"\nwidth = 60.0\n'
    plan = plan_of(STRIPS, MACHINES, ends, guide='choose = "fewest hours"')
    with pytest.raises(LayoutError, match="takes 60 m"):
        site_of(plan, None, (FIELD, FIELD), None)


def test_a_headland_all_round_hangs_on_no_bearing():
    # 12 m round 400 x 96 m: 38,400 less 376 x 72 = 27,072 leaves 11,328 m2.
    ring = '[headland]\nwhere = "all round"\nwidth = 12.0\n'
    plan = plan_of(STRIPS, MACHINES, ring, guide='choose = "fewest hours"')
    look = look_at(site_of(plan, None, (FIELD, FIELD), None), np.array([0.0, 33.0, 90.0]))
    assert look.headland == pytest.approx([11_328.0] * 3)


def test_a_whole_field_by_hand():
    # Rows north: 400 m across, 34 repeats of 12 m (the last 4 m wide: no band B), so beans have 33
    # bands, 66 passes of 96 m less 24 m of headland. Both machines turn between their pieces.
    ends = '[headland]\nwhere = "ends"\nwidth = 12.0\n'
    plan = plan_of(STRIPS, MACHINES, ends, guide='choose = "fewest hours"')
    site = site_of(plan, None, (FIELD, FIELD), None)
    look = look_at(site, np.array([0.0]))
    beans, spray = 66, 17  # 400 / 24 = 16.7
    assert look.passes[0] == look.pieces[0] == beans + spray
    assert look.turns[0] == beans - 1 + spray - 1
    assert look.headland[0] == pytest.approx(2 * 400.0 * 12.0)
    drill, boom = (task for task in site.tasks)
    work = beans * 72.0 / 9000.0 + spray * 72.0 / 10_000.0
    turns = ((beans - 1) * drill.turn_length + (spray - 1) * boom.turn_length) / 5000.0
    around = 9600.0 * (0.5 / 3.0 / 9000.0 + 1.0 / 24.0 / 10_000.0)
    assert look.hours.usual[0] == pytest.approx(work + turns + around)
    assert look.cost[0] == look.hours.usual[0]


def test_what_is_weighed_is_added_in_hours():
    # 3 short pieces at 0.1 h, 2 ha of headland at 0.5 h, 1 ha worked twice at 0.25 h, 4 ha steep
    # at 1 h: 0.3 + 1 + 0.25 + 4 h.
    weigh = Weigh(short_piece=0.1, headland=0.5, double_worked=0.25, steep=1.0)
    figures = (np.array([3.0]), np.array([2e4]), np.array([1e4]))
    assert weighed(weigh, figures, np.array([4e4]))[0] == pytest.approx(5.55)
    assert weighed(Weigh(), figures, np.array([4e4]))[0] == 0.0


def test_weights_change_the_cost_and_not_the_hours():
    guide = 'choose = "fewest hours"\nweigh = { short_piece = 0.1 }'
    plans = [plan_of(STRIPS, MACHINES, guide=one) for one in (guide, 'choose = "fewest hours"')]
    looks = [look_at(site_of(plan, None, (FIELD, FIELD), None), np.array([45.0])) for plan in plans]
    assert looks[0].hours.usual[0] == looks[1].hours.usual[0]
    assert looks[0].cost[0] == pytest.approx(looks[1].cost[0] + 0.1 * looks[0].short[0])
    assert looks[0].short[0] > 0


def test_rows_across_a_slope_keep_within_the_limit():
    # An 8 % plane, limit 2 % (Code 330): within asin(2 / 8) = 14.5 degrees of the contour
    # (practice.md, allowed row bearing on a plane).
    plane = np.array([[0.0, 0.08]])
    bearings = np.array([90.0, 76.0, 75.0, 0.0])
    assert steep_shares(plane, bearings).tolist() == [0.0, 0.0, 1.0, 1.0]
