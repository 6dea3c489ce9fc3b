"""Light over a field: in the rows' middle the alley's figure; thinned or lost trees are gone."""

import numpy as np
import pytest
import shapely

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from hills import on_hill
from strategies import ENDS, field_of, laid, plan_of

from geolayout.appraisal.light.alley import alley_lights
from geolayout.appraisal.light.area import Wanted, block_lights, light_map
from geolayout.appraisal.light.bearings import turned_alleys
from geolayout.appraisal.light.stretch import stretch_of
from geolayout.appraisal.trees.as_planted import Failure, years_behind
from geolayout.plan.trees.growth import FAST, Light

LAND = shapely.box(0, 0, 81, 134)
TEN = Light(years=(10,))
GROWN = "growth = {{ height = [[10, 8.0]], leaf_density = {density} }}"


def layout_of(trees, *, density=1.0, field=None, bearing="0.0"):
    """Alleys of 24 m between tree strips of 3 m, rows that run north."""
    grown = GROWN.format(density=density)
    pattern = f"""
[[pattern]]
name = "alleys"
bands = [
  {{ name = "C", width = 24.0, stand = "beans", min_width = 12.0 }},
  {{ name = "T", width = 3.0, whole = true, trees = {{ {trees}, {grown} }} }},
]
close_with = "C"
"""
    guide = f'bearing = {bearing}\nfrom = "west"'
    return laid(field or field_of(LAND), plan_of(pattern, ENDS, guide=guide))


def cells_of(layout, cell=3.0):
    west, south, east, north = layout.field.land.bounds
    steps = np.arange(west + cell / 2, east, cell), np.arange(south + cell / 2, north, cell)
    return np.stack(np.meshgrid(*steps), axis=-1).reshape(-1, 2)


def map_of(layout, xy=None, year=10.0, behind=None):
    places = cells_of(layout) if xy is None else xy
    return light_map(layout, Wanted(TEN, year, FAST, behind), places)


PLANTED = "in_row_spacing = 5.0, first = 2.5"
THINNED = "in_row_spacing = 5.0, first = 2.5, thinning = [ { year = 8.0, keep_every = 2 } ]"
WIDE = "in_row_spacing = 10.0, first = 2.5"


@pytest.fixture(scope="module")
def planted():
    return layout_of(PLANTED)


@pytest.fixture(scope="module")
def planted_map(planted):
    return map_of(planted)


@pytest.mark.parametrize("trees", [PLANTED, THINNED], ids=["as planted", "thinned"])
@pytest.mark.parametrize("bearing", ["0.0", "20.0"], ids=["to the north", "aslant"])
def test_across_the_middle_of_the_rows_it_is_the_alley_that_is_told(trees, bearing):
    layout = layout_of(trees, bearing=bearing)
    (alley,) = alley_lights(layout, TEN)
    first = stretch_of(layout, 0)
    # The alley looks at 4 places along a step; here 40 along two steps of the thinned row.
    guides = layout.blocks[0].guides
    t0, middle = guides.to_turned(first.xy).min(axis=0)
    t, s = np.meshgrid(t0 + np.arange(len(alley.t)), middle + np.arange(0.25, 20.0, 0.5))
    places = guides.from_turned(np.stack([t.T.ravel(), s.T.ravel()], axis=1))
    across = map_of(layout, places).light.reshape(len(alley.t), -1).mean(axis=1)
    assert across == pytest.approx(alley.years[0].fast.light, abs=0.015)
    assert across[alley.crop].mean() == pytest.approx(alley.years[0].fast.mean, abs=0.004)


def test_on_a_slope_it_is_the_alley_that_is_told_too():
    hill = on_hill(lambda x, y: 100.0 + 0.15 * y + 0.02 * x, LAND)
    layout = layout_of(PLANTED, field=hill)
    (alley,) = alley_lights(layout, TEN)
    places = stretch_of(layout, 0).xy
    across = map_of(layout, places).light.reshape(len(alley.t), -1).mean(axis=1)
    # The alley leaves out trees farther than 12 heights.
    assert across == pytest.approx(alley.years[0].fast.light, abs=0.003)


def test_a_hole_in_the_heights_is_no_pit():
    hill = on_hill(lambda x, y: 250.0 + 0.05 * y + 0.0 * x, LAND)
    holed = on_hill(lambda x, y: np.where(y > 40.0, np.nan, 250.0 + 0.05 * y + 0.0 * x), LAND)
    whole, lacking = (map_of(layout_of(PLANTED, field=field)) for field in (hill, holed))
    # in the hole the ground is level and at most 1.5 m too low, under trees 8 m high
    assert lacking.light == pytest.approx(whole.light, abs=0.2)
    assert lacking.light.mean() == pytest.approx(whole.light.mean(), abs=0.01)
    nowhere = on_hill(lambda x, y: np.nan * (x + y), LAND)
    level = map_of(layout_of(PLANTED))
    assert map_of(layout_of(PLANTED, field=nowhere)).light == pytest.approx(level.light)


def test_trees_thinned_are_the_trees_of_a_plan_drawn_that_wide():
    thinned, wide = layout_of(THINNED), layout_of(WIDE)
    one, other = map_of(thinned), map_of(wide)
    assert one.trees == other.trees == len(wide.trees)
    assert one.light == pytest.approx(other.light, abs=1e-9)
    (alley,), (drawn) = alley_lights(thinned, TEN), alley_lights(wide, TEN)
    # 8 places along the step against 4
    assert alley.years[0].fast.light == pytest.approx(drawn[0].years[0].fast.light, abs=0.01)
    turned, plain = (turned_alleys(one, (10.0, 52.0), 0.5) for one in (alley, drawn[0]))
    assert [t.mean for t in turned] == pytest.approx([t.mean for t in plain], abs=0.003)


def test_before_the_year_of_thinning_all_trees_shade(planted_map):
    early = map_of(layout_of(THINNED), year=7.9)
    full = map_of(layout_of(PLANTED), year=7.9)
    assert early.light == pytest.approx(full.light, abs=1e-12)
    assert full.light.mean() > planted_map.light.mean()


def test_thin_crowns_take_half_the_light_when_every_second_is_left():
    # exp(-x) is 1 - x for thin leaves: half as many crowns take half as much
    thinned = layout_of(THINNED, density=0.01)
    before = (1.0 - map_of(layout_of(PLANTED, density=0.01)).light).sum()
    after = (1.0 - map_of(thinned).light).sum()
    # Rows of 110 m with the first at 2.5 m: 22 trees, of which 11 are left
    assert after / before == pytest.approx(0.5, abs=0.01)


def test_a_tree_that_failed_shades_no_more_and_one_replaced_is_younger(planted, planted_map):
    spot = Failure(2, 11)

    def darkness(*failures):
        told = map_of(planted, behind=years_behind(planted, failures))
        return told.trees, (1.0 - told.light).sum()

    trees, gone = darkness(spot)
    assert trees == len(planted.trees) - 1
    young, old = (darkness(Failure(2, 11, "", True, after))[1] for after in (6.0, 2.0))
    full = (1.0 - planted_map.light).sum()
    assert gone < young < old < full
    assert darkness(Failure(2, 11, "", True))[1] == pytest.approx(full)
    # planted in a later year than the one that is looked at
    assert darkness(Failure(2, 11, "", True, 15.0)) == pytest.approx((trees, gone))
    # the last word on a tree counts
    assert darkness(Failure(2, 11, "", True, 2.0), spot) == pytest.approx((trees, gone))


def test_the_alley_beside_a_lost_row_is_brighter(planted):
    lost = [Failure(2, position) for position in range(1, 23)]
    behind = years_behind(planted, lost)
    (with_it,), (without,) = alley_lights(planted, TEN), alley_lights(planted, TEN, behind)
    assert 2 in with_it.rows
    assert without.years[0].fast.mean > with_it.years[0].fast.mean + 0.03


def test_crop_is_told_apart_and_blocks_add_up(planted, planted_map):
    # Crop: 81 m less two strips of 3 m, on 110 m between headlands of 12 m: 75 x 110 m2,
    # in cells of 9 m2; a cell under an edge belongs to one side
    assert planted_map.crop.sum() * 9.0 == pytest.approx(75 * 110, rel=0.05)
    (one,) = block_lights(planted, planted_map, 0.8)
    crop = planted_map.light[planted_map.crop]
    assert (one.mean, one.darkest) == (pytest.approx(crop.mean()), pytest.approx(crop.min()))
    assert one.under == pytest.approx((crop < 0.8).mean())
    assert one.places == planted_map.crop.sum()


def test_the_ends_of_rows_have_more_light_than_their_middles(planted, planted_map):
    y = cells_of(planted)[:, 1]
    middle = planted_map.light[np.abs(y) < 20.0].mean()
    assert planted_map.light[np.abs(y) > 58.0].mean() > middle + 0.05


def test_trees_of_unknown_height_have_no_map():
    bare = laid(
        field_of(LAND),
        plan_of(
            '[[pattern]]\nname = "p"\nbands = [ { name = "C", width = 24.0, stand = "beans" }, '
            '{ name = "T", width = 3.0, trees = { in_row_spacing = 5.0 } } ]',
            ENDS,
        ),
    )
    assert map_of(bare) is None
