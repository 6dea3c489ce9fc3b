"""Plans beside each other in words: marks, units, and all on one page."""

import re

import pytest

from geolayout.appraisal.comparing import Comparison, Line
from geolayout.handover.words.compare import compared_pdf, compared_tables
from geolayout.plan.units import IMPERIAL, METRIC

LINES = (
    Line("land", "field", "ha", ((8.0, 8.0), (8.0, 8.0))),
    Line("land", "tree band", "ha", (None, (0.5, 0.5))),
    Line("seed", "seed of maize", "kg", ((100.0, 100.0), (100.0, 120.0))),
    Line("trees", "trees over the field", "/ha", ((0.0, 0.0), (50.0, 50.0))),
    Line("work", "drill, at work", "km", ((10.0, 10.0), (10.0004, 10.0004))),
    Line("work", "fuel in all", "l", ((80.0, 90.0), (70.0, 95.0))),
    Line("money", "gross margin over the field", "crown/ha", ((500.0, 500.0), (-20.0, 600.0))),
)
FOUND = Comparison("On paper", ("strips", "alleys"), (2027, None), LINES, ("A note.",))


def rows(units=METRIC, **how):
    tables = compared_tables(FOUND, units, **how)
    return {row[0]: row[1:] for _, _, _, table in tables for row in table}


def test_the_first_part_says_what_is_compared_and_how_it_is_marked():
    title, lines, head, table = compared_tables(FOUND)[0]
    assert title == "On paper: strips (harvest 2027), alleys"
    assert lines == ("* marks what is not as in strips.", "A note.")
    assert head == table == ()


@pytest.mark.parametrize(
    ("units", "what", "expected"),
    [
        pytest.param(METRIC, "field", ("8.000", "8.000", "ha"), id="hectares with three decimals"),
        pytest.param(METRIC, "tree band", ("", "0.500*", "ha"), id="what one lacks is empty"),
        pytest.param(METRIC, "seed of maize", ("100", "100 to 120*", "kg"), id="a range"),
        pytest.param(METRIC, "drill, at work", ("10", "10.0", "km"), id="rounding is not marked"),
        # 8 ha / 0.40468564224 = 19.768 acres; 100 kg / 0.45359237 = 220.5 lb
        pytest.param(IMPERIAL, "field", ("19.768", "19.768", "acres"), id="acres"),
        pytest.param(IMPERIAL, "seed of maize", ("220.5", "220.5 to 264.6*", "lb"), id="pounds"),
        # 50 x 0.40468564224 = 20.2; 10 km / 1.609344 = 6.214; 500 x 0.40469 = 202.3
        pytest.param(IMPERIAL, "trees over the field", ("0", "20.2*", "/acre"), id="by the acre"),
        pytest.param(IMPERIAL, "drill, at work", ("6.214", "6.214", "miles"), id="miles"),
        pytest.param(
            IMPERIAL,
            "gross margin over the field",
            ("202.3", "-8.094 to 242.8*", "crown/acre"),
            id="money by the acre",
        ),
        pytest.param(IMPERIAL, "fuel in all", ("80 to 90", "70 to 95*", "l"), id="litres stay"),
    ],
)
def test_a_figure_in_its_unit(units, what, expected):
    assert rows(units)[what] == expected


def test_only_differences_are_told_if_asked():
    assert list(rows(only_differences=True)) == [
        "tree band",
        "seed of maize",
        "trees over the field",
        "fuel in all",
        "gross margin over the field",
    ]


def test_the_page_to_print_is_one_and_the_same_each_time():
    data = compared_pdf(FOUND)
    assert data == compared_pdf(FOUND)
    assert len(re.findall(rb"/Type /Page\b", data)) == 1
    assert compared_pdf(FOUND, IMPERIAL) != data
