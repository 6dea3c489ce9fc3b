"""Turns as lines: they join the pieces, are as long as was counted, and say where they leave."""

import numpy as np
import pytest
import shapely
from sample_layouts import sample_layout
from strategies import field_of, laid, plan_of

from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.driving.turnings import Turn
from geolayout.appraisal.driving.turnlines import turn_lines
from geolayout.appraisal.driving.ways import trips_between, way_lines

PLAN = """
[headland]
where = "all round"
width = {headland}
{turn}
[[pattern]]
name = "whole"
bands = [ {{ name = "A", width = "rest", stand = "beans" }} ]
[[machine]]
name = "drill"
working_width = 6.0
turning_radius = 6.5
[[operation]]
name = "drill"
machine = "drill"
over = "block"
order = "up and back"
"""


def driven(headland=20.0, turn="", land=None):
    """Return a layout of passes northwards, and how it is driven."""
    field = field_of(land or shapely.box(0, 0, 100, 200))
    guide = 'bearing = 0.0\nfrom = "west"'
    layout = laid(field, plan_of(PLAN.format(headland=headland, turn=turn), guide=guide))
    (driving,) = driving_of(layout)
    return layout, driving.orders[0]


def test_turns_join_the_pieces_in_order():
    layout, order = driven()
    turns = turn_lines(layout, order)
    assert len(turns.lines) == len(order) - 1
    ends = layout.passes.lines.ends(order.piece)
    for k, (first, last) in enumerate(turns.lines.ends(np.arange(len(turns.lines)))):
        assert first == pytest.approx(ends[k, 1 - int(order.backward[k])], abs=2e-3)
        assert last == pytest.approx(ends[k + 1, int(order.backward[k + 1])], abs=2e-3)


def test_omegas_are_as_long_as_was_counted_and_stay_on_the_land():
    layout, order = driven()
    turns = turn_lines(layout, order)
    assert set(order.turn[1:].tolist()) == {Turn.OMEGA}
    # chords of half a metre cut a hair off the arcs
    assert turns.lines.length == pytest.approx(order.turn_length[1:], abs=0.05)
    assert turns.beyond_edge.tolist() == [0.0] * len(turns.lines)


def test_a_turn_too_deep_says_how_far_it_leaves_the_land():
    layout, order = driven(headland=9.0)
    turns = turn_lines(layout, order)
    assert not order.fits[1:].any()
    # an omega goes 15.4 m deep: its top lies 6.4 m beyond an edge 9 m away
    assert (turns.beyond_edge > 10.0).all()


@pytest.mark.parametrize("name", ["hive_ground", "windy_bank"])
def test_turns_of_samples_are_as_long_as_was_counted(name):
    layout = sample_layout(name)
    for one in driving_of(layout):
        for order in one.orders:
            turns = turn_lines(layout, order)
            simple = np.isin(order.turn[1:], [Turn.U, Turn.OMEGA, Turn.STRAIGHT_ON])
            off = np.abs(turns.lines.length - order.turn_length[1:])[simple]
            # a step 5 cm under two radii counts as a U, and takes up to 1.5 m more
            assert np.median(off) < 0.05
            assert off.max() < 1.5


def test_ways_are_drawn_as_long_as_they_are_counted():
    land = shapely.box(0, 0, 200, 100)
    headland = land.difference(land.buffer(-10, join_style="mitre"))
    places = np.array([[50.0, 10.0], [150.0, 10.0], [60.0, 90.0], [10.0, 50.0]])
    trips = trips_between(places, land, headland, 10.0)
    for i in range(4):
        for j in range(4):
            if i == j:
                continue
            (way,) = way_lines(places[[[i, j]]], land, headland, 10.0)
            # from the rows out to the middle of the headland and back in: 5 m each
            length = float(np.hypot(*np.diff(way, axis=0).T).sum())
            assert length == pytest.approx(trips.length[i, j] + 10.0, abs=0.01)
            assert way[0] == pytest.approx(places[i], abs=1e-3)
            assert way[-1] == pytest.approx(places[j], abs=1e-3)
