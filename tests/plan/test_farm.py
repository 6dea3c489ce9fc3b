"""The farm: asked once, shared by plans, and what a correction service can and cannot be."""

import pytest

from geolayout.errors import PlanError
from geolayout.handover.planfile import plan_toml
from geolayout.land.frames.references import FRAMES, Reference
from geolayout.plan.farm import Farm
from geolayout.plan.parse import parse_farm, parse_plan

PLAN = """
schema = 1
[[stand]]
name = "barley"
sowing = [ { crop = "barley", spacing = 0.125 } ]
[[pattern]]
name = "all over"
bands = [ { name = "A", width = 6.0, stand = "barley" } ]
"""
FARM = """
[farm]
name = "Hill (invented)"
units = "imperial"
correction = { frame = "ITRF2014", epoch = 2026.9, service = "mast", asked = 2026-11-20 }
"""


def farm_of(keys):
    return parse_farm(f"[farm]\n{keys}").farm


def test_a_farm_says_what_it_says():
    farm = parse_farm(FARM).farm
    assert (farm.name, farm.units) == ("Hill (invented)", "imperial")
    assert farm.correction.reference == Reference("ITRF2014", 2026.9)
    assert farm.correction.asked.isoformat() == "2026-11-20"


def test_nothing_is_assumed_of_a_farm_that_was_not_asked():
    assert parse_plan(PLAN).farm is None
    assert parse_plan(PLAN, farm=parse_farm("")).farm is None
    assert Farm().units == "metric"
    assert Farm().correction is None


@pytest.mark.parametrize(
    ("own", "name", "units", "frame"),
    [
        pytest.param("", "Hill (invented)", "imperial", "ITRF2014", id="all from the file"),
        pytest.param('units = "metric"', "Hill (invented)", "metric", "ITRF2014", id="units"),
        pytest.param(
            'correction = { frame = "ETRS89" }', "Hill (invented)", "imperial", "ETRS89", id="frame"
        ),
        pytest.param('name = "Dale"', "Dale", "imperial", "ITRF2014", id="name"),
    ],
)
def test_what_the_plan_says_wins_key_by_key(own, name, units, frame):
    farm = parse_plan(f"{PLAN}[farm]\n{own}\n", farm=parse_farm(FARM)).farm
    assert (farm.name, farm.units, farm.correction.frame) == (name, units, frame)


def test_a_correction_of_the_plan_is_taken_whole():
    """An epoch of the file must not slip under a frame of the plan."""
    own = PLAN + '[farm]\ncorrection = { frame = "ETRS89" }\n'
    assert parse_plan(own, farm=parse_farm(FARM)).farm.correction.epoch is None


def test_the_farm_goes_with_the_plan_wherever_it_is_written():
    plan = parse_plan(PLAN, farm=parse_farm(FARM))
    again = parse_plan(plan_toml(plan))
    assert again == plan
    assert again.farm == parse_farm(FARM).farm


@pytest.mark.parametrize("frame", FRAMES)
def test_a_frame_needs_an_epoch_or_takes_none(frame):
    without = f'correction = {{ frame = "{frame}" }}'
    timed = f'correction = {{ frame = "{frame}", epoch = 2026.9 }}'
    fits, refused = (timed, without) if FRAMES[frame].dynamic else (without, timed)
    assert farm_of(fits).correction.frame == frame
    with pytest.raises(PlanError, match=r"has no epoch|an epoch changes nothing"):
        farm_of(refused)


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param('correction = { frame = "WGS 84" }', "good to 2 m", id="WGS 84 alone"),
        pytest.param('correction = { frame = "WGS84" }', "good to 2 m", id="WGS84 alone"),
        pytest.param(
            'correction = { frame = "ETRF200" }',
            "Did you mean .*'ETRF2000'",
            id="a slip in a frame",
        ),
        pytest.param("correction = { epoch = 2026.9 }", "frame is missing", id="no frame"),
        pytest.param(
            'correction = { frame = "ITRF2014", epoch = 26.9 }', "1980 or more", id="a short year"
        ),
        pytest.param(
            'correction = { frame = "ETRS89", row_sd = 0 }', "more than 0", id="no spread at all"
        ),
        pytest.param('units = "feet"', "'metric' or 'imperial'", id="units of no system"),
        pytest.param("corection = 3", "Did you mean 'correction'", id="a slip in a key"),
    ],
)
def test_what_cannot_be_is_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        farm_of(keys)
