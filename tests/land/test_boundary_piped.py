"""Boundaries that come through a pipe, one text at a time."""

import json
from typing import Any

import pytest
from shapely import MultiPolygon, Polygon

from geolayout.errors import BoundaryError, FileError, GeolayoutError
from geolayout.land.boundary.piped import piped_boundary

RING = [[10.0, 50.0], [10.01, 50.0], [10.01, 50.01], [10.0, 50.01], [10.0, 50.0]]
AREA: dict[str, Any] = {"type": "Polygon", "coordinates": [RING]}
GRID_RING = [[500000, 5540000], [500100, 5540000], [500100, 5540200], [500000, 5540000]]


def feature(geometry: object, **columns: object) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": columns}


def collection(*features: object) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": list(features)}


def read(text: object, **options: Any) -> Any:
    return piped_boundary(json.dumps(text), 3, **options)


@pytest.mark.parametrize(
    "text",
    [AREA, feature(AREA), collection(feature(AREA))],
    ids=["a bare geometry", "a feature", "a collection of one"],
)
def test_a_text_gives_its_area_as_drawn(text: object) -> None:
    assert read(text).geometry.equals(Polygon(RING))


def test_a_feature_without_a_name_is_called_by_its_number() -> None:
    assert read(feature(AREA)).name == "field 3"


def test_a_feature_is_called_by_its_name_column() -> None:
    assert read(feature(AREA, name="Pond Piece")).name == "Pond Piece"


def test_an_id_stands_among_the_columns() -> None:
    assert read(feature(AREA, crop="oats") | {"id": 7}).properties == {"id": "7", "crop": "oats"}


def test_a_column_called_id_goes_before_the_id() -> None:
    assert read(feature(AREA, id="mine") | {"id": 7}).properties == {"id": "mine"}


def test_a_closed_line_becomes_an_area_and_is_said() -> None:
    drawn = read(feature({"type": "LineString", "coordinates": RING}))
    assert isinstance(drawn.geometry, MultiPolygon)
    # Closed in a flat frame and turned back: not to the last bit.
    assert drawn.geometry.symmetric_difference(Polygon(RING)).area < 1e-12
    assert [finding.kind for finding in drawn.findings] == ["line"]


def test_a_ring_left_open_is_closed_and_said() -> None:
    drawn = read({"type": "Polygon", "coordinates": [RING[:-1]]})
    assert [finding.kind for finding in drawn.findings] == ["unclosed ring"]


def test_metres_are_read_where_their_system_is_stated() -> None:
    drawn = read({"type": "Polygon", "coordinates": [GRID_RING]}, crs="EPSG:25832")
    # 500,000 east is the central meridian of zone 32: 9 degrees (definition of UTM).
    west, south, _, north = drawn.geometry.bounds
    assert west == pytest.approx(9.0, abs=1e-9)
    # 200 m of some 111.2 km a degree of latitude.
    assert north - south == pytest.approx(200 / 111_200, rel=0.01)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        (collection(), FileError, "Feature 3 of the input holds 0 features"),
        (collection(feature(AREA), feature(AREA)), FileError, "holds 2 features"),
        (feature(None), BoundaryError, "has no shape"),
        (feature({"type": "Polygon", "coordinates": []}), BoundaryError, "has no shape"),
        (feature({"type": "LineString", "coordinates": RING[:4]}), BoundaryError, "m apart"),
        ({"type": "Polygon", "coordinates": [GRID_RING]}, BoundaryError, "--dst-crs EPSG:4326"),
        (
            {"type": "Polygon", "coordinates": [[[10, 95], [11, 95], [11, 96], [10, 95]]]},
            BoundaryError,
            "Put longitude first",
        ),
        ([1], FileError, "is not GeoJSON"),
    ],
    ids=[
        "a collection of none",
        "a collection of two",
        "a feature without a shape",
        "an empty shape",
        "a line that gapes",
        "metres without a system",
        "latitude first",
        "a list of numbers",
    ],
)
def test_refused_in_one_line(text: object, kind: type[GeolayoutError], words: str) -> None:
    with pytest.raises(kind) as caught:
        read(text)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_two_texts_in_one_are_refused() -> None:
    text = json.dumps(feature(AREA))
    with pytest.raises(FileError, match="holds 2 features"):
        piped_boundary(f"{text}\n{text}", 1)


def test_an_unknown_system_is_refused() -> None:
    with pytest.raises(FileError, match="is not a coordinate system"):
        read(feature(AREA), crs="nonsense")
