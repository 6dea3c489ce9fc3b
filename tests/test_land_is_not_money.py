"""No page, no word of the programme and no output takes the land equivalent ratio for money."""

import ast
import re
from pathlib import Path

import pytest
from sample_layouts import REPOSITORY, sample_layout

from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.summary import summary_text
from geolayout.handover.words.money import LAND_NOT_MONEY, money_lines, money_parts

LAND = re.compile(
    r"land equivalent|equivalent ratio|\bLER\b|\bratio (?:well )?(?:over|above) 1", re.I
)
PROFIT = re.compile(r"\bprofit\w*|\blucrative\b", re.I)
WORTH = re.compile(
    r"\b(?:pays?|paid|gain(?:s|ed)?|worth|better|best|cheaper|richer|advantage|more money)\b",
    re.I,
)
EARNS = re.compile(r"\bearn(?:s|ed|ing)?\b", re.I)
APART = re.compile(r"\b(?:not|nothing|no|never|less|yet|two things|at which|at a land)\b", re.I)
"""Words by which a sentence holds land and money apart, or tells both at one point."""

PAGES = [*sorted((REPOSITORY / "docs").glob("*.md")), REPOSITORY / "README.md"]
MODULES = sorted((REPOSITORY / "geolayout").rglob("*.py"))


def sentences(text):
    """Return the sentences of a text; cells of a table and items of a list are some."""
    parts = re.split(r"(?<=[.!?;])\s+|\n\s*\n|\||\n- |\n#", text)
    return [re.sub(r"\s+", " ", part) for part in parts]


def equates(sentence):
    """Whether a sentence takes land for money."""
    if PROFIT.search(sentence):
        return True
    if not LAND.search(sentence):
        return False
    return bool((WORTH.search(sentence) or EARNS.search(sentence)) and not APART.search(sentence))


def words_of(module):
    """Return every text that a module has, its descriptions too."""
    tree = ast.parse(module.read_text("utf-8"))
    texts = (node.value for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return [text for text in texts if isinstance(text, str)]


@pytest.mark.parametrize(
    ("sentence", "found"),
    [
        pytest.param("A land equivalent ratio of 1.2 pays.", True, id="the ratio pays"),
        pytest.param("With an LER over 1 you earn more.", True, id="the ratio earns"),
        pytest.param("Intercrops are more profitable.", True, id="profit at all"),
        pytest.param("A ratio over 1 is better.", True, id="better"),
        pytest.param("The land equivalent ratio is 1.2.", False, id="land alone"),
        pytest.param("The ratio counts land, not money.", False, id="held apart"),
        pytest.param("Over 1, and it earns more.", False, id="a margin alone"),
    ],
)
def test_the_scan_finds_what_it_should(sentence, found):
    assert equates(sentence) is found


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_no_page_takes_land_for_money(page):
    assert [one for one in sentences(page.read_text("utf-8")) if equates(one)] == []


def test_no_word_of_the_programme_does():
    said = [text for module in MODULES for text in words_of(module)]
    assert [one for text in said for one in sentences(text) if equates(one)] == []


@pytest.fixture(scope="module")
def told():
    layout = sample_layout("crooked_hedge")
    found = figures(layout)
    page = [line for _, lines, _, _ in money_parts(found.money) for line in lines]
    text = summary_text("crooked_hedge", layout, found, ())
    return found, [*money_lines(found.money), *page], re.sub(r"\s+", " ", text)


def test_no_output_takes_land_for_money(told):
    _, lines, text = told
    assert [one for line in lines for one in sentences(line) if equates(one)] == []
    assert not PROFIT.search(text)


def test_every_output_that_tells_the_ratio_says_that_it_is_not_money(told):
    _, lines, text = told
    ratios = [line for line in lines if line.startswith("Land equivalent ratio 0.")]
    assert len(ratios) == 2
    assert all(line.endswith(LAND_NOT_MONEY) for line in ratios)
    assert LAND_NOT_MONEY in text


def test_there_is_something_to_scan():
    assert len(PAGES) > 20
    assert len(MODULES) > 200
    assert any(LAND.search(page.read_text("utf-8")) for page in PAGES)
    assert Path(MODULES[0]).is_file()
