"""Map grids by their code, and the UTM zone of a place."""

import numpy as np
import pytest

from geolayout.errors import PlanError
from geolayout.land.frames.mapgrid import MapGrid, map_grid, utm_code


@pytest.mark.parametrize(
    ("lon", "lat", "code"),
    [
        # zone = floor((lon + 180) / 6) + 1
        pytest.param(9.0, 52.0, "EPSG:32632", id="9 east: 189 / 6 = 31.5, zone 32"),
        pytest.param(-180.0, 10.0, "EPSG:32601", id="the first zone"),
        pytest.param(179.9, -10.0, "EPSG:32760", id="the last one, south"),
        pytest.param(180.0, 10.0, "EPSG:32601", id="180 degrees are the first again"),
    ],
)
def test_zone_of_a_place(lon, lat, code):
    assert utm_code(lon, lat) == code


def test_a_place_on_the_central_meridian_has_an_easting_of_500_km():
    # By the definition of UTM: false easting 500,000 m at the central meridian, 9 degrees.
    (place,) = map_grid("EPSG:32632").places(np.array([[9.0, 0.0]]))
    assert place == pytest.approx([500_000.0, 0.0], abs=1e-6)


def test_a_grid_on_another_datum_says_how_well_places_come_to_it():
    assert map_grid("EPSG:32632").caution == ""
    # Without its grid of shifts the British grid is reached by one Helmert shift: PROJ says 2 m.
    other = map_grid("EPSG:27700")
    assert other.accuracy is not None
    assert other.accuracy >= 0.1
    assert "check two known points" in other.caution
    assert "no stated accuracy" in MapGrid("EPSG:1", "invented", None).caution


@pytest.mark.parametrize("code", ["EPSG:4326", "EPSG:9999999", "no grid", "EPSG:2263"])
def test_what_is_no_grid_of_metres_is_refused(code):
    with pytest.raises(PlanError, match=r"metres east and north"):
        map_grid(code)


def test_a_grid_that_does_not_reach_a_place_is_refused():
    with pytest.raises(PlanError, match=r"does not reach"):
        map_grid("EPSG:27700").places(np.array([[np.inf, 0.0]]))


def test_there_and_back_is_the_same_place():
    lonlat = np.array([[9.3, 52.1], [8.8, 51.7]])
    grid = map_grid("EPSG:32632")
    assert grid.lonlat(grid.places(lonlat)) == pytest.approx(lonlat, abs=1e-9)
