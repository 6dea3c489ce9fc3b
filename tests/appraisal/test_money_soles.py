"""The account of a crop alone, by hand, and what is missing for it. Prices are invented."""

import pytest

from geolayout.appraisal.money.soles import sole_account
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.money.money import Money


def account(product=None, **sole):
    """Return the account of barley alone on half a hectare."""
    said = {"coin": "crown", "date": "2027-01-15", "sole": [{"crop": "barley", **sole}]}
    if product is not None:
        said["product"] = [{"crop": "barley", "yield": 5.0, "price": product}]
    money = Money.model_validate(said)
    return sole_account(money, money.soles[0], 5000.0)


COSTS = {"amount": 500.0, "per": "ha"}


def test_by_hand():
    # 0.5 ha x 6 to 7 t x 200 = 600 to 700; 0.5 x 500 = 250
    found, missing = account(price={"amount": 200.0, "per": "t"}, costs=COSTS, **{"yield": [6, 7]})
    assert missing == []
    assert found.income == Span(600.0, 700.0)
    assert found.costs == Span.of(250.0)
    assert found.margin == Span(350.0, 450.0)


def test_without_a_price_of_its_own_it_has_that_of_the_product():
    # 0.5 ha x 6 t x 1,000 kg x 0.2
    found, _ = account({"amount": 0.2, "per": "kg"}, costs=COSTS, **{"yield": 6.0})
    assert found.income.low == pytest.approx(600.0)


@pytest.mark.parametrize(
    ("said", "lacks"),
    [
        pytest.param({"costs": COSTS}, ["price of barley alone"], id="no price anywhere"),
        pytest.param(
            {"price": {"amount": 200.0, "per": "t"}}, ["costs of barley alone"], id="no costs"
        ),
        pytest.param({}, ["price of barley alone", "costs of barley alone"], id="neither"),
    ],
)
def test_what_is_missing_is_named(said, lacks):
    assert account(**{"yield": 6.0}, **said) == (None, lacks)
