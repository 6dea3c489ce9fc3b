"""The table of what is said: complete, plain, and without a promise in it."""

import re
from pathlib import Path

import pytest

from geolayout.appraisal.hazards.standing import WORDS
from geolayout.appraisal.hazards.words import ABSENT, GENERAL, HAZARDS
from geolayout.land.kinds import KINDS

FORBIDDEN = re.compile(
    r"\b(safe|safely|safety|legal|legally|compliant|compliance|clear|cleared|approved)\b|✓|✔",
    re.IGNORECASE,
)
EVERY = {**HAZARDS, **GENERAL}
SENTENCES = [
    pytest.param(text, id=f"{key}, {part}")
    for key, words in EVERY.items()
    for part, text in [
        ("can happen", words.can_happen),
        ("do", words.do),
        ("decides", words.decides),
    ]
] + [
    pytest.param(text, id=f"no {key}, {part}")
    for key, texts in ABSENT.items()
    for part, text in zip(("said", "do"), texts, strict=True)
]


@pytest.mark.parametrize("text", SENTENCES)
def test_a_sentence_is_whole_and_promises_nothing(text):
    assert text[0].isupper()
    assert text.endswith(".")
    assert not FORBIDDEN.search(text)


@pytest.mark.parametrize("text", SENTENCES)
def test_a_sentence_has_no_code(text):
    assert not re.search(r"\bW\d\d\b", text)


@pytest.mark.parametrize("key", EVERY)
def test_somebody_decides_and_the_source_is_named(key):
    assert "decide" in EVERY[key].decides
    assert EVERY[key].source.endswith((".", ")."))


def test_every_hazard_of_a_kind_has_words_and_no_words_are_idle():
    assert {kind.hazard for kind in KINDS.values()} - {""} == set(HAZARDS)
    assert set(ABSENT) <= set(HAZARDS)
    assert not set(HAZARDS) & set(GENERAL)


def test_the_search_for_promises_can_fail():
    assert FORBIDDEN.search("The way is clear.")
    assert FORBIDDEN.search("All of it is legal.")


def test_every_key_of_a_table_is_in_the_page_of_cautions():
    page = (Path(__file__).parents[2] / "docs" / "cautions.md").read_text("utf-8")
    keys = [*EVERY, *(words.key for words in WORDS.values())]
    assert [key for key in keys if f"`{key}`" not in page] == []


@pytest.mark.parametrize("words", WORDS.values(), ids=lambda words: words.key)
def test_what_is_said_of_standing_places_promises_nothing(words):
    assert not FORBIDDEN.search(f"{words.can_happen} {words.do}")
