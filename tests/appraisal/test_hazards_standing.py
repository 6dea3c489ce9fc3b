"""Where machines stand: fill, tip and stack points and gateways held against wires and water."""

import datetime as dt
from dataclasses import replace

import pytest
from appraisal_layouts import LAND, close, feature_in, of_key, strips, the_one
from shapely import LineString, Point, box
from strategies import field_of

from geolayout.appraisal.hazards.features import field_hazards, hazards
from geolayout.plan.features import Acknowledged

ACROSS = LineString([(-10, 60), (70, 60)])


def standing(kind, x, y):
    return feature_in(LAND, kind, Point(x, y), "centre line")


def wires(**kept):
    return feature_in(LAND, "overhead line", ACROSS, "centre line", **kept)


@pytest.mark.parametrize(
    ("kind", "key"),
    [
        ("gateway", "gateway-near-wires"),
        ("fill point", "standing-near-wires"),
        ("tip point", "standing-near-wires"),
        ("stack point", "standing-near-wires"),
    ],
)
def test_a_place_nearer_than_10_m_to_wires_is_a_hazard(kind, key):
    caution = the_one(strips(features=[standing(kind, 30, 52), wires()]), key)
    assert (caution.code, caution.severity, caution.hazard) == ("W30", "hazard", "overhead line")
    assert (caution.value, caution.threshold) == (close(8.0), 10.0)
    assert f"The {kind} 'invented' lies 8.0 m from" in caution.sentence
    assert caution.place == (close(0.0), close(-8.0))  # 8 m south of the middle
    assert caution.open


def test_a_place_beyond_10_m_is_none_unless_more_is_kept():
    far = standing("tip point", 30, 48)
    assert of_key(strips(features=[far, wires()]), "standing-near-wires") == []
    kept = the_one(strips(features=[far, wires(turning=15.0)]), "standing-near-wires")
    assert kept.threshold == 15.0


@pytest.mark.parametrize("kind", ["pole", "stay wire"])
def test_poles_and_stay_wires_count_as_wires(kind):
    shape = Point(30, 60) if kind == "pole" else LineString([(30, 60), (36, 60)])
    start = "drawn edge" if kind == "pole" else "centre line"
    there = feature_in(LAND, kind, shape, start, all=1.0)
    layout = strips(features=[standing("stack point", 30, 52), there])
    assert the_one(layout, "standing-near-wires").value == close(8.0)


@pytest.mark.parametrize(
    ("kind", "away", "within"),
    [
        ("watercourse", 9.0, 10.0),
        ("ditch", 9.0, 10.0),
        ("pond", 9.0, 10.0),
        ("well", 49.0, 50.0),
        ("spring", 49.0, 50.0),
    ],
)
def test_water_is_10_m_off_and_wells_50_m(kind, away, within):
    water = feature_in(LAND, kind, box(0, 0, 5, 5), all=0.0)
    near = the_one(
        strips(features=[standing("fill point", 5 + away, 2), water]), "standing-near-water"
    )
    assert (near.value, near.threshold) == (close(away), within)
    assert near.hazard in ("water", "bank")
    beyond = strips(features=[standing("fill point", 5 + within + 1, 2), water])
    assert of_key(beyond, "standing-near-water") == []


def test_a_gateway_beside_a_ditch_is_no_hazard():
    ditch = feature_in(LAND, "ditch", box(0, 0, 5, 5), all=0.0)
    found = strips(features=[standing("gateway", 7, 2), ditch])
    assert of_key(found, "standing-near-water") == []


@pytest.mark.parametrize("kind", ["buried pipe", "buried cable"])
def test_loads_stay_6_m_off_what_is_buried(kind):
    service = feature_in(LAND, kind, ACROSS, "centre line", trees=3.0)
    caution = the_one(
        strips(features=[standing("stack point", 30, 55), service]), "standing-over-service"
    )
    assert (caution.value, caution.threshold) == (close(5.0), 6.0)
    assert "owner of the service" in caution.remedy


def test_the_stack_itself_reaches_nearer():
    stack = replace(standing("stack point", 30, 52), radius=3.0)
    caution = the_one(strips(features=[stack, wires()]), "standing-near-wires")
    assert caution.value == close(5.0)  # 8 m from the wires, 3 m of stack


def test_a_field_has_these_without_a_layout():
    features = [standing("tip point", 30, 52), wires()]
    keys = [caution.key for caution in field_hazards(field_of(LAND, features))]
    assert keys[:2] == ["standing-near-wires", "overhead line"]
    assert "since drawn" not in keys


def test_a_layout_and_its_field_say_the_same():
    features = [standing("tip point", 30, 52), wires()]
    layout = strips(features=features)
    own = {caution.sentence for caution in field_hazards(layout.field)}
    assert own <= {caution.sentence for caution in hazards(layout)}


def signed(hazard):
    return Acknowledged(hazard=hazard, who="a (invented)", date=dt.date(2027, 1, 15))


def test_what_only_work_brings_may_be_acknowledged_before_it_is_laid_out():
    found = field_hazards(field_of(LAND), [signed("spraying"), signed("consent")])
    assert "acknowledged-without-hazard" not in {caution.key for caution in found}


def test_a_slip_is_found_on_a_field_too():
    found = field_hazards(field_of(LAND), [signed("sprayin")])
    assert "acknowledged-without-hazard" in {caution.key for caution in found}
