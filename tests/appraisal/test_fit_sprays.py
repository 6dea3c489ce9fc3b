"""Sprays over under-sown crops and beside other strips. Labels and figures are invented."""

import pytest
from appraisal_layouts import ONE_PLANTER, STANDS, layout_of, the_one

from geolayout.appraisal.fit.sprays import spray_cautions

SEASON = "[[season]]\nyear = 2028\n"
BOTH = """
[[stand]]
name = "both"
[[stand.sowing]]
crop = "maize"
spacing = 0.75
[[stand.sowing]]
crop = "white clover"
between = "maize"
rows = 1
harvested = false
when = { date = 2028-06-01 }
"""
ONE = '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "both" } ]\n'


def spray(keys="", machine="working_width = 24.0\nsections = 4"):
    return (
        f'[[machine]]\nname = "sprayer"\nkind = "sprayer"\n{machine}\n'
        f'[[operation]]\nname = "spray"\nmachine = "sprayer"\nover = "block"\n{keys}\n'
    )


def keys_of(*parts):
    return [caution.key for caution in spray_cautions(layout_of(*parts))]


def test_a_spray_harms_what_grows_under_it():
    (caution,) = spray_cautions(layout_of(BOTH, ONE, spray('harms = ["white clover"]')))
    assert (caution.key, caution.code) == ("spray-harms-crop", "W21")
    assert "harms white clover, which grows in A" in caution.sentence


@pytest.mark.parametrize(
    ("date", "days", "left"),
    [
        # sown on 1 June; sprayed on 1 May, 31 days before
        pytest.param("2028-05-01", 31, None, id="just over"),
        pytest.param("2028-05-01", 32, 1.0, id="a day too early"),
    ],
)
def test_the_days_of_the_label_are_counted(date, days, left):
    keys = f'harms = ["clover", "white clover"]\nplant_back = {days}\nwhen = {{ date = {date} }}'
    found = spray_cautions(layout_of(BOTH, ONE, spray(keys), SEASON))
    assert [caution.value for caution in found] == ([] if left is None else [left])


def test_a_crop_that_stands_already_is_harmed_whatever_the_days():
    keys = 'harms = ["white clover"]\nplant_back = 0\nwhen = { date = 2028-06-20 }'
    (caution,) = spray_cautions(layout_of(BOTH, ONE, spray(keys), SEASON))
    assert caution.value is None


def test_silence_over_an_under_sown_crop_is_asked():
    assert keys_of(BOTH, ONE, spray()) == ["spray-harms-not-given"]
    assert keys_of(BOTH, ONE, spray("harms = []")) == []


SET = 'nozzle = "low drift"\nwind_limit = 4.0'


@pytest.mark.parametrize(
    ("keys", "sections", "words"),
    [
        pytest.param('stands = ["maize"]', 4, "no class of nozzle and limit of wind", id="unset"),
        pytest.param(f'stands = ["maize"]\n{SET}', 4, "", id="set, sections of 6 m"),
        pytest.param(f'stands = ["maize"]\n{SET}', 2, "12.00 m is wider than", id="of 12 m"),
        pytest.param("", 4, "", id="meant for both"),
    ],
)
def test_drift_onto_the_strip_beside(keys, sections, words):
    machine = f"working_width = 24.0\nsections = {sections}"
    found = spray_cautions(layout_of(STANDS, ONE_PLANTER, spray(keys, machine)))
    assert [(c.key, c.code, words in c.sentence) for c in found] == (
        [("spray-drift", "W22", True)] if words else []
    )
    # 60 m hold five strips of each
    assert [caution.count for caution in found] == ([5] if words else [])


def test_it_is_among_the_cautions():
    layout = layout_of(BOTH, ONE, spray('harms = ["white clover"]'))
    assert the_one(layout, "spray-harms-crop").severity == "warning"
