"""What a plan says of features and consents, and what it may not say."""

import datetime as dt

import pytest

from geolayout.errors import PlanError
from geolayout.plan.features import Consent, FeatureSource
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

BANDS = """
[[pattern]]
name = "p"
bands = [ { name = "A", width = 6.0, stand = "none" } ]
"""


def plan_of(keys: str) -> Plan:
    return parse_plan(f"schema = 1\n{keys}\n{BANDS}")


def feature_of(keys: str, kind: str = "fence") -> FeatureSource:
    return plan_of(f'[[feature]]\nkind = "{kind}"\n{keys}').features[0]


# Where it lies


@pytest.mark.parametrize(
    ("keys", "place"),
    [
        pytest.param('source = "x.gpkg"\nlayer = "lines"\nid = 7', "x.gpkg", id="in a file"),
        pytest.param('source = "x.gpkg"\nattribute = { typ = "Zaun" }', "x.gpkg", id="by column"),
        pytest.param("at = [7.25, 52.5]", "the plan", id="at a place"),
        pytest.param("points = [[7.25, 52.5], [7.26, 52.5]]", "the plan", id="a line"),
        pytest.param(
            "points = [[7.25, 52.5], [7.26, 52.5], [7.26, 52.6]]\nclosed = true",
            "the plan",
            id="an area",
        ),
    ],
)
def test_a_feature_lies_in_a_file_or_in_the_plan(keys, place):
    assert feature_of(keys).place == place


BAD = [
    ("name = 'x'", r"x has neither source, at nor points.*source = .*at = .*points", "nowhere"),
    ("source = 'x'\nat = [7.0, 52.0]", r"fence has source and at", "in two places"),
    ("at = [7.0, 52.0]\npoints = [[7.0, 52.0], [7.1, 52.0]]", r"at and points", "drawn twice"),
    ("at = [52.0]", r"at", "half a place"),
    ("at = [700.0, 52.0]", r"180 or less", "off the earth"),
    ("points = [[7.0, 52.0]]", r"1 different points.*A line needs 2", "a line of one point"),
    ("points = [[7.0, 52.0], [7.0, 52.0]]", r"1 different points", "the same point twice"),
    (
        "points = [[7.0, 52.0], [7.1, 52.0], [7.0, 52.0]]\nclosed = true",
        r"2 different points.*An area needs 3",
        "an area of two points",
    ),
    ("source = 'x'\nclosed = true", r"closed = true and no points", "a file closed"),
    ("at = [7.0, 52.0]\nlayer = 'a'", r"layer and no source", "a layer of no file"),
    ("at = [7.0, 52.0]\ncrs = 'EPSG:25832'", r"crs and no source.*WGS 84", "a place in metres"),
    ("at = [7.0, 52.0]\nid = 3", r"id and no source", "an id of no file"),
    ("source = 'x'\nattribute = { a = 1, b = 2 }", r"chosen by 2 columns", "two columns"),
    ("source = 'x'\nwidth = 4.0", r"a fence with width.*gateway, bridge, culvert", "width"),
    ("source = 'x'\nroom = 0.4", r"a fence with width or room", "room"),
    ("source = 'x'\ndefault_from = 'England 2024'", r"default_from and no keep_clear", "of none"),
]


@pytest.mark.parametrize(
    ("keys", "match"), [pytest.param(keys, match, id=name) for keys, match, name in BAD]
)
def test_what_a_feature_may_not_say(keys, match):
    with pytest.raises(PlanError, match=match):
        feature_of(keys)


@pytest.mark.parametrize("kind", ["gateway", "bridge", "culvert"])
def test_what_is_passed_through_has_a_width_and_room(kind):
    way = feature_of("at = [7.0, 52.0]\nwidth = 4.2\nroom = 0.4", kind)
    assert (way.width, way.room) == (4.2, 0.4)


@pytest.mark.parametrize("keys", ["room = 0.4", "width = 3.0\nroom = 3.0"])
def test_room_is_part_of_a_width(keys):
    with pytest.raises(PlanError, match=r"room of .* and (no width|a width of 3 m)"):
        feature_of(f"at = [7.0, 52.0]\n{keys}", "gateway")


# Defaults of a country


HEDGE = '[[feature]]\nkind = "hedge"\nsource = "x.geojson"\n'


def test_a_country_stands_in_where_it_has_a_rule():
    plan = plan_of(f'[field]\ncountry = "England"\n{HEDGE}')
    assert plan.features[0].keep_clear is None


@pytest.mark.parametrize(
    ("country", "match"),
    [
        ("", r"hedge has no keep_clear.*distance is local\."),
        ('[field]\ncountry = "Wales"\n', r"no default for Wales is known here"),
    ],
    ids=["no country", "a country without a rule"],
)
def test_nothing_is_assumed_without_a_rule(country, match):
    with pytest.raises(PlanError, match=match):
        plan_of(country + HEDGE)


def test_a_default_counts_from_where_its_rule_says():
    with pytest.raises(PlanError, match=r"'drawn edge'.*England 2024 counts from the centre line"):
        plan_of(f'[field]\ncountry = "England"\n{HEDGE}measured_from = "drawn edge"')


def test_an_unknown_country_is_refused_in_the_plan():
    with pytest.raises(PlanError, match=r"country is 'Englund'.*'England'"):
        plan_of('[field]\ncountry = "Englund"')


# Consents


CONSENT = {
    "feature": "fence",
    "owner": "the neighbour (invented)",
    "for_what": "trees",
    "asked": dt.date(2027, 1, 8),
    "answer": "none yet",
}


def consent_of(**changed) -> Consent:
    return Consent.model_validate(CONSENT | changed)


def test_a_consent_holds_what_was_asked_and_answered():
    consent = consent_of(
        answer="with conditions",
        answered=dt.date(2027, 2, 1),
        conditions="by hand",
        expires=dt.date(2028, 1, 1),
    )
    assert consent.label == "The consent of the neighbour (invented) for fence"


@pytest.mark.parametrize(
    ("changed", "match"),
    [
        pytest.param({"answer": "yes"}, r'answer "yes" and no day', id="an answer of no day"),
        pytest.param(
            {"answered": dt.date(2027, 2, 1)}, r'"none yet" and the day', id="a day of no answer"
        ),
        pytest.param(
            {"answer": "no", "answered": dt.date(2026, 2, 1)},
            r"answer came before the question",
            id="answered before it was asked",
        ),
        pytest.param(
            {"answer": "with conditions", "answered": dt.date(2027, 2, 1)},
            r"and no conditions",
            id="conditions not told",
        ),
    ],
)
def test_what_a_consent_may_not_say(changed, match):
    with pytest.raises(ValueError, match=match):
        consent_of(**changed)


CONSENT_TEXT = """
[[consent]]
feature = "{feature}"
owner = "the neighbour (invented)"
for_what = "trees"
asked = 2027-01-08
answer = "none yet"
"""
FENCE = '[[feature]]\nkind = "fence"\nname = "west fence"\nat = [7.0, 52.0]\n'


@pytest.mark.parametrize("feature", ["west fence", "fence"])
def test_a_consent_speaks_of_a_feature_by_name_or_kind(feature):
    plan = plan_of(FENCE + CONSENT_TEXT.format(feature=feature))
    assert plan.consents[0].feature == feature


def test_a_consent_for_nothing_is_refused_with_the_near_name():
    with pytest.raises(PlanError, match=r"The consent of .* names 'west fense'.*'west fence'"):
        plan_of(FENCE + CONSENT_TEXT.format(feature="west fense"))
