"""The planting sheet has what the gang needs, dangers first, and sums that a tape proves."""

import re
from math import hypot

import pytest
from handed_layouts import handed_of, handed_sample
from sample_layouts import SAMPLES, paper_layout, sample_layout
from sheet_boxes import all_words, faults, texts

from geolayout.appraisal.trees.pegs import tree_pegs
from geolayout.handover.sheets.planting import planting_pages
from geolayout.handover.stakeout import BEFORE_PLANTING
from geolayout.plan.units import IMPERIAL

PLANTED = [name for name in SAMPLES if len(sample_layout(name).trees)]

ALLEYS = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[pattern]]
name = "alleys"
bands = [
  { name = "A", width = 12.0, stand = "maize" },
  { name = "T", width = 3.0, trees = { in_row_spacing = 5.0, species = "walnut" } },
]
"""


def sheet(name, **more):
    """Return the pages of the planting sheet of a sample."""
    return planting_pages(handed_sample(name, **more), "planting.pdf")


@pytest.mark.parametrize("name", PLANTED)
def test_no_words_lie_over_others_or_the_margin(name):
    assert [fault for page in sheet(name) for fault in faults(page)] == []


@pytest.mark.parametrize("name", PLANTED)
def test_dangers_stand_first_whatever_was_drawn(name):
    told = all_words(sheet(name))
    places = [told.index(" ".join(words.split())) for words in BEFORE_PLANTING]
    assert places == sorted(places)
    assert max(places) < told.index("How to peg")
    for hazard in handed_sample(name).hazards[:5]:
        assert told.index(hazard.sentence) < places[0]


def test_parts_stand_in_the_order_of_the_work():
    words = [text.words for page in sheet("crooked_hedge") for text in texts(page)]
    heads = (
        "Before anything goes into the ground",
        "How to peg",
        "Tree rows",
        "Check before the first tree",
        "Bundles, in the order of planting",
        "Returns and sign-off",
    )
    places = [words.index(head) for head in heads]
    assert places == sorted(places)


def alleys(**more):
    """Return the words of the planting sheet of alleys on 60 by 120 m."""
    return all_words(planting_pages(handed_of(paper_layout(ALLEYS), **more), "planting.pdf"))


def test_rows_by_hand():
    """
    Tree rows stand in the middle of 3 m after every 12 m: 15 m apart, four on 60 m.

    Trees stand 5 m apart from 2.5 m on: 24 on 120 m, the last 115 m after the first.
    """
    told = alleys()
    assert "tree row 1 0.00 m 0.00 to 115.00 by 5.00 m 24" in told
    assert "tree row 4 45.00 m 0.00 to 115.00 by 5.00 m 24" in told
    assert "1 1 24 walnut 1 to 24" in told


def test_the_check_by_hand():
    """45 m across and 115 m along: the diagonals are sqrt(45^2 + 115^2) = 123.49 m."""
    told = alleys()
    assert hypot(45.0, 115.0) == pytest.approx(123.49, abs=0.005)
    assert "Both diagonals 123.49 m" in told
    assert "off by more than 0.12 m" in told  # 1 in 1000
    assert told.count("123.49 m ____") == 2
    assert "misclosure" in told


def test_feet_are_feet():
    told = alleys(units=IMPERIAL)
    assert "tree row 4 147.64 ft 0.00 to 377.30 by 16.40 ft 24" in told  # 45, 115, 5 m / 0.3048


@pytest.mark.parametrize("name", PLANTED)
def test_every_row_and_every_tree_is_counted(name):
    handed = handed_sample(name)
    told = all_words(sheet(name))
    lines = [line for block in tree_pegs(handed.layout) for line in block.lines]
    rows = re.findall(
        r"tree row \d+ [\d.]+ m [-\d.].*? (\d+)(?= tree row| Check| Tree| Bund)", told
    )
    assert sum(map(int, rows)) == sum(len(line.chainage) for line in lines)


def test_it_names_the_table_of_pegs():
    assert "Every tree has its place in pegs/pegs_trees.csv." in alleys()
