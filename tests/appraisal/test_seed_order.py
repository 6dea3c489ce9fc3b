"""The order: lines add up, packs are whole, headland, mixtures and territory are said."""

import pytest
from appraisal_layouts import (
    BANDS,
    GRASS,
    HEADLAND,
    MACHINES,
    STANDS,
    close,
    layout_of,
    one_stand,
    strips,
)
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.seed.need import SeedNeed
from geolayout.appraisal.seed.order import order_of
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.crops.seedlot import SeedLot

MAIZE = (
    'rate = { plants_per_ha = 80000 }, operation = "plant", '
    "seed = { tgw = 300.0, establishment = 90.0, pack_seeds = 50000, spare = 5.0 }"
)


def order(*parts, **place):
    return figures(layout_of(*parts, **place)).seed_order


def only(sowing, *parts):
    (line,) = order(one_stand(sowing), MACHINES, *parts).lines
    return line


def test_maize_in_packs_by_number():
    # 0.72 ha x 80,000 / 0.9 = 64,000 seeds of 0.3 g, 19.2 kg; 5 % more: 67,200, two packs.
    line = only(f'{{ crop = "maize", spacing = 0.75, {MAIZE} }}')
    assert (line.crop, line.operation, line.places) == ("maize", "plant", ("bands",))
    assert line.seeds.low == line.seeds.high == close(64_000)
    assert line.kg.low == close(19.2)
    assert (line.seeds_ordered.low, line.kg_ordered.low) == close((67_200, 20.16))
    assert (line.pack, line.pack_unit, line.packs) == (50_000, "seeds", (2, 2))


def test_wheat_in_packs_by_mass():
    # 0.72 ha x 150 kg/ha = 108 kg: five packs of 25 kg.
    line = only(
        '{ crop = "wheat", spacing = 0.125, rate = { kg_per_ha = 150 }, seed = { pack_kg = 25 } }'
    )
    assert (line.kg.low, line.pack, line.pack_unit, line.packs) == (close(108.0), 25, "kg", (5, 5))
    assert line.seeds is None
    assert line.spare == 0.0


def test_packs_of_a_range_are_a_range():
    # 0.72 ha x 2 million seeds of 31 to 50 g: 44.64 to 72 kg in packs of 25 kg.
    line = only(
        '{ crop = "wheat", spacing = 0.125, rate = { seeds_per_m2 = 200 }, '
        "seed = { pack_kg = 25 } }"
    )
    assert line.packs == (2, 3)


def test_a_line_without_a_pack_has_none():
    line = only('{ crop = "wheat", spacing = 0.125, rate = { kg_per_ha = 150 } }')
    assert (line.pack, line.pack_unit, line.packs) == (None, "", None)


def test_what_is_missing_has_a_line_and_no_figure():
    line = only('{ crop = "quinoa", spacing = 0.125 }')
    assert (line.kg_ordered, line.seeds_ordered, line.packs) == (None, None, None)
    assert line.missing == ("rate",)


def test_one_crop_of_two_stands_is_bought_at_once_and_apart_by_operation():
    grass = '[[stand]]\nname = "ley"\nsowing = [ { crop = "grass", place = "broadcast", '
    grass += "rate = { kg_per_ha = 50 } } ]"
    bands = '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 30.0, stand = "ley" }, '
    bands += '{ name = "B", width = 30.0, stand = "grass" } ]'
    (line,) = order(GRASS, grass, bands).lines
    assert line.kg.low == close(0.36 * 50 + 0.36 * 25)
    drilled = GRASS.replace("25 }", '25 }, operation = "drill"')
    lines = order(drilled, grass, bands, MACHINES).lines
    assert {one.operation: one.kg.low for one in lines} == close({"drill": 9.0, "": 18.0})


def test_the_crop_of_the_headland_is_in_the_order_and_said():
    found = figures(strips(HEADLAND)).seed_order
    grass = next(line for line in found.lines if line.crop == "grass")
    assert (grass.places, grass.kg.low) == (("headland",), close(3.0))
    assert "The headland grows grass: its seed is in the order." in found.notes


@pytest.mark.parametrize(
    ("stand", "said"),
    [
        pytest.param("", "has no stand in the plan", id="nothing"),
        pytest.param('stand = "none"', "has no stand in the plan", id="bare ground"),
        pytest.param('stand = "ley"', "grows ley, which is not sown", id="what stands there"),
    ],
)
def test_a_headland_that_is_not_sown_is_said_to_be_missing(stand, said):
    ley = '[[stand]]\nname = "ley"\nsowing = [ { crop = "grass", place = "standing" } ]'
    headland = f'[headland]\nwhere = "ends"\nwidth = 10.0\n{stand}'
    notes = figures(strips(ley, headland)).seed_order.notes
    assert f"The headland {said}: no seed for it is in the order." in notes


def mixture(oats, peas):
    return (
        '[[stand]]\nname = "mix"\nsowing = [\n'
        f' {{ crop = "oats", spacing = 0.125, rate = {{ share = {oats} }}, '
        "sole_rate = { kg_per_ha = 180 } },\n"
        f' {{ crop = "peas", place = "broadcast", rate = {{ share = {peas} }}, '
        "sole_rate = { kg_per_ha = 220 } } ]\n"
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "mix" } ]'
    )


@pytest.mark.parametrize(
    ("oats", "peas", "said"),
    [
        pytest.param(0.5, 0.5, "add up to 1, replacement", id="half and half"),
        # OK-Net Arable, Intercropping grain peas with barley, 2020: 80 % and 40 %
        pytest.param(0.4, 0.8, "add up to 1.2, additive", id="an additive mixture"),
    ],
)
def test_a_mixture_by_shares_says_what_it_is_and_keeps_them(oats, peas, said):
    found = order(mixture(oats, peas))
    assert [line.kg.low for line in found.lines] == close([0.72 * 180 * oats, 0.72 * 220 * peas])
    assert any(said in note for note in found.notes)


@given(oats=st.floats(0.01, 0.99))
def test_replacement_mixtures_keep_their_shares(oats):
    lines = order_of([need("oats", 180.0 * oats * 12), need("peas", 220.0 * (1 - oats) * 12)])
    assert lines[0].kg.low / (180 * 12) + lines[1].kg.low / (220 * 12) == pytest.approx(1.0)


def test_peas_held_at_80_plants_with_more_and_more_oats():
    # Saskatchewan ADF report 20190430: peas 80 plants/m2 with oats 25 to 125 plants/m2.
    def masses(oats):
        lot = "seed = { tgw = 200.0, establishment = 80.0 }"
        stand = (
            '[[stand]]\nname = "mix"\nsowing = [\n'
            f' {{ crop = "peas", spacing = 0.25, rate = {{ plants_per_ha = 8e5 }}, {lot} }},\n'
            f' {{ crop = "oats", spacing = 0.25, rate = {{ plants_per_ha = {oats}e4 }}, '
            f"{lot} }} ]\n"
            '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = "rest", stand = "mix" } ]'
        )
        return [line.kg.low for line in order(stand).lines]

    found = [masses(oats) for oats in (25, 75, 125)]
    assert [peas for peas, _ in found] == close([144.0] * 3)  # 80 x 200 / 80 = 200 kg/ha, 0.72 ha
    assert [oats for _, oats in found] == close([45.0, 135.0, 225.0])


@pytest.mark.parametrize(
    ("width", "told"),
    [
        # Maize at 0.75 m stands 0.375 m from the edge, beans at 0.25 m 0.125 m: the middle of the
        # gap of 0.5 m lies 0.125 m inside the maize.
        # 6 m: 10 bands, 9 borders x 0.125 m of 5 x 6 m: 3.75 %
        pytest.param(6.0, False, id="strips of 6 m"),
        # 3 m: 20 bands, 19 borders x 0.125 m of 10 x 3 m: 7.9 %
        pytest.param(3.0, True, id="strips of 3 m"),
    ],
)
def test_territory_that_is_over_5_per_cent_another_is_told(width, told):
    bands = BANDS.replace("6.0", str(width))
    notes = order(STANDS, bands, MACHINES).notes
    said = [note for note in notes if note.startswith("Measured to the middle of the gaps")]
    assert len(said) == (2 if told else 0)
    if told:
        assert "maize has 7.9 % less ground than its bands" in said[0]
        assert "beans has 7.9 % more ground than its bands" in said[1]


def need(crop, kg, variety="", operation="", ground=100.0, lot=None):
    """Return a need that is known."""
    span = Span.of(kg)
    return SeedNeed(
        crop, variety, crop, "it", "bands", operation, ground, span, span * 20.0,
        lot or SeedLot(), 0.0, (), (),
    )  # fmt: skip


needs = st.builds(
    need,
    crop=st.sampled_from(["maize", "beans"]),
    kg=st.floats(0.0, 1e4),
    variety=st.sampled_from(["", "a", "b"]),
    operation=st.sampled_from(["", "drill"]),
    lot=st.sampled_from([SeedLot(), SeedLot(pack_kg=25.0), SeedLot(pack_seeds=5e4)]),
)


@given(st.lists(needs, max_size=12))
def test_lines_add_up_to_all_that_is_needed(wanted):
    lines = order_of(wanted)
    assert sum(line.kg.low for line in lines) == pytest.approx(sum(one.kg.low for one in wanted))
    for crop in ("maize", "beans"):
        part = sum(line.seeds.high for line in lines if line.crop == crop)
        assert part == pytest.approx(sum(one.seeds.high for one in wanted if one.crop == crop))
    for line in lines:
        if line.packs is not None:
            ordered = line.kg_ordered if line.pack_unit == "kg" else line.seeds_ordered
            assert line.packs[0] * line.pack >= ordered.low - 1e-6 * line.pack
            assert (line.packs[1] - 1) * line.pack <= ordered.high


def test_the_order_of_blocks_adds_up_to_that_of_the_field():
    blocks = (
        '[[block]]\nname = "west"\npart = { side = "west", width = 24.0 }\npattern = "strips"\n'
        '[[block]]\nname = "east"\nrest = true\npattern = "strips"'
    )
    whole, parted = figures(strips()), figures(strips(blocks))
    for crop in ("maize", "field beans"):
        ground = [sum(c.band_m2 for c in f.crops if c.crop == crop) for f in (whole, parted)]
        kg = [next(o.kg.low for o in f.seed_order.lines if o.crop == crop) for f in (whole, parted)]
        assert kg[0] / ground[0] == pytest.approx(kg[1] / ground[1])


def test_a_headland_of_two_stands_is_told_part_by_part():
    edge = '[headland]\nwhere = "ends"\nwidth = 10.0\nstand = "grass"\n'
    edge += 'edge = [ { side = "north", width = 10.0, stand = "none" } ]'
    notes = figures(strips(GRASS.replace("grass", "ley"), edge)).seed_order.notes
    assert "Part of the headland grows grass: its seed is in the order." in notes
    assert any(note.startswith("Part of the headland has no stand") for note in notes)
