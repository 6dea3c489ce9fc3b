"""Files, zips and layers, each trap of the formats with a file of its own (all invented)."""

import logging
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import shapely
from boundary_files import AWAY, HOME, feature, geojson, gpkg, kml, kml_polygon, ring, shp
from pyproj import CRS

from geolayout.errors import FileError
from geolayout.land.files import gdal
from geolayout.land.files.formats import READERS
from geolayout.land.files.gdal import read_layer
from geolayout.land.files.source import Source, find_source

fiona = pytest.importorskip("fiona")


def read(path, layer=None):
    return read_layer(*find_source(path, layer, READERS))


def only_row(sheet):
    (row,) = sheet.rows
    return row


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


def test_a_missing_dbf_leaves_the_shape(tmp_path):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    path.with_suffix(".dbf").unlink()
    sheet = read(path)
    assert only_row(sheet).geometry.area == 10_000
    assert [finding.kind for finding in sheet.findings] == ["missing part"]


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


def test_folders_within_folders_of_a_kml_are_layers(tmp_path):
    def folder(name, inside):
        return f"<Folder><name>{name}</name>{inside}</Folder>"

    mark = "<Placemark><name>{}</name>{}</Placemark>"
    north = folder("north", mark.format("N", kml_polygon(HOME)))
    path = kml(
        tmp_path, folder("farm", north + folder("south", mark.format("S", kml_polygon(AWAY))))
    )
    with pytest.raises(FileError, match="2 layers: north, south"):
        read(path)
    assert only_row(read(path, layer="south")).label("") == "S"


def test_a_kml_keeps_heights_for_others_to_leave_behind_and_all_shapes_of_a_place(tmp_path):
    shapes = f"<Point><coordinates>10,52,35</coordinates></Point>{kml_polygon(HOME)}"
    path = kml(tmp_path, f"<Placemark><MultiGeometry>{shapes}</MultiGeometry></Placemark>")
    shape = only_row(read(path)).geometry
    assert [part.geom_type for part in shape.geoms] == ["Point", "Polygon"]
    assert shape.has_z


@pytest.mark.parametrize("root", ['<kml xmlns="http://earth.google.com/kml/2.1">', "<kml>"])
def test_a_kml_of_another_namespace_is_read(tmp_path, root):
    path = tmp_path / "farm.kml"
    mark = f"<Document><Placemark><name>Home</name>{kml_polygon(HOME)}</Placemark></Document>"
    path.write_text(f"{root}{mark}</kml>", encoding="utf-8")
    assert only_row(read(path)).label("") == "Home"


def test_links_beside_shapes_are_said(tmp_path):
    link = "<NetworkLink><Link><href>farm2.kml</href></Link></NetworkLink>"
    sheet = read(kml(tmp_path, f"{link}<Placemark>{kml_polygon(HOME)}</Placemark>"))
    assert [finding.kind for finding in sheet.findings] == ["link"]
    assert only_row(sheet).geometry.equals(HOME)


# GML, FlatGeobuf, DXF


def gml(folder, system, positions, name="farm.gml"):
    path = folder / name
    path.write_text(
        '<?xml version="1.0"?><ogr:FeatureCollection xmlns:ogr="http://ogr.maptools.org/"'
        ' xmlns:gml="http://www.opengis.net/gml/3.2" gml:id="c"><ogr:featureMember>'
        '<ogr:farm gml:id="f1"><ogr:geometryProperty>'
        f'<gml:Polygon srsName="{system}" gml:id="g1"><gml:exterior><gml:LinearRing><gml:posList>'
        f"{positions}</gml:posList></gml:LinearRing></gml:exterior></gml:Polygon>"
        "</ogr:geometryProperty><ogr:name>Home</ogr:name></ogr:farm></ogr:featureMember>"
        "</ogr:FeatureCollection>",
        encoding="utf-8",
    )
    return path


LAT_LON = "52 10 52 10.003 52.001 10.003 52.001 10 52 10"
LON_LAT = "10 52 10.003 52 10.003 52.001 10 52.001 10 52"


@pytest.mark.parametrize(
    "system", ["urn:ogc:def:crs:EPSG::4326", "http://www.opengis.net/def/crs/EPSG/0/4326"]
)
def test_a_gml_with_a_full_name_has_latitude_first(tmp_path, system):
    sheet = read(gml(tmp_path, system, LAT_LON))
    assert only_row(sheet).geometry.equals(HOME)
    assert only_row(sheet).label("") == "Home"
    assert sheet.findings == ()


def test_a_gml_with_a_short_name_is_a_question(tmp_path):
    sheet = read(gml(tmp_path, "EPSG:4326", LON_LAT))
    assert only_row(sheet).geometry.equals(HOME)
    (finding,) = sheet.findings
    assert (finding.kind, bool(finding.question)) == ("axis order", True)


def test_reading_a_gml_writes_no_schema_beside_it(tmp_path):
    read(gml(tmp_path, "EPSG:4326", LON_LAT))
    assert [file.name for file in tmp_path.iterdir()] == ["farm.gml"]


@pytest.mark.parametrize("height", [None, 35.0], ids=["flat", "with heights"])
def test_a_flatgeobuf_is_read(tmp_path, height):
    shape = HOME if height is None else shapely.force_3d(HOME, height)
    schema = {
        "geometry": "Polygon" if height is None else "3D Polygon",
        "properties": {"name": "str"},
    }
    path = tmp_path / "farm.fgb"
    with fiona.open(path, "w", driver="FlatGeobuf", schema=schema, crs="EPSG:4326") as out:
        out.write({"geometry": shapely.geometry.mapping(shape), "properties": {"name": "Höhe"}})
    sheet = read(path)
    assert only_row(sheet).geometry.equals(HOME)
    assert only_row(sheet).properties == {"name": "Höhe"}
    assert sheet.crs.to_epsg() == 4326


DXF = (
    "0 SECTION 2 ENTITIES 0 LWPOLYLINE 8 field 90 4 70 1 10 0.0 20 0.0 10 100.0 20 0.0"
    " 10 100.0 20 50.0 10 0.0 20 50.0 0 ENDSEC 0 EOF"
)


def test_a_closed_line_of_a_dxf_is_a_closed_line_without_a_system(tmp_path):
    path = tmp_path / "farm.dxf"
    path.write_text(DXF.replace(" ", "\n") + "\n")
    sheet = read(path)
    assert only_row(sheet).geometry.is_ring
    assert only_row(sheet).properties["Layer"] == "field"
    assert sheet.crs is None


def test_blocks_of_a_dxf_are_not_put_in_for_they_may_hold_blocks(tmp_path):
    head = "0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 0 ENDSEC 0 SECTION 2 TABLES 0 ENDSEC"
    block = "0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 b 10 0 20 0 0 LINE 8 0 10 0 20 0 11 1 21 1 0 ENDBLK"
    place = "0 SECTION 2 ENTITIES 0 INSERT 8 tree 2 b 10 7 20 8"
    text = f"{head} {block} 8 0 0 ENDSEC {place} {DXF.partition('ENTITIES ')[2]}"
    path = tmp_path / "farm.dxf"
    path.write_text(text.replace(" ", "\n") + "\n")
    tree, field = read(path).rows
    assert (tree.geometry.geom_type, tree.geometry.coords[0][:2]) == ("Point", (7, 8))
    assert field.geometry.is_ring


# What GDAL must not do


def test_another_format_under_a_known_name_is_not_opened(tmp_path):
    """A file of settings that points elsewhere stays a file of settings."""
    home = geojson(tmp_path, feature(HOME, {}))
    layer = f'<OGRVRTLayer name="farm"><SrcDataSource>{home}</SrcDataSource></OGRVRTLayer>'
    for suffix in (".gpkg", ".shp", ".kml", ".gml", ".fgb", ".dxf"):
        path = tmp_path / f"settings{suffix}"
        path.write_text(f"<OGRVRTDataSource>{layer}</OGRVRTDataSource>")
        with pytest.raises(FileError):
            read(path)


def test_what_the_library_says_is_not_printed(tmp_path, capfd):
    path = shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    path.with_suffix(".prj").write_text("PROJCS[no system")
    with pytest.raises(FileError):
        read(kml(tmp_path, "<Placemark><Polygon/></Placemark>", name="empty.kml"), layer="none")
    with pytest.raises(FileError, match="cannot be read"):
        read(path)
    assert capfd.readouterr() == ("", "")


def test_warnings_of_the_library_are_findings():
    heard = [
        logging.LogRecord("fiona", logging.WARNING, "", 0, f"Odd\nring {n % 6}", None, None)
        for n in range(12)
    ]
    said = gdal._heard(Source(Path("farm.shp")), heard)
    assert [finding.kind for finding in said] == ["library"] * 5
    assert said[0].sentence.endswith("says: Odd ring 0.")
    heard.append(logging.LogRecord("fiona", logging.ERROR, "", 0, "Torn", None, None))
    with pytest.raises(FileError, match=r"farm\.shp cannot be read.*Torn"):
        gdal._heard(Source(Path("farm.shp")), heard)
