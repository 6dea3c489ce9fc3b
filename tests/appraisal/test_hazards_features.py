"""Hazards: each kind is said, with its place, what to do and who decides; nothing is promised."""

import datetime as dt
import re

import pytest
from appraisal_layouts import HEADLAND, LAND, feature_in, of_key, strips, the_one
from shapely import LineString, Point

from geolayout.appraisal.caution import NOT_ACKNOWLEDGED, WARNING, Caution
from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.conventions import conventions
from geolayout.appraisal.hazards.features import acknowledged, hazards
from geolayout.appraisal.hazards.words import ABSENT, HAZARDS
from geolayout.land.kinds import KINDS
from geolayout.plan.features import Acknowledged

ACROSS = LineString([(-10, 60), (70, 60)])
DANGEROUS = [name for name, kind in KINDS.items() if kind.hazard]

PROMISES = re.compile(r"\b(safe|safely|safety|legal|legally|compliant|clear)\b|✓|✔", re.IGNORECASE)


def field_with(kind):
    if kind in ("pole", "well"):
        return feature_in(LAND, kind, Point(30, 60), all=2.0)
    return feature_in(LAND, kind, ACROSS, "centre line", half_width=0.5, all=1.0)


def signed(hazard="overhead line"):
    return (
        f'[[acknowledged]]\nhazard = "{hazard}"\nwho = "the grower (invented)"\ndate = 2027-01-15'
    )


@pytest.mark.parametrize("kind", DANGEROUS)
def test_each_dangerous_kind_is_said_with_place_and_who_decides(kind):
    caution = the_one(strips(HEADLAND, features=[field_with(kind)]), kind)
    words = HAZARDS[KINDS[kind].hazard]
    assert caution.severity == "hazard"
    assert caution.sentence.lower().startswith(kind)
    assert words.can_happen in caution.sentence
    assert "near the middle of the field (lon 10.000000, lat 0.000000)" in caution.sentence
    assert "Entered in the plan" in caution.sentence
    assert caution.remedy == f"{words.do} {words.decides}"
    assert "decide" in words.decides
    assert caution.hazard == KINDS[kind].hazard
    assert caution.acknowledged == NOT_ACKNOWLEDGED
    assert caution.open
    assert caution.place is not None


def test_every_hazard_of_the_kinds_has_its_words():
    assert {kind.hazard for kind in KINDS.values()} - {""} == set(HAZARDS)


@pytest.mark.parametrize("kind", sorted(set(KINDS) - set(DANGEROUS)))
def test_other_kinds_bring_no_hazard_of_their_own(kind):
    shape = Point(30, 60)
    found = of_key(strips(HEADLAND, features=[feature_in(LAND, kind, shape, all=2.0)]), kind)
    assert found == []


def test_several_of_one_kind_are_one_hazard():
    poles = [feature_in(LAND, "pole", Point(30, y), all=1.0) for y in (20, 60, 100)]
    caution = the_one(strips(features=poles), "pole")
    assert caution.count == 3
    assert "3 of them" in caution.sentence


def test_distances_that_differ_are_not_told_as_one():
    poles = [feature_in(LAND, "pole", Point(30, y), all=kept) for y, kept in ((20, 1.0), (60, 2.0))]
    assert "a distance of its own from each" in the_one(strips(features=poles), "pole").sentence


def test_the_length_in_the_field_is_given():
    caution = the_one(strips(features=[field_with("overhead line")]), "overhead line")
    assert caution.value == pytest.approx(60.0, rel=1e-5)
    assert "60 m of it in the field" in caution.sentence


def test_a_feature_beside_the_field_is_said_too():
    beside = feature_in(LAND, "watercourse", LineString([(-40, 0), (-40, 120)]), "centre line")
    caution = the_one(strips(features=[beside]), "watercourse")
    assert "west of the middle" in caution.sentence


@pytest.mark.parametrize("hazard", ABSENT)
def test_what_was_not_given_is_said(hazard):
    caution = the_one(strips(), f"no {hazard} given")
    assert caution.severity == "note"
    assert "that does not mean there is none" in caution.sentence


def test_no_overhead_line_is_said_in_these_words():
    sentence = the_one(strips(), "no overhead line given").sentence
    assert sentence == "No overhead line was given; that does not mean there is none. Look."


def test_what_was_given_is_not_called_absent():
    assert of_key(strips(features=[field_with("pole")]), "no overhead line given") == []


def test_the_slope_is_not_known():
    assert the_one(strips(), "slope").severity == "note"


# Acknowledging


def test_an_acknowledged_hazard_is_printed_all_the_same():
    layout = strips(signed(), features=[field_with("overhead line")])
    caution = the_one(layout, "overhead line")
    assert caution.acknowledged == "acknowledged by the grower (invented) on 2027-01-15"
    assert not caution.open
    assert caution.severity == "hazard"


def test_one_hazard_acknowledged_leaves_the_others_open():
    layout = strips(signed(), features=[field_with("overhead line"), field_with("well")])
    assert [caution.key for caution in cautions(layout) if caution.open] == ["well"]


def test_absence_can_be_acknowledged():
    caution = the_one(strips(signed("buried service")), "no buried service given")
    assert caution.acknowledged.startswith("acknowledged by the grower")


def test_an_acknowledgement_of_nothing_is_a_warning_with_the_near_name():
    caution = the_one(strips(signed("overhed line")), "acknowledged-without-hazard")
    assert caution.severity == WARNING
    assert "'overhead line'" in caution.remedy
    assert of_key(strips(signed()), "acknowledged-without-hazard") == []


def test_two_who_looked_are_both_named():
    caution = Caution(
        key="k", severity="hazard", sentence="s", remedy="r", source="s", hazard="water"
    )
    given = [
        Acknowledged(hazard="water", who=who, date=dt.date(2027, 1, day))
        for who, day in (("a", 1), ("b", 2))
    ]
    (seen,) = acknowledged([caution], given)
    assert seen.acknowledged == "acknowledged by a on 2027-01-01 and b on 2027-01-02"


# Wording


def test_no_sentence_promises_anything():
    features = [field_with(kind) for kind in DANGEROUS]
    layout = strips(HEADLAND, features=features)
    said = [text for caution in cautions(layout) for text in (caution.sentence, caution.remedy)]
    said += conventions(layout)
    said += [text for words in HAZARDS.values() for text in (words.can_happen, words.do)]
    assert len(said) > 40
    assert [text for text in said if PROMISES.search(text)] == []


def test_the_search_for_promises_can_fail():
    assert PROMISES.search("The line is safe to pass.")


def test_no_code_is_in_any_sentence():
    layout = strips(HEADLAND, features=[field_with(kind) for kind in DANGEROUS])
    for caution in cautions(layout):
        assert not re.search(r"\bW\d\d\b", caution.sentence + caution.remedy)


def test_hazards_come_worst_first():
    layout = strips(features=[field_with(kind) for kind in ("right of way", "ditch", "pole")])
    keys = [caution.key for caution in hazards(layout) if caution.key in KINDS]
    assert keys == ["pole", "ditch", "right of way"]
