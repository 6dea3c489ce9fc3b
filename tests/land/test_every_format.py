"""
The same fields in every format that is read, written by other libraries too, are the same.

Two fields, one with a hole, all invented. Each file is read as it is and out of a zip, from a
folder within it. Of a format that rounds to seven decimals of a degree (1.1 cm) the area may be
off by 1e-5, else by 1e-6.
"""

import json
import zipfile

import numpy as np
import pytest
import shapely
from shapely import MultiLineString, Polygon, transform

from geolayout.land.frames.frame import Frame, geodesic_area
from geolayout.land.readers import read_boundaries, read_boundary

gpd = pytest.importorskip("geopandas")
fiona = pytest.importorskip("fiona")
shapefile = pytest.importorskip("shapefile")

# About 360 m by 250 m, where EPSG:2264 (US survey feet) and UTM zone 17 north are at home.
HOME = Polygon(
    [
        (-79.0012345, 35.5001234),
        (-78.9975432, 35.4998765),
        (-78.9972109, 35.5013579),
        (-78.9989876, 35.5021357),
        (-79.0009753, 35.5018642),
    ],
    [[(-78.999, 35.5008), (-78.999, 35.5011), (-78.9985, 35.5011), (-78.9985, 35.5008)]],
)
AWAY = Polygon([(-78.99, 35.5), (-78.987, 35.5004), (-78.9876, 35.5021), (-78.9901, 35.5018)])
BEYOND_SEVEN_DECIMALS = np.array([4.3e-8, 2.7e-8])
HOME, AWAY = (transform(field, lambda xy: xy + BEYOND_SEVEN_DECIMALS) for field in (HOME, AWAY))
FIELDS = {"Home": HOME, "Away": AWAY}
WITHOUT_HOLES = {name: Polygon(field.exterior) for name, field in FIELDS.items()}

UTM, FEET = 32617, 2264
SEVEN_DECIMALS = 1e-5


def frame(epsg=4326, fields=FIELDS, *, heights=False):
    data = gpd.GeoDataFrame({"name": list(fields)}, geometry=list(fields.values()), crs=4326)
    data = data.to_crs(epsg)
    return data.set_geometry(shapely.force_3d(data.geometry, 101.5)) if heights else data


def pyogrio(suffix, driver=None, epsg=4326, *, heights=False, **options):
    def write(folder):
        path = folder / f"farm{suffix}"
        frame(epsg, heights=heights).to_file(path, driver=driver, engine="pyogrio", **options)
        return path

    return write


def by_fiona(suffix, driver, epsg=4326, **options):
    def write(folder):
        path = folder / f"farm{suffix}"
        schema = {"geometry": "Polygon", "properties": {"name": "str"}}
        with (
            fiona.Env(),
            fiona.open(
                path,
                "w",
                driver=driver,
                schema=schema,
                crs=f"EPSG:{epsg}",
                allow_unsupported_drivers=True,
                **options,
            ) as out,
        ):
            for name, shape in zip(FIELDS, frame(epsg).geometry, strict=True):
                out.write(
                    {"geometry": shapely.geometry.mapping(shape), "properties": {"name": name}}
                )
        return path

    return write


def by_pyshp(epsg, *, heights=False):
    def write(folder):
        kind = shapefile.POLYGONZ if heights else shapefile.POLYGON
        with shapefile.Writer(str(folder / "farm"), shapeType=kind) as out:
            out.field("NAME", "C", 40)
            for name, shape in zip(FIELDS, frame(epsg, heights=heights).geometry, strict=True):
                drawn = shapely.geometry.polygon.orient(shape, -1)  # outer rings clockwise
                rings = [[list(c) for c in r.coords] for r in (drawn.exterior, *drawn.interiors)]
                (out.polyz if heights else out.poly)(rings)
                out.record(name)
        (folder / "farm.prj").write_text(frame(epsg).crs.to_wkt("WKT1_ESRI"))
        return folder / "farm.shp"

    return write


def parquet(epsg=4326, **options):
    def write(folder):
        pytest.importorskip("pyarrow", reason="pyarrow is an extra")
        path = folder / "farm.parquet"
        frame(epsg).to_parquet(path, **options)
        return path

    return write


def plain_sequence(folder):
    path = folder / "farm.geojsonl"
    features = frame().iterfeatures()
    path.write_text("\n".join(json.dumps(feature) for feature in features))
    return path


def shapes_as_text(folder):
    """GDAL's CSV driver writes well-known text, and no system."""
    path = folder / "farm.csv"
    options = {"GEOMETRY": "AS_WKT"}
    frame(UTM).to_file(path, driver="CSV", engine="pyogrio", **options)
    return path


def kml_by_fastkml(folder):
    fastkml = pytest.importorskip("fastkml", reason="fastkml is an independent writer")
    from fastkml.enums import AltitudeMode  # noqa: PLC0415

    document = fastkml.Document()
    for name, field in FIELDS.items():
        placemark = fastkml.Placemark(
            name=name,
            kml_geometry=fastkml.geometry.create_kml_geometry(
                shapely.force_3d(field, 80.0), altitude_mode=AltitudeMode.absolute
            ),
        )
        document.append(placemark)
    path = folder / "farm.kml"
    path.write_text(fastkml.KML(features=[document]).to_string(precision=10))
    return path


def kmz(folder):
    path = folder / "farm.kmz"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.write(pyogrio(".kml", "KML")(folder), "doc.kml")
    (folder / "farm.kml").unlink()
    return path


def rings_of(field):
    return [list(ring.coords) for ring in (field.exterior, *field.interiors)]


def tasks_by_isoxml_writer(folder):
    pytest.importorskip("isoxml_writer", reason="isoxml-writer is an independent writer")
    from isoxml_writer import isoxml as iso  # noqa: PLC0415

    data = iso.Taskdata()
    for number, (name, field) in enumerate(FIELDS.items(), start=1):
        partfield = iso.Partfield(number, name, round(geodesic_area(field)))
        polygon = iso.Polygon(1)
        for i, ring in enumerate(rings_of(field)):
            line = iso.Linestring(1 if i == 0 else 2)
            for lon, lat in ring:
                line.add_point(iso.Point(2, lat, lon))
            polygon.add_linestring(line)
        partfield.add_polygon(polygon)
        data.add_partfield(partfield)
    path = folder / "TASKDATA.XML"
    path.write_text(data.get_taskdata())
    return path


def tasks_by_isoxml(folder):
    pytest.importorskip("isoxml", reason="isoxml is an independent writer")
    import isoxml.models.base.v4 as iso  # noqa: PLC0415
    from isoxml.converter.shapely_geom import ShapelyConverterV4  # noqa: PLC0415
    from isoxml.util.isoxml_io import isoxml_to_text  # noqa: PLC0415

    partfields = [
        iso.Partfield(
            id=f"PFD{number}",
            designator=name,
            area=round(geodesic_area(field)),
            polygons=[
                ShapelyConverterV4().to_iso_polygon(field, iso.PolygonType.PartfieldBoundary)
            ],
        )
        for number, (name, field) in enumerate(FIELDS.items(), start=1)
    ]
    data = iso.Iso11783TaskData(
        partfields=partfields,
        management_software_manufacturer="invented",
        management_software_version="0",
        data_transfer_origin=iso.Iso11783TaskDataDataTransferOrigin.FMIS,
    )
    path = folder / "TASKDATA.XML"
    path.write_text(isoxml_to_text(data), encoding="utf-8")
    return path


CARRY_HOLES = [
    pytest.param(pyogrio(".geojson"), {}, 1e-6, id="GeoJSON by pyogrio"),
    pytest.param(pyogrio(".geojson", epsg=UTM), {}, 1e-6, id="GeoJSON with a crs member"),
    pytest.param(
        pyogrio(".geojson", heights=True, RFC7946="YES"), {}, SEVEN_DECIMALS, id="RFC 7946 with Z"
    ),
    pytest.param(by_fiona(".json", "GeoJSON"), {}, 1e-6, id="GeoJSON by fiona"),
    pytest.param(pyogrio(".geojsons", "GeoJSONSeq"), {}, SEVEN_DECIMALS, id="GeoJSON sequence"),
    pytest.param(by_fiona(".ndjson", "GeoJSONSeq"), {}, SEVEN_DECIMALS, id="sequence by fiona"),
    pytest.param(plain_sequence, {}, 1e-6, id="one GeoJSON text a line"),
    pytest.param(pyogrio(".shp"), {}, 1e-6, id="shapefile by pyogrio"),
    pytest.param(by_fiona(".shp", "ESRI Shapefile", UTM), {}, 1e-6, id="shapefile by fiona in UTM"),
    pytest.param(by_pyshp(FEET), {}, 1e-6, id="shapefile by pyshp in feet"),
    pytest.param(by_pyshp(UTM, heights=True), {}, 1e-6, id="shapefile by pyshp with Z"),
    pytest.param(pyogrio(".gpkg", epsg=UTM), {}, 1e-6, id="GeoPackage by pyogrio in UTM"),
    pytest.param(by_fiona(".gpkg", "GPKG", FEET), {}, 1e-6, id="GeoPackage by fiona in feet"),
    pytest.param(pyogrio(".gpkg", heights=True), {}, 1e-6, id="GeoPackage with Z"),
    pytest.param(pyogrio(".fgb", epsg=UTM), {}, 1e-6, id="FlatGeobuf by pyogrio in UTM"),
    pytest.param(by_fiona(".fgb", "FlatGeobuf", FEET), {}, 1e-6, id="FlatGeobuf by fiona in feet"),
    pytest.param(pyogrio(".gml", "GML"), {}, 1e-6, id="GML by pyogrio"),
    pytest.param(by_fiona(".gml", "GML", UTM), {}, 1e-6, id="GML by fiona in UTM"),
    pytest.param(pyogrio(".kml", "KML"), {}, 1e-6, id="KML by pyogrio"),
    pytest.param(by_fiona(".kml", "KML"), {}, 1e-6, id="KML by fiona"),
    pytest.param(kml_by_fastkml, {}, 1e-6, id="KML by fastkml with Z"),
    pytest.param(kmz, {}, 1e-6, id="KMZ"),
    pytest.param(parquet(), {}, 1e-6, id="GeoParquet"),
    pytest.param(parquet(UTM), {}, 1e-6, id="GeoParquet in UTM"),
    pytest.param(parquet(FEET, geometry_encoding="geoarrow"), {}, 1e-6, id="GeoParquet, arrow"),
    pytest.param(tasks_by_isoxml_writer, {}, 1e-6, id="task data by isoxml-writer"),
    pytest.param(tasks_by_isoxml, {}, 1e-6, id="task data by isoxml"),
    pytest.param(shapes_as_text, {"crs": UTM}, 1e-6, id="CSV of shapes as text"),
]


def gpx_by_gpxpy(folder):
    gpxpy = pytest.importorskip("gpxpy", reason="gpxpy is an independent writer")
    from gpxpy import gpx  # noqa: PLC0415

    assert gpxpy
    data = gpx.GPX()
    for name, field in FIELDS.items():
        track = gpx.GPXTrack(name=name)
        points = [gpx.GPXTrackPoint(lat, lon, elevation=80.0) for lon, lat in field.exterior.coords]
        track.segments.append(gpx.GPXTrackSegment(points))
        data.tracks.append(track)
    path = folder / "farm.gpx"
    path.write_text(data.to_xml())
    return path


def gpx_by_pyogrio(folder):
    path = folder / "farm.gpx"
    lines = {name: MultiLineString([field.exterior]) for name, field in FIELDS.items()}
    frame(fields=lines).to_file(path, driver="GPX", engine="pyogrio", layer="tracks")
    return path


def corners_in_degrees(folder):
    lines = ["field,lon,lat,height"]
    for name, field in FIELDS.items():
        lines += [f"{name},{lon!r},{lat!r},80" for lon, lat in field.exterior.coords]
    path = folder / "farm.csv"
    path.write_text("\n".join(lines))
    return path


def corners_in_metres(folder):
    """As a spreadsheet writes them where a comma is the decimal sign, rings left open."""
    lines = ["Feld;Punkt;Rechtswert;Hochwert"]
    for name, field in zip(FIELDS, frame(UTM).geometry, strict=True):
        for number, (x, y) in enumerate(list(field.exterior.coords)[:-1], start=1):
            lines.append(f"{name};{number};{x:.4f};{y:.4f}".replace(".", ","))
    path = folder / "farm.txt"
    path.write_text("\r\n".join(lines), encoding="cp1252")
    return path


def sexagesimal(value, sides):
    seconds = round(abs(value) * 3600, 5)
    minutes, seconds = divmod(seconds, 60)
    return f"{minutes // 60:.0f}°{minutes % 60:02.0f}'{seconds:08.5f}\"{sides[value < 0]}"


def corners_in_seconds(folder):
    """A hundred-thousandth of a second is 0.3 mm."""
    lines = ["name\tlatitude\tlongitude"]
    for name, field in FIELDS.items():
        for lon, lat in field.exterior.coords:
            lines.append(f"{name}\t{sexagesimal(lat, 'NS')}\t{sexagesimal(lon, 'EW')}")
    path = folder / "farm.tsv"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def dxf_by_pyogrio(folder):
    path = folder / "farm.dxf"
    outlines = frame(UTM, WITHOUT_HOLES).geometry.exterior
    gpd.GeoDataFrame(geometry=outlines, crs=UTM).to_file(path, driver="DXF", engine="pyogrio")
    return path


CARRY_NO_HOLES = [
    pytest.param(gpx_by_gpxpy, {}, 1e-6, id="GPX by gpxpy"),
    pytest.param(gpx_by_pyogrio, {}, 1e-6, id="GPX by pyogrio"),
    pytest.param(corners_in_degrees, {}, 1e-6, id="CSV in degrees"),
    pytest.param(corners_in_metres, {"crs": UTM}, 1e-6, id="text in metres with decimal commas"),
    pytest.param(corners_in_seconds, {}, 1e-6, id="text in degrees, minutes and seconds"),
    pytest.param(dxf_by_pyogrio, {"crs": UTM}, 1e-6, id="DXF in UTM"),
]


def places(path, folder):
    """Give the file as it is, and a zip that has its folder within it."""
    yield path
    if path.suffix != ".kmz":  # it is a zip
        archive = folder / "packed.zip"
        with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as out:
            for file in sorted(path.parent.iterdir()):
                out.write(file, f"export/2026/{file.name}")
        yield archive


def apart(drawn, field):
    """Measure how far two outlines lie apart at most, and their areas relative to each other."""
    local = Frame.centred_on(field)
    one, other = (
        transform(shapely.force_2d(shape).boundary, local.metres) for shape in (drawn, field)
    )
    return shapely.hausdorff_distance(one, other), geodesic_area(drawn) / geodesic_area(field) - 1


@pytest.mark.parametrize(
    ("write", "choice", "area_slack", "fields"),
    [pytest.param(*case.values, FIELDS, id=case.id) for case in CARRY_HOLES]
    + [pytest.param(*case.values, WITHOUT_HOLES, id=case.id) for case in CARRY_NO_HOLES],
)
def test_the_same_fields_come_out_of_every_format(tmp_path, write, choice, area_slack, fields):
    home = tmp_path / "farm"
    home.mkdir()
    for place in places(write(home), tmp_path):
        drawn = read_boundaries(place, **choice)
        if any(home.glob("*.fgb")):  # its index leaves the order of the rows open
            drawn.sort(key=lambda boundary: list(fields).index(boundary.name))
        assert len(drawn) == len(fields)
        for boundary, (name, field) in zip(drawn, fields.items(), strict=True):
            distance, area = apart(boundary.geometry, field)
            assert distance < 0.02  # 2 cm
            assert abs(area) < area_slack
            assert len(shapely.get_parts(boundary.geometry)) == 1
            part = shapely.get_parts(boundary.geometry)[0]
            assert len(part.interiors) == len(field.interiors)
            assert boundary.name == name or write is dxf_by_pyogrio  # a DXF line has no name


def test_the_measure_sees_three_centimetres_and_a_hole():
    moved = transform(HOME, lambda xy: xy + np.array([0.0, 0.03 / 111_000]))
    assert apart(moved, HOME)[0] == pytest.approx(0.03, abs=0.001)
    assert apart(WITHOUT_HOLES["Home"], HOME)[0] > 50
    assert apart(WITHOUT_HOLES["Home"], HOME)[1] > 0.01


def test_a_field_of_many_is_chosen_by_name_from_a_terminal_too(tmp_path):
    path = tasks_by_isoxml_writer(tmp_path)
    assert apart(read_boundary(path, field_id="Away").geometry, AWAY)[0] < 0.001
