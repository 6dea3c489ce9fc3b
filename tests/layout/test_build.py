"""A whole layout: seasons, blocks and what gave way, on a field of 200 m x 100 m."""

import dataclasses

import numpy as np
import pytest
from shapely import box
from strategies import ALLEYS, ENDS, STRIPS, area_of, counts, field_of, laid, plan_of

from geolayout.errors import LayoutError, MeasureError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import resolve_guides

RECTANGLE = box(0, 0, 200, 100)
SEASONS = """
[[season]]
year = 2027
[[season]]
year = 2028
grows = { A = "beans", B = "maize" }
[[season]]
year = 2029
shift = 3.0
[[season]]
year = 2030
shift_bands = 1.0
"""


def of_year(year):
    return laid(field_of(RECTANGLE), plan_of(STRIPS, SEASONS), year=year)


def test_a_plan_that_is_not_resolved_is_refused():
    with pytest.raises(LayoutError, match="not resolved"):
        lay_out(field_of(RECTANGLE), plan_of(STRIPS))


def test_stands_change_places_and_the_ground_stays():
    first, second = of_year(2027), of_year(2028)
    assert (first.ground.geometry == second.ground.geometry).all()
    assert first.ground.band.tolist() == second.ground.band.tolist()
    assert first.ground.stand.tolist()[:2] == ["maize", "beans"]
    assert second.ground.stand.tolist()[:2] == ["beans", "maize"]
    # 9 A, one of them 4 m wide: 8 x 12 rows of beans at 0.5 m and 4 / 0.5 = 8; 8 B x 8 of maize
    assert second.rows.rows == 8 * 12 + 8 + 8 * 8


def test_a_shift_moves_every_band_away_from_where_they_are_counted():
    # 3 m of the band before the first, then A B ... : 3 + 16 x 6 + 1 = 100 m
    layout = of_year(2029)
    widths = [cut.width for cut in layout.blocks[0].section.cuts]
    assert widths == pytest.approx([3.0] + [6.0] * 16 + [1.0], abs=2e-3)
    assert layout.ground.number.tolist() == list(range(18))
    assert layout.ground.band.tolist()[:3] == ["B", "A", "B"]


def test_rows_of_a_shifted_band_move_with_it():
    before, after = of_year(2027), of_year(2029)
    second = [layout.rows.t[layout.rows.number == 2] for layout in (before, after)]
    assert second[1] - second[0] == pytest.approx(np.full(12, 3.0))


def test_a_shift_by_one_band_puts_every_band_on_its_neighbours_ground():
    before, after = of_year(2027), of_year(2030)
    ground = dict(zip(before.ground.number.tolist(), before.ground.geometry, strict=True))
    for number, piece in zip(after.ground.number.tolist(), after.ground.geometry, strict=True):
        assert piece.symmetric_difference(ground[number + 1]).area < 1e-6


def test_a_season_of_a_pattern_at_rest_is_the_first():
    assert of_year(None).season.year == 2027


def test_bare_bands_have_ground_and_no_rows():
    bare = STRIPS.replace('stand = "beans"', 'stand = "none"')
    layout = laid(field_of(RECTANGLE), plan_of(bare))
    assert area_of(layout, band="B") == pytest.approx(9600.0, rel=1e-6)
    assert set(layout.ground.stand[layout.ground.band == "B"]) == {""}
    assert not (layout.rows.number % 2 == 0).any()


def test_rows_that_do_not_fit_their_band_are_an_error_with_the_band_in_it():
    wide = STRIPS.replace('"A", width = 6.0', '"A", width = 6.0').replace(
        'stand = "maize"', 'stand = "too many"'
    )
    stand = (
        '[[stand]]\nname = "too many"\nsowing = [ { crop = "maize", rows = 12, spacing = 0.75 } ]'
    )
    with pytest.raises(MeasureError, match=r"maize in band A: 12 rows at 0\.75 m reach 8\.25 m"):
        laid(field_of(RECTANGLE), plan_of(wide, stand))


def test_what_gave_way_is_told_with_the_blocks_name():
    blocks = """
[[block]]
name = "north"
part = { side = "north", width = 40.0 }
pattern = "strips"
[[block]]
name = "south"
rest = true
pattern = "strips"
"""
    layout = laid(field_of(RECTANGLE), plan_of(STRIPS, blocks))
    # north 40 m: 6 bands and 4 m of an A; south 60 m: 10 bands
    assert [given.what for given in layout.gave_way] == [
        "north: Band A is cut to 4.00 m at the edge."
    ]
    assert layout.gave_way[0].amount == pytest.approx(4.0, abs=2e-3)


def test_a_block_that_the_headland_takes_leaves_the_others_to_be_laid():
    blocks = """
[headland]
where = "all round"
width = 12.0
[[block]]
name = "north"
part = { side = "north", width = 10.0 }
pattern = "strips"
[[block]]
name = "south"
rest = true
pattern = "strips"
"""
    layout = laid(field_of(RECTANGLE), plan_of(STRIPS, blocks))
    assert layout.gave_way[0].what == "north: The headland takes all of this block."
    # south: 176 m x 76 m inside the headland, rows along it: 12 bands of 6 m and one of 4 m
    assert area_of(layout, kind="band") == pytest.approx(176 * 76, rel=1e-6)
    assert set(layout.ground.block[layout.ground.kind == "band"]) == {1}
    assert layout.ground.area.sum() == pytest.approx(20_000, rel=1e-6)


def test_where_the_headland_takes_every_block_it_is_refused():
    blocks = """
[headland]
where = "all round"
width = 60.0
[[block]]
name = "north"
part = { side = "north", width = 40.0 }
pattern = "strips"
[[block]]
name = "south"
rest = true
pattern = "strips"
"""
    with pytest.raises(LayoutError, match="No band fits"):
        laid(field_of(RECTANGLE), plan_of(STRIPS, blocks))


def test_a_narrower_band_at_the_far_side_is_told():
    layout = laid(field_of(box(0, 0, 200, 80)), plan_of(ALLEYS))
    told = " ".join(given.what for given in layout.gave_way)
    assert "Band C at the edge is widened by 2.00 m." in told


@pytest.mark.parametrize(
    ("across", "bands"),
    [
        pytest.param(96.0, 16, id="exactly 16 bands"),
        pytest.param(96.04, 16, id="4 cm more join the last band"),
        pytest.param(95.96, 16, id="4 cm less are taken from the last band"),
        pytest.param(96.2, 17, id="20 cm more are a band of their own, cut"),
    ],
)
def test_five_centimetres_across_change_no_count(across, bands):
    layout = laid(field_of(box(0, 0, 200, across)), plan_of(STRIPS))
    assert layout.ground.bands == bands
    assert layout.ground.area.sum() == pytest.approx(200 * across, rel=1e-6)


def test_the_layout_holds_what_it_was_made_of():
    field, drawn = field_of(RECTANGLE), Drawn()
    plan = resolve_guides(plan_of(STRIPS, ENDS), field, drawn)
    layout = lay_out(field, plan, None, drawn)
    assert layout.field is field
    assert layout.plan is plan
    assert layout.season is None
    assert [run.side for run in layout.blocks[0].ends] == ["east", "west"]
    assert counts(layout) == {"bands": 17, "rows": 165, "trees": 0, "passes": 0}


def test_a_layout_is_frozen_and_so_are_its_columns():
    layout = of_year(2027)
    with pytest.raises(dataclasses.FrozenInstanceError):
        layout.season = None
    for part in (layout.ground, layout.rows, layout.trees, layout.passes):
        for field in dataclasses.fields(part):
            column = getattr(part, field.name)
            if isinstance(column, np.ndarray):
                assert not column.flags.writeable, f"{type(part).__name__}.{field.name}"


def test_the_same_twice_is_the_same():
    one, two = of_year(2027), of_year(2027)
    assert (one.ground.geometry == two.ground.geometry).all()
    assert (one.rows.lines.xy == two.rows.lines.xy).all()
