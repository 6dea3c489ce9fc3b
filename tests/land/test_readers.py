"""Reading boundaries, each trap of the formats with a file of its own (all invented)."""

import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import shapefile
import shapely
from pyproj import CRS, Transformer
from shapely import LineString, MultiPolygon, Point, Polygon, box

from geolayout.errors import BoundaryError, FileError
from geolayout.land.field import make_field
from geolayout.land.readers import read_boundaries, read_boundary, read_shapes

fiona = pytest.importorskip("fiona")

HOME = box(10.0, 52.0, 10.003, 52.001)
AWAY = box(10.01, 52.0, 10.013, 52.001)


def feature(geometry, properties=None, **members):
    shape = None if geometry is None else shapely.geometry.mapping(geometry)
    return {"type": "Feature", "geometry": shape, "properties": properties, **members}


def geojson(folder, *features, name="farm.geojson", **members):
    path = folder / name
    data = {"type": "FeatureCollection", "features": list(features), **members}
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def shp(folder, rings, name="farm", epsg=25832, text="Home", encoding="utf-8"):
    """Write a shapefile as a plain writer does, without a .cpg."""
    with shapefile.Writer(str(folder / name), shapeType=5, encoding=encoding) as writer:
        writer.field("NAME", "C", 40)
        writer.poly(rings)
        writer.record(text)
    (folder / f"{name}.cpg").unlink(missing_ok=True)
    if epsg:
        (folder / f"{name}.prj").write_text(CRS.from_epsg(epsg).to_wkt("WKT1_ESRI"))
    return folder / f"{name}.shp"


def gpkg(path, layers, epsg=4326):
    for layer, rows in layers.items():
        schema = {"geometry": "Unknown", "properties": {"name": "str", "no": "float"}}
        with fiona.open(
            path, "w", driver="GPKG", layer=layer, schema=schema, crs=f"EPSG:{epsg}"
        ) as out:
            for name, number, geometry in rows:
                shape = None if geometry is None else shapely.geometry.mapping(geometry)
                out.write({"geometry": shape, "properties": {"name": name, "no": number}})
    return path


def kml(folder, body, name="farm.kml"):
    path = folder / name
    path.write_text(
        '<?xml version="1.0" encoding="UTF-8"?>'
        f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{body}</Document></kml>',
        encoding="utf-8",
    )
    return path


def kml_polygon(polygon):
    corners = " ".join(f"{x},{y},35" for x, y in polygon.exterior.coords)
    return (
        "<Polygon><outerBoundaryIs><LinearRing><coordinates>"
        f"{corners}</coordinates></LinearRing></outerBoundaryIs></Polygon>"
    )


def ring(x, y, side, *, clockwise=True):
    corners = [[x, y], [x, y + side], [x + side, y + side], [x + side, y], [x, y]]
    return corners if clockwise else corners[::-1]


def kinds(boundary):
    return [finding.kind for finding in boundary.findings]


# GeoJSON


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
    boundary = read_boundary(path)
    assert boundary.geometry.equals(HOME)
    assert boundary.name == "home"
    assert boundary.findings == ()


def test_heights_of_some_corners_are_left_behind(tmp_path):
    data = feature(HOME, {})
    data["geometry"]["coordinates"] = [
        [[10, 52, 30], [10.003, 52], [10.003, 52.001, 31], [10, 52.001], [10, 52]]
    ]
    boundary = read_boundary(geojson(tmp_path, data))
    assert boundary.geometry.equals(HOME)
    assert not boundary.geometry.has_z


def test_an_unclosed_ring_is_closed_and_said(tmp_path):
    data = feature(HOME, {})
    data["geometry"]["coordinates"] = [[list(corner) for corner in HOME.exterior.coords][:-1]]
    boundary = read_boundary(geojson(tmp_path, data))
    assert boundary.geometry.equals(HOME)
    assert kinds(boundary) == ["unclosed ring"]


def test_rows_without_a_shape_are_counted(tmp_path):
    boundary = read_boundary(geojson(tmp_path, feature(None, {}), feature(HOME, {})))
    assert boundary.geometry.equals(HOME)
    assert boundary.findings[0].sentence == "1 of 2 rows of farm.geojson have no shape."


def test_an_old_crs_member_is_followed_and_said(tmp_path):
    metres = box(500_000, 5_700_000, 500_200, 5_700_100)
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::25832"}}
    boundary = read_boundary(geojson(tmp_path, feature(metres, {}), crs=crs))
    # The central meridian of zone 32 is 9 east.
    assert shapely.bounds(boundary.geometry)[0] == pytest.approx(9.0, abs=1e-9)
    assert kinds(boundary) == ["coordinate system"]
    assert "UTM zone 32N" in boundary.findings[0].sentence


@pytest.mark.parametrize("name", ["urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326"])
def test_an_old_crs_member_for_degrees_needs_no_word(tmp_path, name):
    crs = {"type": "name", "properties": {"name": name}}
    boundary = read_boundary(geojson(tmp_path, feature(HOME, {}), crs=crs))
    assert boundary.geometry.equals(HOME)
    assert boundary.findings == ()


def test_geojson_in_metres_is_refused_until_its_system_is_said(tmp_path):
    path = geojson(tmp_path, feature(box(500_000, 5_700_000, 500_200, 5_700_100), {}))
    with pytest.raises(BoundaryError, match="looks like metres"):
        read_boundary(path)
    boundary = read_boundary(path, crs=25832)
    assert shapely.bounds(boundary.geometry)[0] == pytest.approx(9.0, abs=1e-9)
    assert kinds(boundary) == ["coordinate system"]


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
        read_boundary(path)
    assert "Traceback" not in str(refusal.value)


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


def test_all_fields_are_read_and_others_passed_over(tmp_path):
    boundaries = read_boundaries(farm(tmp_path))
    assert [boundary.name for boundary in boundaries] == ["Home", "Away"]
    assert kinds(boundaries[0]) == ["passed over"]


def test_fields_without_a_name_are_numbered(tmp_path):
    boundaries = read_boundaries(geojson(tmp_path, feature(HOME), feature(AWAY)))
    assert [boundary.name for boundary in boundaries] == ["farm 1", "farm 2"]


def test_a_file_of_lines_is_no_boundary(tmp_path):
    path = geojson(tmp_path, feature(LineString([(10, 52), (10.1, 52), (10, 52)])))
    for read in (read_boundary, read_boundaries):
        with pytest.raises(BoundaryError, match="only LineString"):
            read(path)


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


# Shapefiles


def test_a_shapefile_is_read_into_degrees(tmp_path):
    boundary = read_boundary(shp(tmp_path, [ring(500_000, 5_700_000, 100)]))
    assert boundary.name == "Home"
    assert shapely.bounds(boundary.geometry)[0] == pytest.approx(9.0, abs=1e-9)
    # UTM on its central meridian: 0.9996 squared of the ground (EPSG:16000, Transverse Mercator).
    assert make_field(boundary.geometry).area == pytest.approx(10_000 / 0.9996**2, abs=0.1)


def test_a_hole_with_the_wrong_winding_is_still_a_hole(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100), ring(500_010, 5_700_010, 10)])
    boundary = read_boundary(path)
    # 100 x 100 less 10 x 10, see above.
    assert make_field(boundary.geometry).area == pytest.approx(9900 / 0.9996**2, abs=0.1)


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252"])
def test_text_without_a_cpg_is_read_as_utf_8_if_it_is(tmp_path, encoding):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)], text="Fläche", encoding=encoding)
    assert read_boundary(path).name == "Fläche"


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


def test_upper_case_names_are_one_shapefile(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    for file in list(tmp_path.iterdir()):
        file.rename(file.with_suffix(file.suffix.upper()))
    assert read_boundary(path.with_suffix(".SHP")).name == "Home"


def test_a_missing_shx_is_named(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    path.with_suffix(".shx").unlink()
    with pytest.raises(FileError, match=r"without its \.shx"):
        read_boundary(path)


def test_a_missing_dbf_leaves_the_shape(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    path.with_suffix(".dbf").unlink()
    assert read_boundary(path).name == "farm"


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


# Archives


def zipped(folder, files, inside="", name="farm.zip"):
    path = folder / name
    with zipfile.ZipFile(path, "w") as archive:
        for file in files:
            archive.write(file, f"{inside}{file.name}")
    return path


@pytest.mark.parametrize("inside", ["", "export/2026/"])
@pytest.mark.parametrize("name", ["farm.zip", "farm.shp.zip", "Farm of 2026.ZIP"])
def test_a_zipped_shapefile_is_found(tmp_path, inside, name):
    folder = tmp_path / "loose"
    folder.mkdir()
    shp(folder, [ring(500_000, 5_700_000, 100)], text="Fläche")
    path = zipped(tmp_path, sorted(folder.iterdir()), inside, name)
    assert read_boundary(path).name == "Fläche"


def test_what_a_packing_program_adds_is_passed_over(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    archive = zipped(tmp_path, [path])
    with zipfile.ZipFile(archive, "a") as extra:
        extra.writestr("__MACOSX/._farm.geojson", b"\x00")
        extra.writestr("empty/", b"")
    assert read_boundary(archive).geometry.equals(HOME)


def test_two_files_in_a_zip_need_a_choice(tmp_path):
    home = geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    archive = zipped(tmp_path, [home, away])
    with pytest.raises(FileError, match=r"2 files.*home\.geojson, away\.geojson"):
        read_boundary(archive)
    assert read_boundary(archive, layer="away").geometry.equals(AWAY)


def test_a_kmz_is_an_archive_of_a_kml(tmp_path):
    doc = kml(tmp_path, f"<Placemark>{kml_polygon(HOME)}</Placemark>", name="doc.kml")
    assert read_boundary(zipped(tmp_path, [doc], name="home.kmz")).geometry.equals(HOME)


@pytest.mark.parametrize(
    ("name", "content", "match"),
    [
        pytest.param("farm.zip", b"PK no zip", "not a whole zip", id="a torn zip"),
        pytest.param("farm.docx", b"", "not read here", id="another kind of file"),
        pytest.param("farm.gpkg", b"SQLite or not", "cannot be read", id="a torn GeoPackage"),
        pytest.param("farm.kml", b"<kml", "cannot be read|no shapes", id="a torn KML"),
        pytest.param("farm.geojson", b"\xff\xfe", "breaks off", id="not UTF-8"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused(tmp_path, name, content, match):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(FileError, match=match):
        read_boundary(path)


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path):
    with pytest.raises(FileError, match="is not there"):
        read_boundary(tmp_path / "none.gpkg")
    with pytest.raises(FileError, match="is a folder"):
        read_boundary(tmp_path)


def test_an_archive_without_shapes_is_refused(tmp_path):
    (tmp_path / "read.me").write_text("nothing")
    with pytest.raises(FileError, match="holds 0 files"):
        read_boundary(zipped(tmp_path, [tmp_path / "read.me"]))


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads all")
def test_a_file_that_is_not_ours_to_read_is_refused(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    path.chmod(0)
    with pytest.raises(FileError, match="cannot be opened"):
        read_boundary(path)


# GeoPackage


def test_a_geopackage_is_read_with_null_shapes_counted(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME), ("none", 2.0, None)]})
    boundary = read_boundary(path)
    assert boundary.geometry.equals(HOME)
    assert boundary.name == "Home"
    assert kinds(boundary) == ["no shape"]


@pytest.mark.parametrize("field_id", ["2", 2, "Away"])
def test_a_row_number_or_a_name_chooses_in_a_geopackage(tmp_path, field_id):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME), ("Away", 5.0, AWAY)]})
    assert read_boundary(path, field_id=field_id).geometry.equals(AWAY)


def test_a_whole_number_kept_as_a_decimal_is_met(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME), ("Away", 5.0, AWAY)]})
    assert read_boundary(path, attribute=("no", "5")).name == "Away"


def test_several_layers_need_a_choice(tmp_path):
    layers = {"fields": [("Home", 1.0, HOME)], "plots": [("Away", 1.0, AWAY)]}
    path = gpkg(tmp_path / "farm.gpkg", layers)
    with pytest.raises(FileError, match="2 layers: fields, plots"):
        read_boundary(path)
    with pytest.raises(FileError, match="None is called 'field'"):
        read_boundary(path, layer="field")
    assert read_boundary(path, layer="plots").geometry.equals(AWAY)


def test_a_layer_without_rows_is_no_choice(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"fields": [("Home", 1.0, HOME)], "empty": []})
    assert read_boundary(path).geometry.equals(HOME)


@pytest.mark.parametrize(
    "number", [pytest.param(0, id="undefined degrees"), pytest.param(-1, id="undefined metres")]
)
def test_an_undefined_system_is_none(tmp_path, number):
    # OGC 12-128 keeps system 0 and system -1 for geometries whose system is not known.
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME)]})
    with closing(sqlite3.connect(path)) as database:
        for table in ("gpkg_contents", "gpkg_geometry_columns"):
            database.execute(f"update {table} set srs_id = ?", (number,))  # noqa: S608
        database.commit()
    with pytest.raises(FileError, match="states no coordinate system"):
        read_boundary(path)


def test_the_users_system_wins_and_is_said(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME)]}, epsg=4258)
    boundary = read_boundary(path, crs=4326)
    assert kinds(boundary) == ["coordinate system"]
    assert "ETRS89" in boundary.findings[0].sentence


def test_an_unknown_system_is_refused(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    with pytest.raises(FileError, match="not a coordinate system"):
        read_boundary(path, crs="EPSG:0")


# KML


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
    assert [finding.kind for finding in field.findings] == ["left out"]


def test_folders_of_a_kml_are_layers(tmp_path):
    folders = "".join(
        f"<Folder><name>{name}</name><Placemark>{kml_polygon(part)}</Placemark></Folder>"
        for name, part in (("north", HOME), ("south", AWAY))
    )
    path = kml(tmp_path, folders)
    with pytest.raises(FileError, match="2 layers: north, south"):
        read_boundary(path)
    assert read_boundary(path, layer="south").geometry.equals(AWAY)


def test_a_kml_that_only_links_says_so(tmp_path):
    link = "<NetworkLink><Link><href>farm2.kml</href></Link></NetworkLink>"
    with pytest.raises(FileError, match="only link"):
        read_boundary(kml(tmp_path, link))


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


@pytest.mark.every_field
def test_every_real_field_is_made_sound(fields_folder):
    count = 0
    for path in sorted(fields_folder.glob("*_20[0-9][0-9].*")):
        count += sum(bool(check_real_field(boundary)) for boundary in read_boundaries(path))
    assert count > 3700


def test_a_multi_part_field_is_read_as_one(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Both", 1.0, MultiPolygon([HOME, AWAY]))]})
    boundary = read_boundary(path)
    assert len(boundary.geometry.geoms) == 2
    assert isinstance(make_field(boundary.geometry).land, MultiPolygon)


def test_a_read_polygon_is_a_shapely_polygon(tmp_path):
    assert isinstance(read_boundary(geojson(tmp_path, feature(HOME, {}))).geometry, Polygon)
