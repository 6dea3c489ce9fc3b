"""Files are right by the standards and by readers that did not write them."""

import itertools
import json

import geopandas as gpd
import numpy as np
import pyogrio
import pytest
import shapefile
import shapely
from geojson_pydantic import FeatureCollection
from pyproj import Geod
from sample_layouts import SAMPLES, paper_layout, sample_layout
from shapely.geometry import shape

from geolayout.handover.files.vector import (
    AREA_DECIMALS,
    LINE_DECIMALS,
    geojson_text,
    write_geojson,
    write_lines_shapefile,
)
from geolayout.handover.tables import (
    ground_table,
    guidance_table,
    on_wgs84,
    passes_table,
    rows_table,
    trees_table,
)

GEOD = Geod(ellps="WGS84")
LAYERS = {
    "ground": (ground_table, AREA_DECIMALS),
    "rows": (rows_table, LINE_DECIMALS),
    "trees": (trees_table, LINE_DECIMALS),
    "passes": (passes_table, LINE_DECIMALS),
}


def text_of(name, layer):
    make, decimals = LAYERS[layer]
    layout = sample_layout(name)
    return geojson_text(on_wgs84(make(layout), layout.field.frame), decimals)


def small_table(**columns):
    count = len(next(iter(columns.values())))
    points = shapely.points(np.arange(count) / 3, 50.0)
    return gpd.GeoDataFrame(columns, geometry=points, crs="EPSG:4326")


# RFC 7946, The GeoJSON Format, IETF 2016, sections 3 to 5 and 7


@pytest.mark.parametrize("layer", LAYERS)
@pytest.mark.parametrize("name", SAMPLES)
def test_every_layer_is_geojson_by_another_reader(name, layer):
    text = text_of(name, layer)
    collection = FeatureCollection.model_validate_json(text)
    assert "crs" not in json.loads(text)
    assert [feature.id for feature in collection.features] == list(
        range(1, len(collection.features) + 1)
    )


@pytest.mark.parametrize("name", SAMPLES)
def test_outer_rings_run_counter_clockwise_and_holes_clockwise(name):
    for feature in json.loads(text_of(name, "ground"))["features"]:
        for part in shapely.get_parts(shape(feature["geometry"])):
            assert part.is_valid
            assert part.exterior.is_ccw
            assert not any(hole.is_ccw for hole in part.interiors)


def test_bbox_is_west_south_east_north():
    data = json.loads(text_of("pond_piece", "rows"))
    xy = np.concatenate([np.array(f["geometry"]["coordinates"]) for f in data["features"]])
    assert data["bbox"] == [*xy.min(axis=0), *xy.max(axis=0)]


def test_an_empty_layer_is_a_collection_without_bbox():
    data = json.loads(text_of("pond_piece", "trees"))
    assert data == {"type": "FeatureCollection", "features": []}


@pytest.mark.parametrize(("layer", "decimals"), [(k, v[1]) for k, v in LAYERS.items()])
def test_coordinates_have_no_more_decimals_than_stated(layer, decimals):
    data = json.loads(text_of("crooked_hedge", layer))
    xy = np.concatenate([shapely.get_coordinates(shape(f["geometry"])) for f in data["features"]])
    assert np.array_equal(np.round(xy, decimals), xy)


def test_words_numbers_and_gaps_come_through():
    table = small_table(
        word=['ł "quoted" %s {} ü', "plain"],
        number=[1, 2],
        share=[0.25, float("nan")],
        yes=[True, False],
    )
    text = geojson_text(table, 7)
    found = [feature["properties"] for feature in json.loads(text)["features"]]
    assert found == [
        {"word": 'ł "quoted" %s {} ü', "number": 1, "share": 0.25, "yes": True},
        {"word": "plain", "number": 2, "share": None, "yes": False},
    ]
    assert "NaN" not in text


def test_a_table_in_metres_is_refused():
    table = ground_table(paper_layout())
    with pytest.raises(ValueError, match="GeoJSON on WGS 84"):
        geojson_text(table, 9)


def test_a_sliver_that_rounding_would_flatten_is_kept():
    sliver = shapely.Polygon([(10, 50), (10.01, 50), (10.01, 50 + 1e-11), (10, 50 + 1e-11)])
    table = gpd.GeoDataFrame({"a": [1]}, geometry=[sliver], crs="EPSG:4326")
    kept = shape(json.loads(geojson_text(table, 9))["features"][0]["geometry"])
    assert kept.is_valid
    assert not kept.is_empty


def test_files_are_utf_8_and_the_same_every_time(tmp_path):
    table = small_table(word=["Fläche"])
    for name in ("a", "b"):
        write_geojson(table, tmp_path / name, 9)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()
    assert "Fläche" in (tmp_path / "a").read_text(encoding="utf-8")


# What is measured in the files is what was laid


@pytest.mark.parametrize("name", SAMPLES)
def test_areas_measured_in_the_file_are_those_of_the_layout(name):
    layout = sample_layout(name)
    features = json.loads(text_of(name, "ground"))["features"]
    areas = [GEOD.geometry_area_perimeter(shape(f["geometry"]))[0] for f in features]
    assert sum(areas) == pytest.approx(layout.field.area, rel=1e-6)
    assert np.abs(areas - layout.ground.area).max() < 1e-6 * layout.field.area


@pytest.mark.parametrize("name", SAMPLES)
def test_pieces_in_the_file_leave_no_gap_and_do_not_overlap(name):
    shapes = np.array(
        [shape(f["geometry"]) for f in json.loads(text_of(name, "ground"))["features"]]
    )
    whole = shapely.union_all(shapes)
    assert abs(shapely.area(shapes).sum() / whole.area - 1) < 1e-6
    # Holes are those of the boundary; a gap between pieces would be one more, or less ground.
    drawn = sample_layout(name).field.boundary
    assert abs(whole.area / drawn.area - 1) < 1e-5  # edges in degrees bow a little
    assert len(shapely.get_rings(shapely.get_parts(whole))) == len(
        shapely.get_rings(shapely.get_parts(drawn))
    )


@pytest.mark.parametrize(
    ("name", "crop", "spacing"),
    [
        pytest.param("pond_piece", "maize", 0.75, id="maize at 0.75 m"),
        pytest.param("crooked_hedge", "barley", 0.125, id="barley at 0.125 m"),
    ],
)
def test_rows_in_the_file_are_their_spacing_apart_on_the_ellipsoid(name, crop, spacing):
    """From the middle of a row square to it, the next row of its band is one spacing away."""
    features = json.loads(text_of(name, "rows"))["features"]
    mine = [
        f for f in features if f["properties"]["crop"] == crop and f["properties"]["piece"] == 1
    ]
    pairs = [
        (a, b)
        for a, b in itertools.pairwise(mine)
        if a["properties"]["number"] == b["properties"]["number"]
    ]
    assert len(pairs) > 50
    for a, b in pairs[:: len(pairs) // 50]:
        assert geodesic_distance(middle(a), b) == pytest.approx(spacing, abs=0.001)


def middle(feature):
    xy = np.array(feature["geometry"]["coordinates"])
    return (xy[0] + xy[-1]) / 2 if len(xy) == 2 else xy[len(xy) // 2]


def geodesic_distance(point, feature):
    """Return the distance of a point from a line, by the azimuths of two geodesics."""
    xy = np.array(feature["geometry"]["coordinates"])
    near = int(np.argmin(np.hypot(*(xy[1:] + xy[:-1] - 2 * point).T)))
    a, b = xy[near], xy[near + 1]
    along, _, _ = GEOD.inv(*a, *b)
    towards, _, distance = GEOD.inv(*a, *point)
    return abs(distance * np.sin(np.radians(towards - along)))


# Shapefiles


@pytest.fixture
def lines(tmp_path):
    path = tmp_path / "plant.shp"
    write_lines_shapefile(guidance_table(paper_layout(), 0), path)
    return path


def test_guidance_has_exactly_the_columns_by_a_reader_without_gdal(lines):
    with shapefile.Reader(str(lines), encoding="utf-8") as reader:
        assert [field[0] for field in reader.fields if field[0] != "DeletionFlag"] == [
            *("NAME", "TYPE", "WIDTH_M", "SEQ", "BEYOND_M")
        ]
        assert reader.shapeTypeName == "POLYLINE"
        assert [len(one.points) for one in reader.shapes()] == [2] * 5
        assert list(reader.record(0)) == ["plant 1", "A-B", 6.0, 1, 0.0]


def test_guidance_reads_back_on_wgs_84_by_another_gdal(lines):
    table = pyogrio.read_dataframe(lines)
    assert table.crs.to_epsg() == 4326
    assert list(table["SEQ"]) == [1, 2, 3, 4, 5]


def test_a_shapefile_has_all_its_members_a_fixed_date_and_the_same_bytes(lines, tmp_path):
    again = tmp_path / "again"
    again.mkdir()
    write_lines_shapefile(guidance_table(paper_layout(), 0), again / "plant.shp")
    members = {path.suffix: path.read_bytes() for path in lines.parent.glob("plant.*")}
    assert set(members) == {".shp", ".shx", ".dbf", ".prj", ".cpg"}
    assert members == {path.suffix: path.read_bytes() for path in again.iterdir()}
    assert members[".dbf"][1:4] == bytes([100, 1, 1])  # years since 1900, month, day
    assert members[".cpg"] == b"UTF-8"
    assert members[".prj"].startswith(b'GEOGCS["GCS_WGS_1984"')
