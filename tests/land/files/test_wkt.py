"""Well-known text in a column (all invented)."""

import pytest
import shapely
from pyproj import CRS
from shapely import GeometryCollection, Point, box

from geolayout.errors import FileError
from geolayout.land.files.table import Line, Table
from geolayout.land.files.wkt import read_wkt

HOLED = "POLYGON ((0 0, 10 0, 10 10, 0 10, 0 0), (2 2, 4 2, 4 4, 2 4, 2 2))"


def read(*texts):
    lines = tuple(Line(i, (f"no {i}", text)) for i, text in enumerate(texts, start=2))
    return read_wkt(Table(("name", "wkt"), lines, ()), 1, "farm.csv")


def test_shapes_keep_their_holes_and_columns():
    (row,), crs, said = read(HOLED)
    # 10 x 10 less 2 x 2.
    assert row.geometry.area == 96
    assert row.properties == {"name": "no 2"}
    assert (crs, said) == (None, ())


@pytest.mark.parametrize(
    ("text", "shape"),
    [
        pytest.param("POINT Z (1 2 3)", Point(1, 2), id="a height"),
        pytest.param("point(1 2)", Point(1, 2), id="small letters"),
        pytest.param("POINTZ(1e-1 2 3)", Point(0.1, 2), id="one word"),
        pytest.param("MULTIPOLYGON (((0 0, 1 0, 1 1, 0 1, 0 0)))", box(0, 0, 1, 1), id="parts"),
        pytest.param(
            "GEOMETRYCOLLECTION (POINT (1 2))", GeometryCollection([Point(1, 2)]), id="collection"
        ),
    ],
)
def test_any_kind_of_shape_is_read(text, shape):
    assert shapely.force_2d(read(text)[0][0].geometry).equals(shape)


def test_empty_texts_are_rows_without_a_shape():
    rows, _, _ = read("", "POLYGON EMPTY", HOLED)
    assert [row.geometry is None for row in rows] == [True, True, False]


def test_an_open_ring_is_closed_and_said():
    (row,), _, said = read("POLYGON ((0 0, 10 0, 10 10, 0 10))")
    assert row.geometry.area == 100
    assert [finding.kind for finding in said] == ["unclosed ring"]


def test_an_srid_is_the_system():
    rows, crs, _ = read(f"SRID=25832;{HOLED}", f"srid = 25832 ; {HOLED}")
    assert crs == CRS.from_epsg(25832)
    assert rows[1].geometry.area == 96


@pytest.mark.parametrize(
    "texts",
    [
        pytest.param((f"SRID=25832;{HOLED}", f"SRID=25833;{HOLED}"), id="two systems"),
        pytest.param((f"SRID=25832;{HOLED}", HOLED), id="one line without"),
        pytest.param((f"SRID=999998;{HOLED}",), id="an unknown system"),
    ],
)
def test_srids_that_state_no_one_system_are_refused(texts):
    with pytest.raises(FileError, match="by SRID"):
        read(*texts)


@pytest.mark.parametrize(
    "text",
    [
        "hedge",
        "POLYGON ((0 0, 10 0, 10 x",
        "POLYGON ((0 0, 10 0, 10 10, 0 0)",
        "POINT (nan 2)",
        "POINT (1e999 2)",
        "CURVEPOLYGON (CIRCULARSTRING (0 0, 1 0, 1 1, 0 0, 3 3))",
        "GEOMETRYCOLLECTION(" * 100_000,
        "POLYGON" + "(" * 100_000,
        "POLYGON ((" + "1 2, " * 100_000,
    ],
    ids=[
        "a word",
        "a letter for a number",
        "a bracket missing",
        "not a number",
        "a number without end",
        "curves",
        "nested collections",
        "brackets without end",
        "half an outline",
    ],
)
def test_what_is_no_shape_is_refused_with_its_line(text):
    with pytest.raises(FileError, match=r"^Line 2 of farm\.csv holds no shape") as refusal:
        read(text)
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 400
