"""The same alley with its rows another way: what the sun's course says of it."""

from dataclasses import replace

import pytest
import shapely

pytest.importorskip("pvlib", reason="the extra `light` is not installed")

from strategies import ENDS, field_of, laid, plan_of

from geolayout.appraisal.light.alley import alley_lights
from geolayout.appraisal.light.bearings import turned_alleys
from geolayout.plan.trees.growth import Light

ALLEYS = """
[[pattern]]
name = "alleys"
bands = [
  { name = "C", width = 24.0, stand = "beans", min_width = 12.0 },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 4.0, growth = { height = [[10, 9.0]] } } },
]
close_with = "C"
"""  # noqa: E501


@pytest.fixture(scope="module")
def alley():
    field = field_of(shapely.box(0, 0, 250, 300))
    layout = laid(field, plan_of(ALLEYS, ENDS, guide='bearing = 0.0\nfrom = "west"'))
    return alley_lights(layout, Light(years=(10,)))[0]


def test_rows_that_lie_as_they_do_have_the_light_they_have(alley):
    north = turned_alleys(alley, (7.0, 52.0), 0.5)[0]
    assert north.mean == pytest.approx(alley.years[0].fast.mean, abs=0.01)


def test_at_52_degrees_rows_that_run_east_have_the_darkest_edge(alley):
    found = {one.bearing: one for one in turned_alleys(alley, (7.0, 52.0), 0.5)}
    assert found[90.0].darkest < min(found[0.0].darkest, found[45.0].darkest)
    # What the morning takes on one side the afternoon takes on the other.
    assert found[45.0].mean == pytest.approx(found[135.0].mean, abs=0.01)


def test_under_a_sky_without_sun_all_ways_are_alike(alley):
    means = [one.mean for one in turned_alleys(alley, (7.0, 52.0), 0.0)]
    assert means == pytest.approx([means[0]] * 4, abs=0.005)


def test_beside_a_single_row_nothing_is_turned(alley):
    assert turned_alleys(replace(alley, rows=(1,)), (7.0, 52.0), 0.5) == []
