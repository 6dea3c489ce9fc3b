"""Walks over strips on paper: 60 m across, 120 m along, rows to the north. Days are invented."""

import datetime as dt

import pytest
import shapely
from appraisal_layouts import BANDS, HEADLAND, MACHINES, STANDS, layout_of

from geolayout.appraisal.calendar.walks import field_walks

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
first = "08-15"
last = "08-20"
"""


@pytest.fixture(scope="module")
def layout():
    return layout_of(STANDS, BANDS, MACHINES, HEADLAND, SEASON, year=2028)


def walk(layout, words):
    (only,) = [one for one in field_walks(layout) if words in one.what]
    return only


def test_plants_are_counted_with_what_is_expected(layout):
    # 80,000 plants/ha, rows every 0.75 m: 1 / (8 x 0.75) = 0.1667 m; 5 m / 0.1667 m = 30
    maize = walk(layout, "plants of maize")
    assert maize.what.endswith("on 5 m of one row")
    assert maize.expected.startswith("30 plants")
    # 40 seeds a square metre every 0.25 m: 10 a metre
    beans = walk(layout, "plants of field beans")
    assert beans.what.endswith("on 1 m of one row")
    assert beans.expected.startswith("10 seeds")


def test_days_are_told_from_sowing_and_harvest(layout):
    maize = walk(layout, "plants of maize")
    assert (maize.first, maize.last) == (dt.date(2028, 5, 9), dt.date(2028, 6, 2))
    ripe = walk(layout, "ripeness")
    assert (ripe.first, ripe.last) == (dt.date(2028, 8, 1), dt.date(2028, 8, 15))


def test_spots_lie_in_three_strips_at_metres_from_an_end(layout):
    # strips are 100 m long between headlands of 10 m: a quarter, half, and a quarter from the north
    spots = walk(layout, "plants of maize").spots
    assert [(s.band, s.number, s.metres, s.end) for s in spots] == [
        ("A", 1, 25.0, "south"),
        ("A", 5, 50.0, "south"),
        ("A", 9, 25.0, "north"),
    ]


def test_spots_are_where_they_say(layout):
    spot = walk(layout, "plants of maize").spots[2]
    place = layout.field.frame.to_local(shapely.Point(spot.lon, spot.lat))
    # strip 9 lies from 48 to 54 m, its middle at 51 m: 21 m east of the middle of the field; the
    # north headland begins at 110 m: 85 m is 25 m north of the middle
    assert (place.x, place.y) == (pytest.approx(21.0, abs=0.02), pytest.approx(25.0, abs=0.02))


def test_a_stage_is_looked_at_before_it_is_needed():
    both = """
    [[stand]]
    name = "both"
    [[stand.sowing]]
    crop = "maize"
    spacing = 0.75
    when = { date = 2028-05-01 }
    [[stand.sowing]]
    crop = "clover"
    place = "broadcast"
    harvested = false
    when = { crop = "maize", stage = "knee high" }
    [[pattern]]
    name = "p"
    bands = [ { name = "A", width = 6.0, stand = "both" } ]
    [[season]]
    year = 2028
    [[stage]]
    crop = "maize"
    stage = "knee high"
    first = "06-10"
    last = "06-15"
    """
    found = walk(layout_of(both, year=2028), "the stage of maize")
    assert (found.first, found.last) == (dt.date(2028, 6, 3), dt.date(2028, 6, 10))
    assert found.expected == "knee high, on most of them"


def test_without_a_season_nobody_walks():
    assert field_walks(layout_of(STANDS, BANDS, MACHINES)) == ()
