"""Published warmth of stages, crop by crop, against the figures as they are printed."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.calendar.days import Times
from geolayout.appraisal.calendar.scales import CROP_SCALES, published_stages
from geolayout.land.weather.file import weather_table
from geolayout.plan.crops.sheet import shipped_sheet
from geolayout.plan.parse import parse_plan


def times(sowing, weather):
    """Return the days of 2028 of a plan of one sowing in the north, and its stand."""
    plan = parse_plan(f"""
    schema = 1
    [[stand]]
    name = "s"
    sowing = [ {sowing} ]
    [[pattern]]
    name = "p"
    bands = [ {{ name = "A", width = 6.0, stand = "s" }} ]
    """)
    return Times(plan, 2028, "north", weather), plan.stands[0]


def warm(year):
    """A summer of equal days of 60 and 80 °F, invented."""
    days = [dt.date(year, 4, 1) + dt.timedelta(days=i) for i in range(150)]
    lines = [f"{day},60,80" for day in days]
    return weather_table(("date,tmin_f,tmax_f\n" + "\n".join(lines) + "\n").encode(), "warm")


def told(crop, stage, *, wintering=False):
    """Return what every scale of a crop has for a stage, by its name."""
    found = {
        one.name: one.heat_to(stage, wintering=wintering) for one in CROP_SCALES if one.crop == crop
    }
    return {name: heat for name, heat in found.items() if heat is not None}


@pytest.mark.parametrize(
    ("crop", "stage", "printed"),
    [
        # Kansas State University, Agronomy eUpdate 661, table 1, medium early and medium late
        pytest.param("sorghum", "emergence", [99, 198], id="sorghum up"),
        pytest.param("sorghum", "3 leaves", [252, 360], id="sorghum, third leaf"),
        pytest.param("sorghum", "boot", [1206, 1647], id="sorghum, boot"),
        pytest.param("sorghum", "mid bloom", [1440, 1908], id="sorghum, mid bloom"),
        pytest.param("sorghum", "black layer", [2556, 3006], id="sorghum, black layer"),
        # cropchatter.com, Manitoba Agriculture, 2014 [°C·d]; nuseed.com [°F·d]
        pytest.param("sunflower", "VE", [97, 206], id="sunflower up, two sources"),
        pytest.param("sunflower", "R1", [569], id="sunflower R1"),
        pytest.param("sunflower", "R5.1", [883], id="sunflower R5.1"),
        pytest.param("sunflower", "R9", [1276], id="sunflower R9"),
        # mawg.cropdisease.com (Hollingsworth): 80 + 50 an inch; myfields.info: 270, then 540
        pytest.param("wheat", "emergence", [80 + 1.5 * 50, 270], id="wheat up, two sources"),
        pytest.param("wheat", "V4", [155 + 501], id="wheat, fourth leaf"),
        pytest.param("wheat", "tillering", [155 + 215, 270 + 540], id="wheat tillers"),
        # and FAO, X8234E, section 6, in °C·d
        pytest.param("wheat", "heading", [155 + 1502, 760], id="wheat heads"),
        # thesoyreport.blogspot.com, 2008; Iowa State University Extension, 2021
        pytest.param("soya", "VE", [145, 130], id="soya up, two sources"),
        # NDSU, 2016: relative maturity 00.8, 0.5 and 1.1
        pytest.param("soya", "R8", [1694, 1890, 2058], id="soya ripe, three maturities"),
        # Canola Council of Canada, 22 May 2014
        pytest.param("oilseed rape", "maturity", [1500], id="rape ripe"),
        # from memory, see the source beside the figures
        pytest.param("oilseed rape", "4 leaves", [411, 463], id="rape, four leaves, from memory"),
        pytest.param("wheat", "knee high", [], id="no such stage"),
        pytest.param("soya", "V4", [], id="leaves beyond the table"),
    ],
)
def test_figures_are_as_printed(crop, stage, printed):
    assert list(told(crop, stage).values()) == printed


def test_a_table_of_what_is_left_checks_the_sorghum():
    # the same table has what is left to black layer: 1,116 from mid bloom, 1,098 the late one
    left = [told("sorghum", "black layer"), told("sorghum", "half bloom")]
    assert [left[0][name] - left[1][name] for name in left[0]] == [1116, 1098]


def test_two_sources_of_wheat_agree_that_it_is_up_after_150_degree_days():
    # Victoria's page: 150 °C·d from sowing to being up; Kansas: 270 °F·d
    (kansas,) = [one for one in CROP_SCALES if one.name == "Kansas"]
    assert kansas.degree_days(270.0) == pytest.approx(150.0)


def test_what_is_sown_before_winter_is_told_up_to_its_leaves_in_autumn():
    assert list(told("wheat", "3 leaves", wintering=True)) == ["Minnesota"]
    assert told("wheat", "heading", wintering=True) == {}
    assert told("wheat", "7 leaves", wintering=True) == {}
    assert told("oilseed rape", "flowering", wintering=True) == {}
    assert len(told("maize", "V4", wintering=True)) == 2  # no winter lies in it


@pytest.mark.parametrize("scale", CROP_SCALES, ids=lambda one: f"{one.crop}, {one.name}")
def test_each_scale_is_of_a_crop_of_the_sheet_with_source_and_rising_figures(scale):
    assert shipped_sheet().find(scale.crop).name == scale.crop
    assert scale.source
    assert scale.cap is None or scale.cap > scale.base
    heats = [heat for _, heat in scale.leaves]
    assert heats == sorted(set(heats))
    named = [heat for _, heat in scale.stages]
    assert named == sorted(named)
    assert all(heat >= heats[0] for heat in named) if heats else named
    assert ("memory" in scale.source) == ("memory" in scale.name)


def test_every_scale_has_a_name_of_its_own_and_five_crops_beside_maize_are_known():
    assert len({(one.crop, one.name) for one in CROP_SCALES}) == len(CROP_SCALES)
    assert {one.crop for one in CROP_SCALES} == {
        "maize",
        "wheat",
        "sunflower",
        "sorghum",
        "soya",
        "oilseed rape",
    }


def test_both_scales_reach_the_calendar_with_their_own_units():
    # equal days of 60 and 80 °F. Over 44 °F 26 °F·d a day: 206 on the 8th day. In Celsius 21.1,
    # over 6.7 it is 14.4 °C·d a day: 97 on the 7th
    sowing = '{ crop = "sunflower", spacing = 0.75, when = { date = 2028-05-01 } }'
    at, stand = times(sowing, weather=warm(2028))
    found = at.at_stage(stand.sowing[0], "VE").spans
    assert [one.first for one in found] == [dt.date(2028, 5, 7), dt.date(2028, 5, 8)]
    assert found[0].basis.startswith("Manitoba, 97 °C·d from sowing, by the weather of 2028")
    assert found[1].basis.startswith("North Dakota, 206 °F·d = 114 °C·d from sowing")


@pytest.mark.parametrize("name", ["corn", "milo", "canola", "soybeans", "spring wheat"])
def test_other_names_of_a_crop_have_its_scales(name):
    sowing = f'{{ crop = "{name}", spacing = 0.5, when = {{ date = 2028-05-01 }} }}'
    at, stand = times(sowing, weather=warm(2028))
    assert at.at_stage(stand.sowing[0], "VE").spans


def test_wheat_sown_in_autumn_is_asked_for_its_heading():
    sowing = '{ crop = "wheat", spacing = 0.125, when = { date = 2027-10-05 } }'
    at, stand = times(sowing, weather=warm(2027))
    assert at.at_stage(stand.sowing[0], "heading").missing == (
        '[[stage]] crop = "wheat", stage = "heading"'
    )


@given(st.sampled_from(CROP_SCALES), st.integers(0, 12), st.integers(0, 12))
def test_more_leaves_take_more_warmth(scale, few, many):
    pair = [scale.heat_to(f"V{min(few, many)}"), scale.heat_to(f"V{max(few, many)}")]
    assert None in pair or pair[0] <= pair[1]


def test_entries_say_which_scale_they_are_of():
    entries = published_stages("soya", "early soya", "full maturity", wintering=False)
    assert next(words for _, words in entries) == "North Dakota, maturity 00.8, 1694 °F·d = "
    assert {entry.crop for entry, _ in entries} == {"early soya"}
