"""Prices as the plan file says them, and one sentence where they cannot be."""

import datetime as dt

import pytest
from money_plans import MONEY, PRICED, with_money
from sample_layouts import STRIPS

from geolayout.errors import PlanError
from geolayout.handover.planfile import plan_toml
from geolayout.plan.money.money import Flow, Money
from geolayout.plan.parse import parse_plan


def money(**said):
    return Money.model_validate({"coin": "crown", "date": "2027-01-15", **said})


def product(**said):
    return {"crop": "maize", "yield": 8.0, **said}


def price(per, amount=1.0):
    return {"amount": amount, "per": per}


def test_a_price_without_a_day_is_of_the_common_day():
    said = parse_plan(PRICED).money
    days = [said.day(one.price) for one in said.products if one.price is not None]
    assert days == [dt.date(2027, 1, 15), dt.date(2027, 2, 1)]


def test_the_plan_with_prices_is_written_and_read_again():
    plan = parse_plan(PRICED)
    assert parse_plan(plan_toml(plan)).money == plan.money


def test_a_product_of_a_stand_wins_over_one_of_the_crop():
    said = money(product=[product(), product(stand="s", **{"yield": 6.0})])
    assert [one.yields for one in said.products_of("maize", "s")] == [6.0]
    assert [one.yields for one in said.products_of("maize", "other")] == [8.0]


def test_a_product_of_a_stand_leaves_other_products_of_the_crop():
    said = money(product=[product(), product(name="straw"), product(stand="s", name="straw")])
    assert [(one.name, one.stand) for one in said.products_of("maize", "s")] == [
        (None, None),
        ("straw", "s"),
    ]


def test_a_flow_of_several_years_comes_in_each():
    flow = {"name": "x", "kind": "cost", "price": price("tree"), "year": [2, 4]}
    assert list(Flow.model_validate(flow).years) == [2, 3, 4]


@pytest.mark.parametrize(
    ("money", "match"),
    [
        pytest.param('coin = "crown"', "In money: date is missing", id="no day"),
        pytest.param("date = 2027-01-15", "In money: coin is missing", id="no coin"),
        pytest.param(
            'product = [ { crop = "maise", yield = 8.0 } ]', "Did you mean 'maize'", id="no crop"
        ),
        pytest.param(
            'product = [ { crop = "maize", stand = "bean", yield = 8.0 } ]',
            "Did you mean 'beans'",
            id="no stand",
        ),
        pytest.param(
            'work = [ { operation = "plough", price = { amount = 1.0, per = "ha" } } ]',
            "names operation 'plough'",
            id="no operation",
        ),
        pytest.param(
            'flow = [ { name = "nuts", kind = "income", price = { amount = 1.0, per = "tree" }, '
            'year = 3, species = "walnut" } ]',
            "names species 'walnut'",
            id="no such tree",
        ),
        pytest.param(
            'product = [ { crop = "maize", yield = [9.0, 8.0] } ]', "runs from 9 to 8", id="range"
        ),
        pytest.param(
            'product = [ { crop = "maize", yield = 8.0, price = { amount = 1.0, per = "ha" } } ]',
            'price per "ha".*per "t", "kg"',
            id="a product by the hectare",
        ),
        pytest.param(
            'product = [ { crop = "maize", yield = 8.0, price = { amount = -1.0, per = "t" } } ]',
            "0 or more",
            id="less than nothing",
        ),
        pytest.param(
            'product = [ { crop = "maize", yield = 8.0, price = 180.0 } ]',
            "must be a table",
            id="a price without its unit",
        ),
        pytest.param(
            'product = [ { crop = "maize", yield = 8.0 }, { crop = "maize", yield = 9.0 } ]',
            "two products of maize",
            id="twice the same",
        ),
        pytest.param(
            'cost = [ { name = "drying", price = { amount = 20.0, per = "t" } } ]',
            "by the tonne and names no crop",
            id="a tonne of what",
        ),
        pytest.param(
            'flow = [ { name = "x", kind = "cost", price = { amount = 1.0, per = "field" }, '
            'year = 3, species = "oak" } ]',
            "Only trees are counted by species",
            id="a species of a field",
        ),
    ],
)
def test_what_cannot_be_is_one_sentence(money, match):
    both = "" if money.startswith(("coin", "date")) else 'coin = "crown"\ndate = 2027-01-15\n'
    with pytest.raises(PlanError, match=match):
        parse_plan(f"{STRIPS}\n[money]\n{both}{money}\n")


def test_the_plan_of_these_tests_has_its_lists():
    assert with_money() == STRIPS + MONEY
    assert "sole" not in with_money(sole="")
