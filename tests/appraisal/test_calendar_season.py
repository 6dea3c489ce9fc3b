"""The calendar of a season on paper. Every day is invented; the field lies on the equator."""

import datetime as dt

import pytest
import shapely
from appraisal_layouts import ALLEYS, BANDS, GRASS, HEADLAND, LAND, MACHINES, STANDS, layout_of

from geolayout.appraisal.calendar.season import season_calendar
from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan

SEASON = "[[season]]\nyear = 2028\n"
NEXT = SEASON + "[[season]]\nyear = 2029\n"
WRITTEN = "as the plan has it"
DAYS = """
[[stage]]
crop = "maize"
stage = "sown"
first = "04-25"
last = "05-05"
[[stage]]
crop = "field beans"
stage = "harvest"
first = "08-01"
last = "08-20"
"""


def lines(layout):
    return season_calendar(layout).lines


def told(layout, kind):
    return [line for line in lines(layout) if line.kind == kind]


def test_a_plan_without_season_has_no_calendar():
    calendar = season_calendar(layout_of(STANDS, BANDS, MACHINES))
    assert (calendar.year, calendar.lines) == (None, ())
    assert calendar.missing == ("[[season]] year, the year of the harvest",)


def test_sowing_and_harvest_in_their_order():
    layout = layout_of(STANDS, BANDS, MACHINES, SEASON, DAYS, year=2028)
    known = [line for line in lines(layout) if line.missing == "" and line.basis == WRITTEN]
    assert [(line.what, line.where, line.first) for line in known] == [
        ("Sow maize (plant)", ("A",), dt.date(2028, 4, 25)),
        ("Harvest field beans", ("B",), dt.date(2028, 8, 1)),
    ]


def test_what_is_missing_is_asked_once():
    layout = layout_of(STANDS, BANDS, MACHINES, SEASON, DAYS, year=2028)
    calendar = season_calendar(layout)
    assert '[[stage]] crop = "maize", stage = "harvest"' in calendar.missing
    assert len(set(calendar.missing)) == len(calendar.missing)
    assert all(line.first is None for line in calendar.lines if line.missing)
    # lines without days stand last
    known = [line.first is not None for line in calendar.lines]
    assert known == sorted(known, reverse=True)


def test_an_operation_has_a_day_of_its_own():
    spray = """
    [[operation]]
    name = "spray"
    machine = "planter"
    when = { date = 2027-11-10 }
    """
    this, after = (layout_of(STANDS, BANDS, MACHINES, spray, NEXT, year=y) for y in (2028, 2029))
    (line,) = told(this, "work")
    assert (line.what, line.where, line.first) == ("Spray", ("A", "B"), dt.date(2027, 11, 10))
    (line,) = told(after, "work")
    assert line.first == dt.date(2028, 11, 10)
    assert "the same day as in 2027" in line.basis


def test_an_operation_waits_for_a_stage():
    spray = """
    [[operation]]
    name = "spray"
    machine = "planter"
    when = { crop = "field beans", stage = "harvest" }
    """
    (line,) = told(layout_of(STANDS, BANDS, MACHINES, spray, SEASON, DAYS, year=2028), "work")
    assert line.first == dt.date(2028, 8, 1)


def test_the_headland_is_sown_too():
    where = [
        line.where for line in told(layout_of(STANDS, BANDS, MACHINES, HEADLAND, SEASON), "sow")
    ]
    assert ("headland",) in where


def at(lat, text, year=None):
    """Lay a plan on the rectangle of 60 x 120 m at a latitude."""
    frame = Frame(10.0, lat)
    line = frame.to_geographic(shapely.LineString([(5, 5), (5, 55)]))
    hedge = DrawnFeature("hedge", "invented", line, "centre line", 0.0, KeepClear())
    field = make_field(frame.to_geographic(LAND), features=[hedge])
    plan = parse_plan(f'schema = 1\n{text}\n[guide]\nbearing = 0.0\nfrom = "west"')
    plan = resolve_guides(plan, field, Drawn())
    return lay_out(field, plan, plan.season(year))


def test_trees_are_planted_once_and_in_the_dormant_season():
    text = "\n".join([GRASS, ALLEYS, NEXT])
    (line,) = told(at(52.0, text), "plant trees")
    assert (line.first, line.last) == (dt.date(2027, 11, 1), dt.date(2028, 3, 31))
    assert told(at(52.0, text, 2029), "plant trees") == []
    (line,) = told(layout_of(text, year=2028), "plant trees")  # on the equator
    assert "with the rains" in line.missing


def test_southern_trees_are_planted_in_the_southern_winter():
    (line,) = told(at(-35.0, GRASS + ALLEYS + SEASON), "plant trees")
    assert (line.first.month, line.last.month) == (5, 8)


@pytest.mark.parametrize(
    ("country", "first"),
    [
        # 1 March to 31 August: National Farmers' Union, hedgerow legislation update, 2024
        pytest.param('[field]\ncountry = "England"\n', dt.date(2028, 3, 1), id="England"),
        pytest.param("", None, id="no country: asked"),
    ],
)
def test_hedges(country, first):
    (line,) = told(at(52.0, country + STANDS + BANDS + MACHINES + SEASON), "no hedge cutting")
    assert line.first == first
    assert bool(line.missing) == (first is None)


def test_a_relay_stands_together_with_its_first_crop():
    text = """
    [[stand]]
    name = "relay"
    sowing = [
      { crop = "wheat", spacing = 0.25 },
      { crop = "soya", between = "wheat", rows = 1, when = { crop = "wheat", stage = "heading" } },
    ]
    [[pattern]]
    name = "p"
    bands = [ { name = "A", width = 6.0, stand = "relay" } ]
    [[season]]
    year = 2028
    [[stage]]
    crop = "wheat"
    stage = "heading"
    first = "06-01"
    last = "06-05"
    [[stage]]
    crop = "wheat"
    stage = "harvest"
    first = "07-15"
    last = "07-20"
    """
    (line,) = told(layout_of(text, year=2028), "together")
    # 5 June to 15 July: 25 + 15 = 40 days; 1 June to 20 July: 29 + 20 = 49 days
    assert line.what == "soya and wheat stand together, 40 to 49 days"
    assert (line.first, line.last) == (dt.date(2028, 6, 1), dt.date(2028, 7, 20))
