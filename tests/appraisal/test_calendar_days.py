"""Days of a season, north and south. Every day and figure of the plans is invented."""

import datetime as dt

import pytest

from geolayout.appraisal.calendar.days import Times
from geolayout.land.weather.file import weather_table
from geolayout.plan.parse import parse_plan

MAIZE = '{ crop = "maize", spacing = 0.75, when = { date = 2028-05-01 } }'
CLOVER = '{ crop = "clover", place = "broadcast", when = { crop = "maize", stage = "V4" } }'


def times(sowing, *stages, year=2028, half="north", weather=None):
    """Return the days of a plan of one stand, and the stand."""
    text = f"""
    schema = 1
    [[stand]]
    name = "s"
    sowing = [ {sowing} ]
    [[pattern]]
    name = "p"
    bands = [ {{ name = "A", width = 6.0, stand = "s" }} ]
    """ + "\n".join(f"[[stage]]\n{stage}" for stage in stages)
    plan = parse_plan(text)
    return Times(plan, year, half, weather), plan.stands[0]


def wheat(keys="", *stages, **where):
    return times(f'{{ crop = "wheat", spacing = 0.125{keys} }}', *stages, **where)


def stage(name, first, last, crop="wheat"):
    return f'crop = "{crop}"\nstage = "{name}"\nfirst = "{first}"\nlast = "{last}"'


def warm(year, low=60, high=80):
    """A summer of equal days: (60 + 80) / 2 - 50 = 20 °F·d each."""
    first = dt.date(year, 4, 1)
    days = [first + dt.timedelta(days=i) for i in range(150)]
    lines = [f"{day},{low},{high}" for day in days]
    return weather_table(("date,tmin_f,tmax_f\n" + "\n".join(lines) + "\n").encode(), "warm")


def span(days):
    (only,) = days.spans
    return only.first.isoformat(), only.last.isoformat()


def test_autumn_wheat_is_sown_in_the_year_before_its_harvest():
    at, stand = wheat("", stage("sown", "10-01", "10-20"), stage("harvest", "07-25", "08-10"))
    assert span(at.sown(stand.sowing[0], stand)) == ("2027-10-01", "2027-10-20")
    assert span(at.harvest(stand.sowing[0])) == ("2028-07-25", "2028-08-10")


def test_spring_wheat_is_sown_in_the_year_itself():
    at, stand = wheat("", stage("sown", "03-10", "03-30"))
    assert span(at.sown(stand.sowing[0], stand)) == ("2028-03-10", "2028-03-30")


def test_a_late_summer_crop_with_an_autumn_harvest_is_sown_before_it():
    at, stand = wheat("", stage("sown", "08-05", "08-10"), stage("harvest", "11-01", "11-20"))
    assert span(at.sown(stand.sowing[0], stand)) == ("2028-08-05", "2028-08-10")


def test_southern_maize_is_sown_in_the_spring_before_its_harvest():
    sown = stage("sown", "10-10", "10-25", "maize")
    cut = stage("harvest", "04-01", "04-30", "maize")
    at, stand = times('{ crop = "maize", spacing = 0.75 }', sown, cut, half="south")
    assert span(at.sown(stand.sowing[0], stand)) == ("2027-10-10", "2027-10-25")
    silk = stage("silking", "12-28", "01-08", "maize")
    at, stand = times('{ crop = "maize", spacing = 0.75 }', sown, cut, silk, half="south")
    assert span(at.at_stage(stand.sowing[0], "silking")) == ("2027-12-28", "2028-01-08")


def test_southern_wheat_of_one_calendar_year():
    at, stand = wheat(
        "", stage("sown", "05-10", "06-05"), stage("harvest", "12-01", "12-20"), half="south"
    )
    assert span(at.sown(stand.sowing[0], stand)) == ("2028-05-10", "2028-06-05")


def test_a_stage_lies_after_sowing():
    at, stand = wheat("", stage("sown", "10-01", "10-20"), stage("heading", "06-01", "06-10"))
    assert span(at.at_stage(stand.sowing[0], "Heading")) == ("2028-06-01", "2028-06-10")


def test_days_with_a_year_are_for_that_season_alone():
    one = 'crop = "wheat"\nstage = "harvest"\nfirst = 2028-07-20\nlast = 2028-08-01'
    at, stand = wheat("", one)
    assert span(at.harvest(stand.sowing[0])) == ("2028-07-20", "2028-08-01")
    at, stand = wheat("", one, year=2029)
    assert at.harvest(stand.sowing[0]).missing == '[[stage]] crop = "wheat", stage = "harvest"'


def test_the_day_of_a_sowing_counts_for_other_seasons_and_says_so():
    at, stand = times(MAIZE, year=2030)
    (only,) = at.sown(stand.sowing[0], stand).spans
    assert only.first == dt.date(2030, 5, 1)
    assert "the same day as in 2028" in only.basis


def test_usual_months_where_nothing_was_said():
    # the crop sheet has wheat from September to April in north-west Europe, from memory
    at, stand = wheat()
    (only,) = at.sown(stand.sowing[0], stand).spans
    assert (only.first, only.last) == (dt.date(2027, 9, 1), dt.date(2028, 4, 30))
    assert "north-west Europe" in only.basis
    assert "from memory" in only.basis
    assert wheat(half="")[0].sown(stand.sowing[0], stand).spans == ()  # the tropics
    at, stand = wheat(half="south")
    (only,) = at.sown(stand.sowing[0], stand).spans
    assert (only.first, only.last) == (dt.date(2028, 4, 1), dt.date(2028, 9, 30))


def test_under_sowing_at_a_stage_is_told_on_both_scales():
    # V4 at 448 and 380 °F·d: the 23rd and the 19th day at 20 a day, 1 May being the first
    at, stand = times(f"{MAIZE}, {CLOVER}", weather=warm(2028))
    found = at.sown(stand.sowing[1], stand)
    assert [one.first for one in found.spans] == [dt.date(2028, 5, 23), dt.date(2028, 5, 19)]
    assert [one.basis.split(",")[0] for one in found.spans] == ["Purdue", "Wisconsin"]
    assert all("weather of 2028" in one.basis for one in found.spans)


def test_a_stage_by_the_growers_own_warmth():
    # 100 °C·d over a base of 10: 20 / 1.8 = 11.1 a day, the 9th day
    own = 'crop = "maize"\nstage = "waist"\ndegree_days = 100.0\nbase = 10.0'
    at, stand = times(MAIZE, own, weather=warm(2028))
    assert span(at.at_stage(stand.sowing[0], "waist")) == ("2028-05-09", "2028-05-09")


@pytest.mark.parametrize(
    ("sowing", "weather", "missing"),
    [
        pytest.param(f"{MAIZE}, {CLOVER}", None, "daily temperatures", id="no weather"),
        pytest.param(
            f'{{ crop = "maize", spacing = 0.75 }}, {CLOVER}',
            warm(2028),
            'stage = "sown"',
            id="no day",
        ),
        pytest.param(f"{MAIZE}, {CLOVER}", warm(2028, 20, 50), "after 28 August", id="too cold"),
        pytest.param(
            f"{MAIZE}, {CLOVER.replace('V4', 'knee high')}", warm(2028), "[[stage]]", id="unknown"
        ),
    ],
)
def test_what_is_missing_is_said(sowing, weather, missing):
    at, stand = times(sowing, weather=weather)
    found = at.sown(stand.sowing[1], stand)
    assert not found.spans
    assert missing in found.missing
