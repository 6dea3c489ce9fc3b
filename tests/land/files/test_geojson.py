"""GeoJSON as people bring it: what is said of it, and what is refused (all invented)."""

import json
from zipfile import ZipFile

import pytest
import shapely
from boundary_files import AWAY, HOME, feature, geojson
from pyproj import CRS
from shapely import GeometryCollection, Point, Polygon, box

from geolayout.errors import FileError
from geolayout.land.files.formats import read_sheet
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


# Sequences


HOME_TEXT = json.dumps(feature(HOME, {"name": "Home"}))
AWAY_TEXT = json.dumps(feature(AWAY, {"name": "Away"}))


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(f"\x1e{HOME_TEXT}\n\x1e{AWAY_TEXT}\n", id="with RS, as in RFC 8142"),
        pytest.param(f"{HOME_TEXT}\n{AWAY_TEXT}\n", id="one text a line"),
        pytest.param(f"{HOME_TEXT}\r\n{AWAY_TEXT}", id="CRLF and an open last line"),
        pytest.param(f"\n\n{HOME_TEXT}\n\n \n{AWAY_TEXT}\n\n", id="empty lines"),
        pytest.param(f"\ufeff{HOME_TEXT}\n{AWAY_TEXT}", id="a byte order mark"),
        pytest.param(
            "\x1e" + json.dumps(json.loads(HOME_TEXT), indent=1) + "\n\x1e" + AWAY_TEXT,
            id="a text over several lines",
        ),
        pytest.param(
            '{"type": "FeatureCollection", "features": [' + HOME_TEXT + "]}\n" + AWAY_TEXT,
            id="a collection among them",
        ),
    ],
)
@pytest.mark.parametrize("suffix", [".geojsons", ".geojsonl", ".ndjson", ".jsonl", ".geojson"])
def test_a_sequence_is_read_whatever_its_name_ends_in(tmp_path, text, suffix):
    path = tmp_path / f"farm{suffix}"
    path.write_text(text, encoding="utf-8", newline="")
    first, second = read_sheet(path, None).rows
    assert first.geometry.equals(HOME)
    assert second.geometry.equals(AWAY)
    assert (first.label(""), second.label("")) == ("Home", "Away")


def test_a_sequence_of_pyogrio_is_read(tmp_path):
    gpd = pytest.importorskip("geopandas")
    path = tmp_path / "farm.geojsons"
    gpd.GeoSeries([HOME, AWAY], crs=4326).to_file(path, driver="GeoJSONSeq", engine="pyogrio")
    assert path.read_bytes()[:1] == b"\x1e"
    assert [row.geometry.area for row in read(path).rows] == [
        pytest.approx(HOME.area),
        pytest.approx(AWAY.area),
    ]


def test_one_system_for_all_texts(tmp_path):
    member = {"type": "name", "properties": {"name": "EPSG:25832"}}
    texts = [json.dumps(feature(box(0, 0, 1, 1), crs=member)) for _ in range(2)]
    path = tmp_path / "farm.geojsonl"
    path.write_text("\n".join(texts))
    assert read(path).crs == CRS.from_epsg(25832)
    path.write_text("\n".join([*texts, HOME_TEXT]))
    with pytest.raises(FileError, match="different coordinate systems"):
        read(path)


def test_a_sequence_that_breaks_off_names_the_text(tmp_path):
    path = tmp_path / "farm.geojsonl"
    path.write_text(f"{HOME_TEXT}\n{AWAY_TEXT[:40]}")
    with pytest.raises(FileError, match="in text 2"):
        read(path)


# Broken and hostile


def polygon(coordinates):
    return '{"type": "Polygon", "coordinates": ' + coordinates + "}"


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param("", "breaks off", id="nothing"),
        pytest.param("\x1e\n\x1e\n", "breaks off", id="a sequence of nothing"),
        pytest.param(HOME_TEXT + "]", "in text 2", id="a bracket too many"),
        pytest.param("{" * 1000, "breaks off", id="braces without end"),
        pytest.param("[" * 300_000, "nested too deeply", id="brackets without end"),
        pytest.param('{"type": ' + "[" * 300_000, "nested too deeply", id="a type without end"),
        pytest.param(polygon("[" * 400 + "]" * 400), "not two numbers", id="a pit"),
        pytest.param(
            '{"type": "Point", "type": "Polygon", "coordinates": [1, 2]}',
            "two members called 'type'",
            id="a member twice",
        ),
        pytest.param(
            '{"type": "Feature", "geometry": null, "properties": {"a": 1, "a": 2}}',
            "two members called 'a'",
            id="a column twice",
        ),
        pytest.param(polygon("[[[1e999, 2], [3, 4], [5, 6]]]"), "too large", id="1e999"),
        pytest.param(polygon(f"[[[{'9' * 400}, 2], [3, 4], [5, 6]]]"), "too large", id="400 nines"),
        pytest.param(polygon(f"[[[{'9' * 5000}, 2]]]"), "breaks off", id="5000 nines"),
        pytest.param(polygon("[[[Infinity, 2]]]"), "no number", id="infinity"),
        pytest.param(polygon('[[["10", "52"]]]'), "'10' stands where", id="numbers as text"),
        pytest.param(polygon("[[[true, 2]]]"), "True stands where", id="truth as a number"),
        pytest.param(polygon("[[[null, 2]]]"), "None stands where", id="null as a number"),
        pytest.param(polygon("[[[1], [2], [3]]]"), "not two numbers", id="one number a corner"),
        pytest.param(polygon("[[[], [1, 2]]]"), "not two numbers", id="an empty corner"),
        pytest.param(polygon("[[1, 2], [3, 4]]"), "list of numbers", id="a ring as a polygon"),
        pytest.param(polygon("[[[[1, 2]]]]"), "not two numbers", id="a list too many"),
        pytest.param(polygon("null"), "list of numbers", id="no coordinates"),
        pytest.param(polygon('{"0": 1}'), "list of numbers", id="coordinates as an object"),
        pytest.param(polygon("[[[1, 2]]]"), "Shape 1", id="a ring of one corner"),
        pytest.param('{"type": "Feature", "properties": {}}', "no geometry", id="no geometry"),
        pytest.param('{"type": "Feature", "geometry": []}', "no object", id="a list as geometry"),
        pytest.param('{"type": "Feature", "geometry": 7}', "no object", id="a number as geometry"),
        pytest.param(
            '{"type": "Feature", "geometry": {"type": ["Point"]}}', "no kind", id="a type as a list"
        ),
        pytest.param(
            '{"type": "Feature", "geometry": {"type": "Circle"}}', "'Circle'", id="a circle"
        ),
        pytest.param(
            '{"type": "Feature", "geometry": null, "properties": [1]}', "properties", id="a list"
        ),
        pytest.param('{"type": "GeometryCollection"}', "no list of geometries", id="no members"),
        pytest.param(
            '{"type": "GeometryCollection", "geometries": [' * 50 + "]}" * 50,
            "nests more than 4",
            id="collections in collections",
        ),
        pytest.param(
            '{"type": "FeatureCollection", "features": {"0": null}}', "no list", id="an object"
        ),
        pytest.param(
            '{"type": "FeatureCollection", "features": [[]]}', "no object", id="a list as a feature"
        ),
        pytest.param('{"type": "' + "x" * 10_000 + '"}', "Its type is", id="a name without end"),
        pytest.param("7", "type is None", id="a number"),
        pytest.param('"Polygon"', "type is None", id="a word"),
    ],
)
def test_broken_and_hostile_texts_are_refused_in_one_line(tmp_path, text, match):
    path = tmp_path / "farm.geojson"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileError, match=match) as refusal:
        read(path)
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 500


def test_an_empty_list_of_corners_is_a_row_without_a_shape(tmp_path):
    path = tmp_path / "farm.geojson"
    path.write_text(polygon("[]"))
    assert only_row(read(path)).geometry is None
