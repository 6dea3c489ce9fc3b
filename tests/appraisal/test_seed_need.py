"""What the ground needs in kilograms and seeds, and what is said where a figure is missing."""

import pytest
from appraisal_layouts import close, layout_of, one_stand
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.seed.amounts import SeedAmount, seed_amounts
from geolayout.appraisal.seed.need import rated, seed_needs
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.parse import parse_plan

PLAN = """schema = 1
{more}
[[stand]]
name = "it"
sowing = [ {{ crop = "{crop}", place = "broadcast", {keys} }} ]
[[pattern]]
name = "all over"
bands = [ {{ name = "A", width = 3.0, stand = "it" }} ]
"""
HECTARE = 1e4


def plan_of(keys, crop="wheat", more=""):
    return parse_plan(PLAN.format(keys=keys, crop=crop, more=more))


def needs(keys, crop="wheat", ground=HECTARE, more=""):
    plan = plan_of(keys, crop, more)
    amount = SeedAmount(crop, crop, "it", "bands", ground, ground, None, "", None, "", (), "")
    return seed_needs(plan, [amount])


def need(keys, crop="wheat", **more):
    (only,) = needs(keys, crop, **more)
    return only


def both(span):
    return (span.low, span.high)


@pytest.mark.parametrize(
    ("keys", "kg", "seeds"),
    [
        pytest.param(
            # AgriLand (Ireland): 300 plants/m2, TGW 51.9 g, 85 %: 183.18 kg/ha; 352.94 seeds/m2.
            "rate = { plants_per_ha = 3e6 }, seed = { tgw = 51.9, establishment = 85.0 }",
            183.176,
            3_529_412,
            id="plants, weight and establishment",
        ),
        pytest.param(
            # PGG Wrightson Grain: 100 plants/m2, TGW 45 g, 95 % x 90 %: 52.63 kg/ha.
            "rate = { plants_per_ha = 1e6 }, "
            "seed = { tgw = 45.0, germination = 95.0, emergence = 90.0 }",
            52.632,
            1_169_591,
            id="germination and emergence multiply",
        ),
        pytest.param(
            "rate = { seeds_per_m2 = 300 }, seed = { tgw = 50.0, establishment = 50.0 }",
            150.0,
            3_000_000,
            id="seeds are sown as said, whatever comes up",
        ),
        pytest.param(
            "rate = { kg_per_ha = 150 }, seed = { tgw = 50.0, establishment = 50.0 }",
            150.0,
            3_000_000,
            id="so are kilograms",
        ),
        pytest.param(
            "rate = { share = 0.5 }, sole_rate = { kg_per_ha = 300 }, seed = { tgw = 50.0 }",
            150.0,
            3_000_000,
            id="a share of kilograms",
        ),
    ],
)
def test_what_is_known_is_one_figure(keys, kg, seeds):
    found = need(keys)
    assert both(found.kg) == pytest.approx((kg, kg), rel=1e-5)
    assert both(found.seeds) == pytest.approx((seeds, seeds), rel=1e-5)
    assert (found.missing, found.taken) == ((), ())


@pytest.mark.parametrize(
    ("keys", "kg", "seeds", "taken"),
    [
        pytest.param(
            # TGW 31 to 50 g
            "rate = { seeds_per_m2 = 300 }",
            (93.0, 150.0),
            (3e6, 3e6),
            ("thousand grain weight of wheat, 31 to 50 g (",),
            id="the weight alone",
        ),
        pytest.param(
            # 200 / 0.95 x 31 / 100 and 200 / 0.70 x 50 / 100
            "rate = { plants_per_ha = 2e6 }",
            (65.263, 142.857),
            (2e6 / 0.95, 2e6 / 0.70),
            ("establishment of wheat, 70 to 95 % (", "thousand grain weight"),
            id="weight and establishment",
        ),
        pytest.param(
            # between what germinates, 90 %, and the sheet's least, 70 %
            "rate = { plants_per_ha = 2e6 }, seed = { tgw = 45.0, germination = 90.0 }",
            (100.0, 128.571),
            (2e6 / 0.90, 2e6 / 0.70),
            ("establishment of wheat",),
            id="germination without emergence",
        ),
        pytest.param(
            # all that germinates is less than the sheet's least
            "rate = { plants_per_ha = 2e6 }, seed = { tgw = 45.0, germination = 60.0 }",
            (150.0, 150.0),
            (2e6 / 0.60, 2e6 / 0.60),
            ("establishment of wheat",),
            id="a poor lot",
        ),
        pytest.param(
            # 53 to 193 kg/ha alone
            "rate = { share = 0.5 }",
            (26.5, 96.5),
            None,
            ("rate when grown alone of wheat, 53 to 193 kg/ha (PGG",),
            id="a share of what the sheet says",
        ),
    ],
)
def test_what_the_sheet_knows_is_a_range_with_its_source(keys, kg, seeds, taken):
    found = need(keys)
    assert both(found.kg) == pytest.approx(kg, rel=1e-4)
    assert (found.seeds and both(found.seeds)) == (seeds and pytest.approx(seeds, rel=1e-4))
    assert found.missing == ()
    assert len(found.taken) == len(taken)
    assert all(said.startswith(start) for said, start in zip(found.taken, taken, strict=True))


@pytest.mark.parametrize(
    ("keys", "missing"),
    [
        pytest.param("harvested = true", ("rate",), id="no rate"),
        pytest.param("rate = { share = 0.5 }", ("rate when grown alone",), id="a share of nothing"),
        pytest.param("rate = { seeds_per_m2 = 30 }", ("thousand grain weight",), id="no weight"),
        pytest.param(
            "rate = { plants_per_ha = 3e5 }, seed = { tgw = 40.0 }",
            ("establishment",),
            id="no test",
        ),
        pytest.param(
            "rate = { plants_per_ha = 3e5 }, seed = { tgw = 40.0, germination = 90.0 }",
            ("establishment",),
            id="half a test",
        ),
    ],
)
def test_what_nobody_knows_is_missing_and_has_no_figure(keys, missing):
    found = need(keys, crop="quinoa")
    assert found.missing[-1:] == missing or found.missing[:1] == missing
    assert found.kg is None


def test_seeds_of_unknown_weight_are_counted_all_the_same():
    found = need("rate = { seeds_per_m2 = 30 }", crop="quinoa")
    assert both(found.seeds) == (3e5, 3e5)


def test_a_mass_asks_for_no_weight_unless_packs_are_counted():
    assert need("rate = { kg_per_ha = 5 }", crop="quinoa").missing == ()
    counted = need("rate = { kg_per_ha = 5 }, seed = { pack_seeds = 1e6 }", crop="quinoa")
    assert counted.missing == ("thousand grain weight",)


def test_an_own_crop_fills_what_the_sheet_lacks():
    own = '[[crop]]\nname = "quinoa"\ntgw = { low = 2.0, high = 3.0 }'
    found = need("rate = { seeds_per_m2 = 100 }", crop="quinoa", more=own)
    assert both(found.kg) == pytest.approx((2.0, 3.0))
    assert found.taken == ("thousand grain weight of quinoa, 2 to 3 g (the user's own)",)


def test_varieties_by_weight_of_a_number_keep_shares_and_number():
    # a kilogram holds 0.4 / 40 g = 10,000 and 0.6 / 60 g = 10,000 seeds: 2 million are 100 kg.
    varieties = '[ { name = "a", tgw = 40.0 }, { name = "b", tgw = 60.0 } ]'
    a, b = needs(
        f"rate = {{ seeds_per_m2 = 200 }}, mix = {{ a = 0.4, b = 0.6 }}, "
        f"seed = {{ varieties = {varieties} }}"
    )
    assert (a.variety, b.variety) == ("a", "b")
    assert [both(one.kg) for one in (a, b)] == [close((40.0, 40.0)), close((60.0, 60.0))]
    assert [one.seeds.low for one in (a, b)] == close([1e6, 1e6])


def test_varieties_of_plants_part_by_what_comes_up():
    # a: 0.5 / 50 g x 90 %; b: 0.5 / 50 g x 60 %: a kilogram makes 9,000 + 6,000 plants.
    varieties = '[ { name = "a", establishment = 90.0 }, { name = "b", establishment = 60.0 } ]'
    a, b = needs(
        f"rate = {{ plants_per_ha = 1.5e6 }}, mix = {{ a = 0.5, b = 0.5 }}, "
        f"seed = {{ tgw = 50.0, varieties = {varieties} }}"
    )
    assert a.kg.low == b.kg.low == close(50.0)
    assert a.seeds.low * 0.9 + b.seeds.low * 0.6 == close(1.5e6)


def test_a_variety_of_unknown_weight_leaves_the_mix_without_figures():
    found = needs(
        "rate = { seeds_per_m2 = 200 }, mix = { a = 0.4, b = 0.6 }, "
        'seed = { varieties = [ { name = "a", tgw = 40.0 } ] }',
        crop="quinoa",
    )
    assert [(one.kg, one.seeds, one.missing) for one in found] == [
        (None, None, ("thousand grain weight",))
    ] * 2


weights = st.floats(1.0, 400.0)
percents = st.floats(30.0, 100.0)


@given(
    tgw=st.tuples(weights, weights),
    lives=st.tuples(percents, percents),
    share=st.floats(0.01, 0.99),
    rate=st.sampled_from(["kg_per_ha = 150.0", "seeds_per_m2 = 250.0", "plants_per_ha = 2e6"]),
)
def test_varieties_keep_their_shares_by_weight_and_the_rate_they_are_of(tgw, lives, share, rate):
    lots = ", ".join(
        f'{{ name = "{name}", tgw = {weight!r}, establishment = {percent!r} }}'
        for name, weight, percent in zip("ab", tgw, lives, strict=True)
    )
    keys = f"rate = {{ {rate} }}, mix = {{ a = {share!r}, b = {1 - share!r} }}, "
    a, b = needs(keys + f"seed = {{ varieties = [ {lots} ] }}", crop="quinoa")
    kg, seeds = a.kg.low + b.kg.low, a.seeds.low + b.seeds.low
    assert a.kg.low / kg == pytest.approx(share)
    plants = a.seeds.low * lives[0] / 100 + b.seeds.low * lives[1] / 100
    found = {"kg_per_ha": kg, "seeds_per_m2": seeds / HECTARE, "plants_per_ha": plants}
    key, value = rate.split(" = ")
    assert found[key] == pytest.approx(float(value))


@given(ground=st.floats(1.0, 1e7), parts=st.lists(st.floats(0.01, 1.0), min_size=1, max_size=5))
def test_needs_of_parts_add_up_to_the_need_of_the_whole(ground, parts):
    keys = "rate = { plants_per_ha = 2e6 }"
    total = need(keys, ground=ground * sum(parts))
    pieces = [need(keys, ground=ground * part) for part in parts]
    assert sum(one.kg.low for one in pieces) == pytest.approx(total.kg.low)
    assert sum(one.kg.high for one in pieces) == pytest.approx(total.kg.high)
    assert sum(one.seeds.high for one in pieces) == pytest.approx(total.seeds.high)


def test_a_rate_by_the_square_metre():
    sowing = plan_of("rate = { plants_per_ha = 80000 }").stands[0].sowing[0]
    found = rated(plan_of("rate = { plants_per_ha = 80000 }"), sowing)
    assert (found.per_m2, found.counts) == (Span.of(8.0), "plants")


def test_headland_and_bands_of_one_stand_are_told_apart():
    grass = '{ crop = "grass", place = "broadcast", rate = { kg_per_ha = 25 } }'
    headland = '[headland]\nwhere = "ends"\nwidth = 10.0\nstand = "crop"'
    layout = layout_of(one_stand(grass), headland)
    found = seed_needs(layout.plan, seed_amounts(layout))
    # 60 x 100 m of bands and 60 x 20 m of headland at 25 kg/ha
    assert [(one.place, one.kg.low) for one in found] == [
        ("bands", close(15.0)),
        ("headland", close(3.0)),
    ]
