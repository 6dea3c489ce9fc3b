"""Money of many years: hand sums, and what must hold at any rate."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.money.discount import even_yearly, paid_back, present_value, running

flows = st.lists(st.floats(-1e5, 1e5, allow_nan=False), min_size=1, max_size=30)
rates = st.floats(0.0, 0.3)


def test_a_hand_sum():
    # 1,000 paid at planting, 600 in each of two years, at 10 %:
    # -1,000 + 600 / 1.1 + 600 / 1.21 = -1,000 + 545.4545 + 495.8678 = 41.3223
    assert present_value([-1000.0, 600.0, 600.0], 0.1) == pytest.approx(41.3223, abs=1e-4)


def test_nothing_comes_to_nothing():
    assert present_value([], 0.05) == 0.0


def test_it_is_paid_back_later_if_later_money_is_worth_less():
    # plain: -100 + 50 + 50 = 0 in year 2; at 10 %: 50/1.1 + 50/1.21 = 86.8, + 50/1.331 = 124.3
    assert paid_back([-100.0, 50.0, 50.0, 50.0], 0.0) == 2
    assert paid_back([-100.0, 50.0, 50.0, 50.0], 0.1) == 3


def test_what_falls_under_nought_again_is_not_paid_back():
    assert paid_back([-100.0, 150.0, -200.0], 0.0) is None


def test_what_never_costs_is_paid_back_at_once():
    assert paid_back([0.0, 10.0], 0.05) == 0


def test_an_even_sum_of_a_hand_sum():
    # 3 years at 10 %: 1 / 1.1 + 1 / 1.21 + 1 / 1.331 = 2.48685; 248.685 is worth 100 a year
    assert even_yearly(248.685, 0.1, 3) == pytest.approx(100.0, abs=1e-3)


@given(sums=flows)
def test_at_no_rate_years_add_up(sums):
    assert present_value(sums, 0.0) == pytest.approx(sum(sums), abs=1e-6)


@given(first=flows, rate=rates, factor=st.floats(0.0, 10.0))
def test_twice_the_money_is_twice_the_worth(first, rate, factor):
    more = present_value([factor * one for one in first], rate)
    assert more == pytest.approx(factor * present_value(first, rate), abs=1e-4)


@given(worth=st.floats(-1e6, 1e6), rate=rates, years=st.integers(1, 60))
@example(worth=1.0, rate=1e-9, years=10)
@example(worth=0.5, rate=5e-324, years=1)
def test_even_sums_are_worth_what_they_stand_for(worth, rate, years):
    yearly = even_yearly(worth, rate, years)
    assert present_value([0.0, *[yearly] * years], rate) == pytest.approx(worth, rel=1e-5, abs=1e-5)


@given(sums=flows, rate=rates)
def test_the_last_of_the_running_worths_is_the_worth(sums, rate):
    assert running(sums, rate)[-1] == present_value(sums, rate)
    assert len(running(sums, rate)) == len(sums)


@given(sums=flows, rate=rates)
def test_a_year_later_everything_is_worth_a_year_less(sums, rate):
    later = present_value([0.0, *sums], rate)
    assert later * (1.0 + rate) == pytest.approx(present_value(sums, rate), rel=1e-9, abs=1e-6)


@given(pairs=st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 2), min_size=1, max_size=30), rate=rates)
def test_worths_of_parts_add_up_to_the_worth_of_all(pairs, rate):
    parts = [present_value(part, rate) for part in zip(*pairs, strict=True)]
    whole = present_value([one + other for one, other in pairs], rate)
    assert whole == pytest.approx(sum(parts), abs=1e-4)


@given(income=st.lists(st.floats(0.0, 1e5), min_size=1, max_size=30), rate=rates, more=rates)
def test_a_higher_rate_makes_income_worth_no_more(income, rate, more):
    assert present_value(income, rate + more) <= present_value(income, rate) + 1e-6


@given(rate=st.floats(0.001, 0.3), years=st.integers(1, 60))
def test_an_even_income_is_worth_the_closed_form(rate, years):
    # 1 a year for n years: (1 - (1 + rate)^-n) / rate
    closed = (1.0 - (1.0 + rate) ** -years) / rate
    assert present_value([0.0] + [1.0] * years, rate) == pytest.approx(closed, rel=1e-9)


@given(sums=flows, rate=rates)
def test_what_is_paid_back_never_falls_under_nought_again(sums, rate):
    year = paid_back(sums, rate)
    worths = running(sums, rate)
    if year is None:
        assert worths[-1] < 0.0
    else:
        assert min(worths[year:]) >= -1e-5
