"""What is sown together: one of each way to say it, and every contradiction refused."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.stand import Rate, Sowing, Stand

PLAN = """
schema = 1
[[stand]]
name = "s"
sowing = [ {sowing} ]
[[pattern]]
name = "p"
bands = [ {{ name = "A", width = 6.0, stand = "s" }} ]
"""
MAIZE = '{ crop = "maize", spacing = 0.75 }'


def stand_of(sowing: str) -> Stand:
    return parse_plan(PLAN.format(sowing=sowing)).stands[0]


# ---- what is accepted


@pytest.mark.parametrize(
    "sowing",
    [
        pytest.param(MAIZE, id="spacing alone"),
        pytest.param('{ crop = "maize", rows = 8 }', id="rows alone"),
        pytest.param('{ crop = "maize", rows = 8, spacing = 0.75 }', id="both"),
        pytest.param('{ crop = "maize", at = [0.4, 1.1] }', id="places once"),
        pytest.param('{ crop = "maize", at = [0.1, 0.3], every = 0.75 }', id="a motif"),
        pytest.param('{ crop = "grass", place = "broadcast" }', id="broadcast"),
        pytest.param('{ crop = "grass", place = "standing" }', id="standing"),
        pytest.param(MAIZE + ', { crop = "clover", between = "maize", rows = 1 }', id="between"),
        pytest.param('{ crop = "maize", spacing = 0.75, mix = { a = 0.4, b = 0.6 } }', id="a mix"),
        pytest.param('{ crop = "oats", spacing = 0.2, rate = { share = 1.2 } }', id="share over 1"),
        pytest.param('{ crop = "oats", spacing = 0.2, cleared = 0.1 }', id="a killed band"),
    ],
)
def test_every_way_to_say_where_a_crop_stands_is_read(sowing):
    assert stand_of(sowing).sowing


def test_what_is_not_said_has_its_default():
    sowing = stand_of(MAIZE).sowing[0]
    assert (sowing.place, sowing.harvested, sowing.skip, sowing.mix) == ("rows", True, (), {})
    assert sowing.rate is None
    assert sowing.in_rows


def test_a_sowing_is_called_by_its_name_or_its_crop():
    assert Sowing(crop="clover", name="early", spacing=0.2).label == "early"
    assert Sowing(crop="clover", spacing=0.2).label == "clover"


def test_a_name_is_found_before_a_crop():
    stand = stand_of(
        '{ crop = "maize", name = "first", spacing = 3.0 },'
        '{ crop = "first", name = "second", spacing = 3.0 }'
    )
    assert stand.find("first").crop == "maize"
    assert stand.find("maize").label == "first"
    assert stand.find("third") is None


@pytest.mark.parametrize(
    ("rate", "unit", "amount"),
    [
        ({"plants_per_ha": 80000}, "plants_per_ha", 80000.0),
        ({"seeds_per_m2": 40}, "seeds_per_m2", 40.0),
        ({"kg_per_ha": 4.5}, "kg_per_ha", 4.5),
        ({"share": 0.5}, "share", 0.5),
    ],
    ids=["plants", "seeds", "kilograms", "share"],
)
def test_a_rate_knows_its_unit_and_amount(rate, unit, amount):
    assert (Rate(**rate).unit, Rate(**rate).amount) == (unit, amount)


def test_a_day_is_read_as_a_day():
    sowing = stand_of('{ crop = "oats", spacing = 0.2, when = { date = 2027-04-20 } }').sowing[0]
    assert sowing.when.date == dt.date(2027, 4, 20)


# ---- what is refused

BAD = [
    pytest.param('{ crop = "x" }', r"neither rows nor spacing.*Add spacing", id="nothing said"),
    pytest.param('{ crop = "x", every = 0.8 }', r"every = 0\.8.* m and no `at`", id="every alone"),
    pytest.param('{ crop = "x", at = [0.1], spacing = 0.2 }', r"said twice", id="at and spacing"),
    pytest.param('{ crop = "x", at = [0.1], rows = 2 }', r"said twice", id="at and rows"),
    pytest.param(
        MAIZE + ', { crop = "x", at = [0.1], between = "maize" }',
        r"said twice",
        id="at and between",
    ),
    pytest.param('{ crop = "x", at = [] }', r"at = \[\].*one or more", id="no places"),
    pytest.param('{ crop = "x", at = [0.3, 0.1] }', r"growing", id="places falling"),
    pytest.param('{ crop = "x", at = [0.1, 0.1] }', r"none of them twice", id="a place twice"),
    pytest.param(
        '{ crop = "x", at = [0.8], every = 0.8 }', r"row at 0\.8 m in a motif of", id="out"
    ),
    pytest.param(
        '{ crop = "x", at = [0.1], every = 0.8 }, { crop = "y", at = [0.5], every = 0.75 }',
        r"motifs of 0\.75 and 0\.8 m.*repeat together",
        id="two motifs of different length",
    ),
    pytest.param(
        '{ crop = "x", place = "broadcast", spacing = 0.2 }',
        r"also has spacing",
        id="rows broadcast",
    ),
    pytest.param(
        '{ crop = "x", place = "standing", rows = 2, cleared = 0.1 }',
        r"also has rows, cleared\. A standing crop has no rows",
        id="rows of a standing crop",
    ),
    pytest.param(
        '{ crop = "x", place = "standing", rate = { kg_per_ha = 4 } }',
        r"needs no seed.*place = \"broadcast\"",
        id="seed of a standing crop",
    ),
    pytest.param(
        '{ crop = "x", spacing = 0.2, mix = { a = 0.4, b = 0.5 } }',
        r"add up to 0\.9\. Shares by weight add up to 1",
        id="a mix that is not whole",
    ),
    pytest.param(
        '{ crop = "x", spacing = 0.2, rate = { } }', r"given in 0 ways \(none\)", id="an empty rate"
    ),
    pytest.param(
        '{ crop = "x", spacing = 0.2, rate = { kg_per_ha = 4, share = 0.5 } }',
        r"given in 2 ways \(kg_per_ha, share\)",
        id="two rates",
    ),
    pytest.param(
        '{ crop = "x", spacing = 0.2, sole_rate = { share = 0.5 } }',
        r"sole_rate of x is a share",
        id="a share of what",
    ),
    pytest.param(
        '{ crop = "x", spacing = 0.2, when = { crop = "maize" } }', r"not complete", id="no stage"
    ),
    pytest.param('{ crop = "x", spacing = 0.2, when = { } }', r"not complete", id="no when"),
    pytest.param(
        MAIZE
        + ', { crop = "x", rows = 2, when = { crop = "maize", stage = "V5", date = 2027-05-01 } }',
        r"not complete.*waits for a stage of a crop, or for a day",
        id="a stage and a day",
    ),
    pytest.param(
        MAIZE + ', { crop = "x", between = "maize" }',
        r"but not how.*Add rows = 1",
        id="between without a number",
    ),
    pytest.param(
        MAIZE + ', { crop = "x", between = "maize", rows = 2 }',
        r"their spacing if there is more than one",
        id="two rows between without spacing",
    ),
    pytest.param(
        MAIZE + ', { crop = "x", between = "wheat", rows = 1 }',
        r"between 'wheat'.*The others are: maize",
        id="between a crop that is not there",
    ),
    pytest.param(
        MAIZE + ', { crop = "x", between = "x", rows = 1 }', r"not another sowing", id="itself"
    ),
    pytest.param(
        '{ crop = "grass", place = "standing" }, { crop = "x", between = "grass", rows = 1 }',
        r"grass has no rows of its own",
        id="between a standing crop",
    ),
    pytest.param(
        MAIZE
        + ', { crop = "x", between = "maize", rows = 1 }, { crop = "y", between = "x", rows = 1 }',
        r"x has no rows of its own",
        id="between what is itself between",
    ),
    pytest.param(
        '{ crop = "x", spacing = 0.2, when = { crop = "maize", stage = "V5" } }',
        r"when 'maize'.*The others are: none",
        id="a stage of a crop that is not there",
    ),
    pytest.param(
        MAIZE + ", " + MAIZE,
        r"sows maize twice under one name.*Give each a name",
        id="a crop twice",
    ),
]


@pytest.mark.parametrize(("sowing", "match"), BAD)
def test_a_stand_that_contradicts_itself_is_refused(sowing, match):
    with pytest.raises(PlanError, match=match):
        stand_of(sowing)


def test_bare_ground_is_no_stand():
    with pytest.raises(PlanError, match=r'A band with stand = "none" is bare'):
        parse_plan(PLAN.format(sowing=MAIZE).replace('name = "s"', 'name = "none"'))


def test_a_stand_cannot_be_changed():
    with pytest.raises(ValueError, match="frozen"):
        stand_of(MAIZE).sowing[0].spacing = 0.5


@given(shares=st.lists(st.floats(0.01, 1.0), min_size=1, max_size=8))
def test_shares_divided_by_their_sum_are_a_mix(shares):
    total = sum(shares)
    mix = {f"variety {i}": share / total for i, share in enumerate(shares)}
    assert Sowing(crop="wheat", spacing=0.125, mix=mix).mix == mix
