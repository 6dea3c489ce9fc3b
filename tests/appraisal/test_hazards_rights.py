"""Consents asked and answered, and distances by a country's default."""

from dataclasses import replace

import pytest
from appraisal_layouts import (
    ALLEYS,
    GRASS,
    HEADLAND,
    LAND,
    feature_in,
    layout_of,
    of_key,
    strips,
    the_one,
)
from shapely import LineString, Point

from geolayout.appraisal.hazards.rights import consent_words
from geolayout.plan.parse import parse_plan

ACROSS = LineString([(-10, 60), (70, 60)])
ALONG_SOUTH = LineString([(-10, 5), (70, 5)])

OWNED = '[[feature]]\nkind = "{kind}"\nname = "invented"\nat = [7.0, 52.0]\n{kept}'
KEPT = 'keep_clear = 0\nmeasured_from = "centre line"\n'


def consent(answer="none yet", *, kind="overhead line", feature="invented", keys=""):
    """Return a feature of a plan and the consent for it; its shape is given to the layout."""
    return OWNED.format(kind=kind, kept=KEPT) + (
        f'[[consent]]\nfeature = "{feature}"\nowner = "the grid company (invented)"\n'
        f'for_what = "trees along it"\nasked = 2027-01-08\nanswer = "{answer}"\n{keys}\n'
    )


def wires(where=ACROSS, **kept):
    return feature_in(LAND, "overhead line", where, "centre line", **kept)


# Answers


@pytest.mark.parametrize(
    ("answer", "keys", "key", "said"),
    [
        (
            "no",
            "answered = 2027-02-01",
            "consent-refused",
            "said no on 2027-02-01 to trees along it: invented",
        ),
        (
            "none yet",
            "",
            "consent-awaited",
            "was asked on 2027-01-08 for trees along it and has not answered: invented",
        ),
    ],
    ids=["refused", "awaited"],
)
def test_no_and_none_yet_are_said_with_their_place(answer, keys, key, said):
    caution = the_one(strips(consent(answer, keys=keys), features=[wires()]), key)
    assert (caution.severity, caution.hazard) == ("warning", "consent")
    assert f"The grid company (invented) {said}, near the middle" in caution.sentence
    assert "decides" in caution.remedy
    assert caution.acknowledged == "not acknowledged"


def test_an_awaited_answer_is_said_though_it_is_acknowledged():
    signed = '[[acknowledged]]\nhazard = "consent"\nwho = "the grower"\ndate = 2027-01-15\n'
    caution = the_one(strips(signed, consent(), features=[wires()]), "consent-awaited")
    assert caution.acknowledged == "acknowledged by the grower on 2027-01-15"


@pytest.mark.parametrize(
    "keys",
    ["answered = 2027-02-01", 'answered = 2027-02-01\nconditions = "by hand"'],
    ids=["yes", "with conditions"],
)
def test_other_answers_are_no_warning(keys):
    answer = "with conditions" if "conditions" in keys else "yes"
    layout = strips(consent(answer, keys=keys), features=[wires()])
    assert of_key(layout, "consent-refused") == of_key(layout, "consent-awaited") == []


# Expiry


@pytest.mark.parametrize(
    ("expires", "ends"),
    [("2027-08-01", True), ("2027-12-30", True), ("2027-12-31", False), ("2028-01-01", False)],
)
def test_a_consent_holds_to_the_end_of_the_harvest_year(expires, ends):
    text = consent("yes", keys=f"answered = 2027-02-01\nexpires = {expires}")
    layout = strips(text, "[[season]]\nyear = 2027\n", features=[wires()], year=2027)
    found = of_key(layout, "consent-ends")
    assert bool(found) is ends
    if ends:
        assert f"ends on {expires}, before the harvest year 2027" in found[0].sentence


def test_without_a_season_no_end_is_too_early():
    text = consent("yes", keys="answered = 2027-02-01\nexpires = 2027-03-01")
    assert of_key(strips(text, features=[wires()]), "consent-ends") == []


# Nobody asked


def test_turning_under_wires_without_a_consent_is_a_note():
    caution = the_one(strips(HEADLAND, features=[wires(ALONG_SOUTH)]), "no-consent-entered")
    assert caution.severity == "note"
    assert "lays turning ground, and has no consent for it" in caution.sentence
    assert "the line's operator" in caution.remedy


def test_crops_alone_under_wires_need_no_consent():
    assert of_key(strips(HEADLAND, features=[wires()]), "no-consent-entered") == []


@pytest.mark.parametrize("feature", ["invented", "overhead line"])
def test_a_consent_by_name_or_kind_takes_the_note_away(feature):
    layout = strips(HEADLAND, consent(feature=feature), features=[wires(ALONG_SOUTH)])
    assert of_key(layout, "no-consent-entered") == []


@pytest.mark.parametrize("kind", ["buried pipe", "right of way", "watercourse"])
@pytest.mark.parametrize(("x", "near"), [(34.0, True), (35.0, False)])
def test_trees_within_9_m_without_a_consent_are_a_note(kind, x, near):
    # Bands 24 3 24 from the west: trees at 25.5 m, 8.5 or 9.5 m from the line.
    there = feature_in(LAND, kind, LineString([(x, -5), (x, 125)]), "centre line")
    found = of_key(layout_of(GRASS, ALLEYS, features=[there]), "no-consent-entered")
    assert bool(found) is near
    if near:
        assert " trees, and has no consent for it" in found[0].sentence


def test_a_ditch_with_turning_alone_asks_nobody():
    ditch = feature_in(LAND, "ditch", ALONG_SOUTH, "centre line", all=1.0)
    assert of_key(strips(HEADLAND, features=[ditch]), "no-consent-entered") == []


# Defaults of a country


def by_default(kind, distance, called, *, trees=False):
    kept = {"trees": distance} if trees else {"all": distance}
    start = "centre line"
    drawn = feature_in(LAND, kind, LineString([(0, -5), (0, 125)]), start, **kept)
    return replace(drawn, default_from=called)


def test_a_default_is_said_with_year_source_and_check():
    caution = the_one(
        strips(features=[by_default("hedge", 2.0, "England 2024")]), "country-default"
    )
    assert caution.severity == "warning"
    assert caution.sentence.startswith("2 m from the centre line of the hedge 'invented', ")
    assert "a default for England of 2024 (The Management of Hedgerows" in caution.sentence
    assert "): check. No cultivation" in caution.sentence
    assert "the authority decides" in caution.remedy


def test_a_default_for_trees_says_so():
    caution = the_one(
        strips(features=[by_default("watercourse", 5.0, "Germany 2010", trees=True)]),
        "country-default",
    )
    assert caution.sentence.startswith("5 m for trees from the")


def test_a_default_of_another_version_is_still_said():
    caution = the_one(
        strips(features=[by_default("hedge", 3.0, "Erewhon 1999")]), "country-default"
    )
    assert "a default for Erewhon of 1999 (As the plan has it" in caution.sentence


def test_the_hazard_itself_tells_a_default_from_what_was_entered():
    brook = by_default("watercourse", 5.0, "Germany 2010", trees=True)
    assert (
        "By default for Germany 2010:" in the_one(strips(features=[brook]), "watercourse").sentence
    )


def test_what_the_plan_says_is_no_default():
    assert of_key(strips(features=[wires(trees=5.0)]), "country-default") == []


# Words


def test_every_consent_is_told_in_words():
    keys = (
        'answered = 2027-02-01\nconditions = "by hand only."\nreference = "G 7"\n'
        "expires = 2028-12-31"
    )
    text = consent("with conditions", keys=keys)
    bands = '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "none" } ]'
    plan = parse_plan(f"schema = 1\n{text}\n{bands}")
    (told,) = consent_words(plan)
    assert told == (
        "invented: the grid company (invented) was asked on 2027-01-08 for trees along it. "
        "Answer: with conditions on 2027-02-01. Conditions: by hand only. Reference: G 7. "
        "Expires on 2028-12-31."
    )


def test_a_plan_without_consents_says_nothing():
    assert consent_words(strips(features=[feature_in(LAND, "well", Point(30, 60))]).plan) == ()
