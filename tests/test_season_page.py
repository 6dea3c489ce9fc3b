"""The page of the season: its plan gives its calendar, its scales are those that count."""

import datetime as dt
import re
from dataclasses import replace
from pathlib import Path

import pytest
from sample_layouts import paper_layout, rectangle

from geolayout.appraisal.calendar.heat import LONGEST_FILLED, MAIZE_BASE, MAIZE_CAP
from geolayout.appraisal.calendar.leaves import SCALES, leaves_of
from geolayout.appraisal.calendar.scales import CROP_SCALES
from geolayout.handover.words.season import calendar_lines
from geolayout.land.weather.file import weather_table

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


OTHERS = re.findall(
    r"^\| ([a-z ]+) \| ([^|]+) \| (°[FC]·d) \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", TEXT, flags=re.M
)


def test_its_other_scales_are_all_that_count():
    told = [
        (
            one.crop,
            one.name,
            one.unit,
            f"{one.base:.1f}" + (f" to {one.cap:.1f}" if one.cap is not None else ""),
            "; ".join(f"{name} {heat:g}" for name, heat in _figures(one)),
            one.source,
        )
        for one in CROP_SCALES
        if one.crop != "maize"
    ]
    assert told == OTHERS


def _figures(scale):
    leaves = [("up" if n == 0 else f"{n:g} leaves", heat) for n, heat in scale.leaves]
    return [*leaves, *scale.stages]


def test_its_words_are_the_limits():
    assert len(SCALE) == 5
    assert (MAIZE_BASE, MAIZE_CAP, LONGEST_FILLED) == (10.0, 30.0, 5)
    assert "Up to five missing days" in TEXT


def test_it_tells_the_third_scale_and_that_its_start_is_not_stated():
    # HPRCC, corn crop coefficients file: 240 at four leaves, 360 at six: 60 each, from 0 on
    assert 240 - 4 * 60 == 360 - 6 * 60 == 0
    told = " ".join(TEXT.split())
    assert "four leaves at 240 and six at 360, 60 a leaf, and does not say where it starts" in told
