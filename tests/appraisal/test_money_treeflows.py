"""Trees over the years by hand."""

import pytest
from sample_layouts import paper_layout

from geolayout.appraisal.money.treeflows import tree_flows
from geolayout.appraisal.quantities.figures import figures
from geolayout.plan.money.money import Money


def flows(*given, **said):
    """Return the flows of 100 trees on 0.2 ha, of which 50 are left from year 3 on."""
    money = Money.model_validate(
        {"coin": "crown", "date": "2027-01-15", "flow": list(given), **said}
    )
    return tree_flows(money, lambda year, _species: 100 if year < 3 else 50, 2000.0)


def flow(kind, amount, per, year):
    return {"name": "x", "kind": kind, "price": {"amount": amount, "per": per}, "year": year}


STOCK = flow("cost", 8.0, "tree", 0)
GRASS_CUT = flow("cost", 100.0, "ha", [1, 2])
NUTS = flow("income", 10.0, "tree", [3, 4])
SALE = flow("income", 300.0, "field", 4)


def test_years_by_hand():
    found = flows(STOCK, GRASS_CUT, NUTS, SALE)
    # 100 x 8; 0.2 ha x 100 twice; 50 trees x 10 twice, and 300 once
    assert [one.net for one in found.years] == [-800.0, -20.0, -20.0, 500.0, 800.0]
    assert [one.running for one in found.years] == [-800.0, -820.0, -840.0, -340.0, 460.0]
    assert found.paid_back == 4
    assert found.worth == 460.0
    assert found.even_yearly == pytest.approx(115.0)  # 460 / 4
    assert found.discount_percent is None


def test_a_discount_makes_later_money_less():
    found = flows(STOCK, SALE, discount=10.0)
    # -800 + 300 / 1.1^4 = -800 + 204.904
    assert found.worth == pytest.approx(-595.096, abs=1e-3)
    assert found.paid_back is None


def test_years_can_be_said():
    assert [one.year for one in flows(STOCK, years=6).years] == list(range(7))


def test_years_said_leave_later_flows_out():
    assert flows(STOCK, SALE, years=2).worth == -800.0


def test_planting_alone_is_looked_at_for_a_year():
    assert flows(STOCK).even_yearly == -800.0


def test_no_flow_no_years():
    assert flows() is None


TREES = """
schema = 1
[guide]
bearing = 0.0
from = "west"
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[pattern]]
name = "alleys"
close_with = "A"
bands = [
  { name = "A", width = 24.0, stand = "maize" },
  { name = "T", width = 3.0, whole = true, trees = { TREES } },
]
[money]
coin = "crown"
date = 2027-01-15
[[money.flow]]
name = "stock"
kind = "cost"
price = { amount = 5.0, per = "tree" }
year = 0
[[money.flow]]
name = "pears"
kind = "income"
price = { amount = 20.0, per = "tree" }
year = 6
species = "pear"
""".replace(
    "TREES",
    'in_row_spacing = 10.0, species = ["oak", "pear"], '
    "thinning = [ { year = 5.0, keep_every = 2 } ]",
)


def test_trees_are_counted_by_species_and_after_thinning():
    told = figures(paper_layout(TREES))
    found, trees = told.money.trees, told.trees
    assert found.years[0].costs == pytest.approx(5.0 * trees.trees)
    assert found.years[6].trees == trees.years[-1].trees < trees.trees
    pears = found.years[6].income / 20.0
    assert 0 < pears <= found.years[6].trees
    assert pears < next(one.trees for one in trees.by_species if one.species == "pear") + 1
    assert found.tree_bands_m2 == pytest.approx(3.0 * 120.0 * len(trees.by_row), rel=1e-4)
