"""Shifts between datums: which are said to be coarse, and that areas come out right."""

from pathlib import Path

import numpy as np
import pytest
import shapely
from pyproj import CRS, Transformer
from shapely import Point, box

from geolayout.land.field import make_field
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.frames.datum import shift_findings
from geolayout.land.frames.frame import Frame
from geolayout.land.frames.lonlat import on_earth


def shapes_at(epsg, lon, lat):
    """Place a point of a system at longitude and latitude, roughly."""
    crs = CRS.from_epsg(epsg)
    corner = Transformer.from_crs(4326, crs, always_xy=True).transform(lon, lat)
    return np.array([Point(corner)], dtype=object), crs


@pytest.mark.parametrize(
    ("epsg", "lon", "lat"),
    [
        pytest.param(4326, 5.0, 52.0, id="WGS 84"),
        pytest.param(32631, 3.0, 52.0, id="UTM on WGS 84"),
        pytest.param(3857, 5.0, 52.0, id="Web Mercator"),
        pytest.param(4258, 5.0, 50.0, id="ETRS89: its numbers are kept"),
        pytest.param(25832, 9.0, 50.0, id="UTM on ETRS89"),
        pytest.param(3035, 10.0, 50.0, id="ETRS89, equal area"),
        pytest.param(2154, 3.0, 47.0, id="RGF93"),
        pytest.param(2264, -80.0, 35.5, id="NAD83 in feet"),
        pytest.param(2193, 170.0, -45.0, id="NZGD2000"),
        pytest.param(7844, 140.0, -30.0, id="GDA2020"),
        pytest.param(9057, 5.0, 52.0, id="one realization of WGS 84"),
        # 0.25 m and 0.1 m by the EPSG registry, as PROJ holds it.
        pytest.param(28992, 5.5, 52.0, id="Amersfoort, 0.25 m"),
        pytest.param(2056, 8.0, 47.0, id="CH1903+, 0.1 m"),
    ],
)
def test_a_system_that_is_known_to_half_a_metre_is_not_worth_a_word(epsg, lon, lat):
    assert shift_findings(*shapes_at(epsg, lon, lat)) == ()


@pytest.mark.parametrize(
    ("epsg", "lon", "lat", "said"),
    [
        # Accuracies of the EPSG registry, as PROJ holds it; with the grids the first two are
        # known to 0.03 and 0.9 m and better.
        pytest.param(27700, -1.5, 52.0, "good to 2 m", id="OSGB36"),
        pytest.param(31467, 10.0, 52.0, "DHDN", id="DHDN"),
        pytest.param(23031, 2.0, 42.0, "ED50", id="ED50"),
        pytest.param(4267, -100.0, 40.0, "NAD27", id="NAD27 in degrees"),
        pytest.param(3003, 11.0, 43.0, "good to 4 m", id="Monte Mario"),
    ],
)
def test_a_shift_by_a_coarse_formula_is_said_and_asked_about(epsg, lon, lat, said):
    (finding,) = shift_findings(*shapes_at(epsg, lon, lat))
    assert finding.kind == "datum shift"
    assert said in finding.sentence
    assert finding.question.endswith("for satellite guidance?")


def test_the_grid_that_would_do_better_is_named():
    try:
        (finding,) = shift_findings(*shapes_at(27700, -1.5, 52.0))
    except ValueError:
        pytest.skip("the grid is installed here")
    assert "OSTN15" in finding.sentence
    assert "good to 0.03 m" in finding.sentence


def test_a_datum_without_a_known_shift_is_said_to_be_blind():
    crs = CRS.from_proj4("+proj=tmerc +lon_0=9 +a=6377397.155 +rf=299.15 +units=m +type=crs")
    (finding,) = shift_findings(np.array([Point(1000.0, 5e6)], dtype=object), crs)
    assert "hundreds of metres" in finding.sentence


def test_no_shape_is_no_shift():
    assert shift_findings(np.array([None], dtype=object), CRS.from_epsg(27700)) == ()


# A square of 200 m on the ellipsoid, drawn in each system: an independent area of 4 ha.

SYSTEMS = [
    pytest.param(2264, -80.0, 35.5, id="North Carolina, US survey feet"),
    pytest.param(2225, -122.0, 41.0, id="California, US survey feet"),
    pytest.param(3857, 5.0, 52.0, id="Web Mercator, 2.6 times too large"),
    pytest.param(2154, 3.0, 47.0, id="Lambert-93"),
    pytest.param(3035, 10.0, 50.0, id="equal area, Europe"),
    pytest.param(28992, 5.5, 52.0, id="RD New"),
    pytest.param(27700, -1.5, 52.0, id="British National Grid"),
    pytest.param(31287, 14.0, 47.5, id="Austria, MGI"),
    pytest.param(2193, 170.0, -45.0, id="New Zealand, northing first"),
    pytest.param(5070, -100.0, 40.0, id="Albers, USA"),
    pytest.param(31467, 10.0, 52.0, id="Gauss-Krueger, northing first"),
]


@pytest.mark.parametrize(("epsg", "lon", "lat"), SYSTEMS)
def test_areas_and_places_are_right_in_every_system(epsg, lon, lat):
    square = Frame(lon, lat).to_geographic(box(-100, -100, 100, 100))
    transformer = Transformer.from_crs(4326, epsg, always_xy=True)
    drawn = shapely.transform(
        square, lambda lonlat: np.column_stack(transformer.transform(lonlat[:, 0], lonlat[:, 1]))
    )
    sheet = Sheet(Source(Path("invented.gpkg")), (Row(drawn, {}),), CRS.from_epsg(epsg))
    (row,) = on_earth(sheet).rows
    field = make_field(row.geometry)
    # A shift there and back need not take the same formula; areas tell nothing of metres.
    assert field.area == pytest.approx(40_000, rel=2e-6)
    west, south, _, _ = shapely.bounds(square)
    assert shapely.bounds(row.geometry)[:2] == pytest.approx((west, south), abs=5e-5)
