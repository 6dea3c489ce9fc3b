"""Ground of crops in their stands, how crops share it, and what is compared with sole crops."""

import pytest
from money_plans import PRICED
from sample_layouts import paper_layout

from geolayout.appraisal.money.land import land_of
from geolayout.appraisal.quantities.figures import figures
from geolayout.plan.money.money import Money

MIXTURE = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "mix"
sowing = [ SOWING ]
[[pattern]]
name = "all"
bands = [ { name = "A", width = "rest", stand = "mix" } ]
[money]
coin = "crown"
date = 2027-01-15
"""
OATS = '{ crop = "oats", spacing = 0.125, RATE }'
PEAS = '{ crop = "peas", place = "broadcast", RATE }'
BOTH = f"{OATS}, {PEAS}"


def shares(sowings, *products):
    """Return the share of each crop of a mixture on 0.72 ha."""
    layout = paper_layout(MIXTURE.replace("SOWING", sowings))
    said = {"coin": "crown", "date": "2027-01-15", "product": list(products)}
    land = land_of(layout, Money.model_validate(said))
    return {one.crop: one.share for one in land.grown}


def sown(oats, peas):
    rates = [f"rate = {{ share = {share} }}" for share in (oats, peas)]
    return f"{OATS.replace('RATE', rates[0])}, {PEAS.replace('RATE', rates[1])}"


@pytest.mark.parametrize(
    ("oats", "peas", "expected"),
    [
        pytest.param(0.5, 0.5, (0.5, 0.5), id="a replacement series, half and half"),
        pytest.param(0.75, 0.25, (0.75, 0.25), id="a replacement series keeps its shares"),
        pytest.param(1.0, 0.5, (2 / 3, 1 / 3), id="an additive one shares one ground"),
    ],
)
def test_crops_share_their_ground_as_their_rates_do(oats, peas, expected):
    found = shares(sown(oats, peas))
    assert (found["oats"], found["peas"]) == pytest.approx(expected)


def test_what_the_user_says_wins_over_rates():
    products = [
        {"crop": "oats", "yield": 3.0, "share": 0.6},
        {"crop": "peas", "yield": 1.0, "share": 0.4},
    ]
    assert shares(sown(0.5, 0.5), *products) == pytest.approx({"oats": 0.6, "peas": 0.4})


def test_where_nobody_says_how_they_share_it_is_not_guessed():
    plain = BOTH.replace("RATE", "rate = { kg_per_ha = 90 }")
    assert shares(plain) == {"oats": None, "peas": None}


def test_a_companion_that_is_not_harvested_takes_no_share():
    rate = "rate = { kg_per_ha = 90 }"
    companion = PEAS.replace("RATE", f"harvested = false, {rate}")
    found = shares(f"{OATS.replace('RATE', rate)}, {companion}")
    assert found == {"oats": 1.0, "peas": None}


def test_missing_shares_are_named_and_leave_out_one_budget_only():
    said = """product = [
  { crop = "oats", yield = 3.0, price = { amount = 200.0, per = "t" } },
  { crop = "peas", yield = 1.5, price = { amount = 300.0, per = "t" } },
]
seed = [
  { crop = "oats", price = { amount = 0.0, per = "kg" } },
  { crop = "peas", price = { amount = 0.0, per = "kg" } },
]
sole = [
  { crop = "oats", yield = 5.0, costs = { amount = 400.0, per = "ha" } },
  { crop = "peas", yield = 3.0, costs = { amount = 400.0, per = "ha" } },
]
"""
    plain = BOTH.replace("RATE", "rate = { kg_per_ha = 90 }")
    found = figures(paper_layout(MIXTURE.replace("SOWING", plain) + said)).money.instead
    assert len(found.budgets) == 2
    assert found.break_even is None
    assert "share of oats in the ground of mix" in found.missing
    # the ratio needs no shares: 3 / 5 + 1.5 / 3, both on the same 0.72 ha
    assert found.land.ratio.low == pytest.approx(1.1, rel=1e-6)


def test_ground_of_products_adds_up_over_bands():
    told = figures(paper_layout(PRICED))
    for one in told.money.products[:2]:
        bands = sum(band.area_m2 for band in told.bands if band.stand == one.stand)
        assert one.ground_m2 == pytest.approx(bands, rel=1e-12)
        assert one.tonnes.low == pytest.approx(bands / 1e4 * one.yield_t_per_ha.low)


ALLEYS = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "barley"
sowing = [ { crop = "barley", spacing = 0.125 } ]
[[stand]]
name = "grass"
sowing = [ { crop = "grass", place = "standing" } ]
[[pattern]]
name = "alleys"
bands = [
  { name = "A", width = 24.0, stand = "barley" },
  { name = "T", width = 6.0, whole = true, STAND trees = { in_row_spacing = 10.0 } },
]
[money]
coin = "crown"
date = 2027-01-15
product = [
  { crop = "barley", yield = 5.0, price = { amount = 200.0, per = "t" } },
  { crop = "grass", yield = 0.0 },
]
seed = [ { crop = "barley", price = { amount = 0.0, per = "kg" } } ]
sole = [ { crop = "barley", yield = 5.0, costs = { amount = 0.0, per = "ha" } } ]
"""


@pytest.mark.parametrize(
    "stand", ['stand = "grass",', ""], ids=["grass under trees", "bare ground under trees"]
)
def test_tree_bands_are_land_that_the_sole_crop_would_have(stand):
    """Two alleys of 24 m and two tree bands of 6 m on 60 m: 0.576 ha of 0.72 ha yield barley."""
    text = ALLEYS.replace("STAND", stand)
    if not stand:
        text = text.replace('  { crop = "grass", yield = 0.0 },\n', "")
    found = figures(paper_layout(text)).money.instead
    assert found.land.land_m2 == pytest.approx(7200.0, rel=1e-4)
    assert found.land.ratio.low == pytest.approx(0.8, rel=1e-4)  # 0.576 / 0.72
    alone, shares = found.budgets
    # barley alone on all: 0.144 ha x 5 x 200 more; on its own share just the same
    assert alone.net.low == pytest.approx(-144.0, rel=1e-3)
    assert shares.net.low == pytest.approx(0.0, abs=0.1)


def test_grass_of_the_headland_is_not_compared_and_grass_under_trees_is():
    """
    Headlands of 10 m at both ends: 0.12 ha; tree bands of 100 m x 12 m in all: 0.12 ha.

    Grass is sown on both, 24 kg at 5: half of its 120 counts against the plan.
    """
    text = ALLEYS.replace("STAND", 'stand = "grass",').replace(
        '{ crop = "grass", place = "standing" }',
        '{ crop = "grass", place = "broadcast", rate = { kg_per_ha = 100 } }',
    )
    text = text.replace(
        "[[stand]]",
        '[headland]\nwhere = "ends"\nwidth = 10.0\nstand = "grass"\n[[stand]]',
        1,
    )
    text = text.replace(
        "seed = [ ", 'seed = [ { crop = "grass", price = { amount = 5.0, per = "kg" } }, '
    )
    money = figures(paper_layout(text)).money
    (grass,) = (one for one in money.costs if one.name == "grass")
    assert grass.cost.low == pytest.approx(120.0, rel=1e-3)
    assert money.instead.land.land_m2 == pytest.approx(6000.0, rel=1e-4)
    shares = money.instead.budgets[1]
    assert shares.added_cost.low == pytest.approx(60.0, rel=1e-3)
