"""Reading boundaries: which field is meant, and where on earth it lies (all files invented)."""

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from boundary_files import AWAY, HOME, feature, geojson, gpkg, kml, kml_polygon, ring, shp, zipped
from pyproj import Transformer
from shapely import LineString, MultiPolygon, Point, Polygon, box

from geolayout.errors import BoundaryError, FileError
from geolayout.land.field import make_field
from geolayout.land.readers import read_boundaries, read_boundary, read_shapes

pytest.importorskip("fiona")


def kinds(boundary):
    return [finding.kind for finding in boundary.findings]


def test_a_field_is_made_without_loading_a_gdal():
    code = (
        "import sys, geolayout.land.field, geolayout.land.readers;"
        "print({'fiona', 'pyogrio', 'rasterio', 'geopandas'} & set(sys.modules))"
    )
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "set()"


def test_rows_without_a_shape_are_counted(tmp_path):
    boundary = read_boundary(geojson(tmp_path, feature(None, {}), feature(HOME, {})))
    assert boundary.geometry.equals(HOME)
    assert boundary.findings[0].sentence == "1 of 2 rows of farm.geojson have no shape."


# Choosing one of several


def farm(folder):
    return geojson(
        folder,
        feature(HOME, {"name": "Home", "no": 7}, id="h1"),
        feature(AWAY, {"name": "Away", "no": 8.0}, id=2),
        feature(Point(10, 52), {"name": "Gate", "no": 9}),
    )


@pytest.mark.parametrize(
    ("choice", "name"),
    [
        pytest.param({"field_id": "h1"}, "Home", id="by its GeoJSON id"),
        pytest.param({"field_id": 2}, "Away", id="by a number"),
        pytest.param({"field_id": "Away"}, "Away", id="by its name"),
        pytest.param({"attribute": ("no", 7)}, "Home", id="by a column"),
        pytest.param({"attribute": ("NO", "8")}, "Away", id="by a column in another case"),
        pytest.param({"field_id": "h1", "attribute": ("no", 7)}, "Home", id="by both"),
    ],
)
def test_one_field_is_chosen(tmp_path, choice, name):
    boundary = read_boundary(farm(tmp_path), **choice)
    assert boundary.name == name
    assert boundary.properties["name"] == name


@pytest.mark.parametrize(
    ("choice", "error", "match"),
    [
        pytest.param({}, FileError, "choice of 2 fields; the first are: Home, Away", id="none"),
        pytest.param({"field_id": "h9"}, FileError, "answers to h9.*Home, Away", id="unknown id"),
        pytest.param({"attribute": ("size", 1)}, FileError, "name, no", id="unknown column"),
        pytest.param({"attribute": ("no", 1)}, FileError, "no = 1", id="unknown value"),
        pytest.param({"field_id": "Gate"}, BoundaryError, "only Point", id="a point"),
    ],
)
def test_a_choice_that_leaves_no_field_or_several_is_refused(tmp_path, choice, error, match):
    with pytest.raises(error, match=match):
        read_boundary(farm(tmp_path), **choice)


def test_two_rows_of_one_id_are_refused(tmp_path):
    rows = [feature(part, {"id": 5}) for part in (HOME, AWAY)]
    with pytest.raises(FileError, match="choice of 2"):
        read_boundary(geojson(tmp_path, *rows), field_id=5)


@pytest.mark.parametrize("field_id", ["2", 2, "Away"])
def test_a_row_number_or_a_name_chooses_in_a_geopackage(tmp_path, field_id):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME), ("Away", 5.0, AWAY)]})
    assert read_boundary(path, field_id=field_id).geometry.equals(AWAY)


def test_a_whole_number_kept_as_a_decimal_is_met(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME), ("Away", 5.0, AWAY)]})
    assert read_boundary(path, attribute=("no", "5")).name == "Away"


def test_a_layer_chooses_a_file_of_a_zip_or_a_layer_of_a_file(tmp_path):
    layers = {"fields": [("Home", 1.0, HOME)], "plots": [("Away", 1.0, AWAY)]}
    path = gpkg(tmp_path / "farm.gpkg", layers)
    assert read_boundary(path, layer="plots").name == "Away"
    home = geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    assert read_boundary(zipped(tmp_path, [home, away]), layer="away").geometry.equals(AWAY)


def test_all_fields_are_read_and_others_passed_over(tmp_path):
    boundaries = read_boundaries(farm(tmp_path))
    assert [boundary.name for boundary in boundaries] == ["Home", "Away"]
    assert kinds(boundaries[0]) == ["passed over"]


def test_fields_without_a_name_are_numbered(tmp_path):
    boundaries = read_boundaries(geojson(tmp_path, feature(HOME), feature(AWAY)))
    assert [boundary.name for boundary in boundaries] == ["farm 1", "farm 2"]


def test_a_file_of_an_open_line_is_no_boundary(tmp_path):
    path = geojson(tmp_path, feature(LineString([(10, 52), (10.1, 52), (10, 52.1)])))
    for read in (read_boundary, read_boundaries):
        with pytest.raises(BoundaryError, match=r"its ends .* m apart"):
            read(path)


def test_a_file_of_points_is_no_boundary(tmp_path):
    path = geojson(tmp_path, feature(Point(10, 52)))
    for read in (read_boundary, read_boundaries):
        with pytest.raises(BoundaryError, match="only Point"):
            read(path)


def test_a_closed_line_is_a_boundary(tmp_path):
    path = geojson(
        tmp_path, feature(LineString(HOME.exterior), {"name": "Home"}), feature(Point(10, 52))
    )
    boundary = read_boundary(path)
    assert shapely.equals_exact(boundary.geometry.normalize(), HOME.normalize(), 1e-9)
    assert boundary.name == "Home"
    assert kinds(boundary) == ["passed over", "line"]


def test_lines_of_several_rows_make_one_boundary(tmp_path):
    corners = list(HOME.exterior.coords)
    halves = [feature(LineString(corners[:3]), {"name": "a"}), feature(LineString(corners[2:]))]
    for boundary in (
        read_boundary(geojson(tmp_path, *halves)),
        *read_boundaries(geojson(tmp_path, *halves)),
    ):
        assert shapely.equals_exact(boundary.geometry.normalize(), HOME.normalize(), 1e-9)
        assert boundary.name == "farm"
        assert kinds(boundary) == ["joined lines", "line"]


def test_each_closed_line_of_many_is_a_field(tmp_path):
    rows = [
        feature(LineString(part.exterior), {"name": name})
        for part, name in ((HOME, "H"), (AWAY, "A"))
    ]
    boundaries = read_boundaries(geojson(tmp_path, *rows))
    assert [boundary.name for boundary in boundaries] == ["H", "A"]
    assert shapely.equals_exact(boundaries[1].geometry.normalize(), AWAY.normalize(), 1e-9)


# Shapes within the field

POND = box(10.001, 52.0003, 10.002, 52.0006)


def with_pond(folder):
    return geojson(folder, feature(HOME, {"name": "Home"}), feature(POND, {"name": "Pond"}))


@pytest.mark.parametrize("choice", [{}, {"field_id": "Home"}], ids=["by nothing", "by its name"])
def test_a_shape_within_the_field_is_asked_about_by_name(tmp_path, choice):
    with pytest.raises(BoundaryError, match=r"Within Home the file draws Pond \(0\.229 ha\)") as no:
        read_boundary(with_pond(tmp_path), **choice)
    assert 'inner = "hole"' in no.value.remedy
    assert 'inner = "field"' in no.value.remedy


@pytest.mark.parametrize("choice", [{}, {"field_id": "Home"}], ids=["by nothing", "by its name"])
def test_a_shape_within_the_field_is_cut_out_or_left_in_as_said(tmp_path, choice):
    cut = read_boundary(with_pond(tmp_path), inner="hole", **choice)
    assert cut.geometry.equals(HOME.difference(POND))
    assert kinds(cut) == ["shape within"]
    left = read_boundary(with_pond(tmp_path), inner="field", **choice)
    assert left.geometry.equals(HOME)
    assert kinds(left) == ["shape within"]
    assert left.findings[0].places[0] == pytest.approx((10.0015, 52.00045), abs=5e-4)


def test_the_inner_shape_itself_may_be_the_field(tmp_path):
    boundary = read_boundary(with_pond(tmp_path), field_id="Pond")
    assert boundary.geometry.equals(POND)
    assert boundary.findings == ()


def test_a_part_within_a_part_follows_the_same_word(tmp_path):
    path = geojson(tmp_path, feature(MultiPolygon([HOME, POND])))
    with pytest.raises(BoundaryError, match="overlap"):
        make_field(read_boundary(path).geometry)
    assert read_boundary(path, inner="hole").geometry.equals(HOME.difference(POND))
    assert read_boundary(path, inner="field").geometry.equals(HOME)


def test_a_shape_drawn_twice_is_taken_once(tmp_path):
    turned = Polygon(list(HOME.exterior.coords)[2:] + list(HOME.exterior.coords)[1:3])
    boundary = read_boundary(geojson(tmp_path, feature(HOME), feature(turned)))
    assert boundary.geometry.equals(HOME)
    assert kinds(boundary) == ["drawn twice"]


def test_of_many_fields_each_is_told_what_lies_within_it(tmp_path):
    rows = [(HOME, "Home"), (AWAY, "Away"), (POND, "Pond"), (AWAY, "Again")]
    path = geojson(tmp_path, *(feature(shape, {"name": name}) for shape, name in rows))
    found = {boundary.name: boundary.findings for boundary in read_boundaries(path)}
    assert {name: [f.kind for f in findings] for name, findings in found.items()} == {
        "Home": ["shape within"],
        "Away": [],
        "Pond": [],
        "Again": ["drawn twice"],
    }
    assert found["Home"][0].sentence == "Pond lies within Home; the ground counts in both."
    assert found["Again"][0].sentence == "Again draws the same ground as Away."
    assert all(findings[0].question for findings in found.values() if findings)


def test_shapes_of_any_kind_are_read_with_their_names(tmp_path):
    shapes = read_shapes(
        geojson(
            tmp_path,
            feature(Point(10, 52), {"Name": "pole"}),
            feature(None, {}),
            feature(LineString([(10, 52), (10.1, 52)]), {"name": ""}),
        )
    )
    assert [(name, shape.geom_type) for name, shape in shapes] == [
        ("pole", "Point"),
        ("", "LineString"),
    ]


def test_the_polygons_of_a_kml_multigeometry_are_taken(tmp_path):
    body = (
        "<Placemark><name>Home</name><MultiGeometry>"
        "<Point><coordinates>10,52,0</coordinates></Point>"
        f"{kml_polygon(HOME)}</MultiGeometry></Placemark>"
    )
    boundary = read_boundary(kml(tmp_path, body))
    assert boundary.name == "Home"
    field = make_field(boundary.geometry, findings=boundary.findings)
    assert field.boundary.equals(HOME)
    # The corners of the file are 35 m up.
    assert [finding.kind for finding in field.findings] == ["heights", "left out"]
    assert "35.0" in field.findings[0].sentence


def test_a_multi_part_field_is_read_as_one(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Both", 1.0, MultiPolygon([HOME, AWAY]))]})
    boundary = read_boundary(path)
    assert len(boundary.geometry.geoms) == 2
    assert isinstance(make_field(boundary.geometry).land, MultiPolygon)


def test_a_read_polygon_is_a_shapely_polygon(tmp_path):
    assert isinstance(read_boundary(geojson(tmp_path, feature(HOME, {}))).geometry, Polygon)


# Coordinate systems


def test_an_old_crs_member_is_followed_and_said(tmp_path):
    metres = box(500_000, 5_700_000, 500_200, 5_700_100)
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::25832"}}
    boundary = read_boundary(geojson(tmp_path, feature(metres, {}), crs=crs))
    # The central meridian of zone 32 is 9 east.
    assert shapely.bounds(boundary.geometry)[0] == pytest.approx(9.0, abs=1e-9)
    assert kinds(boundary) == ["coordinate system"]
    assert "UTM zone 32N" in boundary.findings[0].sentence


def test_geojson_in_metres_is_refused_until_its_system_is_said(tmp_path):
    path = geojson(tmp_path, feature(box(500_000, 5_700_000, 500_200, 5_700_100), {}))
    with pytest.raises(BoundaryError, match="looks like metres"):
        read_boundary(path)
    boundary = read_boundary(path, crs=25832)
    assert shapely.bounds(boundary.geometry)[0] == pytest.approx(9.0, abs=1e-9)
    assert kinds(boundary) == ["coordinate system"]


def test_a_shapefile_is_read_into_degrees(tmp_path):
    boundary = read_boundary(shp(tmp_path, [ring(500_000, 5_700_000, 100)]))
    assert boundary.name == "Home"
    assert shapely.bounds(boundary.geometry)[0] == pytest.approx(9.0, abs=1e-9)
    # UTM on its central meridian: 0.9996 squared of the ground (EPSG:16000, Transverse Mercator).
    assert make_field(boundary.geometry).area == pytest.approx(10_000 / 0.9996**2, abs=0.1)


@pytest.mark.parametrize(
    ("x", "y", "why"),
    [
        pytest.param(10.0, 52.0, "look like degrees", id="degrees"),
        pytest.param(500_000, 5_700_000, "metre or a foot", id="metres"),
    ],
)
def test_no_system_is_guessed(tmp_path, x, y, why):
    path = shp(tmp_path, [ring(x, y, 0.001)], epsg=None)
    with pytest.raises(FileError, match=why) as refusal:
        read_boundary(path)
    assert "states no coordinate system" in refusal.value.found


def test_a_shapefile_without_prj_is_read_once_its_system_is_said(tmp_path):
    path = shp(tmp_path, [ring(10.0, 52.0, 0.001)], epsg=None)
    boundary = read_boundary(path, crs="EPSG:4326")
    assert boundary.geometry.bounds == pytest.approx((10.0, 52.0, 10.001, 52.001))
    assert boundary.findings == ()


def test_feet_are_not_metres(tmp_path):
    # EPSG:2264, North Carolina in US survey feet of 0.3048006 m (EPSG, by its axis): 1000 ft is
    # 304.8006 m. 1000 ft squared is 92 903.4 m2; scale of the zone is within 2.5e-4.
    path = shp(tmp_path, [ring(2_000_000, 600_000, 1000)], epsg=2264)
    geometry = read_boundary(path).geometry
    assert make_field(geometry).area == pytest.approx(92_903.4, rel=5e-4)
    # 305 m of edge is short of the 500 m at which corners are added; 1000 would be over.
    assert len(geometry.exterior.coords) == 5


def test_a_long_straight_edge_stays_straight(tmp_path):
    # 3000 m of edge along an Albers parallel bow away from the geodesic between its ends.
    corners = [[x, y] for x, y in [(0, 0), (0, 100), (3000, 100), (3000, 0), (0, 0)]]
    x0, y0 = -600_000, 1_500_000
    path = shp(tmp_path, [[[x0 + x, y0 + y] for x, y in corners]], epsg=5070)
    geometry = read_boundary(path).geometry
    # 15 pieces of 200 m on each long side, 1 on each short: 32 edges, 33 corners.
    assert len(geometry.exterior.coords) == 33
    back = Transformer.from_crs(4326, 5070, always_xy=True)
    y = np.array(back.transform(*shapely.get_coordinates(geometry).T)[1]) - y0
    assert np.minimum(abs(y), abs(y - 100)).max() < 0.01


def test_edges_up_to_500_m_get_no_corner(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 499)])
    assert len(read_boundary(path).geometry.exterior.coords) == 5


def test_the_users_system_wins_and_is_said(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME)]}, epsg=4258)
    boundary = read_boundary(path, crs=4326)
    assert kinds(boundary) == ["coordinate system"]
    assert "ETRS89" in boundary.findings[0].sentence


def test_an_unknown_system_is_refused(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    with pytest.raises(FileError, match="not a coordinate system"):
        read_boundary(path, crs="EPSG:0")


def test_source_and_system_are_told(tmp_path):
    path = zipped(tmp_path, shp(tmp_path, [ring(500_000, 5_700_000, 100)]).parent.glob("farm.*"))
    boundary = read_boundary(path)
    assert boundary.source == "farm.zip, farm.shp"
    assert boundary.crs == "ETRS89 / UTM zone 32N (EPSG:25832)"
    assert boundary.plane_area == pytest.approx(10_000)


# Real fields


def real_fields():
    """Find the folder of open field data beside the repository."""
    named = os.environ.get("GEOLAYOUT_FIELDS")
    if named:
        return Path(named)
    for folder in Path(__file__).resolve().parents:
        if (folder / "shared" / "fields").is_dir():
            return folder / "shared" / "fields"
    return None


# Columns that declare an area, with square metres to their unit. That they do, and in which
# unit: page beside the data; its own check has all fields over 0.1 ha within 1 %.
DECLARED = {
    "be_flanders_2023.gpkg": ("GRAF_OPP", 1e4),
    "at_2025.gpkg": ("SL_FLAECHE_BRUTTO_HA", 1e4),
    "es_catalonia_2023.gpkg": ("ha", 1e4),
    "ch_geneva_2023.gpkg": ("flaeche_m2", 1.0),
    "nz_irrigated_2020.gpkg": ("area_ha", 1e4),
}


@pytest.fixture(scope="module")
def fields_folder():
    folder = real_fields()
    if folder is None or not folder.is_dir():
        pytest.skip("the open field data is not beside the repository")
    return folder


def check_real_field(boundary):
    field = make_field(boundary.geometry, name=boundary.name, findings=boundary.findings)
    assert field.land.is_valid
    assert field.boundary.is_valid
    # 1e-4 m2 is the rounding of the geodesic sum, seen on plots of a few square metres.
    assert field.land.area == pytest.approx(field.area, rel=1e-6, abs=1e-4)
    return field


@pytest.mark.parametrize("name", sorted(DECLARED))
def test_30_real_fields_measure_what_their_register_declares(fields_folder, name):
    column, unit = DECLARED[name]
    checked = 0
    for boundary in read_boundaries(fields_folder / name)[:30]:
        field = check_real_field(boundary)
        declared = boundary.properties[column]
        if declared and field.area > 1000.0:
            assert field.area == pytest.approx(declared * unit, rel=0.01)
            checked += 1
    assert checked >= 15


def test_the_42_awkward_fields_are_all_made_sound(fields_folder):
    boundaries = read_boundaries(fields_folder / "awkward.geojson")
    fields = [check_real_field(boundary) for boundary in boundaries]
    assert len(fields) == 42
    crossed = [f for f in fields if any(found.kind == "crossing" for found in f.findings)]
    assert len(crossed) == sum(not boundary.geometry.is_valid for boundary in boundaries)


def test_a_geojson_id_stands_among_the_columns(tmp_path):
    path = tmp_path / "home.geojson"
    ring = [[10.0, 52.0], [10.01, 52.0], [10.01, 52.01], [10.0, 52.0]]
    shape = {"type": "Polygon", "coordinates": [ring]}
    feature = {"type": "Feature", "id": 7, "properties": {"crop": "oats"}, "geometry": shape}
    path.write_text(json.dumps(feature))
    assert read_boundary(path).properties == {"id": "7", "crop": "oats"}
