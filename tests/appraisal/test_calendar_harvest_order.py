"""Strips that ripen one before the other. Days and machines are invented."""

import pytest
from appraisal_layouts import HEADLAND, ONE_PLANTER, STANDS, layout_of, the_one

from geolayout.appraisal.calendar.harvest_order import enclosed_strips, harvest_order_cautions

BASE = f"{STANDS}{ONE_PLANTER}[[season]]\nyear = 2028\n"


def combine(keys=""):
    return (
        f'[[machine]]\nname = "combine"\nkind = "combine"\nworking_width = 6.0\n{keys}\n'
        '[[operation]]\nname = "harvest"\nmachine = "combine"\n'
    )


def days(maize, beans):
    return "\n".join(
        f'[[stage]]\ncrop = "{crop}"\nstage = "harvest"\nfirst = "{first}"\nlast = "{last}"'
        for crop, (first, last) in (("maize", maize), ("field beans", beans))
    )


BEANS_FIRST = days(("10-01", "10-20"), ("08-01", "08-20"))
TOGETHER = days(("10-01", "10-20"), ("09-20", "10-05"))


def found(*parts):
    return [(c.key, c.code) for c in harvest_order_cautions(layout_of(BASE, *parts))]


def test_the_strips_that_are_harvested_first():
    # 60 m: A B A B A B A B A B; four B between two A, the last at the edge with A on one side
    strips = enclosed_strips(layout_of(BASE, BEANS_FIRST))
    assert len(strips) == 5
    assert {strip.first.name for strip in strips} == {"beans"}
    assert all(strip.both_sides for strip in strips)


@pytest.mark.parametrize(
    ("parts", "keys"),
    [
        pytest.param(
            (combine(), BEANS_FIRST), ["harvest-shut-in", "unload-over-standing"], id="no headland"
        ),
        pytest.param((combine(), BEANS_FIRST, HEADLAND), ["unload-over-standing"], id="headland"),
        pytest.param(
            (combine("far_side_access = true"), BEANS_FIRST), ["unload-over-standing"], id="a way"
        ),
        # half a header, a strip of 6 m and half a trailer: 3 + 6 + 1.25 = 10.25 m
        pytest.param((combine("unload_reach = 10.3"), BEANS_FIRST, HEADLAND), [], id="far reach"),
        pytest.param(
            (combine("unload_reach = 10.2"), BEANS_FIRST, HEADLAND),
            ["unload-over-standing"],
            id="5 cm short",
        ),
        pytest.param((combine(), TOGETHER), [], id="at one time"),
        pytest.param((combine(),), [], id="no days"),
    ],
)
def test_access_and_unloading(parts, keys):
    assert found(*parts) == [(key, "W24") for key in keys]


def test_the_side_is_said():
    reach = combine('unload_reach = 5.5\nunload_side = "left"')
    caution = the_one(layout_of(BASE, reach, BEANS_FIRST, HEADLAND), "unload-over-standing")
    assert "combine reaches 5.50 m, to the left" in caution.sentence
    assert (caution.value, caution.threshold, caution.count) == (5.5, 10.25, 5)


def mixture(second, keys=""):
    return f"""
    [[stand]]
    name = "both"
    {keys}
    sowing = [ {{ crop = "oats", spacing = 0.125 }}, {second} ]
    [[pattern]]
    name = "p"
    bands = [ {{ name = "A", width = 6.0, stand = "both" }} ]
    """


PEAS = '{ crop = "peas", place = "broadcast" }'


@pytest.mark.parametrize(
    ("second", "keys", "count"),
    [
        pytest.param(PEAS, "", 1, id="oats and peas"),
        pytest.param(PEAS, 'mixed_grain = "fed"', 0, id="fed as it is"),
        pytest.param(
            '{ crop = "clover", place = "broadcast", harvested = false }', "", 0, id="a companion"
        ),
        pytest.param(
            '{ crop = "soya", spacing = 0.5, when = { crop = "oats", stage = "heading" } }',
            "",
            0,
            id="a relay comes off later",
        ),
    ],
)
def test_mixed_grain(second, keys, count):
    cautions = harvest_order_cautions(layout_of(mixture(second, keys)))
    assert [c.code for c in cautions] == ["W25"] * count
    assert all("times the other" in c.sentence for c in cautions)
