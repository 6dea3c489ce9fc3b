"""Pages of field walks. Invented."""

import json

from sample_layouts import STRIPS, paper_layout

from geolayout.appraisal.caution import Caution
from geolayout.handover.walkpages import NO_ONE, WIDEST, walk_dicts, walk_pages
from geolayout.plan.units import IMPERIAL

SEASON = """
[[season]]
year = 2028
[[stage]]
crop = "maize"
stage = "sown"
first = "04-25"
last = "05-05"
"""
WIRES = Caution(
    key="overhead-line",
    severity="hazard",
    hazard="overhead line",
    sentence="An overhead line crosses the field 40 m from the south.",
    remedy="Ask its operator for the height before any work.",
    source="invented",
    acknowledged="not acknowledged",
)


def test_every_page_begins_with_the_hazards():
    pages = walk_pages(paper_layout(STRIPS + SEASON), (WIRES,)).split("\f")
    assert len(pages) >= 2
    for page in pages:
        flat = " ".join(page.split())
        assert flat.index("An overhead line crosses") < flat.index("Count or look at:")
        assert "(not acknowledged)" in flat
        assert max(map(len, page.splitlines())) <= WIDEST


def test_the_absence_of_hazards_is_said():
    page = walk_pages(paper_layout(STRIPS + SEASON), ())
    assert NO_ONE in " ".join(page.split())


def test_a_page_says_when_what_and_where():
    text = " ".join(walk_pages(paper_layout(STRIPS + SEASON), ()).split())
    assert "maize: 9 May to 2 June 2028 (14 to 28 days after sowing, common practice)" in text
    assert "Count or look at: plants of maize on 5 m of one row. Expected: 30 plants" in text
    assert "Strip A, number 1: 25.0 m from the south end" in text
    imperial = walk_pages(paper_layout(STRIPS + SEASON), (), IMPERIAL)
    assert "82.0 ft from the south end" in " ".join(imperial.split())


def test_a_plan_without_season_has_no_pages():
    assert walk_pages(paper_layout(), ()) is None
    assert walk_dicts(paper_layout()) == []


def test_walks_are_fit_for_json():
    told = json.loads(json.dumps(walk_dicts(paper_layout(STRIPS + SEASON)), allow_nan=False))
    assert told[0]["spots"][0]["from_end_m"] == 25.0
