"""Everything driven in a season, on fields that a reader can do on paper."""

from math import pi

import numpy as np
import pytest
import shapely
from strategies import feature_beside, field_of, laid, plan_of

from geolayout.appraisal.driving import order as order_module
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.driving.turnings import Turn

LAND = shapely.box(0, 0, 96, 240)
"""96 m from west to east, 240 m from south to north; four passes of 24 m. [m]"""

NORTH = 'bearing = 0.0\nfrom = "west"'

WHOLE = """
[headland]
where = "ends"
width = 20.0
[[pattern]]
name = "whole"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
"""

MACHINE = """
[[machine]]
name = "sprayer"
kind = "sprayer"
working_width = 24.0
turning_radius = 6.0
speed = 8.0
{machine}
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
{operation}
"""


def sprayed(machine="", operation="", features=(), land=LAND):
    """Lay out one operation on the land and return how it is driven, and the layout."""
    text = MACHINE.format(machine=machine, operation=operation)
    layout = laid(field_of(land, features), plan_of(WHOLE, text, guide=NORTH))
    (driving,) = driving_of(layout)
    return driving, layout


def at(kind, x, y):
    """Return a point feature of the land."""
    return feature_beside(LAND, kind, shapely.Point(x, y))


def test_up_and_back_on_paper():
    driving, _ = sprayed()
    (order,) = driving.orders
    assert order.rule.kind == "up and back"
    # four passes of 200 m, three half circles of 6 m with 12 m between their quarters
    assert driving.driven.rows == pytest.approx(800.0, rel=1e-3)
    assert driving.driven.turning == pytest.approx(3 * (pi * 6.0 + 12.0), rel=1e-3)
    assert order.turn.tolist() == [Turn.NONE, Turn.U, Turn.U, Turn.U]
    # 0.8 km at 8 km/h, 92.5 m at 5 km/h
    assert driving.hours.total.usual == pytest.approx(0.1 + 0.0185, rel=1e-2)
    # 1.92 ha; full width and speed are 19.2 ha/h
    assert driving.area == pytest.approx(19_200.0, rel=1e-3)
    assert driving.efficiency == pytest.approx(0.1 / 0.1185, rel=1e-2)
    assert driving.capacity.usual == pytest.approx(1.92 / 0.1185, rel=1e-2)
    # the published half to four fifths of 19.2 ha/h
    assert driving.published_capacity.least == pytest.approx(9.6)
    assert driving.published_capacity.most == pytest.approx(15.36)
    assert not driving.gateway


def test_an_operation_that_drives_nothing_is_left_out():
    oats = '[[stand]]\nname = "oats"\nsowing = [ { crop = "oats", rows = 2 } ]\n'
    text = MACHINE.format(machine="", operation='stands = ["oats"]') + oats
    layout = laid(field_of(LAND), plan_of(WHOLE, text, guide=NORTH))
    assert driving_of(layout) == ()


def test_a_machine_begins_and_ends_at_the_gateway():
    driving, layout = sprayed(features=[at("gateway", 0.0, 0.0)])
    (order,) = driving.orders
    first = layout.passes.lines.ends(int(order.piece[0]))[int(order.backward[0])]
    # the pass by the gate, at its south end
    assert first[0] == pytest.approx(12.0 - 48.0, abs=0.1)
    assert first[1] == pytest.approx(20.0 - 120.0, abs=0.1)
    assert driving.gateway
    assert order.turn_length[0] < 20.0
    assert order.way_out > 0.0


def test_one_that_may_finish_at_the_far_side_has_no_way_out():
    driving, _ = sprayed("far_side_access = true", features=[at("gateway", 0.0, 0.0)])
    assert driving.orders[0].way_out == 0.0


def test_the_gateway_that_is_named_is_come_in_by():
    text = MACHINE.format(machine="", operation='gateway = "north gate"')
    lon, lat = 10.0, 52.0
    gate = f'[[feature]]\nkind = "gateway"\nname = "north gate"\nat = [{lon}, {lat}]\n'
    gates = []
    for name, y in (("south gate", 0.0), ("north gate", 240.0)):
        drawn = at("gateway", 96.0, y)
        gates.append(type(drawn)(drawn.kind, name, drawn.geometry, drawn.measured_from))
    layout = laid(field_of(LAND, gates), plan_of(gate, WHOLE, text, guide=NORTH))
    (driving,) = driving_of(layout)
    order = driving.orders[0]
    first = layout.passes.lines.ends(int(order.piece[0]))[int(order.backward[0])]
    assert first[1] == pytest.approx(220.0 - 120.0, abs=0.1)


def test_a_load_ends_where_the_sum_says():
    driving, _ = sprayed("tank = 240.0", "litres_per_ha = 200.0", [at("fill point", 0.0, 0.0)])
    carting = driving.carting
    # 0.48 ha a pass are 96 l; 240 l end half way along the third
    assert [(one.piece, one.along) for one in carting.run_outs] == [
        (2, pytest.approx(100.0, rel=1e-2))
    ]
    assert carting.point == "fill point"
    assert carting.loads == 1
    assert carting.length > 0.0
    assert driving.hours.filling.usual == pytest.approx(10.0 / 60.0)


def test_a_plan_that_says_neither_rate_nor_tank_has_no_loads():
    assert sprayed()[0].carting is None
    assert sprayed("tank = 900.0")[0].carting is None


def test_fuel_is_told_where_the_plan_says_it():
    driving, _ = sprayed("fuel = 2.0")
    # 1.92 ha, 35 % to both sides
    assert driving.fuel.usual == pytest.approx(3.84, rel=1e-3)
    assert driving.fuel.most == pytest.approx(3.84 * 1.35, rel=1e-3)
    assert sprayed()[0].fuel is None


def test_a_pond_makes_pieces_and_every_one_is_driven():
    land = LAND - shapely.box(20, 100, 76, 140)
    driving, layout = sprayed(land=land)
    pieces = np.concatenate([order.piece for order in driving.orders])
    assert sorted(pieces) == list(range(len(layout.passes)))
    assert len(pieces) > 4


def test_the_same_layout_is_driven_the_same_way():
    one, other = (sprayed("", 'order = "shortest"')[0].orders[0] for _ in range(2))
    assert np.array_equal(one.piece, other.piece)
    assert np.array_equal(one.backward, other.backward)


def test_many_pieces_are_driven_part_after_part(monkeypatch):
    monkeypatch.setattr(order_module, "MOST_PIECES", 10)
    wide = shapely.box(0, 0, 24 * 25, 240)
    driving, layout = sprayed(land=wide)
    (order,) = driving.orders
    assert sorted(order.piece) == list(range(25))
    # parts of 8, 8 and 9 passes side by side: none goes back among the passes of the one before
    assert layout.passes.number[order.piece[:8]].max() <= 9
    assert driving.unfit == 0
    assert order.empty_length == pytest.approx(order.turn_length.sum())


@pytest.mark.parametrize("headland", [12.0, 24.0, 36.0])
def test_neighbours_near_a_side_turn_as_all_others_do(headland):
    # near the sides the middle of a wide headland lies round a corner; the land between is clear
    plan = WHOLE.replace("width = 20.0", f"width = {headland}")
    text = MACHINE.format(machine="", operation='order = "up and back"').replace("24.0", "12.0")
    layout = laid(field_of(shapely.box(0, 0, 120, 240)), plan_of(plan, text, guide=NORTH))
    (driving,) = driving_of(layout)
    (order,) = driving.orders
    assert order.turn[1:].tolist() == [Turn.U] * 9
    assert driving.driven.turning == pytest.approx(9 * pi * 6.0, rel=1e-3)
