"""Rounds of a headland in the order of driving: before or after the rows, and what that takes."""

from math import acos, pi

import numpy as np
import pytest
import shapely
from sample_layouts import sample_layout
from strategies import feature_beside, field_of, laid, plan_of

from geolayout.appraisal.driving.hours import TRIP
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.driving.speeds import TURNING, working_speed
from geolayout.appraisal.driving.turnings import Turn
from geolayout.appraisal.driving.turnlines import round_turn_lines
from geolayout.handover.words.drive import drive_lines, in_turn

LAND = shapely.box(0, 0, 96, 240)
"""96 m from west to east, 240 m from south to north. [m]"""

NORTH = 'bearing = 0.0\nfrom = "west"'

PLAN = """
[headland]
where = "{where}"
width = 12.0
stand = "pulse"
worked = "{worked}"
[[stand]]
name = "pulse"
sowing = [ {{ crop = "field beans", spacing = 0.5, operation = "drill" }} ]
[[pattern]]
name = "whole"
bands = [ {{ name = "A", width = "rest", stand = "pulse" }} ]
[[machine]]
name = "drill"
working_width = 6.0
turning_radius = 6.0
speed = 8.0
{machine}
[[operation]]
name = "drill"
machine = "drill"
over = "block"
"""


def drilled(worked="last", where="all round", gate=True, land=LAND, machine=""):
    """Lay out one drill on the land and return how it is driven, and the layout."""
    gates = [feature_beside(LAND, "gateway", shapely.Point(0.0, 0.0))] if gate else []
    text = PLAN.format(worked=worked, where=where, machine=machine)
    layout = laid(field_of(land, gates), plan_of(text, guide=NORTH))
    (driving,) = driving_of(layout)
    return driving, layout


def test_rounds_are_driven_once_each_with_their_corners():
    driving, _ = drilled()
    (rounds,) = driving.rounds
    assert sorted(rounds.piece) == [0, 1]
    # rings 3 and 9 m from the edge: rectangles of 90 x 234 and 78 x 222 m, corners of 6 m
    rings = 2 * (90 + 234) + 2 * (78 + 222) - 2 * (8 * 6 - 2 * pi * 6)
    assert driving.driven.rounds == pytest.approx(rings, abs=0.1)
    assert driving.driven.corners == pytest.approx(2 * 2 * pi * 6, rel=1e-3)


def test_from_ring_to_ring_it_is_an_s():
    driving, _ = drilled()
    (rounds,) = driving.rounds
    assert rounds.turn.tolist() == [Turn.NONE, Turn.OVER]
    # 6 m over at 6 m: two arcs of 60 degrees
    assert rounds.turn_length.tolist() == [0.0, pytest.approx(2 * 6 * acos(0.5), rel=1e-3)]


def test_headland_last_is_driven_after_the_rows_and_out_by_the_gate():
    driving, layout = drilled("last")
    (rounds,), (rows,) = driving.rounds, driving.orders
    assert (rounds.worked, rounds.after) == ("last", 1)
    assert layout.rounds.number[rounds.piece].tolist() == [2, 1]
    assert rows.way_out == 0.0
    assert in_turn(driving) == [rows, rounds]
    # the outer ring begins and ends where it is nearest to the inner one's end, by the gate
    assert rounds.way_out == pytest.approx(np.hypot(*(rounds.stop[-1, :2] - [-48, -120])), abs=12)


def test_headland_first_is_driven_from_the_gate_and_before_the_rows():
    driving, layout = drilled("first")
    (rounds,), (rows,) = driving.rounds, driving.orders
    assert (rounds.worked, rounds.after) == ("first", 0)
    assert layout.rounds.number[rounds.piece].tolist() == [1, 2]
    assert rounds.way_out == 0.0
    assert in_turn(driving) == [rounds, rows]
    # the gate is at the corner: the outer ring cuts it by an arc of 6 m about (9, 9)
    assert rounds.way_in == pytest.approx(9 * 2**0.5 - 6, abs=0.1)
    # a quarter turn into the rows at least
    assert rows.turn_length[0] >= pi * 6 / 2 - 1e-6
    assert rows.way_out > 0.0


def test_rows_begin_where_the_rounds_end():
    driving, layout = drilled("first")
    (rounds,), (rows,) = driving.rounds, driving.orders
    first = layout.passes.lines.ends(int(rows.piece[0]))[int(rows.backward[0])]
    gap = float(np.hypot(*(first - rounds.stop[-1, :2])))
    assert rows.turn_length[0] >= gap - 6.0  # the quarter turn brings six of it
    assert gap < 30.0


def test_a_drill_that_may_finish_anywhere_has_no_way_out():
    driving, _ = drilled("last", machine="far_side_access = true")
    assert driving.rounds[0].way_out == 0.0
    assert driving.orders[0].way_out == 0.0


def test_without_a_gate_only_the_way_between_rows_and_rounds_is_counted():
    driving, layout = drilled("last", gate=False)
    (rounds,) = driving.rounds
    stop = layout.passes.lines.ends(int(driving.orders[0].piece[-1]))
    end = stop[0 if driving.orders[0].backward[-1] else 1]
    away = float(np.hypot(*(end - rounds.start[0, :2])))
    assert driving.driven.way == rounds.way_in
    # a quarter of 6 m, and what lies beyond 6 m
    assert rounds.way_in == pytest.approx(pi * 3 + max(away - 6.0, 0.0), abs=0.1)


def test_runs_along_the_ends_are_driven_like_passes():
    driving, layout = drilled("last", where="ends", gate=False)
    (rounds,) = driving.rounds
    assert sorted(rounds.piece) == list(range(len(layout.rounds)))
    assert not layout.rounds.closed.any()
    sides = np.sign(rounds.start[:, 1])
    assert (np.diff(sides) != 0).sum() == 1  # one end of the field after the other
    assert driving.driven.corners == 0.0


@pytest.mark.parametrize("worked", ["first", "last"])
@pytest.mark.parametrize("where", ["ends", "all round"])
def test_rounds_rows_turns_and_way_are_all_of_the_hours(worked, where):
    driving, _ = drilled(worked, where)
    driven, hours = driving.driven, driving.hours
    speed = working_speed(driving.machine)
    by_hand = (
        driven.rows / 1000 / speed.usual
        + (driven.rounds - driven.corners) / 1000 / speed.usual
        + driven.corners / 1000 / TURNING.usual
        + driven.turning / 1000 / TURNING.usual
        + driven.way / 1000 / TRIP.usual
    )
    assert hours.total.usual == pytest.approx(by_hand)
    parts = (hours.rounds, hours.rows, hours.turning, hours.way)
    assert hours.total.usual == pytest.approx(sum(part.usual for part in parts))


@pytest.mark.parametrize("name", ["bore_paddock", "church_close", "slough_quarter"])
def test_what_samples_drive_adds_up(name):
    layout = sample_layout(name)
    for one in driving_of(layout):
        legs = [*one.orders, *one.rounds]
        empty = sum(leg.empty_length for leg in legs)
        assert one.driven.empty == pytest.approx(empty)
        assert one.driven.turning + one.driven.way == pytest.approx(empty)
        operation = next(i for i, o in enumerate(layout.plan.operations) if o.name == one.operation)
        mine = np.flatnonzero(layout.rounds.operation == operation)
        driven = np.concatenate([order.piece for order in one.rounds])
        assert sorted(driven) == mine.tolist()
        assert one.driven.rounds == pytest.approx(layout.rounds.lines.length[mine].sum())
        assert 0.0 <= one.driven.corners <= one.driven.rounds
        hours = one.hours
        parts = (hours.rows, hours.rounds, hours.turning, hours.way, hours.carting, hours.filling)
        for end in ("least", "usual", "most"):
            assert getattr(hours.total, end) == pytest.approx(sum(getattr(p, end) for p in parts))


@pytest.mark.parametrize("name", ["bore_paddock", "church_close", "slough_quarter"])
def test_ways_between_rounds_join_them(name):
    layout = sample_layout(name)
    for one in driving_of(layout):
        for rounds in one.rounds:
            turns = round_turn_lines(layout, rounds)
            assert len(turns.lines) == len(rounds) - 1
            for k, (first, last) in enumerate(turns.lines.ends(np.arange(len(turns.lines)))):
                assert first == pytest.approx(rounds.stop[k, :2], abs=2e-3)
                if rounds.turn[k + 1] != Turn.OVER:
                    assert last == pytest.approx(rounds.start[k + 1, :2], abs=2e-3)
            arcs = np.isin(rounds.turn[1:], [Turn.U, Turn.OMEGA, Turn.CORNER])
            off = np.abs(turns.lines.length - rounds.turn_length[1:])[arcs]
            # chords of half a metre cut a hair off the arcs
            assert off.max(initial=0.0) < 0.1


def test_rounds_alone_are_driven_too():
    text = PLAN.format(worked="last", where="all round", machine="")
    text = text.replace('"rest", stand = "pulse"', '"rest", stand = "none"')
    layout = laid(field_of(LAND), plan_of(text, guide=NORTH))
    assert len(layout.passes) == 0
    (driving,) = driving_of(layout)
    assert driving.orders == ()
    assert driving.hours.total.usual == pytest.approx(
        (driving.hours.rounds + driving.hours.turning + driving.hours.way).usual
    )
    told = "\n".join(drive_lines((driving,), layout))
    assert "drill (drill, 6 m): round the headland." in told


def test_headland_in_words():
    driving, layout = drilled("last")
    told = "\n".join(drive_lines((driving,), layout))
    assert ", headland last. " in told
    assert "Headland last, rounds 2, 1 in 2 pieces: " in told
    assert "0.08 km of it round corners" in told  # 2 x 2 pi x 6 m = 75 m
