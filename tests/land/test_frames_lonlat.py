"""Coordinate systems named, regions held against, heights and long edges told."""

import pytest
from pyproj import CRS
from shapely import LineString, Point, box

from geolayout.errors import BoundaryError
from geolayout.land.frames.lonlat import check_region, crs_name, shape_findings

DENMARK = (8.0, 54.0, 16.0, 58.0)
HOME = box(9.5, 56.0, 9.503, 56.001)


def kinds(findings):
    return [finding.kind for finding in findings]


@pytest.mark.parametrize(
    ("crs", "name"),
    [
        pytest.param(None, "", id="none"),
        pytest.param(CRS.from_epsg(4326), "WGS 84 (EPSG:4326)", id="degrees"),
        pytest.param(
            CRS.from_proj4("+proj=tmerc +lon_0=9.5 +type=crs"), "unknown", id="one without a code"
        ),
    ],
)
def test_a_system_is_called_by_its_name_and_code(crs, name):
    assert crs_name(crs) == name


def test_a_field_in_its_country_is_not_worth_a_word():
    assert check_region(HOME, DENMARK, name="Home") == ()
    assert check_region(HOME, None, name="Home") == ()


def test_latitude_before_longitude_is_refused():
    swapped = box(56.0, 9.5, 56.001, 9.503)
    with pytest.raises(BoundaryError, match=r"Home lies at 56\.\d+, 9\.\d+, outside") as refusal:
        check_region(swapped, DENMARK, name="Home")
    assert "latitude first" in refusal.value.why
    assert "longitude first" in refusal.value.remedy


def test_a_field_in_neither_place_is_asked_about():
    (finding,) = check_region(box(30, 20, 30.01, 20.01), DENMARK, name="Home")
    assert finding.kind == "outside the country"
    assert finding.places[0] == pytest.approx((30.005, 20.005), abs=0.01)
    assert finding.question


def test_a_place_within_its_own_mirror_image_is_believed():
    assert check_region(box(9.0, 9.5, 9.1, 9.6), (8.0, 8.0, 10.0, 10.0), name="Home") == ()


def test_a_region_may_cross_the_180th_meridian():
    region = (177.0, -20.0, -178.0, -15.0)
    assert check_region(Point(-179.5, -17.0), region, name="Home") == ()
    assert check_region(Point(178.0, -17.0), region, name="Home") == ()
    assert kinds(check_region(Point(0.0, -17.0), region, name="Home")) == ["outside the country"]


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        pytest.param(HOME, [], id="flat"),
        pytest.param(LineString([(0, 0, 0), (1, 1, 0)]), [], id="heights of nought"),
        pytest.param(LineString([(0, 0, 35.5), (1, 1, 41)]), ["heights"], id="heights"),
        pytest.param(None, [], id="no shape"),
    ],
)
def test_heights_left_out_are_said(shape, said):
    assert kinds(shape_findings(shape, CRS.from_epsg(4326))) == said


def test_long_edges_are_told_in_metres():
    metres, feet = CRS.from_epsg(25832), CRS.from_epsg(2264)
    assert shape_findings(box(0, 0, 500, 100), metres) == ()
    (finding,) = shape_findings(box(0, 0, 1000, 100), metres)
    assert "longest edge is 1000 m" in finding.sentence
    # 1000 US survey feet are 304.8 m.
    assert shape_findings(box(0, 0, 1000, 100), feet) == ()
