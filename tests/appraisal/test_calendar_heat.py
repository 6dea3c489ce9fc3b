"""Degree days and the scales of maize, against published figures and sums on paper."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.calendar.heat import day_heat, reached, warmth
from geolayout.appraisal.calendar.leaves import FAHRENHEIT_DAYS, SCALES, leaves_of
from geolayout.land.weather.file import weather_table


def record(first, low, high, *, without=()):
    """A record of equal days, invented."""
    days = [dt.date.fromisoformat(first) + dt.timedelta(days=i) for i in range(2 * 365)]
    lines = [f"{day},{low},{high}" for day in days if day not in without]
    return weather_table(("date,tmin_f,tmax_f\n" + "\n".join(lines) + "\n").encode(), "station.csv")


def maize(weather):
    return warmth(weather, 10.0, 30.0)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        # (max + min) / 2 - 50 °F, min at least 50, max at most 86: Purdue figures, through
        # Gold Star FS, striptillfarmer.com and ocj.com
        pytest.param(60.0, 80.0, 20.0, id="(80 + 60) / 2 - 50"),
        pytest.param(45.0, 70.0, 10.0, id="a night of 45 counts as 50"),
        pytest.param(60.0, 95.0, 23.0, id="a day of 95 counts as 86"),
        pytest.param(30.0, 45.0, 0.0, id="a cold day gives nothing"),
        pytest.param(88.0, 99.0, 36.0, id="both over the cap"),
    ],
)
def test_a_day_of_maize_in_fahrenheit(low, high, expected):
    celsius = [(np.array([figure]) - 32.0) / 1.8 for figure in (low, high)]
    assert day_heat(*celsius, 10.0, 30.0)[0] * FAHRENHEIT_DAYS == pytest.approx(expected)


@pytest.mark.parametrize(
    ("leaves", "purdue", "wisconsin"),
    [
        pytest.param(4, 448.0, 380.0, id="V4: 120 + 4 x 82, and 380 printed"),
        pytest.param(6, 612.0, 490.0, id="V6: 120 + 6 x 82, and half way from 380 to 600"),
        pytest.param(8, 776.0, 600.0, id="V8: 600 printed"),
        pytest.param(12, 1040.0, 900.0, id="V12: 940 + 2 x 50, and 900 printed"),
        pytest.param(13, 1090.0, None, id="V13: one scale ends at V12"),
        pytest.param(0, 120.0, 125.0, id="up"),
    ],
)
def test_both_published_scales(leaves, purdue, wisconsin):
    assert [scale.heat_to(leaves) for scale in SCALES] == [purdue, wisconsin]


def test_a_stage_by_equal_days():
    # 20 °F·d a day: 448 is reached on the 23rd day (22 x 20 = 440), 380 on the 19th (380)
    there = maize(record("2027-01-01", 60, 80))
    days = [reached(there, dt.date(2027, 5, 1), heat / 1.8) for heat in (448.0, 380.0)]
    assert [found.first for found in days] == [dt.date(2027, 5, 23), dt.date(2027, 5, 19)]
    assert all(found.first == found.last and found.years == (2027,) for found in days)


def test_a_season_ahead_is_told_from_all_years():
    cool = [f"2026-{month:02d}-{day:02d},55,65" for month in (5, 6, 7) for day in range(1, 31)]
    warm = [f"2027-{month:02d}-{day:02d},60,80" for month in (5, 6, 7) for day in range(1, 31)]
    weather = weather_table(
        ("date,tmin_f,tmax_f\n" + "\n".join([*cool, *warm]) + "\n").encode(), "two years"
    )
    # 100 °F·d: on the 10th day at 10 a day, on the 5th at 20
    found = reached(maize(weather), dt.date(2030, 5, 1), 100.0 / 1.8)
    assert (found.first, found.last) == (dt.date(2030, 5, 5), dt.date(2030, 5, 10))
    assert found.years == (2026, 2027)


def test_southern_spring_runs_over_the_new_year():
    there = maize(record("2026-07-01", 60, 80))
    found = reached(there, dt.date(2026, 12, 20), 448.0 / 1.8)
    assert found.first == dt.date(2027, 1, 11)


def test_short_gaps_are_filled_and_long_ones_stop():
    five = {dt.date(2027, 5, 5) + dt.timedelta(days=i) for i in range(5)}
    filled = maize(record("2027-01-01", 60, 80, without=five))
    assert filled.filled == 5
    assert reached(filled, dt.date(2027, 5, 1), 380 / 1.8).first == dt.date(2027, 5, 19)
    six = five | {dt.date(2027, 5, 10)}
    torn = maize(record("2027-01-01", 60, 80, without=six))
    assert torn.filled == 0
    # the year after is whole, and stands for it
    assert reached(torn, dt.date(2027, 5, 1), 380 / 1.8).years == (2028,)


def test_warmth_that_never_comes_is_none():
    assert reached(maize(record("2027-01-01", 20, 50)), dt.date(2027, 5, 1), 10.0) is None
    assert reached(maize(record("2027-01-01", 60, 80)), dt.date(2019, 5, 1), 9e9) is None


@pytest.mark.parametrize("stage", ["heading", "V", "V123", "leaf", "R1", ""])
def test_other_stages_have_no_leaves(stage):
    assert leaves_of(stage) is None


@given(st.floats(-40, 45), st.floats(0, 25), st.floats(0, 10))
@example(9.0, 2.0, 1.0)
def test_a_warmer_day_never_gives_less(low, span, more):
    figures = [np.array([low]), np.array([low + span])]
    cool = day_heat(*figures, 10.0, 30.0)
    warm = day_heat(*(figure + more for figure in figures), 10.0, 30.0)
    assert 0.0 <= cool[0] <= warm[0] + 1e-12 <= 20.0 + 1e-9


@given(st.integers(0, 12), st.integers(0, 12))
def test_more_leaves_take_more_warmth(few, many):
    for scale in SCALES:
        pair = [scale.heat_to(min(few, many)), scale.heat_to(max(few, many))]
        assert pair[0] <= pair[1]
