"""The calendar in words. Days are invented."""

import datetime as dt
import json

import pytest
from sample_layouts import STRIPS, paper_layout

from geolayout.handover.words.season import calendar_dict, calendar_lines, days_words

SEASON = """
[[season]]
year = 2028
[[stage]]
crop = "maize"
stage = "sown"
first = "04-25"
last = "05-05"
"""


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        pytest.param("2028-05-01", "2028-05-01", "1 May 2028", id="a day"),
        pytest.param("2028-05-01", "2028-05-12", "1 to 12 May 2028", id="within a month"),
        pytest.param("2028-05-30", "2028-06-02", "30 May to 2 June 2028", id="two months"),
        pytest.param(
            "2027-12-30", "2028-01-02", "30 December 2027 to 2 January 2028", id="two years"
        ),
    ],
)
def test_days_in_words(first, last, words):
    assert days_words(dt.date.fromisoformat(first), dt.date.fromisoformat(last)) == words


def test_the_season_is_told_with_what_is_missing():
    lines = calendar_lines(paper_layout(STRIPS + SEASON))
    assert "25 April to 5 May 2028: Sow maize (plant), A; as the plan has it." in lines
    assert lines[-1].startswith("Not known, and asked: [[stage]] crop")


def test_without_a_season_nothing_is_told():
    assert calendar_lines(paper_layout()) == []
    assert calendar_dict(paper_layout())["missing"] == ["[[season]] year, the year of the harvest"]


def test_the_calendar_is_fit_for_json():
    told = json.loads(json.dumps(calendar_dict(paper_layout(STRIPS + SEASON)), allow_nan=False))
    maize = next(line for line in told["lines"] if line["what"] == "Sow maize (plant)")
    assert (maize["first"], maize["last"], maize["kind"]) == ("2028-04-25", "2028-05-05", "sow")
    assert told["weather_first"] is None
