"""Prices and yields in the wrong unit are refused, unless their key is accepted."""

import pytest
from money_plans import MONEY, PRICED
from sample_layouts import STRIPS

from geolayout.errors import MeasureError
from geolayout.plan.money.usual import check_money
from geolayout.plan.parse import parse_plan

WRONG = [
    pytest.param(
        "yield = 8.0", "yield = 8000.0", "maize yields 8,000 t/ha", "maize-yield", id="kg for t"
    ),
    pytest.param(
        "yield = 7.5",
        "yield = 7500.0",
        "maize alone yields 7,500 t/ha",
        "maize-alone-yield",
        id="of a sole crop",
    ),
    pytest.param(
        'amount = 180.0, per = "t"',
        'amount = 180.0, per = "kg"',
        "maize brings 1,440,000 crown",
        "maize-price",
        id="a price of a tonne by the kilogram",
    ),
    pytest.param(
        "amount = 400.0",
        "amount = 500000.0",
        "all but work costs 500,000 crown a hectare",
        "all-but-work-cost",
        id="a cost of the field by the hectare",
    ),
]


@pytest.mark.parametrize(("right", "wrong", "match", "key"), WRONG)
def test_a_mistaken_unit_is_refused(right, wrong, match, key):
    plan = parse_plan(STRIPS + MONEY.replace(right, wrong, 1))
    with pytest.raises(MeasureError, match=rf"{match}.*--accept {key} "):
        check_money(plan)


@pytest.mark.parametrize(("right", "wrong", "match", "key"), WRONG)
def test_it_passes_if_its_key_is_accepted(right, wrong, match, key):  # noqa: ARG001
    plan = parse_plan(STRIPS + MONEY.replace(right, wrong, 1))
    others = {"field-beans-price"}  # far from the other's just as the other is from it
    check_money(plan, {key, "maize-price", *others})


@pytest.mark.parametrize("text", [PRICED, STRIPS], ids=["usual prices", "no prices"])
def test_what_is_usual_passes(text):
    check_money(parse_plan(text))


def test_one_crop_alone_has_nothing_to_be_held_against():
    one = '[money]\ncoin = "yen"\ndate = 2027-01-15\n[[money.product]]\ncrop = "maize"\n'
    price = 'yield = 8.0\nprice = { amount = 30000.0, per = "t" }\n'
    check_money(parse_plan(STRIPS + one + price))
