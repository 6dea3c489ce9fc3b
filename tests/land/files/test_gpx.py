"""GPX tracks, routes and waypoints (all invented)."""

import pytest
import shapely

from geolayout.errors import FileError
from geolayout.land.files.gpx import read_gpx
from geolayout.land.files.source import Source

SQUARE = [(10.0, 52.0), (10.003, 52.0), (10.003, 52.001), (10.0, 52.001), (10.0, 52.0)]


def points(tag, corners):
    inside = "<ele>35.1</ele><time>2026-05-01T08:00:00Z</time>"
    return "".join(f'<{tag} lat="{lat}" lon="{lon}">{inside}</{tag}>' for lon, lat in corners)


def track(*pieces, name="Home"):
    segments = "".join(f"<trkseg>{points('trkpt', piece)}</trkseg>" for piece in pieces)
    return f"<trk><name>{name}</name>{segments}</trk>"


def route(corners, name="Edge"):
    return f"<rte><name>{name}</name>{points('rtept', corners)}</rte>"


def gpx(folder, body, version="1/1"):
    path = folder / "farm.gpx"
    space = f'xmlns="http://www.topografix.com/GPX/{version}"' if version else ""
    path.write_text(f'<?xml version="1.0"?><gpx {space} version="1.1">{body}</gpx>', "utf-8")
    return Source(path)


@pytest.mark.parametrize("version", ["1/1", "1/0", ""])
def test_a_track_is_a_flat_line(tmp_path, version):
    sheet = read_gpx(gpx(tmp_path, track(SQUARE), version))
    (row,) = sheet.rows
    assert row.geometry.equals_exact(shapely.LineString(SQUARE))
    assert row.properties == {"name": "Home", "kind": "track"}
    assert sheet.crs.to_epsg() == 4326
    assert sheet.findings == ()


def test_a_track_of_several_pieces_is_several_lines(tmp_path):
    (row,) = read_gpx(gpx(tmp_path, track(SQUARE[:3], SQUARE[2:], [SQUARE[0]], []))).rows
    assert row.geometry.equals_exact(shapely.MultiLineString([SQUARE[:3], SQUARE[2:]]))


def test_several_tracks_are_several_rows(tmp_path):
    rows = read_gpx(gpx(tmp_path, track(SQUARE) + track(SQUARE, name="Away"))).rows
    assert [row.label("") for row in rows] == ["Home", "Away"]


def test_tracks_go_before_routes_and_the_rest_is_said(tmp_path):
    body = points("wpt", SQUARE[:2]) + route(SQUARE) + track(SQUARE)
    sheet = read_gpx(gpx(tmp_path, body))
    assert [row.properties["kind"] for row in sheet.rows] == ["track", "waypoint", "waypoint"]
    said = " ".join(finding.sentence for finding in sheet.findings)
    assert "1 routes beside its tracks" in said
    assert "2 waypoints" in said


def test_routes_are_read_where_there_is_no_track(tmp_path):
    (row,) = read_gpx(gpx(tmp_path, route(SQUARE))).rows
    assert row.properties == {"name": "Edge", "kind": "route"}
    assert row.geometry.equals_exact(shapely.LineString(SQUARE))


@pytest.mark.parametrize(
    ("layer", "kinds"),
    [("tracks", ["track"]), ("routes", ["route"]), ("waypoints", ["waypoint"]), ("farm", None)],
)
def test_a_layer_is_one_kind(tmp_path, layer, kinds):
    body = points("wpt", SQUARE[:1]) + route(SQUARE) + track(SQUARE)
    rows = read_gpx(gpx(tmp_path, body), layer).rows
    assert [row.properties["kind"] for row in rows] == (kinds or ["track", "waypoint"])


def test_waypoints_alone_are_points(tmp_path):
    rows = read_gpx(gpx(tmp_path, points("wpt", SQUARE[:2]))).rows
    assert [row.geometry.coords[0] for row in rows] == SQUARE[:2]


def test_a_track_of_one_point_is_a_row_without_shape(tmp_path):
    first, second = read_gpx(gpx(tmp_path, track(SQUARE[:1]) + track(SQUARE))).rows
    assert first.geometry is None
    assert second.geometry is not None


@pytest.mark.parametrize(
    ("body", "layer", "match"),
    [
        pytest.param("", None, "no track, route or waypoint", id="nothing in it"),
        pytest.param(track(SQUARE), "waypoints", "no track, route", id="nothing of that layer"),
        pytest.param(track(SQUARE), "hedges", "no layer 'hedges'", id="no such layer"),
        pytest.param('<wpt lat="52"/>', None, "lat='52', lon=none", id="half a place"),
        pytest.param('<wpt lat="52,5" lon="10"/>', None, "lat='52,5'", id="a decimal comma"),
        pytest.param("<trk>", None, "not whole", id="a text that breaks off"),
    ],
)
def test_a_file_without_lines_is_refused(tmp_path, body, layer, match):
    with pytest.raises(FileError, match=match):
        read_gpx(gpx(tmp_path, body), layer)
