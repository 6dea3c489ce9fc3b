"""Ways between ends of passes, against the closed forms of turns and sums on paper."""

from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.turnings import (
    NARROW,
    NOWHERE,
    OFF_LAND,
    Ends,
    Turn,
    Turner,
    joins_between,
)
from geolayout.appraisal.driving.ways import trips_between
from geolayout.plan.turns import turn_length

# Passes run north over 200 m by 100 m, 20 m of headland all round; each begins at y = 20
LAND = shapely.box(0, 0, 200, 100)
ROUND = shapely.difference(LAND, LAND.buffer(-20, join_style="mitre"))
DRILL = Turner(6.5, 6.0)


def joins(x, turner=DRILL, headland=20.0):
    """Return the ways between passes at some x, ends from south to north."""
    n = len(x)
    place = np.stack([np.repeat(x, 2), np.tile([20.0, 80.0], n)], axis=1).astype(float)
    outward = np.stack([np.zeros(2 * n), np.tile([-1.0, 1.0], n)], axis=1)
    ends = Ends(place, outward, np.full(2 * n, headland))
    return joins_between(ends, trips_between(place, LAND, ROUND, 20.0), turner, LAND)


@pytest.mark.parametrize(
    ("step", "kind"),
    [
        pytest.param(6.0, Turn.OMEGA, id="the neighbouring pass by an omega"),
        pytest.param(12.0, Turn.OMEGA, id="the second by a flatter omega"),
        pytest.param(13.0, Turn.U, id="two radii on by a half circle"),
        pytest.param(60.0, Turn.U, id="far on by a U"),
    ],
)
def test_a_turn_has_its_closed_length(step, kind):
    found = joins([40.0, 40.0 + step])
    assert found.kind[0, 2] == found.kind[1, 3] == kind
    assert found.length[0, 2] == pytest.approx(turn_length(6.5, step), abs=0.02)
    assert found.fits[0, 2]


def test_near_a_side_neighbours_turn_though_the_way_lies_round_a_corner():
    # 26 m from the side the middle of the headland is 10 m off both ways: west of the first pass
    found = joins([14.0, 26.0, 38.0])
    assert found.kind[0, 2] == found.kind[2, 4] == Turn.OMEGA
    assert found.length[2, 4] == pytest.approx(turn_length(6.5, 12.0), abs=0.02)


def test_neighbours_with_a_bay_between_them_go_round_it():
    # a bay 2 m wide and 40 m deep cuts in from the south between two passes 12 m apart
    land = LAND - shapely.box(51, 0, 53, 40)
    place = np.array([[46.0, 20.0], [46.0, 80.0], [58.0, 20.0], [58.0, 80.0]])
    ends = Ends(place, np.tile([[0.0, -1.0], [0.0, 1.0]], (2, 1)), np.full(4, 20.0))
    found = joins_between(ends, trips_between(place, land, ROUND, 20.0), DRILL, land)
    assert found.kind[0, 2] == Turn.ROUND
    assert found.length[0, 2] > 60.0
    assert found.kind[1, 3] == Turn.OMEGA


def test_the_other_side_is_reached_round_the_headland():
    found = joins([40.0, 46.0])
    # rings in the middle of the headland: 10 m from the edge; 30 m west, 80 m north, 36 m east
    assert found.kind[0, 3] == Turn.ROUND
    assert found.length[0, 3] == pytest.approx(pi * 6.5 + 30.0 + 80.0 + 36.0 - 13.0)
    assert found.off[0, 3] == pytest.approx(0.0, abs=1e-9)


def test_a_turn_that_the_headland_does_not_hold_counts_more():
    # an omega into the next pass takes 18.4 m (yard.md 2.4), every third a U of 9.5 m
    found = joins([40.0, 46.0, 58.0], headland=12.0)
    assert not found.fits[0, 2]
    # 6.4 m are lacking: 10 m each, 60 m at most; 3.4 m of them for the machine's centre, 20 m each
    counted = NARROW + OFF_LAND * 3.38
    assert found.cost[0, 2] == pytest.approx(found.length[0, 2] + counted, abs=0.2)
    none = joins([40.0, 46.0], headland=0.0)
    assert none.cost[0, 2] == pytest.approx(none.length[0, 2] + NARROW + NOWHERE)
    assert found.fits[0, 4]
    assert found.cost[0, 4] == pytest.approx(found.length[0, 4])


def test_a_machine_that_may_go_back_does_where_the_headland_is_narrow():
    found = joins([40.0, 46.0], Turner(6.5, 6.0, "three-point"), headland=12.0)
    assert found.kind[0, 2] == Turn.THREE_POINT
    assert found.fits[0, 2]
    assert found.length[0, 2] == pytest.approx(turn_length(6.5, 6.0, "three-point"), abs=0.02)
    # two stops of 5 s at 5 km/h are 13.9 m
    assert found.cost[0, 2] - found.length[0, 2] == pytest.approx(13.9, abs=0.05)


def test_pieces_that_face_each_other_are_driven_straight_on():
    land = shapely.box(0, 0, 60, 230)
    place = np.array([[30.0, 0.0], [30.0, 100.0], [30.0, 130.0], [30.0, 230.0]])
    outward = np.array([[0, -1.0], [0, 1.0], [0, -1.0], [0, 1.0]])
    trips = trips_between(place, land, shapely.box(0, 100, 60, 130), 0.0)
    found = joins_between(Ends(place, outward, np.full(4, 30.0)), trips, DRILL, land)
    assert found.kind[1, 2] == found.kind[2, 1] == Turn.STRAIGHT_ON
    assert found.length[1, 2] == pytest.approx(30.0)
    assert found.kind[0, 3] == Turn.ROUND


def test_water_between_pieces_is_driven_round():
    land = shapely.difference(shapely.box(0, 0, 60, 230), shapely.box(20, 105, 40, 125))
    place = np.array([[30.0, 0.0], [30.0, 105.0], [30.0, 125.0], [30.0, 230.0]])
    outward = np.array([[0, -1.0], [0, 1.0], [0, -1.0], [0, 1.0]])
    trips = trips_between(place, land, shapely.Polygon(), 0.0)
    found = joins_between(Ends(place, outward, np.full(4, np.inf)), trips, DRILL, land)
    assert found.kind[1, 2] == Turn.ROUND
    # half round the water is 10 + 20 + 10 m
    assert found.off[1, 2] == pytest.approx(40.0)


@given(
    x=st.lists(st.floats(10.0, 190.0), min_size=2, max_size=6, unique=True),
    radius=st.floats(3.0, 9.0),
)
def test_ways_are_the_same_both_ways(x, radius):
    found = joins(sorted(x), Turner(radius, 3.0))
    for column in (found.length, found.cost, found.kind, found.fits, found.off):
        assert np.array_equal(column, column.T)
    assert (found.cost >= found.length - 1e-9).all()
