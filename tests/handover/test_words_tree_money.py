"""Trees over the years in words: alone, less what crops lose, or why that is left out."""

import pytest
from money_plans import PRICED
from sample_layouts import paper_layout

from geolayout.appraisal.money.croploss import LessCrops
from geolayout.appraisal.money.treeflows import TreeFlows, TreeYear
from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.words.tree_money import tree_money_lines, tree_money_parts, whole_coins
from geolayout.plan.units import IMPERIAL, METRIC

YEARS = (
    TreeYear(0, 100, 800.0, 0.0, -800.0, -800.0),
    TreeYear(1, 100, 0.0, 900.0, 900.0, 100.0),
)
MILD = LessCrops("mild", "an invented source", 30.0, (0.0, 0.0), (-800.0, 70.0), 70.0, 1, 70.0)
HARD = LessCrops(
    "hard", "another invented one", 30.0, (0.0, 50.0), (-800.0, 20.0), 20.0, None, 20.0
)


def trees(*courses, left_out=()):
    return TreeFlows(None, YEARS, 100.0, 1, 100.0, 2000.0, courses, left_out)


def test_nothing_is_said_without_flows():
    assert tree_money_lines(None, METRIC) == []
    assert tree_money_parts(None, METRIC) == []


def test_trees_alone_come_first():
    first, *_ = tree_money_lines(trees(), METRIC)
    assert first == (
        "Trees over 1 year without a discount: 800 at planting, worth 100 in all, as much as 100 "
        "every year; paid back in year 1."
    )


@pytest.mark.parametrize(
    ("courses", "left_out", "words"),
    [
        pytest.param(
            (),
            ("barley alone",),
            "What crops lose on the 0.200 ha of tree bands and beside the trees is not taken off: "
            "missing barley alone.",
            id="nothing known, and said",
        ),
        pytest.param((MILD,), (), "by the plan's own outlook: worth 70. Scen", id="one course"),
        pytest.param((MILD, HARD), (), "by 2 published courses: worth 20 to 70.", id="a range"),
        pytest.param((MILD, HARD), ("x",), "Left out: x.", id="a course that ends is named"),
    ],
)
def test_what_crops_lose_is_taken_off_or_said_to_be_missing(courses, left_out, words):
    lines = tree_money_lines(trees(*courses, left_out=left_out), METRIC)
    assert words in " ".join(lines)


def test_each_course_has_its_row_and_its_source():
    (_, lines, _, _), (title, _, head, rows) = tree_money_parts(trees(MILD, HARD), METRIC)
    assert title == "Trees less what crops lose"
    assert "hard: another invented one." in lines
    assert len(head) == len(rows[0])
    assert rows[1] == ("hard", "30", "50", "50", "20", "20", "never")


def test_acres_where_the_farm_reads_acres():
    # 2,000 m2 / 4,046.86 = 0.494 acres
    assert "0.494 acres of tree bands" in " ".join(tree_money_lines(trees(), IMPERIAL))


def test_less_than_nothing_is_nothing():
    assert whole_coins(-0.4) == "0"


FLOWS = """flow = [
  { name = "x", kind = "cost", price = { amount = 1.0, per = "field" }, year = 0 },
]
"""


def test_a_field_without_trees_takes_nothing_off():
    found = figures(paper_layout(PRICED + FLOWS)).money.trees
    assert found.less_crops == ()
    assert found.left_out == ("a crop beside the trees that is sold",)
