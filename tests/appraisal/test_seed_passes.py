"""Seed on the machine: rows shut off, grams to catch, passes from one fill. Sums on 60 x 120 m."""

import pytest
import shapely
from appraisal_layouts import close, layout_of, one_stand, worked_by

from geolayout.appraisal.seed.passes import OpenRows, rows_of_machine, sown_by
from geolayout.plan.machines import Machine

KNOWN = "seed = { tgw = 300.0, establishment = 90.0 }"
MAIZE = f'{{ crop = "maize", spacing = 0.75, rate = {{ plants_per_ha = 80000 }}, {KNOWN}'
WORK = ', operation = "work" }'


def sown(*parts, **place):
    return sown_by(layout_of(*parts, **place))


def only(*parts, **place):
    (one,) = sown(*parts, **place)
    return one


def machine(keys, over="band"):
    return worked_by("machine", f"far_side_access = true\n{keys}", over)


def test_a_planter_as_wide_as_its_band():
    # 80,000 / 0.9 x 0.3 g = 26.667 kg/ha; 1/100 ha: 266.7 g over 100 / 6 = 16.667 m, 7.936 turns of
    # 2.1 m; a pass of 6 x 120 m takes 1.92 kg, and 100 kg last 52 of them.
    one = only(
        one_stand(MAIZE + WORK, "6.0"),
        machine("working_width = 6.0\nrows = 8\nhopper = 100.0\nwheel_circumference = 2.1"),
    )
    assert one.rows == (OpenRows(8, 0, 10),)
    assert one.kg_per_ha.low == one.kg_per_ha.high == close(26.6667)
    assert (one.sown_width_m, one.distance_m, one.turns) == close((6.0, 16.66667, 7.936508))
    assert one.grams.low == close(266.667)
    assert one.machine_rate == one.kg_per_ha
    assert (one.kg_per_pass.low, one.passes_per_fill) == (close(1.92), (52, 52))
    assert one.missing == ()


def test_rows_that_a_narrow_band_has_no_room_for_are_shut():
    # 6 rows of 8 on 4.5 m: 4.5 m of ground a pass, 22.22 m for 1/100 ha; over the planter's 6 m
    # the same seed is 4.5 / 6 of the rate.
    one = only(
        one_stand(MAIZE + WORK, "4.5"),
        machine("working_width = 6.0\nrows = 8\nrow_spacing = 0.75"),
        land=shapely.box(0, 0, 45, 120),
    )
    assert one.rows == (OpenRows(6, 2, 10),)
    assert (one.sown_width_m, one.distance_m) == close((4.5, 22.2222))
    assert one.grams.low == close(266.667)
    assert one.machine_rate.low == close(20.0)


def test_every_second_coulter_is_shut_and_the_last_pass_has_fewer_open():
    # 0.25 m on a drill of 3 m at 0.125 m: 12 of 24. On 7.5 m the third pass has 1.5 m left: 6 rows.
    beans = '{ crop = "field beans", spacing = 0.25, rate = { kg_per_ha = 200 }' + WORK
    one = only(one_stand(beans, "7.5"), machine("working_width = 3.0\nrow_spacing = 0.125"))
    assert one.rows == (OpenRows(12, 12, 16), OpenRows(6, 18, 8))
    assert one.machine_rows == 24
    assert one.kg_per_ha.low == close(200.0)


def test_rows_of_another_crop_of_the_same_operation_are_not_shut():
    # rape at 0.5 m and clover between: 6 + 6 of 24 rows
    stand = (
        '{ crop = "rape", spacing = 0.5, rate = { kg_per_ha = 4 }, operation = "work" }, '
        '{ crop = "berseem clover", at = [ 0.5, 1.0, 1.5, 2.0, 2.5 ], '
        'rate = { kg_per_ha = 6 }, operation = "work" }'
    )
    rape, clover = sown(
        one_stand(stand, "3.0"), machine("working_width = 3.0\nrow_spacing = 0.125\nhopper = 50.0")
    )
    assert rape.rows == (OpenRows(6, 13, 20),)
    assert clover.rows == (OpenRows(5, 13, 20),)
    # 3 x 120 m at 4 + 6 kg/ha, both from one hopper: 0.36 kg, 138 passes
    assert rape.kg_per_pass == clover.kg_per_pass
    assert (rape.kg_per_pass.low, rape.passes_per_fill) == (close(0.36), (138, 138))


def test_what_is_sown_both_ways_has_half_the_rate_each_time():
    grass = '{ crop = "grass", spacing = 0.125, rate = { kg_per_ha = 25 }' + WORK
    one = only(
        one_stand(grass),
        machine("working_width = 3.0\nrow_spacing = 0.125", "block") + "\ncrossed = 90.0",
    )
    assert one.kg_per_ha.low == close(12.5)
    assert one.rows == ()


def test_a_broadcast_crop_has_no_rows_to_shut():
    clover = '{ crop = "clover", place = "broadcast", rate = { kg_per_ha = 4 }' + WORK
    one = only(one_stand(clover), machine("working_width = 12.0\nwheel_circumference = 2.0"))
    assert one.rows == ()
    # 100 / 12 = 8.33 m, 4.17 turns, 40 g
    assert (one.grams.low, one.distance_m, one.turns) == close((40.0, 8.33333, 4.166667))


def test_what_the_machine_does_not_say_is_named_and_not_guessed():
    one = only(one_stand(MAIZE + WORK, "6.0"), machine("working_width = 6.0"))
    assert one.missing == ("rows", "hopper", "wheel_circumference")
    assert one.rows == (OpenRows(8, None, 10),)
    assert (one.machine_rows, one.turns, one.passes_per_fill) == (None, None, None)


def test_seed_of_unknown_weight_gives_no_grams():
    quinoa = '{ crop = "quinoa", spacing = 0.25, rate = { seeds_per_m2 = 100 }' + WORK
    one = only(one_stand(quinoa, "3.0"), machine("working_width = 3.0\nrows = 12\nhopper = 90.0"))
    assert (one.kg_per_ha, one.grams, one.kg_per_pass, one.passes_per_fill) == (None,) * 4
    assert one.missing == ("thousand grain weight", "wheel_circumference")


def test_a_range_of_seed_is_a_range_of_passes():
    wheat = '{ crop = "wheat", spacing = 0.125, rate = { seeds_per_m2 = 200 }' + WORK
    one = only(one_stand(wheat, "3.0"), machine("working_width = 3.0\nrows = 24\nhopper = 100.0"))
    # 62 to 100 kg/ha on 0.036 ha: 2.232 to 3.6 kg
    assert (one.kg_per_pass.low, one.kg_per_pass.high) == close((2.232, 3.6))
    assert one.passes_per_fill == (27, 44)


@pytest.mark.parametrize(
    ("keys", "rows"),
    [
        ({"rows": 8}, 8),
        ({"rows": 8, "row_spacing": 0.7}, 8),
        ({"row_spacing": 0.125}, 48),
        ({}, None),
    ],
)
def test_rows_of_a_machine(keys, rows):
    assert rows_of_machine(Machine(name="it", working_width=6.0, **keys)) == rows


def test_a_sowing_that_no_operation_sows_has_no_machine():
    assert sown(one_stand(MAIZE + " }", "6.0")) == ()
