"""The season as iCalendar, read back by a library of its own. Days are invented."""

import datetime as dt
from dataclasses import replace

import icalendar
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from sample_layouts import STRIPS, paper_layout, rectangle

from geolayout.appraisal.calendar.season import season_calendar
from geolayout.handover.files.ics import _folded, season_ics

SEASON = """
[[season]]
year = 2028
[[stage]]
crop = "maize"
stage = "sown"
first = "04-25"
last = "05-05"
[[stage]]
crop = "field beans"
stage = "harvest"
first = "08-01"
last = "08-01"
"""


def events(layout):
    calendar = icalendar.Calendar.from_ical(season_ics(layout, ()).decode())
    assert not calendar.errors
    found = calendar.walk("VEVENT")
    assert not [event.errors for event in found if event.errors]
    return found


def test_it_holds_every_dated_line_and_no_other():
    layout = paper_layout(STRIPS + SEASON)
    dated = [line for line in season_calendar(layout).lines if line.first is not None]
    assert len(events(layout)) == len(dated) > 2


def test_an_event_ends_on_the_day_after_its_last():
    # 25 April to 5 May, so DTEND, which does not count, is 6 May
    found = {str(event["SUMMARY"]): event for event in events(paper_layout(STRIPS + SEASON))}
    maize = found["Sow maize (plant), A"]
    assert (maize["DTSTART"].dt, maize["DTEND"].dt) == (dt.date(2028, 4, 25), dt.date(2028, 5, 6))
    assert str(maize["CATEGORIES"].to_ical().decode()) == "sow"
    beans = found["Harvest field beans, B"]
    assert beans["DTEND"].dt - beans["DTSTART"].dt == dt.timedelta(days=1)


def test_each_event_has_a_name_of_its_own_that_stays():
    names = [str(event["UID"]) for event in events(paper_layout(STRIPS + SEASON))]
    later = [str(e["UID"]) for e in events(paper_layout(STRIPS + SEASON.replace("04-25", "04-28")))]
    assert len(set(names)) == len(names)
    assert set(names) == set(later)


def test_names_with_signs_come_back_whole():
    field = replace(rectangle(), name="Über, under; \\ and 'so on', " + "ø" * 60)
    (event, *_) = events(paper_layout(STRIPS + SEASON, field))
    assert str(event["LOCATION"]) == field.name


def test_the_same_plan_gives_the_same_bytes():
    assert season_ics(paper_layout(STRIPS + SEASON), ()) == season_ics(
        paper_layout(STRIPS + SEASON), ()
    )


@pytest.mark.parametrize("text", [STRIPS], ids=["no season"])
def test_without_days_there_is_no_file(text):
    assert season_ics(paper_layout(text), ()) is None


@given(st.text(st.characters(blacklist_categories=("Cs", "Cc")), max_size=300))
@example("x" * 75)
@example("x" * 74 + "ø")
def test_folded_lines_are_short_and_whole(text):
    folded = _folded(text)
    assert all(len(line.encode()) <= 75 for line in folded.split("\r\n"))
    assert folded.replace("\r\n ", "").removesuffix("\r\n") == text
