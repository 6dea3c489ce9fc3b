"""When crops reach their stages, as written in a plan. Days are invented."""

import datetime as dt

import pytest
from pydantic import ValidationError

from geolayout.errors import PlanError
from geolayout.plan.crops.stages import Stage

HEADING = {"crop": "wheat", "stage": "heading"}


@pytest.mark.parametrize(
    ("given", "first"),
    [
        pytest.param({"first": "06-01", "last": "06-10"}, "06-01", id="every season"),
        pytest.param({"first": "12-20", "last": "01-10"}, "12-20", id="over the new year"),
        pytest.param(
            {"first": dt.date(2028, 6, 1), "last": dt.date(2028, 6, 10)},
            dt.date(2028, 6, 1),
            id="one season",
        ),
        pytest.param({"degree_days": 900.0}, None, id="by warmth"),
    ],
)
def test_a_stage_has_its_time(given, first):
    assert Stage.model_validate(HEADING | given).first == first


@pytest.mark.parametrize(
    ("given", "match"),
    [
        pytest.param({}, "not one time", id="no time"),
        pytest.param({"first": "06-01"}, "not one time", id="half a span"),
        pytest.param(
            {"first": "06-01", "last": "06-10", "degree_days": 900.0}, "not one time", id="both"
        ),
        pytest.param({"first": "02-30", "last": "03-01"}, "no such day", id="30 February"),
        pytest.param(
            {"first": "06-01", "last": dt.date(2028, 6, 10)}, "with a year and one", id="mixed"
        ),
        pytest.param(
            {"first": dt.date(2028, 6, 10), "last": dt.date(2028, 6, 1)}, "before", id="backwards"
        ),
        pytest.param({"degree_days": 9.0, "base": 10.0, "cap": 5.0}, "No warmth", id="low cap"),
        pytest.param({"stage": "sown", "degree_days": 9.0}, "from sowing", id="sown by warmth"),
    ],
)
def test_times_that_cannot_be_are_refused(given, match):
    with pytest.raises((PlanError, ValidationError), match=match):
        Stage.model_validate(HEADING | given)
