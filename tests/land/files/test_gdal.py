"""Files, zips and layers, each trap of the formats with a file of its own (all invented)."""

import os
import sqlite3
import zipfile
from contextlib import closing

import pytest
from boundary_files import AWAY, HOME, feature, geojson, gpkg, kml, kml_polygon, ring, shp, zipped
from pyproj import CRS

from geolayout.errors import FileError
from geolayout.land.files.formats import READERS
from geolayout.land.files.gdal import read_layer
from geolayout.land.files.sheet import Row
from geolayout.land.files.source import Source, find_source

pytest.importorskip("fiona")


def read(path, layer=None):
    return read_layer(*find_source(path, layer, READERS))


def only_row(sheet):
    (row,) = sheet.rows
    return row


# Rows


@pytest.mark.parametrize(
    ("row", "label"),
    [
        pytest.param(Row(None, {"no": 1, "NAME": "Home"}), "Home", id="a name in another case"),
        pytest.param(Row(None, {"id": 4, "field_id": 3}), "3", id="the field's id before another"),
        pytest.param(Row(None, {"name": " ", "id": None}, "h1"), "h1", id="a GeoJSON id"),
        pytest.param(Row(None, {"no": 1}, number="7"), "otherwise", id="never the row number"),
    ],
)
def test_a_row_is_called_by_its_name_else_by_its_id(row, label):
    assert row.label("otherwise") == label


def test_the_row_number_stands_in_for_a_missing_fid_alone():
    row = Row(None, {"Size": 2}, number="7")
    assert (row.column("fid"), row.column("size"), row.column("name")) == ("7", 2, None)
    assert Row(None, {"FID": 5}, number="7").column("fid") == 5


# Shapefiles


def test_a_shapefile_is_read_as_drawn_with_its_system(tmp_path):
    sheet = read(shp(tmp_path, [ring(500_000, 5_700_000, 100)]))
    assert only_row(sheet).geometry.bounds == (500_000, 5_700_000, 500_100, 5_700_100)
    assert only_row(sheet).properties == {"NAME": "Home"}
    assert sheet.crs.equals(CRS.from_epsg(25832), ignore_axis_order=True)
    assert sheet.label == "farm.shp"


def test_a_hole_with_the_wrong_winding_is_still_a_hole(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100), ring(500_010, 5_700_010, 10)])
    # 100 x 100 less 10 x 10.
    assert only_row(read(path)).geometry.area == 9900


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252"])
def test_text_without_a_cpg_is_read_as_utf_8_if_it_is(tmp_path, encoding):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)], text="Fläche", encoding=encoding)
    assert only_row(read(path)).properties["NAME"] == "Fläche"


def test_a_cpg_has_the_last_word(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)], text="Fläche")
    path.with_suffix(".cpg").write_text("CP1252")
    # UTF-8 keeps the a umlaut in two bytes, C3 A4, which are two letters in code page 1252.
    assert only_row(read(path)).properties["NAME"] == "FlÃ¤che"


def test_a_shapefile_without_prj_has_no_system(tmp_path):
    assert read(shp(tmp_path, [ring(10.0, 52.0, 0.001)], epsg=None)).crs is None


def test_upper_case_names_are_one_shapefile(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    for file in list(tmp_path.iterdir()):
        file.rename(file.with_suffix(file.suffix.upper()))
    assert only_row(read(path.with_suffix(".SHP"))).properties["NAME"] == "Home"


def test_a_missing_shx_is_named(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    path.with_suffix(".shx").unlink()
    with pytest.raises(FileError, match=r"without its \.shx"):
        read(path)


def test_a_missing_dbf_leaves_the_shape(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    path.with_suffix(".dbf").unlink()
    assert only_row(read(path)).geometry.area == 10_000


# Archives


@pytest.mark.parametrize("inside", ["", "export/2026/"])
@pytest.mark.parametrize("name", ["farm.zip", "farm.shp.zip", "Farm of 2026.ZIP"])
def test_a_zipped_shapefile_is_found(tmp_path, inside, name):
    folder = tmp_path / "loose"
    folder.mkdir()
    shp(folder, [ring(500_000, 5_700_000, 100)], text="Fläche")
    path = zipped(tmp_path, sorted(folder.iterdir()), inside, name)
    assert only_row(read(path)).properties["NAME"] == "Fläche"


def test_what_a_packing_program_adds_is_passed_over(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    archive = zipped(tmp_path, [path])
    with zipfile.ZipFile(archive, "a") as extra:
        extra.writestr("__MACOSX/._farm.geojson", b"\x00")
        extra.writestr("empty/", b"")
    source, layer = find_source(archive, None, READERS)
    assert (source.content(), layer) == (path.read_bytes(), None)


def test_two_files_in_a_zip_need_a_choice(tmp_path):
    home = geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    archive = zipped(tmp_path, [home, away])
    with pytest.raises(FileError, match=r"2 files.*home\.geojson, away\.geojson"):
        find_source(archive, None, READERS)
    source, layer = find_source(archive, "away", READERS)
    assert source.content() == away.read_bytes()
    assert layer is None


@pytest.mark.parametrize("name", ["away", "away.geojson", "export/away.geojson"])
def test_a_file_of_a_zip_is_named_with_or_without_suffix_and_folder(tmp_path, name):
    home = geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    archive = zipped(tmp_path, [home, away], inside="export/")
    assert find_source(archive, name, READERS)[0].file.name == "away.geojson"


def test_the_layer_of_the_only_file_in_a_zip_is_left_to_choose(tmp_path):
    layers = {"fields": [("Home", 1.0, HOME)], "plots": [("Away", 1.0, AWAY)]}
    archive = zipped(tmp_path, [gpkg(tmp_path / "farm.gpkg", layers)])
    assert find_source(archive, "plots", READERS)[1] == "plots"
    assert only_row(read(archive, "plots")).geometry.equals(AWAY)


def test_a_kmz_is_an_archive_of_a_kml(tmp_path):
    doc = kml(tmp_path, f"<Placemark>{kml_polygon(HOME)}</Placemark>", name="doc.kml")
    assert only_row(read(zipped(tmp_path, [doc], name="home.kmz"))).geometry.equals(HOME)


@pytest.mark.parametrize(
    ("name", "content", "match"),
    [
        pytest.param("farm.zip", b"PK no zip", "not a whole zip", id="a torn zip"),
        pytest.param("farm.docx", b"", "not read here", id="another kind of file"),
        pytest.param("farm.gpkg", b"SQLite or not", "cannot be read", id="a torn GeoPackage"),
        pytest.param("farm.kml", b"<kml", "cannot be read|no shapes", id="a torn KML"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused(tmp_path, name, content, match):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(FileError, match=match):
        read(path)


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path):
    with pytest.raises(FileError, match="is not there"):
        find_source(tmp_path / "none.gpkg", None, READERS)
    with pytest.raises(FileError, match="is a folder"):
        find_source(tmp_path, None, READERS)


def test_an_archive_without_shapes_is_refused(tmp_path):
    (tmp_path / "read.me").write_text("nothing")
    with pytest.raises(FileError, match="holds 0 files"):
        find_source(zipped(tmp_path, [tmp_path / "read.me"]), None, READERS)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads all")
def test_a_file_that_is_not_ours_to_read_is_refused(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    path.chmod(0)
    with pytest.raises(FileError, match="cannot be opened"):
        Source(path).content()


def test_a_file_gone_since_it_was_found_is_refused(tmp_path):
    archive = zipped(tmp_path, [geojson(tmp_path, feature(HOME, {}))])
    source, _ = find_source(archive, None, READERS)
    archive.unlink()
    with pytest.raises(FileError, match=r"farm\.geojson cannot be opened"):
        source.content()


# Layers


def test_a_row_without_a_shape_is_kept_and_numbered(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"f": [("Home", 1.0, HOME), ("none", 2.0, None)]})
    first, second = read(path).rows
    assert (first.number, second.number) == ("1", "2")
    assert first.geometry.equals(HOME)
    assert second.geometry is None
    assert second.properties == {"name": "none", "no": 2.0}


def test_several_layers_need_a_choice(tmp_path):
    layers = {"fields": [("Home", 1.0, HOME)], "plots": [("Away", 1.0, AWAY)]}
    path = gpkg(tmp_path / "farm.gpkg", layers)
    with pytest.raises(FileError, match="2 layers: fields, plots"):
        read(path)
    with pytest.raises(FileError, match="None is called 'field'"):
        read(path, layer="field")
    assert only_row(read(path, layer="plots")).geometry.equals(AWAY)


def test_a_layer_without_rows_is_no_choice(tmp_path):
    path = gpkg(tmp_path / "farm.gpkg", {"fields": [("Home", 1.0, HOME)], "empty": []})
    assert only_row(read(path)).geometry.equals(HOME)


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
    assert read(path).crs is None


def test_folders_of_a_kml_are_layers(tmp_path):
    folders = "".join(
        f"<Folder><name>{name}</name><Placemark>{kml_polygon(part)}</Placemark></Folder>"
        for name, part in (("north", HOME), ("south", AWAY))
    )
    path = kml(tmp_path, folders)
    with pytest.raises(FileError, match="2 layers: north, south"):
        read(path)
    assert only_row(read(path, layer="south")).geometry.equals(AWAY)


def test_a_kml_that_only_links_says_so(tmp_path):
    link = "<NetworkLink><Link><href>farm2.kml</href></Link></NetworkLink>"
    with pytest.raises(FileError, match="only link"):
        read(kml(tmp_path, link))
