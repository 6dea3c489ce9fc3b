"""A drawn margin: the same bytes every time, and what its lines are is on it."""

from dataclasses import replace

import pytest
from money_plans import PRICED, with_money
from sample_layouts import paper_layout, sample_layout

from geolayout.appraisal.quantities.figures import figures
from geolayout.errors import FileError, PlanError
from geolayout.handover.pictures.money import money_bytes, money_picture

FLOWS = """flow = [
  { name = "stock", kind = "cost", price = { amount = 100.0, per = "field" }, year = 0 },
]
"""


@pytest.fixture(scope="module")
def money():
    return figures(paper_layout(PRICED + FLOWS)).money


@pytest.mark.parametrize("form", ["png", "svg"])
def test_the_same_money_is_the_same_picture(money, form):
    assert money_bytes(money, form) == money_bytes(money, form)


def test_lines_are_named(money):
    text = money_bytes(money, "svg").decode()
    for words in ("all prices", "all yields", "price of maize", "in crown", "after planting"):
        assert words in text, words


def test_trees_are_a_drawing_of_their_own(money):
    both, one = (money_bytes(m, "png") for m in (money, replace(money, trees=None)))
    tall = [int.from_bytes(picture[20:24], "big") for picture in (one, both)]  # PNG, IHDR
    assert tall[1] == pytest.approx(2 * tall[0], abs=2)


def test_what_crops_lose_is_a_line_for_each_course():
    money = figures(sample_layout("crooked_hedge")).money
    text = money_bytes(money, "svg").decode()
    assert text.count("less what crops lose:") == 2
    assert "no loss over the field" in text


def test_nothing_known_is_nothing_drawn(tmp_path):
    found = figures(paper_layout(with_money(seed=""))).money
    with pytest.raises(PlanError, match=r"nothing to draw.*price of the seed of maize"):
        money_picture(found, tmp_path / "money.png")


def test_a_picture_of_no_known_kind_is_refused(money, tmp_path):
    with pytest.raises(FileError, match=r"SVG or PNG"):
        money_picture(money, tmp_path / "money.pdf")
