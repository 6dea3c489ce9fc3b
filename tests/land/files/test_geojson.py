"""GeoJSON as people bring it: what is said of it, and what is refused (all invented)."""

import json
from zipfile import ZipFile

import pytest
import shapely
from boundary_files import AWAY, HOME, feature, geojson
from pyproj import CRS
from shapely import GeometryCollection, Point, Polygon, box

from geolayout.errors import FileError
from geolayout.land.files.geojson import read_geojson
from geolayout.land.files.source import Source
from geolayout.land.readers import read_boundary


def read(path):
    return read_geojson(Source(path))


def only_row(sheet):
    (row,) = sheet.rows
    return row


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(json.dumps(feature(HOME, {})), id="one feature"),
        pytest.param(json.dumps(shapely.geometry.mapping(HOME)), id="a bare geometry"),
        pytest.param("\ufeff" + json.dumps(feature(HOME, None)), id="a byte order mark"),
    ],
)
def test_geojson_of_one_field_is_read(tmp_path, text):
    path = tmp_path / "home.geojson"
    path.write_text(text, encoding="utf-8")
    sheet = read(path)
    assert only_row(sheet).geometry.equals(HOME)
    assert sheet.label == "home.geojson"
    assert sheet.crs == CRS.from_epsg(4326)
    assert sheet.findings == ()


def test_ids_and_columns_are_kept(tmp_path):
    path = geojson(tmp_path, feature(HOME, {"no": 7}, id=1), feature(AWAY), feature(None, {}))
    first, second, third = read(path).rows
    assert (first.given_id, first.properties) == ("1", {"no": 7})
    assert (second.given_id, second.properties) == (None, {})
    assert third.geometry is None


def test_heights_of_some_corners_are_left_behind(tmp_path):
    data = feature(HOME, {})
    data["geometry"]["coordinates"] = [
        [[10, 52, 30], [10.003, 52], [10.003, 52.001, 31], [10, 52.001], [10, 52]]
    ]
    row = only_row(read(geojson(tmp_path, data)))
    assert row.geometry.equals(HOME)
    assert not row.geometry.has_z


def test_an_unclosed_ring_is_closed_and_said(tmp_path):
    data = feature(HOME, {})
    data["geometry"]["coordinates"] = [[list(corner) for corner in HOME.exterior.coords][:-1]]
    sheet = read(geojson(tmp_path, data))
    assert only_row(sheet).geometry.equals(HOME)
    assert [finding.kind for finding in sheet.findings] == ["unclosed ring"]
    assert sheet.findings[0].sentence.startswith("1 rings of farm.geojson")


def test_unclosed_rings_are_counted_in_parts_holes_and_collections(tmp_path):
    corners = [[10, 52], [10.003, 52], [10.003, 52.001]]
    open_parts = {"type": "MultiPolygon", "coordinates": [[corners], [corners, corners]]}
    nested = {"type": "GeometryCollection", "geometries": [open_parts, None]}
    data = {"type": "Feature", "geometry": nested, "properties": None}
    # 1 outer ring, and 1 outer ring with 1 hole.
    assert read(geojson(tmp_path, data)).findings[0].sentence.startswith("3 rings")


def test_a_collection_keeps_its_parts_and_drops_empty_ones(tmp_path):
    drawn = GeometryCollection([Point(10, 52), HOME, Polygon()])
    kept = only_row(read(geojson(tmp_path, feature(drawn)))).geometry
    assert kept.equals(GeometryCollection([Point(10, 52), HOME]))
    assert len(kept.geoms) == 2


def test_an_old_crs_member_is_read_and_the_shape_left_as_drawn(tmp_path):
    metres = box(500_000, 5_700_000, 500_200, 5_700_100)
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::25832"}}
    sheet = read(geojson(tmp_path, feature(metres, {}), crs=crs))
    assert sheet.crs == CRS.from_epsg(25832)
    assert shapely.bounds(only_row(sheet).geometry)[0] == 500_000
    assert [finding.kind for finding in sheet.findings] == ["coordinate system"]


@pytest.mark.parametrize("name", ["urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326"])
def test_an_old_crs_member_for_degrees_needs_no_word(tmp_path, name):
    crs = {"type": "name", "properties": {"name": name}}
    sheet = read(geojson(tmp_path, feature(HOME, {}), crs=crs))
    assert only_row(sheet).geometry.equals(HOME)
    assert sheet.crs == CRS.from_epsg(4326)
    assert sheet.findings == ()


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param("{", "breaks off", id="half a file"),
        pytest.param("[]", "type is None", id="a list"),
        pytest.param('{"type": "Topology"}', "Topology", id="another kind of JSON"),
        pytest.param('{"type": "FeatureCollection"}', "no list", id="no features"),
        pytest.param('{"type": "Feature", "geometry": {"type": "Polygon"}}', "Shape 1", id="bare"),
        pytest.param(
            '{"type": "Polygon", "coordinates": [[[1, 2], [3, "x"]]]}', "Shape 1", id="a word"
        ),
        pytest.param('{"type": "Polygon", "coordinates": [[[1, 2], [3, 4]]]}', "1", id="2 corners"),
        pytest.param('{"type": "Polygon", "coordinates": [[[NaN, 2]]]}', "no number", id="NaN"),
        pytest.param(
            '{"type": "FeatureCollection", "features": [null]}', "Shape 1", id="no feature"
        ),
        pytest.param(
            '{"type": "Feature", "geometry": null, "crs": {"type": "link"}}', "crs", id="a link"
        ),
    ],
)
def test_what_is_not_geojson_is_refused_with_its_reason(tmp_path, text, match):
    path = tmp_path / "farm.geojson"
    path.write_text(text)
    with pytest.raises(FileError, match=match) as refusal:
        read(path)
    assert "Traceback" not in str(refusal.value)


def test_bytes_that_are_no_utf_8_are_refused(tmp_path):
    path = tmp_path / "farm.geojson"
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(FileError, match="breaks off"):
        read(path)


def test_a_layer_of_a_geojson_file_is_refused(tmp_path):
    path = tmp_path / "field.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": []}))
    with pytest.raises(FileError, match="has no layers of other names"):
        read_boundary(path, layer="fields")


@pytest.mark.parametrize("layer", ["home", "home.geojson", None])
def test_the_only_file_of_a_zip_may_be_named_as_its_layer(tmp_path, layer):
    path = tmp_path / "farm.zip"
    with ZipFile(path, "w") as archive:
        archive.write(geojson(tmp_path, feature(HOME)), "home.geojson")
    assert read_boundary(path, layer=layer).geometry.area > 0
