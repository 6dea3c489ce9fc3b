"""What crops lose to trees, by hand: on the tree bands, and beside them by each course."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_layouts import paper_layout

from geolayout.appraisal.money.croploss import less_crops
from geolayout.appraisal.money.discount import present_value
from geolayout.appraisal.money.land import Grown, Land
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.trees.outlook import FARTHEST, SCENARIOS
from geolayout.plan.money.money import Money
from geolayout.plan.trees.outlook import Outlook

# 2 ha of barley beside trees, half a hectare of tree bands, invented prices:
# alone 6 t/ha x 200 = 1,200 earned and 500 spent on a hectare, a margin of 700.
LAND = Land(
    (Grown("barley", "barley", 20_000.0, harvested=True, share=1.0),),
    {"barley": 20_000.0},
    5_000.0,
    {},
    26_000.0,
    {"barley": 20_000.0},
)
SOLD = {"crop": "barley", "yield": 5.5, "price": {"amount": 200.0, "per": "t"}}
SOLE = {"crop": "barley", "yield": 6.0, "costs": {"amount": 500.0, "per": "ha"}}
OWN = Outlook(crop=((1.0, 0.9), (3.0, 0.7)))


def money(soles=(SOLE,), **said):
    given = {"coin": "crown", "date": "2027-01-15", "product": [SOLD], "sole": list(soles)}
    return Money.model_validate({**given, **said})


def test_the_plans_own_outlook_by_hand():
    # bands: 0.5 ha x 700 = 350 each year; beside, of 2 ha x 1,200 = 2,400: 10 %, 20 %, 30 %
    # -1,000 + (0 - 350 - 240) + (0 - 350 - 480) + (9,000 - 350 - 720) = 5,510
    (own,), left_out = less_crops(money(), LAND, OWN, [-1000.0, 0.0, 0.0, 9000.0])
    assert left_out == ()
    assert own.course == "your own"
    assert own.on_tree_bands == pytest.approx(350.0)
    assert own.beside == pytest.approx((0.0, 240.0, 480.0, 720.0))
    assert own.running == pytest.approx((-1000.0, -1590.0, -2420.0, 5510.0))
    assert own.worth == pytest.approx(5510.0)
    assert own.paid_back == 3
    assert own.even_yearly == pytest.approx(5510.0 / 3)


def test_without_an_outlook_every_published_course_is_told():
    # year 1: no loss; 96 % less 2.6 points, 6.6 % of 2,400 = 158.4; 30 % of 2,400 = 720
    courses, left_out = less_crops(money(), LAND, None, [0.0, 0.0])
    assert left_out == ()
    assert [one.beside[1] for one in courses] == pytest.approx([0.0, 158.4, 720.0])
    assert [one.worth for one in courses] == pytest.approx([-350.0, -508.4, -1070.0])
    assert [one.source for one in courses] == [one.source for one in SCENARIOS]


def test_a_course_that_ends_before_the_years_do_is_left_out_and_named():
    courses, left_out = less_crops(money(), LAND, None, [0.0] * 41)
    assert len(courses) == len(SCENARIOS) - 1
    assert left_out == (f'"96 %, 2.6 points less a year", which tells {FARTHEST:.0f} years only',)


def test_a_discount_counts_for_what_crops_lose_too():
    # 350 + 240 lost in year 1 at 10 %: 590 / 1.1 = 536.364
    (own,), _ = less_crops(money(discount=10.0), LAND, OWN, [0.0, 0.0])
    assert own.worth == pytest.approx(-536.364, abs=1e-3)


@pytest.mark.parametrize(
    ("soles", "lacks"),
    [
        pytest.param((), "barley alone", id="no sole crop"),
        pytest.param(
            ({"crop": "barley", "yield": 6.0},), "costs of barley alone", id="no costs of it"
        ),
    ],
)
def test_what_is_missing_is_named_and_nothing_is_guessed(soles, lacks):
    assert less_crops(money(soles), LAND, OWN, [0.0, 0.0]) == ((), (lacks,))


def test_trees_beside_nothing_that_is_sold_take_nothing_and_say_so():
    alone = Land((), {}, 5_000.0, {}, 5_000.0)
    assert less_crops(money(), alone, OWN, [0.0, 0.0])[1] == (
        "a crop beside the trees that is sold",
    )


@given(
    net=st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=20),
    shares=st.lists(st.floats(0.0, 1.2), min_size=1, max_size=20),
    discount=st.floats(0.0, 30.0),
)
def test_the_worth_is_that_of_the_trees_less_that_of_the_losses(net, shares, discount):
    pairs = tuple((float(year), share) for year, share in enumerate(shares, 1))
    (own,), _ = less_crops(money(discount=discount), LAND, Outlook(crop=pairs), net)
    rate = discount / 100.0
    lost = [0.0, *(own.on_tree_bands + one for one in own.beside[1:])]
    apart = present_value(net, rate) - present_value(lost, rate)
    assert own.worth == pytest.approx(apart, abs=1e-4)


ALLEYS = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "barley"
sowing = [ { crop = "barley", spacing = 0.125 } ]
[[pattern]]
name = "alleys"
close_with = "A"
bands = [
  { name = "A", width = 24.0, stand = "barley" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 10.0, species = "pear" } },
]
[money]
coin = "crown"
date = 2027-01-15
product = [ { crop = "barley", yield = 5.5, price = { amount = 200.0, per = "t" } } ]
sole = [ { crop = "barley", yield = 6.0, costs = { amount = 500.0, per = "ha" } } ]
flow = [ { name = "stock", kind = "cost", price = { amount = 5.0, per = "tree" }, year = 0 } ]
years = 10
"""


def test_a_layout_says_how_much_ground_lies_beside_its_trees():
    # 60 m x 120 m: 24 + 3 + 24 + 3 + 6 is closed with barley: 54 m of it, 6 m of tree bands;
    # 0.072 ha x 700 = 50.40 a year
    trees = figures(paper_layout(ALLEYS)).money.trees
    assert trees.tree_bands_m2 == pytest.approx(720.0, rel=1e-3)
    mild, middle, hard = trees.less_crops
    assert mild.on_tree_bands == pytest.approx(50.40, rel=1e-3)
    # 0.648 ha x 1,200 x 30 % = 233.28
    assert hard.beside[10] == pytest.approx(233.28, rel=1e-3)
    assert hard.worth < middle.worth < mild.worth < trees.worth
