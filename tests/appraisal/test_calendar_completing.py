"""A season measured in part: its own days, then those of other years or usual ones. Invented."""

import datetime as dt

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.calendar.completing import begun, completed
from geolayout.appraisal.calendar.heat import Warmth, reached
from geolayout.appraisal.calendar.warmdays import not_enough, warm_enough
from geolayout.land.weather.file import weather_table
from geolayout.plan.crops.stages import Stage

SOWN = dt.date(2028, 5, 1)


def record(*years, name="station.csv"):
    """A record of whole months of equal days: (first, last, heat a day over a base of 10 °C)."""
    days = [
        (dt.date.fromisoformat(first) + dt.timedelta(days=i), 10.0 + heat)
        for first, last, heat in years
        for i in range((dt.date.fromisoformat(last) - dt.date.fromisoformat(first)).days + 1)
    ]
    lines = [f"{day},{heat},{heat}" for day, heat in sorted(days)]
    return weather_table(("date,tmin_c,tmax_c\n" + "\n".join(lines) + "\n").encode(), name)


def stage(heat):
    return Stage(crop="maize", stage="waist", degree_days=heat, base=10.0)


def told(weather, heat, usual=None, sown=(SOWN, SOWN)):
    return warm_enough(weather, usual, sown, stage(heat))


COOL = ("2026-01-01", "2026-12-31", 5.0)
WARM = ("2027-01-01", "2027-12-31", 20.0)
MEASURED = ("2028-01-01", "2028-05-10", 10.0)


def test_measured_days_count_and_other_years_go_on():
    days = told(record(COOL, WARM, MEASURED), 200.0)
    # 10 days of 10 °C·d to 10 May; 100 are left: 5 days of 20 to 15 May, 20 days of 5 to 30 May,
    # and 8 days of their mean of 12.5 to 18 May
    assert (days.first, days.last) == (dt.date(2028, 5, 15), dt.date(2028, 5, 30))
    assert days.told == (
        "measured to 10 May 2028, from then on by the same days of 2026, 2027; by the mean of "
        "these days 18 May 2028; look at the field"
    )


def test_what_was_reached_in_time_is_told_by_its_own_year_alone():
    days = told(record(COOL, WARM, MEASURED), 100.0)
    assert days.first == days.last == dt.date(2028, 5, 10)
    assert days.told == "by the weather of 2028; look at the field"


def test_usual_temperatures_stand_for_the_other_years():
    usual = record(("2001-01-01", "2001-12-31", 4.0), name="normals.csv")
    days = told(record(COOL, WARM, MEASURED), 200.0, usual)
    # 100 left at 4 a day: 25 days after 10 May
    assert days.first == days.last == dt.date(2028, 6, 4)
    assert days.told == "measured to 10 May 2028, from then on by normals.csv; look at the field"


def test_usual_days_run_over_the_new_year():
    measured = record(("2027-11-01", "2027-12-20", 1.0))
    usual = record(("2001-01-01", "2001-12-31", 10.0), name="normals.csv")
    days = told(measured, 250.0, usual, (dt.date(2027, 11, 1), dt.date(2027, 11, 1)))
    # 50 days of 1 to 20 December, 200 left: 20 days of 10, to 9 January
    assert days.first == dt.date(2028, 1, 9)


def test_the_last_day_of_sowing_has_the_latest_day():
    days = told(record(COOL, WARM, MEASURED), 200.0, sown=(SOWN, dt.date(2028, 5, 6)))
    # from 6 May 5 days of 10, 150 left: 30 days of 5 to 9 June
    assert (days.first, days.last) == (dt.date(2028, 5, 15), dt.date(2028, 6, 9))


def test_without_anything_to_go_on_with_one_sentence_asks():
    alone = record(MEASURED)
    assert told(alone, 200.0) is None
    words = not_enough(alone, SOWN, "maize to reach V4")
    assert words.startswith("temperatures after 10 May 2028 for maize to reach V4: station.csv has")
    assert "weather_usual" in words
    assert not_enough(alone, dt.date(2030, 5, 1), "x") == "a whole record of temperatures for x"


def test_a_season_ahead_is_told_from_whole_years():
    days = told(record(COOL, WARM, MEASURED), 200.0, sown=(dt.date(2030, 5, 1),) * 2)
    assert days.told == "by the weather of 2026, 2027; look at the field"


def test_a_long_gap_after_sowing_leaves_the_year_out():
    weather = record(WARM, ("2028-01-01", "2028-05-03", 10.0), ("2028-05-20", "2028-05-25", 10.0))
    assert told(weather, 200.0).told == "by the weather of 2027; look at the field"


@given(
    heats=st.lists(st.integers(1, 30), min_size=1, max_size=4),
    measured=st.integers(1, 60),
    days=st.integers(1, 150),
)
def test_the_mean_lies_between_the_years_and_a_whole_record_says_the_same(heats, measured, days):
    first = dt.date(2020, 1, 1)
    years = [h for i in range(8) for h in [float(heats[i % len(heats)])] * (365 + (i % 4 == 0))]
    own = np.full((SOWN - dt.date(2028, 1, 1)).days + measured, 8.0)
    there = Warmth(first, np.concatenate([years, own]), 0)
    assert begun(there, SOWN)
    # so little that even the coolest year reaches it before its end
    wanted = 8.0 * measured + min(heats) * days
    found = completed(there, SOWN, wanted)
    assert found.first <= found.mean <= found.last
    assert found.measured == SOWN + dt.timedelta(days=measured - 1)
    # had this year gone on like one of them, its day would have lain within the span
    for heat in heats:
        whole = np.concatenate([there.heat, np.full(300, float(heat))])
        day = reached(Warmth(first, whole, 0), SOWN, wanted)
        assert found.first <= day.first <= found.last
