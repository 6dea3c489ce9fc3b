"""Sprays that still work when the next crop is sown. Labels, days and crops are invented."""

import pytest
from appraisal_layouts import layout_of, of_key

from geolayout.appraisal.calendar.carried_sprays import carried_spray_cautions

BASE = """
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75, when = { date = 2028-05-01 } } ]
[[stand]]
name = "beans"
[[stand.sowing]]
crop = "field beans"
spacing = 0.25
when = { date = 2029-03-10 }
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
[[machine]]
name = "sprayer"
working_width = 6.0
[[operation]]
name = "spray"
machine = "sprayer"
stands = ["maize"]
"""
YEARS = """
[[season]]
year = 2028
[[season]]
year = 2029
shift_bands = 1
"""


def spray(days, date="2028-06-10", harms='["field beans"]'):
    return f"harms = {harms}\nplant_back = {days}\nwhen = {{ date = {date} }}\n"


def found(keys, years=YEARS, year=2029):
    return carried_spray_cautions(layout_of(BASE, keys, years, year=year))


@pytest.mark.parametrize(
    ("days", "early"),
    [
        # 10 June 2028 + 273 days = 10 March 2029: 20 + 31 + 31 + 30 + 31 + 30 + 31 + 31 + 28 + 10
        pytest.param(273, None, id="over on the day of sowing"),
        pytest.param(274, 1.0, id="a day too early"),
        pytest.param(300, 27.0, id="27 days too early"),
    ],
)
def test_the_waiting_time_runs_into_the_next_season(days, early):
    cautions = found(spray(days))
    assert [one.value for one in cautions] == ([] if early is None else [early])


@pytest.mark.parametrize("year", [2028, 2029])
def test_it_is_told_with_its_days_in_both_seasons(year):
    (one,) = found(spray(300), year=year)
    assert (one.key, one.code, one.severity) == ("spray-harms-next-crop", "W21", "warning")
    assert one.sentence == (
        "Spray of 10 June 2028 harms field beans for 300 days, until 6 April 2029, and it is sown "
        "on the same ground (B) from 10 March 2029 on: 27 days too early."
    )


def test_other_ground_is_not_harmed():
    # Without the shift the beans stand where beans stood, and nobody sprayed there.
    assert found(spray(300), YEARS.replace("shift_bands = 1", "")) == []


def test_another_crop_is_not_harmed():
    assert found(spray(300, harms='["white clover"]')) == []


def test_a_long_wait_reaches_over_a_season_between():
    years = YEARS.replace("shift_bands = 1", "") + "[[season]]\nyear = 2030\nshift_bands = 1\n"
    # 10 June 2029 is the last spray; 400 days on is 15 July 2030, and beans are sown 10 March
    later = [one.sentence for one in found(spray(700), years, year=2030)]
    assert [words.split(" harms")[0] for words in later] == [
        "Spray of 10 June 2028",
        "Spray of 10 June 2029",
    ]


def test_a_day_that_nobody_said_is_asked_for():
    keys = 'harms = ["field beans"]\nplant_back = 300\n'
    (one,) = found(keys)
    assert one.severity == "note"
    assert "field beans of 2029 follows spray of 2028 (B), which harms it for 300 days" in (
        one.sentence
    )


def test_usual_months_are_no_day_to_count_from():
    base = BASE.replace("when = { date = 2029-03-10 }\n", "")
    layout = layout_of(base, spray(300), YEARS, year=2029)
    assert [one.severity for one in carried_spray_cautions(layout)] == ["note"]


def test_it_is_among_the_cautions_and_silent_without_a_season():
    assert len(of_key(layout_of(BASE, spray(300), YEARS, year=2029), "spray-harms-next-crop")) == 1
    assert carried_spray_cautions(layout_of(BASE, spray(300))) == []
