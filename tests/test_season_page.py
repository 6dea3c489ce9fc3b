"""The page of the season: its plan gives its calendar, its scales are those that count."""

import datetime as dt
import re
from dataclasses import replace
from pathlib import Path

import pytest
from sample_layouts import paper_layout, rectangle

from geolayout.appraisal.calendar.heat import LONGEST_FILLED, MAIZE_BASE, MAIZE_CAP
from geolayout.appraisal.calendar.leaves import SCALES, leaves_of
from geolayout.handover.seasonwords import calendar_lines
from geolayout.land.weatherfile import weather_table

TEXT = (Path(__file__).parent.parent / "docs" / "season.md").read_text("utf-8")
(PLAN,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)
(TOLD,) = re.findall(r"```text\n(.*?)```", TEXT, flags=re.S)
SCALE = re.findall(r"^\| (V\w+) \| ([\d]+) \| ([\d]+) \|$", TEXT, flags=re.M)


def test_its_plan_gives_its_calendar():
    days = [
        f"{dt.date(year, 4, 1) + dt.timedelta(days=i)},{low},{high}"
        for year, low, high in ((2026, 10, 18), (2027, 12, 24))
        for i in range(120)
    ]
    text = "date,tmin_c,tmax_c\n" + "\n".join(days) + "\n"
    field = replace(rectangle(), weather=weather_table(text.encode(), "two years"))
    assert calendar_lines(paper_layout(PLAN, field)) == TOLD.splitlines()


@pytest.mark.parametrize("row", SCALE, ids=lambda row: row[0])
def test_its_scales_are_those_that_count(row):
    stage, *figures = row
    assert [round(scale.heat_to(leaves_of(stage))) for scale in SCALES] == [int(f) for f in figures]


def test_its_words_are_the_limits():
    assert len(SCALE) == 5
    assert (MAIZE_BASE, MAIZE_CAP, LONGEST_FILLED) == (10.0, 30.0, 5)
    assert "Up to five missing days" in TEXT
