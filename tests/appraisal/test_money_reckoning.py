"""The money of a layout by hand, and what is said where something is missing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from money_plans import PRICED, with_money
from sample_layouts import STRIPS, paper_layout

from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.money.land import Grown, Land
from geolayout.appraisal.money.lines import Worked, work_lines
from geolayout.appraisal.money.reckoning import reckoned
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.money.money import Money

WITHIN = 1e-4
"""Strips of a turned frame are a thousandth of a square metre off. [-]"""


def money(text=PRICED):
    """Return the money of a plan on the field on paper."""
    return figures(paper_layout(text)).money


def low(span):
    return span.low


def test_a_plan_without_prices_has_no_money():
    assert money(STRIPS) is None


def test_products_by_hand():
    maize, beans, grass = money().products
    assert low(maize.tonnes) == pytest.approx(2.4, rel=WITHIN)
    assert low(maize.income) == pytest.approx(432.0, rel=WITHIN)
    assert beans.price_per_t == pytest.approx(240.0)
    assert low(beans.income) == pytest.approx(288.0, rel=WITHIN)
    assert low(grass.income) == 0.0


def test_every_price_has_its_day():
    days = {one.crop: one.day for one in money().products}
    assert days == {"maize": "2027-01-15", "field beans": "2027-02-01", "grass": ""}


def test_costs_by_hand():
    found = {(one.kind, one.name, one.crop): low(one.cost) for one in money().costs}
    assert found["cost", "all but work", "maize"] == pytest.approx(120.0, rel=WITHIN)
    assert found["cost", "all but work", "field beans"] == pytest.approx(60.0, rel=WITHIN)
    assert found["work", "plant", ""] == pytest.approx(15.0, rel=WITHIN)
    assert found["work", "drill", ""] == pytest.approx(40.0)


def test_margins_by_hand():
    found = money()
    maize, beans, grass = found.crops
    assert low(maize.margin) == pytest.approx(432.0 - 120.0, rel=WITHIN)
    assert low(maize.margin_per_ha) == pytest.approx(312.0 / 0.3, rel=WITHIN)
    assert low(beans.margin) == pytest.approx(288.0 - 60.0, rel=WITHIN)
    assert low(grass.margin) == 0.0
    assert low(found.field.margin) == pytest.approx(720.0 - 235.0, rel=WITHIN)
    assert low(found.field.margin_per_ha) == pytest.approx(485.0 / 0.72, rel=WITHIN)


def test_the_ratio_by_hand():
    # on 0.6 ha of crops: 2.4 / 0.6 / 7.5 = 0.53333, 1.2 / 0.6 / 3.5 = 0.57143
    land = money().instead.land
    assert land.land_m2 == pytest.approx(6000.0, rel=WITHIN)
    assert [low(one.ratio) for one in land.partials] == pytest.approx([0.53333, 0.57143], abs=1e-4)
    assert low(land.ratio) == pytest.approx(1.10476, abs=1e-4)


def test_budgets_by_hand_and_a_ratio_over_one_that_earns_less():
    # maize alone on 0.6 ha: 7.5 x 0.6 x 180 = 810, less 300: 510, which is 25 more than 485
    # beans alone: 3.5 x 0.6 x 240 = 504, less 150: 354; half of each: 432
    maize, beans, shares = money().instead.budgets
    assert low(maize.added_income) == pytest.approx(720.0, rel=WITHIN)
    assert low(maize.lost_income) == pytest.approx(810.0, rel=WITHIN)
    assert low(maize.saved_cost) == pytest.approx(300.0, rel=WITHIN)
    assert low(maize.added_cost) == pytest.approx(235.0, rel=WITHIN)
    assert low(maize.net) == pytest.approx(-25.0, abs=0.05)
    assert low(beans.net) == pytest.approx(131.0, abs=0.05)
    assert low(shares.net) == pytest.approx(53.0, abs=0.05)
    assert low(money().instead.land.ratio) > 1.0


def test_break_even_by_hand():
    # yields x f: 720 f - 235 = 432, f = 0.92639; the ratio there is 0.92639 x 1.10476
    even = money().instead.break_even
    assert even.yields_times == pytest.approx(0.92639, abs=1e-4)
    assert even.ratio == pytest.approx(1.02344, abs=2e-4)


def test_sensitivity_by_hand():
    found = money().sensitivity
    middle = found.steps.index(0.0)
    assert found.margins[middle][middle] == pytest.approx(485.0, rel=WITHIN)
    # prices down by 30 %: 0.7 x 720 - 235
    assert found.margins[middle][0] == pytest.approx(269.0, rel=WITHIN)
    # yields up by 30 %, prices down by 30 %: 1.3 x 0.7 x 720 - 235
    assert found.margins[-1][0] == pytest.approx(420.2, rel=WITHIN)
    maize = found.products[0]
    assert maize.price_per_t == pytest.approx(180.0, rel=WITHIN)
    # nothing is left at (432 - 485) / 2.4: the beans carry the field
    assert maize.price_for_nothing_left == pytest.approx(-22.083, abs=0.02)
    assert maize.margins[0] == pytest.approx(485.0 - 0.3 * 432.0, rel=WITHIN)


DRYING = """[[money.cost]]
name = "drying"
crop = "maize"
price = { amount = 20.0, per = "t" }
"""


def test_what_is_paid_by_the_tonne_goes_with_the_yield():
    # drying 2.4 t x 20 = 48: yields up by 30 % make it 62.4
    found = money(with_money(DRYING, cost="", sole=""))
    middle = found.sensitivity.steps.index(0.0)
    assert found.sensitivity.margins[-1][middle] == pytest.approx(
        1.3 * 720.0 - 55.0 - 62.4, rel=WITHIN
    )


@pytest.mark.parametrize(
    ("changed", "lacks"),
    [
        pytest.param({"product": ""}, "yield and price of maize in maize", id="no product at all"),
        pytest.param(
            {"product": '[{ crop = "maize", yield = 8.0 }]'}, "price of maize", id="a yield alone"
        ),
        pytest.param({"seed": ""}, "price of the seed of maize", id="seed without a price"),
    ],
)
def test_what_is_missing_is_named_and_the_margin_stays_empty(changed, lacks):
    found = money(with_money(**changed))
    assert any(word.startswith(lacks) for word in found.missing)
    assert found.field.margin is None
    assert found.instead.budgets == ()
    assert found.sensitivity is None


def test_a_crop_with_everything_has_its_margin_though_another_lacks_something():
    products = '[{ crop = "maize", yield = 8.0, price = { amount = 180.0, per = "t" } }]'
    maize, beans, _ = money(with_money(product=products)).crops
    assert low(maize.margin) == pytest.approx(312.0, rel=WITHIN)
    assert beans.margin is None


def test_a_sole_crop_without_costs_has_no_budget_and_says_so():
    found = money(with_money(sole='[{ crop = "maize", yield = 7.5 }]')).instead
    assert found.budgets == ()
    assert "costs of maize alone" in found.missing
    assert found.land.ratio is None  # beans have no sole yield
    assert found.land.missing == ("yield of field beans alone",)


def test_work_by_the_hour_takes_the_hours_of_the_field_if_none_are_said():
    work = '[{ operation = "plant", price = { amount = 80.0, per = "hour" } }]'
    layout = paper_layout(with_money(work=work))
    hours = next(one.hours.total for one in driving_of(layout) if one.operation == "plant")
    (line,) = (one for one in figures(layout).money.costs if one.kind == "work")
    assert (line.amount.low, line.amount.high) == (hours.least, hours.most)
    assert line.cost.low == pytest.approx(80.0 * hours.least)


def test_hours_that_nobody_knows_are_missing():
    work = {"operation": "plant", "price": {"amount": 80.0, "per": "hour"}}
    said = Money.model_validate({"coin": "crown", "date": "2027-01-15", "work": [work]})
    (line,) = work_lines(said, [Worked("plant", 5, 500.0, 6.0)])
    assert line.cost is None
    assert line.missing == ("hours of plant",)


def test_work_without_a_price_is_named():
    work = '[{ operation = "plant", price = { amount = 50.0, per = "ha" } }]'
    assert money(with_money(work=work)).notes == ("Work without a price is in no sum: drill.",)


def test_seed_by_the_thousand_is_what_the_order_says():
    # 0.3 ha x 80,000 plants with an establishment of the crop sheet: the order's own seeds
    seed = """[
  { crop = "maize", price = { amount = 2.0, per = "1000 seeds" } },
  { crop = "field beans", price = { amount = 0.0, per = "kg" } },
  { crop = "grass", price = { amount = 1.0, per = "t" } },
]"""
    told = figures(paper_layout(with_money(seed=seed)))
    order = next(one for one in told.seed_order.lines if one.crop == "maize")
    line = next(one for one in told.money.costs if (one.kind, one.crop) == ("seed", "maize"))
    assert line.cost == order.seeds_ordered / 500.0
    grass = next(one for one in told.money.costs if (one.kind, one.crop) == ("seed", "grass"))
    assert low(grass.amount) == pytest.approx(0.12 * 25.0 / 1000.0, rel=1e-3)  # 3 kg in tonnes


YIELDS = st.floats(0.0, 50.0)
PRICES = st.floats(0.0, 1000.0)


@settings(max_examples=50, deadline=None)
@given(
    yields=st.tuples(YIELDS, YIELDS),
    prices=st.tuples(PRICES, PRICES),
    grounds=st.lists(st.tuples(st.floats(1.0, 1e5), st.floats(1.0, 1e5)), min_size=1, max_size=4),
    shared=st.floats(0.0, 5000.0),
)
def test_totals_add_up_over_crops_and_stands(yields, prices, grounds, shared):
    """Margins of crops less what they share are the field's; stands add up to the ground."""
    said = Money.model_validate(
        {
            "coin": "crown",
            "date": "2027-01-15",
            "product": [
                {"crop": crop, "yield": amount, "price": {"amount": price, "per": "t"}}
                for crop, amount, price in zip("ab", yields, prices, strict=True)
            ],
            "cost": [
                {"name": "own", "crop": "a", "price": {"amount": 30.0, "per": "ha"}},
                {"name": "rent", "price": {"amount": shared, "per": "field"}},
            ],
            "sole": [
                {"crop": crop, "yield": 5.0, "costs": {"amount": 100.0, "per": "ha"}}
                for crop in "ab"
            ],
        }
    )
    grown = tuple(
        Grown(crop, f"{crop}{k}", area, harvested=True, share=1.0)
        for k, pair in enumerate(grounds)
        for crop, area in zip("ab", pair, strict=True)
    )
    stands = {one.stand: one.ground_m2 for one in grown}
    land = Land(grown, stands, 0.0, {}, sum(stands.values()))
    found = reckoned(said, land, [], [Worked("x", 1, 1.0, 1.0)])
    crops = sum(low(one.margin) for one in found.crops)
    assert low(found.field.margin) == pytest.approx(crops - shared, abs=1e-4)
    incomes = sum(low(one.income) for one in found.products)
    assert low(found.field.income) == pytest.approx(incomes, abs=1e-6)
    for budget in found.instead.budgets:
        gains = budget.added_income + budget.saved_cost
        losses = budget.added_cost + budget.lost_income
        assert low(budget.net) == pytest.approx(low(gains) - losses.high, abs=1e-4)
    if all(yields):
        alone, other = found.instead.budgets[0], found.instead.budgets[1]
        difference = low(alone.lost_income) - low(other.lost_income)
        hectares = found.instead.land.land_m2 / 1e4
        assert difference == pytest.approx((prices[0] - prices[1]) * 5.0 * hectares, abs=1e-3)


def test_ranges_of_yields_go_through_to_the_margin():
    product = """[
  { crop = "maize", yield = [7.0, 9.0], price = { amount = 180.0, per = "t" } },
  { crop = "field beans", yield = 4.0, price = { amount = 240.0, per = "t" } },
  { crop = "grass", yield = 0.0 },
]"""
    # 0.3 ha x 7 to 9 t x 180 = 378 to 486; + 288 - 235
    margin = money(with_money(product=product)).field.margin
    assert (margin.low, margin.high) == pytest.approx((431.0, 539.0), rel=WITHIN)
    assert isinstance(margin, Span)
