"""What grows where: rates multiplied out, bands as written, stands on ground."""

import pytest
import shapely
from appraisal_layouts import BANDS, GRASS, HEADLAND, MACHINES, STANDS, close, layout_of, strips

from geolayout.appraisal.growing import (
    areas_by_cut,
    band_label,
    ground_stands,
    nominal_rows,
    nominal_width,
    sown,
    square_rate,
)
from geolayout.plan.stand import Sowing


def sowing(**keys):
    return Sowing.model_validate({"crop": "oats", "place": "broadcast", **keys})


@pytest.mark.parametrize(
    ("keys", "amount", "unit", "per_m2", "counts"),
    [
        pytest.param(
            {"rate": {"plants_per_ha": 80_000}}, 80_000, "plants_per_ha", 8.0, "plants", id="plants"
        ),
        pytest.param({"rate": {"seeds_per_m2": 40}}, 40, "seeds_per_m2", 40.0, "seeds", id="seeds"),
        pytest.param({"rate": {"kg_per_ha": 180}}, 180, "kg_per_ha", 0.018, "kg", id="a weight"),
        # 0.3 of 200 kg/ha
        pytest.param(
            {"rate": {"share": 0.3}, "sole_rate": {"kg_per_ha": 200}},
            60,
            "kg_per_ha",
            0.006,
            "kg",
            id="a share of a sole rate",
        ),
        # OKN, additive mixture: pea 80 % and barley 40 %, shares over 1 in all
        pytest.param(
            {"rate": {"share": 1.2}, "sole_rate": {"seeds_per_m2": 50}},
            60,
            "seeds_per_m2",
            60.0,
            "seeds",
            id="a share above the sole rate",
        ),
    ],
)
def test_a_rate_over_ground(keys, amount, unit, per_m2, counts):
    rate = square_rate(sowing(**keys))
    assert (rate.amount, rate.unit, rate.counts) == (pytest.approx(amount), unit, counts)
    assert rate.per_m2 == pytest.approx(per_m2)


@pytest.mark.parametrize(
    "keys",
    [
        pytest.param({}, id="nothing said"),
        pytest.param({"rate": {"share": 0.5}}, id="a share of nothing said"),
    ],
)
def test_what_was_not_said_is_not_guessed(keys):
    assert square_rate(sowing(**keys)) is None


def test_every_sowing_on_every_cut():
    # 60 m of 6 m: 10 cuts, one sowing each, A and B by turns.
    crops = [entry.sowing.crop for entry in sown(strips())]
    assert crops == ["maize", "field beans"] * 5


def test_areas_by_cut_add_up_to_the_bands():
    layout = strips(HEADLAND)
    assert areas_by_cut(layout, 0) == close([6.0 * 100] * 10)


def test_a_cut_band_keeps_the_width_and_rows_it_was_written_with():
    # 57 m: 9 bands of 6 m and one of 3 m; as written B has 24 rows in 6 m.
    layout = strips(land=shapely.box(0, 0, 57, 120))
    block = layout.blocks[0]
    last = block.section.cuts[-1]
    assert last.width == close(3.0)
    assert nominal_width(block, last) == 6.0
    assert nominal_rows(block, last, block.stands[-1], 0) == 24


def test_a_band_that_takes_the_rest_is_as_wide_as_it_lies():
    pattern = '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "grass" } ]'
    layout = layout_of(GRASS, pattern)
    (cut,) = layout.blocks[0].section.cuts
    assert nominal_width(layout.blocks[0], cut) == close(60.0)


def test_ground_names_what_grows_on_it():
    layout = strips(HEADLAND)
    stands = ground_stands(layout)
    assert set(stands[layout.ground.kind == "headland"]) == {"grass"}
    assert set(stands[layout.ground.kind == "band"]) == {"maize", "beans"}


def test_a_remainder_that_became_headland_grows_what_the_headland_grows():
    # 63 m: 10 bands and 3 m over, given to the headland.
    bands = BANDS + 'remainder = "headland"\n'
    whole = bands.replace('stand = "beans"', 'stand = "beans", whole = true')
    whole = whole.replace('stand = "maize"', 'stand = "maize", whole = true')
    layout = layout_of(STANDS, whole, MACHINES, HEADLAND, land=shapely.box(0, 0, 63, 120))
    headland = layout.ground.kind == "headland"
    # Both ends of 10 m x 63 m, and 3 m x 100 m.
    assert layout.ground.area[headland].sum() == close(2 * 630 + 300)
    assert set(ground_stands(layout)[headland]) == {"grass"}


def test_a_band_is_called_by_its_name_and_its_block():
    assert band_label(strips(), 0, "A") == "A"
    blocks = (
        '[[block]]\nname = "north"\npattern = "strips"\npart = { side = "north", width = 60.0 }\n'
        '[[block]]\nname = "south"\npattern = "strips"\nrest = true\n'
    )
    assert band_label(strips(blocks), 1, "A") == "A of block south"
