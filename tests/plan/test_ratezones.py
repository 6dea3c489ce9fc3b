"""Rate zones in the plan; every figure here is invented."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.plan import Plan

PLAN = """
schema = 1
[[pattern]]
name = "strips"
bands = [{ name = "A", width = 6.0, stand = "maize and clover" }]
[[stand]]
name = "maize and clover"
sowing = [
  { crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 } },
  { crop = "clover", place = "broadcast", rate = { share = 0.5 }, sole_rate = { kg_per_ha = 8 } },
  { crop = "phacelia", place = "broadcast" },
]
[[machine]]
name = "planter"
working_width = 6.0
"""

ZONES = {
    "source": '"soil.tif"',
    "classes": '["low", "middle", "high"]',
    "limits": "[10, 20.5]",
    "machine": '"planter"',
}

MAIZE = """
[[rate_zones.rate]]
sowing = "maize"
plants_per_ha = { low = 70000, middle = 80000, high = 88000 }
"""


def planned(rates: str = MAIZE, **keys: str | None) -> Plan:
    given = {**ZONES, **keys}
    lines = [f"{key} = {value}" for key, value in given.items() if value is not None]
    return parse_plan("\n".join([PLAN, "[rate_zones]", *lines, rates]))


def test_rates_of_classes_become_factors_on_the_sowings_own_rate():
    zones = planned().rate_zones
    assert zones is not None
    maize, _, phacelia = planned().stands[0].sowing
    # 70,000 / 80,000 = 0.875 and 88,000 / 80,000 = 1.1
    assert zones.factors(maize) == pytest.approx((0.875, 1.0, 1.1))
    assert zones.factors(phacelia) == (1.0, 1.0, 1.0)


def test_rates_of_a_share_are_held_against_the_share_of_the_sole_rate():
    rates = '[[rate_zones.rate]]\nsowing = "clover"\nkg_per_ha = { low = 2, middle = 4, high = 6 }'
    plan = planned(rates)
    assert plan.rate_zones is not None
    # half of 8 kg/ha is 4 kg/ha: 2/4, 4/4, 6/4
    assert plan.rate_zones.factors(plan.stands[0].sowing[1]) == pytest.approx((0.5, 1.0, 1.5))


def test_without_limits_the_map_names_its_classes():
    assert not planned().rate_zones.by_words
    assert planned(limits=None).rate_zones.by_words


FACTOR = '[[rate_zones.rate]]\nsowing = "{}"\nfactor = {{ low = 0.9, middle = 1, high = 1.1 }}'


@pytest.mark.parametrize(
    ("rates", "keys", "match"),
    [
        pytest.param(MAIZE, {"limits": "[20, 10]"}, "from 20 to 10", id="limits fall"),
        pytest.param(MAIZE, {"limits": "[20, 20]"}, "rising order", id="a limit twice"),
        pytest.param(MAIZE, {"limits": "[10]"}, "3 classes and 1 limit\\.", id="too few limits"),
        pytest.param(MAIZE, {"quantiles": "[0.3, 0.6]"}, "both limits and quantiles", id="both"),
        pytest.param(
            MAIZE, {"limits": None, "quantiles": "[0.3, 1.0]"}, "less than 1", id="quantile of all"
        ),
        pytest.param(MAIZE, {"narrowest": "6.0"}, "both narrowest and machine", id="two widths"),
        pytest.param(MAIZE, {"machine": None}, "or neither", id="no width"),
        pytest.param(MAIZE, {"machine": '"plante"'}, "Did you mean 'planter'", id="no machine"),
        pytest.param(MAIZE, {"outside": '"lo"'}, "'low'", id="outside no class"),
        pytest.param(
            MAIZE, {"classes": '["low", "low", "high"]'}, "called 'low'", id="a class twice"
        ),
        pytest.param(MAIZE.replace(", high = 88000", ""), {}, "none for class 'high'", id="a gap"),
        pytest.param(
            MAIZE.replace("}", ", top = 9 }"), {}, "one for class 'top'", id="a class too many"
        ),
        pytest.param(
            MAIZE.replace("plants_per_ha", "kg_per_ha"), {}, "own rate is in", id="another unit"
        ),
        pytest.param(
            MAIZE + "factor = { low = 1, middle = 1, high = 1 }\n", {}, "in 2 ways", id="two ways"
        ),
        pytest.param(FACTOR.format("barley"), {}, "'barley'", id="an unknown crop"),
        pytest.param(FACTOR.format("phacelia"), {}, "no rate of its own", id="no rate to multiply"),
        pytest.param(MAIZE + FACTOR.format("maize"), {}, "maize twice", id="a sowing twice"),
    ],
)
def test_bad_rate_zones_are_refused_in_one_sentence(rates, keys, match):
    with pytest.raises(PlanError, match=match):
        planned(rates, **keys)
