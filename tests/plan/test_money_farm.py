"""Prices of the farm, shared by its plans: a plan's own win, and foreign crops stay out."""

import datetime as dt

import pytest
from sample_layouts import STRIPS

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_farm, parse_plan

FARM = """
[money]
coin = "crown"
date = 2026-10-01
discount = 4.0
product = [
  { crop = "maize", yield = 8.0, price = { amount = 180.0, per = "t" } },
  { crop = "beetroot", yield = 40.0, price = { amount = 90.0, per = "t" } },
  { crop = "field beans", stand = "far away", yield = 4.0 },
]
work = [
  { operation = "drill", price = { amount = 60.0, per = "ha", date = 2026-09-01 } },
  { operation = "plough", price = { amount = 90.0, per = "ha" } },
]
sole = [ { crop = "maize", yield = 7.5, costs = { amount = 500.0, per = "ha" } } ]
"""
OWN = """
[money]
coin = "crown"
date = 2027-01-15
product = [ { crop = "maize", yield = 9.0, price = { amount = 170.0, per = "t" } } ]
"""


def money(own="", farm=FARM):
    return parse_plan(STRIPS + own, farm=parse_farm(farm)).money


def test_a_plan_without_prices_has_those_of_the_farm_that_it_can_use():
    said = money()
    assert [one.crop for one in said.products] == ["maize"]
    assert [one.operation for one in said.works] == ["drill"]
    assert said.discount == 4.0
    assert said.date == dt.date(2026, 10, 1)


def test_the_plan_s_own_prices_win_entry_by_entry():
    said = money(OWN)
    assert [(one.crop, one.yields) for one in said.products] == [("maize", 9.0)]
    assert said.date == dt.date(2027, 1, 15)


def test_prices_of_the_farm_keep_their_day():
    said = money(OWN)
    assert said.day(said.works[0].price) == dt.date(2026, 9, 1)
    assert said.day(said.soles[0].costs) == dt.date(2026, 10, 1)
    assert said.day(said.products[0].price) == dt.date(2027, 1, 15)


def test_a_farm_without_prices_changes_nothing():
    assert money("", "") is None
    assert money(OWN, "") == parse_plan(STRIPS + OWN).money


def test_other_money_is_refused():
    with pytest.raises(PlanError, match="reckons in franc, the farm's prices are in crown"):
        money(OWN.replace("crown", "franc"))


def test_flows_of_trees_belong_to_a_plan():
    flow = (
        'flow = [ { name = "x", kind = "cost", price = { amount = 1.0, per = "ha" }, year = 0 } ]'
    )
    with pytest.raises(PlanError, match="flows of trees"):
        parse_farm(FARM + flow)


@pytest.mark.parametrize(
    "own",
    [
        pytest.param("[money]\nproduct = 3\n", id="a number for a list"),
        pytest.param("[money]\nproduct = [ 3 ]\n", id="a number for a table"),
        pytest.param("[[money]]\ncoin = 3\n", id="a list for a table"),
    ],
)
def test_what_cannot_be_is_told_as_of_the_plan_alone(own):
    with pytest.raises(PlanError):
        money(own)
