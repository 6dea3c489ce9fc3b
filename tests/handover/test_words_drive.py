"""Driving in words and as columns, on the sample plans and a field on paper."""

import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from sample_layouts import STRIPS, paper_layout, sample_layout

from geolayout.appraisal.driving.patterns import Rule
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.driving.traffic import Traffic
from geolayout.handover.files.drivecolumns import drive_columns, drive_dicts, wheel_dict
from geolayout.handover.tables import passes_table
from geolayout.handover.words.drive import (
    drive_lines,
    order_words,
    rule_words,
    short_drive,
    traffic_line,
)
from geolayout.plan.units import IMPERIAL, METRIC


@pytest.fixture(scope="module")
def hive():
    return sample_layout("hive_ground")


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (None, "by a list of lines"),
        (Rule("up and back", 1), "up and back, the neighbouring pass every time"),
        (Rule("runs", 2), "every second pass out, the others back"),
        (Rule("runs", 3), "every third pass, in 3 runs out and back in turn"),
        (Rule("lands", 3), "in lands of 6, 3 passes on and 2 back in turn"),
        (
            Rule("out and home", 3),
            "every third pass out, home over the others, 3 back and 4 on in turn",
        ),
        (Rule("runs", 8), "every 8th pass, in 8 runs out and back in turn"),
    ],
)
def test_rules_in_words(rule, words):
    assert rule_words(rule) == words


def test_every_operation_is_told_with_hours_order_and_lines(hive):
    told = "\n".join(drive_lines(driving_of(hive), hive))
    for one in driving_of(hive):
        assert f"{one.operation} ({one.machine.name}, " in told
        assert order_words(one) in told
    assert "published for a grain drill: 55 to 80 %" in told
    assert "Begin on pass" in told
    assert "no road, rain, breakdown or pause" in told


def in_order(layout, order):
    """Return a layout whose operations are driven in an order of passes."""
    plan = layout.plan
    operations = tuple(one.model_copy(update={"order": order}) for one in plan.operations)
    return replace(layout, plan=plan.model_copy(update={"operations": operations}))


def test_a_rule_says_what_a_list_would_drive_and_a_list_what_the_rule():
    close = sample_layout("church_close")
    pairs = zip(driving_of(close), driving_of(in_order(close, "shortest")), strict=True)
    ruled, listed = next(pair for pair in pairs if pair[1].orders[0].rule is None)
    by_list = f'{METRIC.distance.said(listed.driven.empty)} (order = "shortest")'
    by_rule = f'{METRIC.distance.said(ruled.driven.empty)} (order = "rule")'
    assert f"By a list of lines: {by_list}" in drive_lines([ruled], close)[0]
    assert by_rule in drive_lines([listed], close)[0]
    assert listed.driven.empty < ruled.driven.empty


def test_no_operation_is_driven_by_a_list_that_nobody_asked_for():
    orders = [order for one in driving_of(sample_layout("church_close")) for order in one.orders]
    assert orders
    assert all(order.rule is not None for order in orders)


def test_nothing_driven_says_nothing(hive):
    assert drive_lines([], hive) == []
    assert short_drive([]) == []


def test_a_farm_in_acres_is_told_in_acres(hive):
    told = "\n".join(drive_lines(driving_of(hive), hive, IMPERIAL))
    assert f"{IMPERIAL.ground.word}/h" in told
    assert "ha/h" not in told
    metric, imperial = short_drive(driving_of(hive)), short_drive(driving_of(hive), IMPERIAL)
    # an acre is 0.4047 ha, so there are more of them
    assert float(imperial[0][3].split()[0]) > 2.0 * float(metric[0][3].split()[0])


def test_turns_too_deep_are_told(hive):
    one = driving_of(hive)[0]
    order = one.orders[0]
    fits = order.fits.copy()
    fits[3] = False
    told = drive_lines([replace(one, orders=(replace(order, fits=fits),))], hive)
    assert any("does not hold 1 turn of this order" in line for line in told)


def test_wheels_in_words():
    found = Traffic(10_000.0, 800.0, (("spray", 500.0), ("drill", 600.0)), ("roller",))
    (line,) = traffic_line(found)
    assert "8.0 % of the crop land" in line
    assert "(spray 5.0 %, drill 6.0 %)" in line
    assert line.endswith("Not said: roller.")
    assert traffic_line(None) == []


def test_columns_give_every_piece_its_place(hive):
    columns = drive_columns(hive)
    for i in range(len(hive.plan.operations)):
        mine = hive.passes.operation == i
        order = np.sort(columns["drive_order"][mine])
        assert order.tolist() == list(range(1, int(mine.sum()) + 1))
    assert set(columns["driven"]) == {"forward", "backward"}
    first = columns["drive_order"] == 1
    assert set(columns["turn_before"][first]) == {""}
    assert "" not in set(columns["turn_before"][~first])


def test_neighbours_in_the_order_end_and_begin_near_each_other(hive):
    table = passes_table(hive)
    drill = table[table["operation"] == "drill"].sort_values("drive_order")
    ends = [np.array(line.coords) for line in drill.geometry]
    ways = zip(ends, drill["driven"], strict=True)
    driven = [xy[::-1] if way == "backward" else xy for xy, way in ways]
    gaps = [np.hypot(*(b[0] - a[-1])) for a, b in pairwise(driven)]
    turns = drill["turn_before_m"].to_numpy()[1:]
    # no turn is shorter than the straight way
    assert (np.array(gaps) <= turns + 0.05).all()


def test_figures_are_fit_for_json_and_agree_with_the_words(hive):
    dicts = json.loads(json.dumps(drive_dicts(hive), allow_nan=False))
    assert [one["operation"] for one in dicts] == [one.operation for one in driving_of(hive)]
    for told, one in zip(dicts, driving_of(hive), strict=True):
        assert told["order"] == order_words(one)
        assert sum(len(block["passes"]) for block in told["blocks"]) == sum(map(len, one.orders))
        least, usual, most = told["hours"]
        assert least <= usual <= most
    assert wheel_dict(hive)["under_wheels_percent"] == pytest.approx(3.3, abs=0.1)
    assert wheel_dict(paper_layout(STRIPS)) is None


def test_loads_are_told_by_pass_and_metre():
    text = STRIPS.replace("working_width = 6.0", "working_width = 6.0\nhopper = 30.0", 1)
    layout = paper_layout(text)
    operation = layout.plan.operations[0].name
    plan = layout.plan.model_copy(
        update={
            "operations": (
                layout.plan.operations[0].model_copy(update={"kg_per_ha": 150.0}),
                *layout.plan.operations[1:],
            )
        }
    )
    layout = replace(layout, plan=plan)
    one = next(one for one in driving_of(layout) if one.operation == operation)
    told = "\n".join(drive_lines([one], layout))
    assert "A load of 30.0 kg at 150.0 kg/ha: it ends on pass" in told
    assert "to fill or tip, way not known." in told
