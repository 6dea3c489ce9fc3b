"""Rates a thousand times off are found; what somebody may mean is let through."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.errors import MeasureError, PlanError
from geolayout.plan.crops.sheet import shipped_sheet
from geolayout.plan.parse import parse_plan
from geolayout.plan.stand import Sowing
from geolayout.plan.usual import check_rates, rate_key, usual_rate

PLAN = """schema = 1
[[stand]]
name = "it"
sowing = [ {{ crop = "{crop}", spacing = 0.5, {rate} }} ]
[[pattern]]
name = "all over"
bands = [ {{ name = "A", width = 3.0, stand = "it" }} ]
"""


def plan_of(crop, rate):
    return parse_plan(PLAN.format(crop=crop, rate=rate))


@pytest.mark.parametrize(
    ("crop", "rate"),
    [
        # 400-4,000 kg/ha of seed potatoes: common practice, no source
        pytest.param("potatoes", "rate = { kg_per_ha = 2500 }", id="seed potatoes are heavy"),
        # white clover 4 kg/ha: AHDB, Undersowing clover
        pytest.param("white clover", "rate = { kg_per_ha = 4 }", id="clover is light"),
        # 90,000 plants/ha: Farmers Weekly, 2 Feb 1996, quoting the Maize Growers Association
        pytest.param("maize", "rate = { plants_per_ha = 90000 }", id="maize"),
        # 183 kg/ha for 300 plants/m2: AgriLand (Ireland), tillage management
        pytest.param("winter wheat", "rate = { kg_per_ha = 183 }", id="wheat"),
        pytest.param("ryegrass", "rate = { kg_per_ha = 25 }", id="ryegrass is no rye"),
        pytest.param("grapes", "rate = { plants_per_ha = 4000 }", id="grapes are no rape"),
        pytest.param("quinoa", "rate = { plants_per_ha = 1000 }", id="a crop nobody listed"),
        pytest.param("oats", "rate = { share = 0.5 }", id="a share alone"),
        pytest.param("oats", "mix = {}", id="no rate"),
    ],
)
def test_usual_rates_pass(crop, rate):
    check_rates(plan_of(crop, rate))


@pytest.mark.parametrize(
    ("crop", "rate"),
    [
        pytest.param("wheat", "rate = { kg_per_ha = 180000 }", id="grams of wheat"),
        pytest.param("wheat", "rate = { kg_per_ha = 0.18 }", id="tonnes of wheat"),
        pytest.param("maize", "rate = { plants_per_ha = 80 }", id="maize in thousands"),
        pytest.param("maize", "rate = { plants_per_ha = 8e7 }", id="maize, thousands twice"),
        pytest.param("beans", "rate = { seeds_per_m2 = 400000 }", id="beans of a hectare"),
        pytest.param("quinoa", "rate = { kg_per_ha = 6e6 }", id="a crop nobody listed"),
        pytest.param(
            "oats",
            "rate = { share = 0.5 }, sole_rate = { kg_per_ha = 180000 }",
            id="the sole rate of a share",
        ),
    ],
)
def test_mistaken_units_are_refused(crop, rate):
    key = f"{crop}-rate"
    with pytest.raises(MeasureError, match=f"--accept {key}"):
        check_rates(plan_of(crop, rate))
    check_rates(plan_of(crop, rate), [key])
    with pytest.raises(MeasureError):
        check_rates(plan_of(crop, rate), ["other-rate"])


named = st.tuples(
    st.sampled_from([crop.name for crop in shipped_sheet().crops if crop.kind != "tree"]),
    st.sampled_from(["plants_per_ha", "kg_per_ha", "seeds_per_m2"]),
)


@given(named=named, share=st.floats(0, 1), times=st.sampled_from([1000.0, 1 / 1000.0]))
def test_every_usual_rate_passes_and_a_thousandfold_slip_from_it_does_not(named, share, times):
    crop, unit = named
    usual = usual_rate(crop, unit)
    amount = float(usual.low + share * (usual.high - usual.low))
    check_rates(plan_of(crop, f"rate = {{ {unit} = {amount!r} }}"))
    with pytest.raises((MeasureError, PlanError)):  # over 1e9 it is no rate at all
        check_rates(plan_of(crop, f"rate = {{ {unit} = {amount * times!r} }}"))


def test_a_key_names_the_sowing():
    assert rate_key(Sowing(crop="white clover", name="Late clover", spacing=0.5)) == (
        "late-clover-rate"
    )
