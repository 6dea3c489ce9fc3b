"""Loads that run out, against sums on paper."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.filling import RunOut, Trip, run_outs, trips


@pytest.mark.parametrize(
    ("length", "rate", "holds", "expected"),
    [
        # 3 x 100 m x 2 kg are 600 kg; 450 kg end 25 m into the third
        pytest.param([100, 100, 100], 2.0, 450.0, [(2, 25.0)], id="once"),
        # 250 kg end 25 m into the second, 500 kg 50 m into the third
        pytest.param([100, 100, 100], 2.0, 250.0, [(1, 25.0), (2, 50.0)], id="twice"),
        pytest.param([100, 100], 2.0, 400.0, [], id="just enough"),
        pytest.param([500], 1.0, 200.0, [(0, 200.0), (0, 400.0)], id="twice in one piece"),
        pytest.param([100, 100], 1.0, 100.0, [(0, 100.0)], id="at the very end of a piece"),
    ],
)
def test_a_load_runs_out_where_the_sum_says(length, rate, holds, expected):
    found = run_outs(np.array(length, dtype=float), np.full(len(length), rate), holds)
    assert [(one.piece, pytest.approx(one.along)) for one in found] == expected
    assert all(isinstance(one, RunOut) for one in found)


@pytest.mark.parametrize(
    ("need", "holds", "expected"),
    [
        pytest.param([200, 200, 200], 450.0, [Trip(1, 1)], id="before the third"),
        pytest.param([200, 200, 200], 600.0, [], id="one load lasts"),
        pytest.param([200, 200, 200], 200.0, [Trip(0, 1), Trip(1, 1)], id="after every piece"),
        # 500 kg with 200 kg aboard: three loads for it, of which one came
        pytest.param([500], 200.0, [Trip(-1, 2)], id="one piece of three loads"),
        # 100 left, 500 wanted: three loads of 200 leave 100 and the new ones 600
        pytest.param([100, 500, 90], 200.0, [Trip(0, 3)], id="a rest that lasts for the last"),
    ],
)
def test_trips_between_pieces(need, holds, expected):
    assert list(trips(np.array(need, dtype=float), holds)) == expected


@given(
    need=st.lists(st.floats(1.0, 900.0), min_size=1, max_size=40),
    holds=st.floats(50.0, 2000.0),
)
def test_loads_taken_are_enough_and_trips_never_fewer_than_loads(need, holds):
    found = trips(np.array(need), holds)
    loads = 1 + sum(one.loads for one in found)
    assert loads * holds >= sum(need) * (1.0 - 1e-6)
    assert sum(one.loads for one in found) >= len(
        run_outs(np.array(need), np.ones(len(need)), holds)
    )
