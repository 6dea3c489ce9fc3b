"""Ground to leeward of rows, against trigonometry, and by years on a field of known sums."""

from math import cos, radians

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, box
from strategies import BELT, GROWN, field_of, laid, plan_of, refused

from geolayout.appraisal.trees.shelter import leeward, shelter_years
from geolayout.errors import PlanError
from geolayout.handover.words.shelter import shelter_lines

ROW = LineString([(0, 0), (0, 100)])  # runs north
LAND = box(0, 0, 200, 100)


@pytest.mark.parametrize(
    ("wind", "depth"),
    [
        pytest.param(270.0, 50.0, id="square on"),
        pytest.param(240.0, 50.0 * cos(radians(30.0)), id="30 degrees off square"),
        pytest.param(210.0, 25.0, id="60 degrees off square"),
        pytest.param(0.0, 0.0, id="along the row"),
    ],
)
def test_a_row_shelters_its_length_times_the_reach_square_to_it(wind, depth):
    assert leeward([ROW], wind, 50.0).area == pytest.approx(100.0 * depth, abs=1e-6)


def test_shelter_lies_to_leeward():
    west_wind = leeward([ROW], 270.0, 50.0)
    assert west_wind.bounds == pytest.approx((0.0, 0.0, 50.0, 100.0))
    assert leeward([ROW], 90.0, 50.0).bounds == pytest.approx((-50.0, 0.0, 0.0, 100.0))


@given(st.floats(0, 359), st.floats(1, 100), st.floats(0, 360))
def test_turning_rows_and_wind_together_changes_nothing(wind, far, turn):
    bent = LineString([(0, 0), (10, 50), (40, 90)])
    turned = shapely.affinity.rotate(bent, -turn, origin=(0, 0))
    here, there = leeward([bent], wind, far).area, leeward([turned], wind + turn, far).area
    assert there == pytest.approx(here, rel=1e-6, abs=1e-3)


def years_of(shelter, belt=BELT):
    guide = 'bearing = 0.0\nfrom = "west"'
    return shelter_years(laid(field_of(LAND), plan_of(belt, shelter, guide=guide)))


def test_a_belt_in_the_west_shelters_ten_heights_of_the_crop():
    # The row stands at 2 m, the crop lies from 4 to 200 m. Year 10: 5 m high, sheltered from 2 to
    # 52 m, 48 m of the crop's 196; year 20: 10 m high, to 102 m, 98 of 196. The row runs from tree
    # to tree, 98 m of 100. Calm half the time, which changes no share.
    found = years_of("[shelter]\nwind = [[270.0, 0.5]]\nyears = [10, 20]")
    shares = [one.sheltered_percent for one in found]
    assert [one.height_m for one in found] == [(5.0, 5.0), (10.0, 10.0)]
    for share, expected in zip(shares, (98 * 48 / 196, 49.0), strict=True):
        assert share == pytest.approx((expected, expected), abs=0.01)
    # Within 1 to 1.5 heights of 10 m: to 12 m and to 17 m, 8 and 13 m of 196
    assert found[1].beside_percent == pytest.approx((100 * 8 / 196, 100 * 13 / 196), abs=0.6)


def test_winds_are_weighted_by_their_time():
    # From the east the belt shelters nothing that is sown; three hours of west to one of east
    found = years_of("[shelter]\nwind = [[270.0, 0.6], [90.0, 0.2]]\nyears = [20]")
    west, east = (share for _, share, _ in found[0].by_wind)
    assert east == 0.0
    assert found[0].sheltered_percent[0] == pytest.approx(0.75 * west)


def test_a_mature_height_gives_a_slow_and_a_fast_site():
    belt = BELT.replace(GROWN, "mature_height = 20.0")
    (one,) = years_of("[shelter]\nwind = [[270.0, 1.0]]\nyears = [10]", belt)
    assert one.height_m == pytest.approx((10.6, 15.5), abs=0.1)  # 20 (1 - exp(-3 x 10 / T))
    slow, fast = one.sheltered_percent
    assert 0.0 < slow < fast
    told = shelter_lines([one])
    assert told[0].startswith("Year 10, trees 10.6 m to 15.5 m high: ")
    assert "no promise" in told[-1]


@pytest.mark.parametrize(
    ("shelter", "belt"),
    [
        pytest.param("", BELT, id="no wind given"),
        pytest.param(
            "[shelter]\nwind = [[270.0, 1.0]]",
            BELT.replace(f", {GROWN}", ""),
            id="nobody knows how high",
        ),
    ],
)
def test_where_something_is_missing_nothing_is_said(shelter, belt):
    assert years_of(shelter, belt) == ()
    assert shelter_lines(()) == []


def test_shares_of_more_than_the_whole_time_are_refused():
    wind = "[shelter]\nwind = [[240.0, 0.7], [60.0, 0.6]]"
    error = refused(plan_of, BELT, wind)
    assert isinstance(error, PlanError)
    assert "add up to 1.3" in error.found


def test_a_lee_of_many_rows_is_their_union_and_never_more_than_their_sum():
    rows = [LineString([(x, 0), (x, 100)]) for x in np.arange(0.0, 100.0, 20.0)]
    both = leeward(rows, 270.0, 50.0)
    assert both.area == pytest.approx((80 + 50) * 100.0)
    assert both.area <= sum(leeward([row], 270.0, 50.0).area for row in rows)
