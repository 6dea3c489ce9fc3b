"""Light across an alley of a laid-out field: what must hold whatever the trees are."""

import numpy as np
import pytest
import shapely

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from strategies import ENDS, field_of, laid, plan_of

from geolayout.appraisal.light.alley import alley_lights, crop_months
from geolayout.appraisal.light.sun import season_suns
from geolayout.appraisal.light.transect import light_at
from geolayout.plan.trees.growth import Light

ALLEYS = """
[[pattern]]
name = "alleys"
bands = [
  {{ name = "C", width = 24.0, stand = "beans", min_width = 12.0 }},
  {{ name = "T", width = 3.0, whole = true, trees = {{ in_row_spacing = 5.0, {keys} }} }},
]
close_with = "C"
"""
LAND = shapely.box(0, 0, 160, 200)
TEN_YEARS = Light(years=(10,))
LEVEL = np.array([[0.0, 0.0, 1.0]])


def alley_of(keys, bearing=0.0, light=TEN_YEARS):
    side = "west" if bearing == 0.0 else "south"
    guide = f'bearing = {bearing}\nfrom = "{side}"'
    layout = laid(field_of(LAND), plan_of(ALLEYS.format(keys=keys), ENDS, guide=guide))
    found = alley_lights(layout, light)
    return found[0] if found else None


GIVEN = "growth = { height = [[10, 8.0]] }"


def test_the_alley_is_told_from_row_to_row():
    alley = alley_of(GIVEN)
    # 24 m of crop and half of each tree strip of 3 m
    assert (alley.pitch, alley.width) == (pytest.approx(27.0), 24.0)
    assert len(alley.t) == 27
    assert alley.t[0] == pytest.approx(0.5)
    assert alley.crop.sum() == 24
    assert not alley.crop[0]


def test_given_heights_have_one_pace_and_estimates_two():
    alley = alley_of(GIVEN)
    (year,) = alley.years
    assert not alley.estimated
    assert year.slow.height == year.fast.height == 8.0
    assert year.slow.mean == year.fast.mean
    alley = alley_of("mature_height = 15.0")
    (year,) = alley.years
    assert alley.estimated
    assert year.slow.mean > year.fast.mean


def test_trees_of_unknown_height_have_no_shade_to_tell():
    assert alley_of("species = 'walnut'") is None


def test_rows_that_run_north_shade_both_sides_alike_and_rows_east_do_not():
    north, east = alley_of(GIVEN, 0.0).years[0].slow, alley_of(GIVEN, 90.0).years[0].slow
    assert north.light == pytest.approx(north.light[::-1], abs=0.03)
    # South of the alley stands a row that shades its north side: t grows from the south.
    assert east.light[2] < east.light[-3] - 0.1


def test_light_falls_as_trees_grow_and_the_edge_is_darker_than_the_mean():
    years = alley_of("mature_height = 15.0", light=Light(years=(2, 8, 20))).years
    means = [year.fast.mean for year in years]
    assert means == sorted(means, reverse=True)
    assert all(year.fast.edge < year.fast.mean for year in years)


def test_the_plan_weighs_direct_and_diffuse_light():
    sun, sky, both = (
        alley_of(GIVEN, light=Light(years=(10,), direct=share)).years[0].slow
        for share in (1.0, 0.0, 0.25)
    )
    assert sun.light == pytest.approx(sun.direct)
    assert sky.light == pytest.approx(sky.diffuse)
    assert both.mean == pytest.approx(0.25 * sun.mean + 0.75 * sky.mean)


def test_open_ground_has_all_its_light_on_a_slope_too():
    suns = season_suns(52.0, 7.0, (4, 7), 10)
    slope = np.array([[0.0, -0.2, 1.0]]) / np.hypot(0.2, 1.0)
    nothing = {month: [] for month in suns.month.tolist()}
    for normal in (LEVEL, slope):
        direct, diffuse = light_at(np.zeros((1, 3)), normal, suns, nothing)
        assert (direct[0], diffuse[0]) == (pytest.approx(1.0), pytest.approx(1.0))


def test_the_crop_grows_when_summer_is():
    assert crop_months(Light(), 52.0) == (4, 7)
    assert crop_months(Light(), -34.0) == (10, 1)
    assert crop_months(Light(months=(3, 5)), -34.0) == (3, 5)
