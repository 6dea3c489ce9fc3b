"""What `lay` says of a layout: each figure once, and one thing as one."""

from dataclasses import replace

import pytest
from sample_layouts import paper_layout

from geolayout import jobs
from geolayout.appraisal.quantities.rows import RowFigures
from geolayout.apps.report import report
from geolayout.jobs import Told

ALL = RowFigures("", 12, 13, 1200.0, 90.0, 110.0, 100.0)
MAIZE = replace(ALL, crop="maize")
BEANS = RowFigures("beans", 4, 4, 400.0, 90.0, 110.0, 100.0)
NONE = RowFigures("pea", 0, 0, 0.0, 0.0, 0.0, 0.0)


@pytest.fixture(scope="module")
def laid():
    """A layout on paper, and what it means."""
    layout = paper_layout()
    return layout, jobs.tell(layout)


def shown(laid, title, **figures):
    """Return the part of a title, with some figures put in the place of others."""
    layout, told = laid
    told = Told(replace(told.figures, **figures), told.cautions)
    return next(part for part in report(layout.plan, layout, told) if part.title == title)


@pytest.mark.parametrize(
    ("rows", "crops"),
    [
        pytest.param((ALL, MAIZE), ["maize"], id="one crop has all rows"),
        pytest.param((ALL, MAIZE, NONE), ["maize"], id="another has none"),
        pytest.param((ALL, MAIZE, BEANS), ["all", "maize", "beans"], id="two crops"),
        pytest.param((ALL, BEANS), ["all", "beans"], id="one crop that has not all rows"),
        pytest.param((replace(NONE, crop=""),), [], id="no rows"),
    ],
)
def test_the_sum_of_the_rows_is_told_where_it_tells_something(laid, rows, crops):
    assert [row[0] for row in shown(laid, "Rows", rows=rows).rows] == crops


@pytest.mark.parametrize(
    ("trees", "rows", "words"),
    [
        pytest.param(1, 1, "1 tree in 1 row,", id="a single tree"),
        pytest.param(40, 2, "40 trees in 2 rows,", id="many"),
    ],
)
def test_one_tree_is_told_as_one(laid, trees, rows, words):
    figures = replace(laid[1].figures.trees, trees=trees, rows=rows)
    assert shown(laid, "Trees", trees=figures).lines[0].startswith(words)
