"""Paper and language come from the farm, and sizes are those of the standards."""

import pytest
from sample_layouts import STRIPS

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.printing import LETTER, PAPERS, PLAIN


def test_a_plan_without_a_farm_is_printed_on_a4_in_english():
    assert parse_plan(STRIPS).printing == PLAIN
    assert (PLAIN.paper.name, PLAIN.language) == ("a4", "en")


def test_the_farm_says_paper_and_language():
    printing = parse_plan(STRIPS + '[farm]\npaper = "letter"\nlanguage = "de"\n').printing
    assert (printing.paper, printing.language) == (LETTER, "de")


def test_letter_and_tabloid_in_inches():
    """8.5 by 11 inches and 11 by 17 inches of 25.4 mm."""
    assert LETTER.small == pytest.approx((215.9, 279.4))
    assert LETTER.large == pytest.approx((279.4, 431.8))


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_the_larger_paper_is_larger_both_ways(paper):
    assert paper.large[0] > paper.small[0]
    assert paper.large[1] > paper.small[1]


@pytest.mark.parametrize("key", ['paper = "foolscap"', 'language = "xx"'])
def test_others_are_refused(key):
    with pytest.raises(PlanError):
        parse_plan(f"{STRIPS}[farm]\n{key}\n")
