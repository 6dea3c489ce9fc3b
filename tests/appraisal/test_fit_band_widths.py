"""Widths that fit every machine, for the bands of a plan."""

import pytest
from section_profiles import BEANS, DRILL, MAIZE, PLANTER, SOWN, bands, profile, stand, strips, work

from geolayout.appraisal.fit.band_widths import band_widths

FREE = MAIZE.replace("rows = 8, ", "")


def test_strips_must_suit_planter_drill_rows_and_boom():
    # 8 rows of 0.75 m, passes of 6 and 3 m, parts of 3 m: 6, 12 and 18 m
    section = strips(work("spray", "working_width = 24.0\nsections = 8", "block"))
    (found,) = band_widths(section)
    assert found.bands == ("A", "B")
    assert found.wish.misfits == ()
    assert [choice.width for choice in found.choices] == [12.0, 6.0, 18.0]
    asked = {(demand.asked.value, demand.who, demand.step) for demand in found.demands}
    assert asked == {
        ("passes", "plant", 6.0),
        ("passes", "drill", 3.0),
        ("rows", "maize", 0.75),
        ("rows", "field beans", 0.25),
        ("sections", "spray", 3.0),
    }


def test_the_nearest_to_a_wish_that_does_not_fit_is_told():
    # 7.5 m: the planter wants 6 or 12 m; 6 m is nearer.
    (found,) = band_widths(profile(FREE, BEANS, bands(7.5, 7.5), SOWN, span=(0.0, 60.0)))
    assert found.nearest.width == 6.0
    missed = {misfit.demand.who: misfit.over for misfit in found.wish.misfits}
    assert missed == {"plant": pytest.approx(4.5), "drill": pytest.approx(1.5)}


def test_where_nothing_fits_those_that_miss_least_are_told():
    # A header of 5.41 m against a drill of 3 m and rows of 0.75 m.
    combine = work("combine", "working_width = 5.41\nheader = { width = 5.41 }")
    section = profile(FREE, BEANS, bands(6.0, 6.0), SOWN, combine, span=(0.0, 60.0))
    (found,) = band_widths(section)
    assert found.nearest is None
    assert len(found.choices) == 5
    assert found.choices[0].misfits


def test_every_season_asks():
    seasons = (
        '[[season]]\nyear = 2027\n[[season]]\nyear = 2028\ngrows = { A = "beans", B = "maize" }'
    )
    section = profile(MAIZE, BEANS, bands(6.0, 3.0), SOWN, seasons, span=(0.0, 54.0))
    narrow = next(found for found in band_widths(section) if found.bands == ("B",))
    assert {demand.who for demand in narrow.demands} >= {"plant", "drill"}
    assert [misfit.demand.who for misfit in narrow.wish.misfits] == ["plant"]


def test_an_alley_asks_for_whole_booms_and_its_trees_for_nothing():
    # Wakelyns, Far Field page: the alley is what the machines drive; the tree strip is not in it.
    alleys = (
        '[[pattern]]\nname = "a"\nbands = [ { name = "A", width = 20.0, stand = "beans" },'
        ' { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 8.0 } } ]'
    )
    spray = work("spray", "working_width = 12.0\nsections = 4", "block")
    (found,) = band_widths(profile(BEANS, alleys, work("drill", DRILL), spray, span=(0.0, 69.0)))
    assert found.bands == ("A",)
    assert found.nearest.width == 24.0
    assert {misfit.demand.who for misfit in found.wish.misfits} == {"drill", "spray"}


def test_a_planter_over_the_repeat_asks_it_of_all_bands_together():
    # A and B of one width under 9 m passes: 4.5, 9, 13.5 m.
    soya = stand("beans", 'crop = "soya", spacing = 0.75, operation = "plant"')
    plant = work("plant", "working_width = 9.0", "pattern")
    (found,) = band_widths(profile(FREE, soya, bands(4.5, 4.5), plant, span=(0.0, 36.0)))
    assert sorted(choice.width for choice in found.choices) == [4.5, 9.0, 13.5, 18.0]


def test_bands_of_other_widths_are_counted_in_the_repeat():
    # B stays 3 m wide: A is 6, 15 m ... under 9 m passes over both.
    soya = stand("beans", 'crop = "soya", spacing = 0.75, operation = "plant"')
    plant = work("plant", "working_width = 9.0", "pattern")
    section = profile(FREE, soya, bands(6.0, 3.0), plant, span=(0.0, 36.0))
    of_a = next(found for found in band_widths(section) if found.bands == ("A",))
    assert sorted(choice.width for choice in of_a.choices) == [6.0, 15.0]


def test_a_field_of_one_crop_asks_nothing_of_a_machine_it_does_not_name():
    supposed = '[[machine]]\nname = "combine"\nworking_width = 5.6\n'
    section = profile(
        MAIZE, bands(6.0), work("plant", PLANTER), BEANS, work("drill", DRILL), supposed
    )
    (found,) = band_widths(section)
    assert {demand.who for demand in found.demands} == {"maize", "plant"}


def test_tramlines_are_told_for_each_width():
    # 6 m: 3 m of room; 12 m: 6 m.
    section = strips(work("spray", "working_width = 24.0\nsections = 8", "block"))
    (found,) = band_widths(section)
    rooms = {choice.width: choice.phases[0][2].room for choice in found.choices}
    assert rooms == {6.0: 3.0, 12.0: 6.0, 18.0: 3.0}


def test_nothing_is_told_where_nothing_is_asked():
    bare = stand("maize", 'crop = "grass", place = "broadcast"')
    assert band_widths(profile(bare, bands(6.0))) == []
