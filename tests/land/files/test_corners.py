"""Corners in a text table: which lines make a ring, and what is asked (all invented)."""

import numpy as np
import pytest
from boundary_files import HOME
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import Polygon, box

from geolayout.errors import FileError
from geolayout.land.files.corners import read_corners
from geolayout.land.files.source import Source
from geolayout.land.readers import read_boundary

FIELD = "lon,lat\n10.0,52.0\n10.003,52.0\n10.003,52.001\n10.0,52.001\n"


def read(folder, text, name="farm.csv"):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_corners(Source(path), None)


def only_row(sheet):
    (row,) = sheet.rows
    return row


def kinds(sheet):
    return [finding.kind for finding in sheet.findings]


def test_corners_in_order_are_a_ring(tmp_path):
    sheet = read(tmp_path, FIELD)
    assert only_row(sheet).geometry.equals(HOME)
    assert sheet.crs.to_epsg() == 4326
    assert sheet.findings == ()


def test_a_last_corner_like_the_first_closes_the_ring_alone(tmp_path):
    sheet = read(tmp_path, FIELD + "10.0,52.0\n")
    assert only_row(sheet).geometry.equals(HOME)
    assert len(only_row(sheet).geometry.exterior.coords) == 5


def test_degrees_minutes_and_seconds_tell_the_system_of_x_and_y(tmp_path):
    text = (
        "y;x\n52°00'00\"N;10°00'00\"E\n52 00 00 N;10°00'10.8\"E\n"
        "52°00'03.6\"N;10.003 E\n52:00:03.6;10:00:00\n"
    )
    sheet = read(tmp_path, text)
    # 10.8 / 3600 = 0.003, 3.6 / 3600 = 0.001.
    assert np.allclose(only_row(sheet).geometry.bounds, HOME.bounds, atol=1e-12)
    assert sheet.crs.to_epsg() == 4326


@pytest.mark.parametrize("header", ["easting;northing", "x;y", "E;N", "Rechtswert;Hochwert"])
def test_metres_state_no_system(tmp_path, header):
    text = f"{header}\n500000,5;5700000\n500100,5;5700000\n500100,5;5700100\n500000,5;5700100\n"
    sheet = read(tmp_path, text)
    assert only_row(sheet).geometry.equals(box(500_000.5, 5_700_000, 500_100.5, 5_700_100))
    assert sheet.crs is None
    assert kinds(sheet) == ["decimal comma"]
    assert "'500000,5'" in sheet.findings[0].sentence


def test_a_table_of_metres_is_a_field_once_its_system_is_stated(tmp_path):
    path = tmp_path / "farm.txt"
    path.write_text("E N\n500000 5700000\n500100 5700000\n500100 5700100\n500000 5700100\n")
    with pytest.raises(FileError, match="no coordinate system"):
        read_boundary(path)
    assert read_boundary(path, crs="EPSG:25832").geometry.bounds[0] == pytest.approx(9.0)


# Fields and rings


def corners(*squares):
    """One line a corner: names of the field and the ring, then a square of side 1 at x."""
    lines = ["field,ring,x,y,crop"]
    for field, ring, x, crop in squares:
        for dx, dy in ((0, 0), (1, 0), (1, 1), (0, 1)):
            lines.append(f"{field},{ring},{x + dx},{dy},{crop}")
    return "\n".join(lines)


def test_a_column_parts_the_lines_into_fields(tmp_path):
    sheet = read(tmp_path, corners(("home", "", 0, "rye"), ("away", "", 5, "oats")))
    first, second = sheet.rows
    assert first.geometry.equals(box(0, 0, 1, 1))
    assert second.geometry.equals(box(5, 0, 6, 1))
    assert (first.given_id, second.given_id) == ("home", "away")
    # "ring" is empty on every line, and so says the same on all.
    assert first.properties == {"field": "home", "ring": "", "crop": "rye"}


def test_a_column_parts_a_field_into_rings(tmp_path):
    row = only_row(read(tmp_path, corners(("home", 1, 0, "rye"), ("home", 2, 5, "oats"))))
    assert row.geometry.geom_type == "MultiPolygon"
    assert row.geometry.area == 2
    assert row.properties == {"field": "home"}


def test_rings_may_be_numbered_from_one_again_in_each_field(tmp_path):
    text = corners(("home", 1, 0, "a"), ("home", 2, 3, "a"), ("away", 1, 6, "b"))
    assert [row.geometry.area for row in read(tmp_path, text).rows] == [2, 1]


@pytest.mark.parametrize("column", ["id", "name", "no"])
def test_a_column_of_names_parts_fields_only_if_a_name_comes_twice(tmp_path, column):
    square = ["0,0", "1,0", "1,1", "0,1"]
    numbered = [f"{i},{corner}" for i, corner in enumerate(square, start=1)]
    assert len(read(tmp_path, "\n".join([f"{column},x,y", *numbered])).rows) == 1
    named = [f"{name},{corner}" for name in "ab" for corner in square]
    assert len(read(tmp_path, "\n".join([f"{column},x,y", *named])).rows) == 2


def test_the_number_of_a_corner_that_does_not_rise_is_asked_about(tmp_path):
    text = "point,x,y\n1,0,0\n3,1,1\n2,1,0\n4,0,1\n"
    sheet = read(tmp_path, text)
    assert only_row(sheet).geometry.equals_exact(Polygon([(0, 0), (1, 1), (1, 0), (0, 1)]), 0)
    (finding,) = sheet.findings
    assert finding.kind == "corner order"
    assert "line 4" in finding.sentence
    assert finding.question.endswith("?")


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("point,x,y\n1,0,0\n2,1,0\n5,1,1\n7,0,1\n", id="numbers left out"),
        pytest.param("point,x,y\n1,0,0\n2,1,0\n3,1,1\n1,0,0\n", id="back to the first"),
        pytest.param("point,x,y\na,0,0\nb,1,0\na,1,1\nc,0,1\n", id="letters"),
    ],
)
def test_other_numbers_of_corners_need_no_word(tmp_path, text):
    assert read(tmp_path, text).findings == ()


def test_shapes_as_text_keep_their_holes(tmp_path):
    text = 'name,wkt\nHome,"POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0), (2 2, 4 2, 4 4, 2 4, 2 2))"\n'
    row = only_row(read(tmp_path, text))
    # 9 x 9 less 2 x 2.
    assert row.geometry.area == 77
    assert row.label("") == "Home"


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param("lon,lat\n", "columns but no lines", id="a header alone"),
        pytest.param("10,52\n10.1,52\n10.1,52.1\n", "names no columns", id="no header"),
        pytest.param("lon,lat\n1,2\n3,4\n", "2 corners", id="two corners"),
        pytest.param("lon,lat\n1,2\n1,2\n1,2\n", "1 corners", id="one corner thrice"),
        pytest.param("lon,lat\n1,2\n2,2\n2,\n", "'lat' in line 4 .* is empty", id="a cell empty"),
        pytest.param("lon,lat\n1,2\n2,2\n2,x\n", "'lat' in line 4 .* no number", id="a letter"),
        pytest.param("lon,lat\n1,2\n2,2\n2 N,3\n", "no longitude", id="north as a longitude"),
        pytest.param("x,y\n1,2\n2,2\n52 N,3\n", "no longitude", id="x and y the other way"),
        pytest.param("E;N\n1;2\n2°N;2\n2;3\n", "no number", id="degrees as an easting"),
        pytest.param("x;y\n1,5;2.5\n2;2\n2;3\n", "part thousands", id="both decimal signs"),
        pytest.param("x;y\n5.7E+06;2\n2;2\n2;3\n", "last digits", id="a power of ten"),
        pytest.param("x,y\n0,0\n1,0\n1,1\n\n5,0\n6,0\n6,1\n", "Line 5 .* empty", id="a gap"),
        pytest.param(
            corners(("a", 1, 0, ""), ("b", 1, 3, ""), ("a", 2, 6, "")),
            "Line 10 .* goes on with 'a'",
            id="a field that goes on after another",
        ),
        pytest.param(
            corners(("a", 1, 0, ""), ("a", 2, 3, ""), ("a", 1, 6, "")),
            "Line 10 .* goes on with 'a 1'",
            id="a ring that goes on after another",
        ),
        pytest.param("name,x,y\nelm,0,0\nelm,1,0\noak,1,1\noak,0,1\n", "of 'elm'", id="marks"),
    ],
)
def test_a_table_that_leaves_a_doubt_is_refused(tmp_path, text, match):
    with pytest.raises(FileError, match=match) as refusal:
        read(tmp_path, text)
    assert "\n" not in str(refusal.value)


def test_a_gap_means_nothing_where_a_column_numbers_the_rings(tmp_path):
    text = corners(("a", 1, 0, "x"), ("a", 2, 3, "x")).replace("\na,2", "\n\na,2", 1)
    assert only_row(read(tmp_path, text)).geometry.area == 2


def test_another_layer_is_refused(tmp_path):
    path = tmp_path / "farm.csv"
    path.write_text(FIELD)
    with pytest.raises(FileError, match="no layers of other names"):
        read_corners(Source(path), "fields")


@given(st.text(alphabet="0123456789.,;:-+eENSWx°'\"\n\t lonat#", max_size=60))
@example('",0')
@example("1 2\n1,2")
def test_any_text_after_a_header_is_a_field_or_a_refusal(tmp_path_factory, text):
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_text("lon,lat\n" + text, encoding="utf-8")
    try:
        sheet = read_corners(Source(path), None)
    except FileError as error:
        said = str(error)
    else:
        said = ""
        assert all(np.isfinite(row.geometry.bounds).all() for row in sheet.rows)
    assert "\n" not in said
    assert len(said) < 600
