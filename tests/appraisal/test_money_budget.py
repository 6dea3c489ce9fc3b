"""Sums of budgets against published ones, and what must hold whatever the prices are."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.money.budget import Account, added, change, cost_per_tonne, minus
from geolayout.appraisal.seed.rate import Span

sums = st.floats(0.0, 1e6, allow_nan=False)
spans = st.tuples(sums, sums).map(lambda pair: Span(min(pair), max(pair)))
accounts = st.builds(Account, st.just("some land"), spans, spans)


def of(value):
    return Span.of(value)


def test_a_partial_budget_is_the_published_one():
    """
    100 acres of maize given up for dry beans, an example of four sums.

    *Partial budget is simple, useful financial tool*, Southeast Farm Press, page read. The page
    prints 152,000 for the gains, which are 97,500 + 55,000; its net is right.
    """
    beans = Account("dry beans", of(97_500.0), of(69_000.0))
    maize = Account("maize", of(88_000.0), of(55_000.0))
    budget = change(beans, maize)
    assert budget.instead_of == "maize"
    assert budget.gains == of(152_500.0)
    assert budget.losses == of(157_000.0)
    assert budget.net == of(-4_500.0)


def test_a_margin_is_the_published_one():
    """
    1,500 ha of wheat: 4,050 t at 247 a tonne, variable costs of 685,265.

    *Example 1: Gross margin analysis - wheat*, an Australian teaching sheet, page read: income
    1,000,350, margin 315,085, 210 a hectare, costs of 457 a hectare.
    """
    wheat = Account("wheat", of(4_050.0 * 247.0), of(685_265.0))
    assert wheat.income == of(1_000_350.0)
    assert wheat.margin == of(315_085.0)
    assert round(wheat.margin.low / 1500) == 210
    assert round(wheat.costs.low / 1500) == 457


@pytest.mark.parametrize(
    ("tonnes", "price", "costs", "margin", "within"),
    [
        pytest.param(11.03, 109.0, 322.0, 881.0, 1.0, id="11.03 t/ha at 109 leaves 881"),
        pytest.param(11.14, 101.0, 260.0, 868.0, 4.0, id="11.14 t/ha at 101, a rounded price"),
    ],
)
def test_a_margin_of_a_hectare_is_the_published_one(tonnes, price, costs, margin, within):
    """Farmers Weekly, 15 November 1996, table of a gross margin contest, page read."""
    account = Account("wheat", of(tonnes) * price, of(costs))
    assert account.margin.low == pytest.approx(margin, abs=within)


def test_what_a_tonne_costs_is_the_published_figure():
    """
    A wheat of 7.4 t/ha costs 139 a tonne; rent of 250 a hectare makes it 173, support of 190 147.

    Farmers Weekly, *Tips on calculating cost of wheat production*, a budget of 2015, page read.
    """
    costs = 139.0 * 7.4
    with_rent = cost_per_tonne(of(costs + 250.0), of(7.4))
    with_support = cost_per_tonne(of(costs + 250.0 - 190.0), of(7.4))
    assert round(with_rent.low) == 173
    assert round(with_support.low) == 147


def test_a_tonne_of_nothing_has_no_cost():
    assert cost_per_tonne(of(100.0), of(0.0)) is None


def test_a_margin_of_ranges_is_between_the_worst_and_the_best():
    # 10 to 12 earned, 1 to 4 paid: 10 - 4 at worst, 12 - 1 at best
    assert Account("", Span(10.0, 12.0), Span(1.0, 4.0)).margin == Span(6.0, 11.0)


@given(new=accounts, old=accounts)
@example(new=Account("", of(1.0), of(0.0)), old=Account("", of(0.0), of(1.0)))
def test_a_partial_budget_is_the_difference_of_margins(new, old):
    net, difference = change(new, old).net, minus(new.margin, old.margin)
    assert (net.low, net.high) == pytest.approx((difference.low, difference.high), abs=1e-6)


@given(new=accounts, old=accounts)
def test_going_back_brings_back_what_going_took(new, old):
    there, back = change(new, old).net, change(old, new).net
    assert there.low == pytest.approx(-back.high, abs=1e-6)


@given(parts=st.lists(accounts, max_size=6))
def test_margins_of_parts_add_up_to_the_margin_of_all(parts):
    whole = Account("", added(p.income for p in parts), added(p.costs for p in parts))
    assert whole.margin.low == pytest.approx(added(p.margin for p in parts).low, abs=1e-5)
    assert whole.margin.high == pytest.approx(added(p.margin for p in parts).high, abs=1e-5)
