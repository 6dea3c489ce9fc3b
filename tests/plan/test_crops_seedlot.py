"""A lot of seed: what its label may say, and what a variety takes from the lot of the sowing."""

import pytest
from pydantic import ValidationError

from geolayout.errors import PlanError
from geolayout.plan.crops.seedlot import Seed, filled
from geolayout.plan.parse import parse_plan

PLAN = """schema = 1
[[stand]]
name = "it"
sowing = [ {{ crop = "wheat", spacing = 0.125, {keys} }} ]
[[pattern]]
name = "all over"
bands = [ {{ name = "A", width = 3.0, stand = "it" }} ]
"""


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        pytest.param("seed = { tgw = 0 }", "more than 0", id="seed that weighs nothing"),
        pytest.param("seed = { germination = 0.95 }", "1 or more", id="a fraction for per cent"),
        pytest.param("seed = { germination = 101 }", "100 or less", id="more than all"),
        pytest.param("seed = { spare = -1 }", "0 or more", id="less than none to spare"),
        pytest.param(
            "seed = { establishment = 85, germination = 95 }", "counted twice", id="both ways"
        ),
        pytest.param("seed = { establishment = 85, emergence = 90 }", "counted twice", id="half"),
        pytest.param("seed = { pack_kg = 25, pack_seeds = 5e4 }", "one of the two", id="two packs"),
        pytest.param("seed = { tgv = 50 }", "Did you mean 'tgw'", id="a slip of the pen"),
        pytest.param(
            'seed = { varieties = [ { name = "a" } ] }', "no such variety", id="a lot of no mix"
        ),
        pytest.param(
            'mix = { a = 1.0 }, seed = { varieties = [ { name = "b" } ] }',
            "variety 'b'",
            id="a lot of another variety",
        ),
        pytest.param(
            'mix = { a = 1.0 }, seed = { varieties = [ { name = "a" }, { name = "a" } ] }',
            "two lots",
            id="a variety twice",
        ),
    ],
)
def test_a_label_that_cannot_be_is_one_sentence(keys, said):
    with pytest.raises(PlanError, match=said):
        parse_plan(PLAN.format(keys=keys))


def seed(**keys):
    return Seed.model_validate(keys)


@pytest.mark.parametrize(
    ("own", "lot"),
    [
        pytest.param({}, {"tgw": 50.0, "establishment": 85.0, "pack_kg": 25.0}, id="all of it"),
        pytest.param(
            {"tgw": 44.0}, {"tgw": 44.0, "establishment": 85.0, "pack_kg": 25.0}, id="its weight"
        ),
        pytest.param(
            {"germination": 95.0},
            {"tgw": 50.0, "germination": 95.0, "pack_kg": 25.0},
            id="its test leaves the common establishment out",
        ),
        pytest.param(
            {"pack_seeds": 5e4},
            {"tgw": 50.0, "establishment": 85.0, "pack_seeds": 5e4},
            id="its pack leaves the common pack out",
        ),
    ],
)
def test_a_variety_takes_from_the_common_lot_what_it_does_not_say(own, lot):
    common = seed(
        tgw=50.0, establishment=85.0, pack_kg=25.0, varieties=[{"name": "a"} | own], spare=5.0
    )
    assert common.lot("a").model_dump(exclude_none=True) == lot
    assert common.lot("other") == common


def test_an_establishment_of_its_own_leaves_the_common_test_out():
    common = seed(
        germination=95.0, emergence=90.0, varieties=[{"name": "a", "establishment": 80.0}]
    )
    assert common.lot("a").model_dump(exclude_none=True) == {"establishment": 80.0}


@pytest.mark.parametrize(
    ("own", "common", "both"),
    [
        pytest.param(None, None, None, id="neither"),
        pytest.param(None, {"tgw": 3.0}, {"tgw": 3.0}, id="that of the crop"),
        pytest.param({"tgw": 4.0}, None, {"tgw": 4.0}, id="that of the sowing"),
        pytest.param(
            {"tgw": 4.0, "spare": 2.0},
            {"tgw": 3.0, "germination": 90.0, "spare": 5.0},
            {"tgw": 4.0, "germination": 90.0, "spare": 2.0},
            id="the sowing wins key by key",
        ),
        pytest.param({"tgw": 4.0}, {"spare": 5.0}, {"tgw": 4.0, "spare": 5.0}, id="its spare"),
    ],
)
def test_a_sowing_is_filled_up_from_its_crop(own, common, both):
    found = filled(own and seed(**own), common and seed(**common))
    assert found == (both and seed(**both))


def test_a_lot_is_frozen():
    with pytest.raises(ValidationError):
        seed(tgw=3.0).tgw = 4.0
