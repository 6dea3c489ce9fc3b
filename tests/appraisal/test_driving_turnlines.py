"""Turns as lines: they join the pieces, are as long as was counted, and say where they leave."""

from dataclasses import replace

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


def test_ways_from_ring_to_ring_are_drawn_by_where_they_are_nearest():
    # two ponds in a field: from the one to the other by the edge's ring, not straight across
    ponds = [shapely.Point(x, 100).buffer(10, quad_segs=1) for x in (30, 170)]
    land = shapely.box(0, 0, 200, 200) - shapely.union_all(ponds)
    places = np.array([[40.0, 100.0], [160.0, 100.0]])
    trips = trips_between(places, land, shapely.Polygon(), 0.0)
    (way,) = way_lines(places[None], land, shapely.Polygon(), 0.0)
    # half round each pond, two sides of 14.14 m; 20 m to the edge and in, 400 m along it
    sides = 2 * 200**0.5
    assert trips.length[0, 1] == pytest.approx(sides + 20 + 400 + 20 + sides, abs=0.01)
    assert np.hypot(*np.diff(way, axis=0).T).sum() == pytest.approx(trips.length[0, 1], abs=0.01)


def test_ways_round_have_a_quarter_turn_at_each_end():
    layout, order = driven(headland=20.0)
    turns = turn_lines(layout, replace(order, turn=np.where(order.turn, Turn.ROUND, Turn.NONE)))
    bearing = np.degrees(np.arctan2(*np.diff(turns.lines.xy[:3], axis=0)[0]))
    heading = layout.passes.lines.ends(int(order.piece[0]))
    way = (heading[1] - heading[0]) * (-1 if order.backward[0] else 1)
    # it goes on as the pass did, and turns from there: half a metre of arc is 4 degrees
    off = abs((bearing - np.degrees(np.arctan2(*way)) + 180) % 360 - 180)
    assert off < 5.0
