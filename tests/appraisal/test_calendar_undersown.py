"""Sowings in and outside their window. Days and stands are invented, limits have their source."""

import datetime as dt
from dataclasses import replace

import pytest
from appraisal_layouts import GRASS, layout_of
from sample_layouts import sample_layout

from geolayout.appraisal.calendar.season import times_of
from geolayout.appraisal.calendar.undersown import is_crop, sowing_window_cautions
from geolayout.land.frames.frame import Frame
from geolayout.land.weather.file import weather_table
from geolayout.plan.parse import parse_plan

SEASON = "[[season]]\nyear = 2028\n"


def found(first, second, *stages, weather=None):
    """Return the cautions of two sowings of one stand."""
    text = f"""
    [[stand]]
    name = "both"
    sowing = [ {first}, {second} ]
    [[pattern]]
    name = "p"
    bands = [ {{ name = "A", width = 6.0, stand = "both" }} ]
    """
    layout = layout_of(text, SEASON, *stages)
    layout = replace(layout, field=replace(layout.field, weather=weather, frame=Frame(10.0, 52.0)))
    return sowing_window_cautions(layout)


def maize(date="2028-05-01"):
    return f'{{ crop = "maize", spacing = 0.75, when = {{ date = {date} }} }}'


def clover(when):
    return (
        '{ crop = "white clover", between = "maize", rows = 1, harvested = false, '
        f"when = {{ {when} }} }}"
    )


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        # V4 to V6; before V4 costs yield, after V6 the cover is thin (fieldcropnews.com 2019;
        # Schmitt and others, Agronomy 11:712)
        pytest.param("V2", "takes yield", id="early"),
        pytest.param("V4", "", id="in time"),
        pytest.param("6 leaves", "", id="just in time"),
        pytest.param("V8", "cover is thin", id="late"),
    ],
)
def test_clover_in_maize_by_leaves(stage, words):
    cautions = found(maize(), clover(f'crop = "maize", stage = "{stage}"'))
    assert [words in c.sentence for c in cautions] == ([True] if words else [])
    assert all(c.code == "W23" for c in cautions)


@pytest.mark.parametrize(
    ("day", "days"),
    [
        # 20 °F·d a day from 1 May: V4 at 380, the 19th (Wisconsin); V6 at 612, the 31st (Purdue)
        pytest.param("2028-05-18", [1.0], id="a day early on both scales"),
        pytest.param("2028-05-19", [], id="in time on one scale"),
        pytest.param("2028-05-31", [], id="still in time on one scale"),
        pytest.param("2028-06-03", [3.0], id="three days late on both"),
    ],
)
def test_clover_in_maize_by_day(day, days):
    first = dt.date(2028, 4, 1)
    lines = [f"{first + dt.timedelta(days=i)},60,80" for i in range(120)]
    record = weather_table(("date,tmin_f,tmax_f\n" + "\n".join(lines)).encode(), "even")
    cautions = found(maize(), clover(f"date = {day}"), weather=record)
    assert [c.value for c in cautions if c.unit == "days"] == days
    assert found(maize(), clover(f"date = {day}")) == []  # no weather, no judgement


HARVEST = '[[stage]]\ncrop = "wheat"\nstage = "harvest"\nfirst = "07-20"\nlast = "07-30"'
WHEAT = '{ crop = "wheat", spacing = 0.25 }'


@pytest.mark.parametrize(
    ("day", "days"),
    [
        # up to 6 to 7 weeks before wheat harvest (Ohio State Extension 2013): 1 June is 49 days
        # before 20 July (29 in June, 20 in July), 31 May is 50
        pytest.param("2028-06-01", [], id="seven weeks"),
        pytest.param("2028-05-31", [50.0], id="a day more"),
    ],
)
def test_soya_in_wheat(day, days):
    soya = f'{{ crop = "soya", spacing = 0.5, when = {{ date = {day} }} }}'
    assert [c.value for c in found(WHEAT, soya, HARVEST)] == days
    assert found(WHEAT, soya) == []  # no harvest known, no judgement


@pytest.mark.parametrize(
    ("stage", "count"),
    [pytest.param("tillering", 0, id="tillering"), pytest.param("Heading", 1, id="heading")],
)
def test_cover_in_a_cereal(stage, count):
    # tillering to before stem extension (FiBL 2018)
    cover = (
        '{ crop = "red clover", place = "broadcast", harvested = false, '
        f'when = {{ crop = "wheat", stage = "{stage}" }} }}'
    )
    assert len(found(WHEAT, cover)) == count


@pytest.mark.parametrize(
    ("day", "count"),
    [pytest.param("2028-05-01", 0, id="May"), pytest.param("2028-12-01", 1, id="December")],
)
def test_a_day_outside_the_months_of_the_sheet(day, count):
    assert len(found(maize(day), '{ crop = "unheard of", place = "broadcast" }')) == count
    assert found(maize(day), '{ crop = "grass", place = "standing" }') == []


def test_names_of_one_crop():
    text = GRASS + '[[pattern]]\nname = "p"\nbands = [{ name = "A", width = 6.0, stand = "grass" }]'
    plan = parse_plan("schema = 1" + text)
    assert is_crop(plan, "winter wheat", "wheat")
    assert is_crop(plan, "My Own", "my own")
    assert not is_crop(plan, "barley", "wheat")
    assert not is_crop(plan, "unheard of", "wheat")


def test_oats_into_dormant_pasture_are_sown_in_the_months_of_a_winter_cereal():
    # At the first frosts, the normal sowing date of a winter cereal (Local Land Services NSW,
    # "Pasture cropping", 2020); April to July by the sheet, and 20 April in the sample plan
    layout = sample_layout("bore_paddock")
    (stand,) = layout.plan.stands
    _, oats = stand.sowing
    (usual,) = times_of(layout).usual_months(oats)
    assert (usual.first.month, usual.last.month) == (4, 7)
    assert usual.first <= oats.when.date <= usual.last
    assert sowing_window_cautions(layout) == []  # months are not judged where grass stands
