"""Hedges and woods whose height is known: as walls in the light, and as shelter."""

from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest
from shapely import LineString, Point, box
from strategies import ALLEYS, BELT, feature_beside, field_of, laid, plan_of, refused

from geolayout.appraisal.light.alley import alley_lights
from geolayout.appraisal.light.shade import past_walls
from geolayout.appraisal.light.walls import outline, walls_of
from geolayout.appraisal.trees.shelter import shelter_years
from geolayout.errors import PlanError
from geolayout.jobs.featureshapes import drawn_feature
from geolayout.plan.features import FeatureSource
from geolayout.plan.trees.growth import Light

LAND = box(0, 0, 200, 100)
GUIDE = 'bearing = 0.0\nfrom = "west"'


def field_beside(kind, shape, height, **keys):
    start = "centre line" if shape.geom_type == "LineString" else "drawn edge"
    drawn = feature_beside(LAND, kind, shape, measured_from=start, **keys)
    drawn = replace(drawn, height=height)
    return field_of(LAND, features=[drawn])


def test_a_wall_of_10_m_shades_17_32_m_where_the_sun_stands_at_30_degrees():
    # 10 / tan 30 = 17.32 m; the wall runs east along the field's south edge, the sun is south of it
    walls = walls_of(field_beside("wall", LineString([(0, 0), (200, 0)]), 10.0))
    high = radians(30.0)
    sun = np.array([[0.0, -np.cos(high), np.sin(high)]])
    far = 10.0 / tan(high)
    cells = np.array([[0.0, -50.0 + far + off, 0.0] for off in (-0.05, 0.05)])
    assert past_walls(cells, walls, sun)[:, 0].tolist() == [0.0, 1.0]


@pytest.mark.parametrize(
    ("kind", "shape", "keys", "length"),
    [
        pytest.param("wall", LineString([(0, 0), (200, 0)]), {}, 200.0, id="a drawn line"),
        pytest.param("woodland", box(200, 0, 240, 100), {}, 280.0, id="the edge of an area"),
        pytest.param(
            "hedge", LineString([(0, 0), (200, 0)]), {"half_width": 2.0}, 412.0, id="a wide hedge"
        ),
        pytest.param("tree", Point(20, 20), {}, 4 * 2**0.5, id="a point: a square in 1 m"),
    ],
)
def test_what_stands_upright_is_its_edge(kind, shape, keys, length):
    (feature,) = field_beside(kind, shape, 5.0, **keys).features
    assert outline(feature).length == pytest.approx(length, rel=0.03)


def test_features_without_a_height_are_no_walls():
    assert not len(walls_of(field_beside("hedge", LineString([(0, 0), (200, 0)]), 0.0)).height)


def test_a_wood_in_the_south_takes_light_from_the_alley():
    grown = ALLEYS.replace("in_row_spacing = 5.0", "in_row_spacing = 5.0, mature_height = 12.0")
    asked = Light(years=(10,))

    def light_of(height):
        field = field_beside("woodland", box(0, -40, 200, 0), height)
        return alley_lights(laid(field, plan_of(grown, guide=GUIDE)), asked)[0].years[0].slow

    beside, apart = light_of(25.0), light_of(0.0)
    assert (beside.light <= apart.light + 1e-12).all()
    assert beside.mean < apart.mean - 0.005


def test_a_hedge_in_the_east_shelters_ten_heights_from_the_east():
    # 5 m high at x = 200: sheltered from 150 to 200 m, 50 of the crop's 196 m; the belt in the west
    # shelters nothing that is sown from this wind
    field = field_beside("hedge", LineString([(200, 0), (200, 100)]), 5.0)
    shelter = "[shelter]\nwind = [[90.0, 1.0]]\nyears = [20]"
    (one,) = shelter_years(laid(field, plan_of(BELT, shelter, guide=GUIDE)))
    assert one.sheltered_percent == pytest.approx((100 * 50 / 196,) * 2, abs=0.01)


def test_the_plan_s_height_reaches_the_feature():
    source = FeatureSource(
        kind="hedge", keep_clear=0.0, measured_from="drawn edge", at=(9.0, 50.0), height=6.0
    )
    assert drawn_feature(source, "", Point(9.0, 50.0), None).height == 6.0


def test_the_height_of_a_ditch_is_refused():
    ditch = (
        '[[feature]]\nkind = "ditch"\nat = [9.0, 50.0]\nheight = 2.0\nkeep_clear = 1.0\n'
        'measured_from = "centre line"'
    )
    error = refused(plan_of, BELT, ditch)
    assert isinstance(error, PlanError)
    assert "a height of 2 m" in error.found
