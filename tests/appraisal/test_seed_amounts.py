"""
Seed by rate and true ground.

Of the printed seed rates all but one are left out: they turn plants, thousand-grain weight and
establishment into kilograms, which is the seed order, a later step.
"""

import pytest
import shapely
from appraisal_layouts import GRASS, HEADLAND, close, layout_of, one_stand, strips

from geolayout.appraisal.seed.amounts import NOT_AN_ORDER, seed_amounts

WHEAT = '{ crop = "wheat", spacing = 0.125, mix = { a = 0.4, b = 0.6 }'


def only(*parts, **place):
    (amount,) = seed_amounts(layout_of(*parts, **place))
    return amount


def test_seed_is_rate_times_true_ground():
    # 0.3 ha x 80,000; 3000 m2 x 40; headland 0.12 ha x 25 kg.
    amounts = {(a.crop, a.place): a for a in seed_amounts(strips(HEADLAND))}
    assert amounts["maize", "bands"].amount == close(24_000)
    assert amounts["maize", "bands"].unit == "plants"
    assert amounts["field beans", "bands"].amount == close(120_000)
    assert amounts["field beans", "bands"].unit == "seeds"
    assert amounts["grass", "headland"].amount == close(3.0)
    assert amounts["grass", "headland"].unit == "kg"
    assert len(amounts) == 3


def test_a_half_and_half_mixture_of_oats_and_peas_on_12_ha():
    # Definition of a replacement series (de Wit 1960, from memory) with arithmetic: oats 180 and
    # peas 220 kg/ha alone; half of each is 90 + 110 kg/ha, 1080 and 1320 kg on 12 ha.
    half = "rate = { share = 0.5 }, sole_rate"
    stand = (
        '[[stand]]\nname = "m"\nsowing = [\n'
        f' {{ crop = "oats", spacing = 0.125, {half} = {{ kg_per_ha = 180 }} }},\n'
        f' {{ crop = "peas", place = "broadcast", {half} = {{ kg_per_ha = 220 }} }} ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "m" } ]'
    )
    oats, peas = seed_amounts(layout_of(stand, land=shapely.box(0, 0, 300, 400)))
    assert (oats.rate, peas.rate) == close((90.0, 110.0))
    assert (oats.amount, peas.amount) == close((1080.0, 1320.0))


def test_a_mix_parts_a_weight():
    wheat = WHEAT + ", rate = { kg_per_ha = 100 } }"
    amount = only(one_stand(wheat))
    assert amount.amount == close(72.0)
    assert {v.variety: v.amount for v in amount.varieties} == close({"a": 28.8, "b": 43.2})
    assert amount.note == ""


def test_a_mix_of_counted_seed_is_not_parted():
    wheat = WHEAT + ", rate = { seeds_per_m2 = 300 } }"
    amount = only(one_stand(wheat))
    assert [v.amount for v in amount.varieties] == [None, None]
    assert "thousand-grain" in amount.note


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        pytest.param("", "No rate was given", id="no rate"),
        pytest.param(", rate = { share = 0.5 }", "share of an unknown", id="a share of nothing"),
    ],
)
def test_an_absent_rate_is_said_and_not_guessed(keys, said):
    amount = only(one_stand(f'{{ crop = "oats", spacing = 0.125{keys} }}'))
    assert (amount.amount, amount.unit) == (None, "")
    assert said in amount.note


def test_wheel_tracks_are_taken_off_a_broadcast_sowing():
    # 7200 - 6 tracks x 0.4 x 120 m = 6912 m2 at 4 kg/ha.
    spray = (
        '[[machine]]\nname = "sprayer"\nworking_width = 20.0\ntrack_width = 1.8\ntyre_width = 0.4\n'
        '[[operation]]\nname = "spray"\nmachine = "sprayer"\nover = "block"'
    )
    clover = '{ crop = "clover", place = "broadcast", skip = ["spray"], rate = { kg_per_ha = 4 } }'
    amount = only(one_stand(clover), spray)
    assert amount.ground_m2 == close(6912.0)
    assert amount.amount == close(2.7648)


def test_a_standing_crop_needs_no_seed():
    stand = (
        '[[stand]]\nname = "s"\nsowing = [ { crop = "lucerne", place = "standing" },'
        ' { crop = "oats", spacing = 0.25, rate = { kg_per_ha = 80 } } ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "s" } ]'
    )
    assert [amount.crop for amount in seed_amounts(layout_of(stand))] == ["oats"]


def test_the_margin_has_seed_of_its_own_stand():
    # 7200 - 54 x 114 = 1044 m2 at 25 kg/ha.
    margin = '[margin]\nwidth = 3.0\nstand = "grass"'
    pattern = '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "none" } ]'
    amount = only(GRASS, margin, pattern)
    assert (amount.place, amount.amount) == ("margin", close(2.61))


def test_it_says_that_it_is_no_order():
    assert "no seed order" in NOT_AN_ORDER
