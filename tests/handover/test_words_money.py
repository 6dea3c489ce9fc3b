"""Money in words: sums visible, what is missing named, land never taken for money."""

import re

import pytest
from money_plans import PRICED, with_money
from sample_layouts import STRIPS, paper_layout

from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.seed.rate import Span
from geolayout.handover.summary import summary_text
from geolayout.handover.words.money import (
    LAND_NOT_MONEY,
    NO_PRICES,
    money_lines,
    money_parts,
    short_money,
    sum_words,
)
from geolayout.plan.units import IMPERIAL


def money(text=PRICED):
    return figures(paper_layout(text)).money


def page(found):
    return {title: (lines, head, rows) for title, lines, head, rows in money_parts(found)}


def test_a_plan_without_prices_says_what_to_add():
    assert money_lines(None) == [NO_PRICES]
    layout = paper_layout(STRIPS)
    text = summary_text("paper", layout, figures(layout), ())
    assert "The plan says nothing of money: add [money]" in text


@pytest.mark.parametrize(
    ("sums", "words"),
    [
        pytest.param(Span.of(-0.2), "0", id="less than nothing is nothing"),
        pytest.param(Span(0.6, 1.4), "1", id="a range within a coin"),
        pytest.param(Span(-1500.0, 20.0), "-1,500 to 20", id="a range over nought"),
    ],
)
def test_sums_are_whole_coins(sums, words):
    assert sum_words(sums) == words


def test_the_lines_say_margins_and_budgets_with_their_four_sums():
    lines = money_lines(money())
    assert (
        "maize: income 432, its own costs 120, gross margin 312; 1,040/ha of its ground." in lines
    )
    assert "Field: income 720, costs 235, gross margin 485; 674/ha of the field." in lines
    assert (
        "Against maize alone on all this land: 25 less (added income 720 + saved cost 300 - "
        "added cost 235 - lost income 810)." in lines
    )


def test_the_ratio_is_never_told_without_saying_that_it_is_not_money():
    (told,) = (line for line in money_lines(money()) if "equivalent ratio 1.10" in line)
    assert told.endswith(LAND_NOT_MONEY)
    for line in money_lines(money()):
        if "equivalent" in line and line != told:
            assert not re.search(r"profit|gain|worth|better", line)


def test_the_page_shows_amount_price_and_day_of_every_sum():
    parts = page(money())
    _, head, rows = parts["What it costs"]
    assert head == ("for", "kind", "of", "amount", "per", "price", "day", "cost")
    assert ("plant", "work", "field", "0.30", "ha", "50.00", "2027-01-15", "15") in rows
    _, _, sold = parts["What is sold"]
    assert ("maize", "maize", "0.300", "8.00", "2.40", "180.00", "2027-01-15", "432") in sold


def test_columns_of_costs_add_up_to_the_costs_of_the_field():
    parts = page(money())
    costs = sum(int(row[-1].replace(",", "")) for row in parts["What it costs"][2])
    field = next(row for row in parts["Gross margins"][2] if row[0] == "field")
    assert str(costs) == field[2]


def test_what_is_missing_leaves_its_place_empty():
    found = money(with_money(product='[{ crop = "maize", yield = 8.0 }]'))
    parts = page(found)
    assert any("price of maize" in line for line in parts["Money"][0])
    maize = next(row for row in parts["What is sold"][2] if row[0] == "maize")
    assert (maize[5], maize[7]) == ("", "")
    field = next(row for row in parts["Gross margins"][2] if row[0] == "field")
    assert (field[1], field[3], field[4]) == ("", "", "")
    assert "The field's margin if prices and yields change" not in parts


def test_the_screen_shows_the_margin_or_what_is_missing():
    told = "In crown. Field: income 720, costs 235, gross margin 485; 674/ha of the field."
    assert short_money(money()) == [told]
    assert short_money(None) == []
    (missing,) = short_money(money(with_money(seed="")))
    assert missing.startswith("Missing, so what needs it stays empty: price of the seed of maize")


def test_trees_over_the_years_are_told():
    flows = """flow = [
  { name = "stock", kind = "cost", price = { amount = 100.0, per = "field" }, year = 0 },
  { name = "nuts", kind = "income", price = { amount = 60.0, per = "field" }, year = [1, 2] },
]
discount = 5.0
"""
    # -100 + 60 / 1.05 + 60 / 1.1025 = 11.565, evenly 11.565 x 1.05^2 x 0.05 / (1.05^2 - 1) = 6.22
    (told,) = (line for line in money_lines(money(PRICED + flows)) if line.startswith("Trees"))
    assert "over 2 years at 5 %: 100 at planting, worth 12 in all" in told
    assert "as much as 6 every year; paid back in year 2" in told


def test_acres_are_told_where_the_farm_reads_acres():
    # 674 a hectare are 674 x 0.40469 = 273 an acre
    assert any("273/acre of the field" in line for line in money_lines(money(), IMPERIAL))
