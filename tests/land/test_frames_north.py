"""Grid north against true north, by a second route: two points of a meridian in the grid."""

import numpy as np
import pytest
from pyproj import CRS, Transformer

from geolayout.errors import PlanError
from geolayout.land.frames.north import grid_convergence


def by_two_points(grid, place):
    """The bearing of grid north from true north, from where the meridian runs in the grid."""
    lon, lat = place
    there = Transformer.from_crs(CRS.from_user_input(grid).geodetic_crs, grid, always_xy=True)
    (x0, x1), (y0, y1) = there.transform([lon, lon], [lat - 5e-4, lat + 5e-4])
    return -np.degrees(np.arctan2(x1 - x0, y1 - y0))


@pytest.mark.parametrize(
    ("grid", "place"),
    [
        pytest.param("EPSG:25832", (11.0, 52.0), id="UTM, east of its meridian"),
        pytest.param("EPSG:25832", (7.0, 52.0), id="UTM, west of it"),
        pytest.param("EPSG:32755", (144.4, -37.9), id="UTM, south of the equator"),
        pytest.param("EPSG:2154", (-1.0, 45.0), id="a cone, France"),
        pytest.param("EPSG:27700", (1.7, 52.6), id="Britain"),
        pytest.param("EPSG:28992", (6.5, 52.5), id="a plane touched once, Netherlands"),
        pytest.param("EPSG:2264", (-80.0, 35.5), id="in feet, North Carolina"),
        pytest.param("EPSG:5514", (15.0, 50.0), id="a slanting cone, Czechia"),
    ],
)
def test_convergence_is_what_two_points_of_a_meridian_say(grid, place):
    # the two points are on the grid's own datum, up to 120 m off: 0.002 degrees of convergence
    assert grid_convergence(grid, place) == pytest.approx(by_two_points(grid, place), abs=2e-3)


def test_convergence_of_a_published_point():
    # Geocentric Datum of Australia, Technical Manual, Flinders Peak in zone 55: 1 deg 35 min 3.65 s
    # of arc; the figure is from memory
    place = (144 + 25 / 60 + 29.5244 / 3600, -(37 + 57 / 60 + 3.7203 / 3600))
    expected = 1 + 35 / 60 + 3.65 / 3600
    assert grid_convergence("EPSG:28355", place) == pytest.approx(expected, abs=0.01 / 3600)


def test_east_of_the_meridian_in_the_north_grid_north_lies_east():
    assert grid_convergence("EPSG:25832", (11.0, 52.0)) > 1.5
    assert grid_convergence("EPSG:25832", (7.0, 52.0)) < -1.5
    assert grid_convergence("EPSG:25832", (9.0, 52.0)) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("grid", "place", "match"),
    [
        pytest.param("EPSG:4326", (7.0, 52.0), "needs a map grid", id="degrees"),
        pytest.param("EPSG:2053", (29.5, -26.0), "axes east and north", id="counts to the south"),
        pytest.param("Ordnance", (7.0, 52.0), "needs a map grid", id="unknown"),
        pytest.param(
            "EPSG:25832", (189.0, 0.0), "does not reach", id="the other side of the earth"
        ),
    ],
)
def test_what_is_no_grid_here_is_refused(grid, place, match):
    with pytest.raises(PlanError, match=match):
        grid_convergence(grid, place)
