"""Ways along the headland, against sums on paper."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.ways import OVER_WORKED, trips_between

# 200 m from west to east, 100 m from south to north, 10 m of headland: the ring in its middle is
# 190 m by 90 m, 560 m round
LAND = shapely.box(0, 0, 200, 100)
ROUND = shapely.difference(LAND, LAND.buffer(-10, join_style="mitre"))
ENDS = shapely.union(shapely.box(0, 0, 200, 10), shapely.box(0, 90, 200, 100))


def trips(places, land=LAND, headland=ROUND, width=10.0):
    """Return the trips between places given as pairs."""
    return trips_between(np.array(places, dtype=float), land, headland, width)


@pytest.mark.parametrize(
    ("to", "length"),
    [
        pytest.param((150.0, 10.0), 100.0, id="along one side"),
        # 50 to 195 is 145, up 90, back 195 to 60 is 135; the other way 45 + 90 + 55 is less
        pytest.param((60.0, 90.0), 190.0, id="round the nearer corner"),
        pytest.param((50.0, 10.0), 0.0, id="nowhere"),
    ],
)
def test_a_way_goes_along_the_middle_of_the_headland(to, length):
    found = trips([(50.0, 10.0), to])
    assert found.length[0, 1] == pytest.approx(length, abs=1e-6)
    assert found.off[0, 1] == pytest.approx(0.0, abs=1e-6)


def test_a_side_without_headland_counts_more():
    found = trips([(50.0, 10.0), (50.0, 90.0)], headland=ENDS)
    # 45 m to the corner, 90 m up the side, 45 m back; some 80 m of the side are off the headland,
    # to a step of the ring
    assert found.length[0, 1] == pytest.approx(180.0, abs=1e-6)
    assert found.off[0, 1] == pytest.approx(80.0, abs=10.0)
    assert found.cost[0, 1] == pytest.approx(180.0 + OVER_WORKED * found.off[0, 1])


def test_without_headland_every_metre_counts_more():
    found = trips([(50.0, 0.0), (150.0, 0.0)], headland=shapely.Polygon(), width=0.0)
    assert found.length[0, 1] == found.off[0, 1] == pytest.approx(100.0)


def test_a_place_far_from_the_edge_first_has_to_come_to_it():
    found = trips([(50.0, 10.0), (150.0, 40.0)])
    # 40 m north is 35 m from the ring; 6 m are the headland's own half and a metre
    assert found.length[0, 1] == pytest.approx(100.0 + 35.0 - 6.0)


def test_a_pond_is_reached_where_it_is_nearest():
    pond = shapely.box(90, 30, 110, 40)
    land = shapely.difference(LAND, pond)
    found = trips([(50.0, 0.0), (100.0, 40.0)], land, shapely.Polygon(), 0.0)
    # to below a corner of the pond, 30 m over the crop, and half way round its 60 m or less
    assert 30.0 + 40.0 <= found.length[0, 1] <= 60.0 + 30.0 + 40.0
    assert np.isfinite(found.length).all()


def test_rings_that_touch_at_one_place_are_joined_there():
    # two squares meet at (100, 100): 50 m along the one to the corner, 50 m along the other
    land = shapely.MultiPolygon([shapely.box(0, 0, 100, 100), shapely.box(100, 100, 200, 200)])
    found = trips([(50.0, 100.0), (150.0, 100.0)], land, shapely.Polygon(), 0.0)
    assert found.length[0, 1] == pytest.approx(100.0, abs=0.01)


def test_a_wiggly_hedge_makes_no_longer_way():
    x = np.arange(0.0, 200.5, 1.0)
    hedge = np.stack([x, 0.4 * (np.arange(len(x)) % 2)], axis=1)
    land = shapely.Polygon([*hedge, (200.0, 100.0), (0.0, 100.0)])
    found = trips([(20.0, 0.0), (180.0, 0.0)], land, shapely.Polygon(), 0.0)
    assert found.length[0, 1] == pytest.approx(160.0, rel=0.01)


@given(seed=st.integers(0, 1000))
def test_ways_are_the_same_both_ways_and_never_beaten_by_a_detour(seed):
    places = np.random.default_rng(seed).uniform((0, 0), (200, 10), (6, 2))
    cost = trips(places, headland=ENDS).cost
    assert np.allclose(cost, cost.T)
    # a place aside of the ring is come to and left again on a detour
    assert (cost[:, None, :] <= cost[:, :, None] + cost[None] + 1e-6).all()
