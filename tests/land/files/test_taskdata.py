"""Partfields of ISO 11783-10 task data (all invented, not for a terminal)."""

import re
from importlib.resources import files

import numpy as np
import pytest
import shapely
from boundary_files import HOME, zipped
from shapely import LineString, Point, Polygon

from geolayout.errors import BoundaryError, FileError
from geolayout.land.files.formats import read_sheet
from geolayout.land.readers import read_boundaries, read_boundary, read_shapes

POND = Polygon([(10.001, 52.0004), (10.002, 52.0004), (10.002, 52.0006), (10.001, 52.0006)])


def point(lon, lat, kind=2, more=""):
    return f'<PNT A="{kind}" {more} C="{lat:.9f}" D="{lon:.9f}"/>'


def ring(corners, kind=1, *, close=True, more=""):
    corners = list(corners)
    if close and corners[0] != corners[-1]:
        corners.append(corners[0])
    points = "".join(point(*corner) for corner in corners)
    return f'<LSG A="{kind}" {more}>{points}</LSG>'


def outline(polygon, kind=1, *, name="Home", close=True):
    """Write a polygon as a writer does that closes its rings, or leaves them open."""
    rings = [list(one.coords)[:-1] for one in (polygon.exterior, *polygon.interiors)]
    lines = [ring(one, 1 if i == 0 else 2, close=close) for i, one in enumerate(rings)]
    return f'<PLN A="{kind}" B="{name}">{"".join(lines)}</PLN>'


def partfield(*inside, id_="PFD1", name="Home", area=22860):
    """The area is any number: it is what the file states."""
    return f'<PFD A="{id_}" B="F-1" C="{name}" D="{area}" E="CTR1" F="FRM1">{"".join(inside)}</PFD>'


def task_data(*tops, version=4):
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<ISO11783_TaskData VersionMajor="{version}" VersionMinor="3" '
        'ManagementSoftwareManufacturer="invented" ManagementSoftwareVersion="0" '
        'DataTransferOrigin="1">'
        '<CTR A="CTR1" B="Example grower"/><FRM A="FRM1" B="Example farm" I="CTR1"/>'
        f"{''.join(tops)}</ISO11783_TaskData>"
    )


HOLED = Polygon(HOME.exterior, [POND.exterior])

GUIDANCE = (
    '<GGP A="GGP1" B="Strips"><GPN A="GPN1" B="AB" C="1" E="1" F="1" I="16">'
    f'<LSG A="5">{point(10.0005, 52.0002, 6)}{point(10.0005, 52.0008, 7)}</LSG></GPN>'
    '<GPN A="GPN2" B="A+" C="2" E="1" F="1" G="12.5" I="16">'
    f'<LSG A="5">{point(10.0006, 52.0002, 6)}</LSG></GPN></GGP>'
)
WHOLE = task_data(
    partfield(
        outline(HOLED),
        outline(POND, 6, name="Mast"),
        ring([(10.0001, 52.0001), (10.0029, 52.0001)], 6, close=False, more='B="Drain"'),
        point(10.0, 52.0005, 3, 'B="Gate"'),
        GUIDANCE,
    )
)


def saved(folder, text, name="TASKDATA.XML", encoding="utf-8"):
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text(text, encoding=encoding)
    return path


def read(path, layer=None):
    return read_sheet(path, layer)


def only_row(sheet):
    (row,) = sheet.rows
    return row


def test_a_partfield_is_a_field_with_its_hole_and_what_is_said_of_it(tmp_path):
    sheet = read(saved(tmp_path, WHOLE))
    row = only_row(sheet)
    assert row.geometry.equals(HOLED)
    assert row.given_id == "PFD1"
    assert row.properties == {
        "id": "PFD1",
        "code": "F-1",
        "name": "Home",
        "area_m2": 22860,
        "customer": "Example grower",
        "farm": "Example farm",
    }
    assert sheet.crs.to_epsg() == 4326


def test_what_else_is_drawn_is_counted_and_is_a_layer_of_its_own(tmp_path):
    path = saved(tmp_path, WHOLE)
    assert read(path).findings[0].sentence == (
        "TASKDATA.XML also holds 1 x obstacle, 1 x drainage, 1 x field access, 2 x guidance:"
        " layer 'features' reads them."
    )
    drawn = {row.properties["name"]: row for row in read(path, "features").rows}
    assert {name: row.properties["kind"] for name, row in drawn.items()} == {
        "Mast": "obstacle",
        "Drain": "drainage",
        "Gate": "field access",
        "AB": "guidance",
        "A+": "guidance",
    }
    assert drawn["Mast"].geometry.equals(POND)
    assert drawn["Drain"].geometry.equals(LineString([(10.0001, 52.0001), (10.0029, 52.0001)]))
    assert drawn["Gate"].geometry.equals(Point(10.0, 52.0005))
    assert drawn["AB"].geometry.equals(LineString([(10.0005, 52.0002), (10.0005, 52.0008)]))
    assert drawn["A+"].geometry.equals(Point(10.0006, 52.0002))


def test_readers_see_only_boundaries_as_boundaries(tmp_path):
    path = saved(tmp_path, WHOLE)
    assert read_boundary(path).name == "Home"
    assert read_boundary(path).geometry.equals(HOLED)
    gates = read_shapes(path, layer="features", attribute=("kind", "field access"))
    assert gates == [("Gate", Point(10.0, 52.0005))]


@pytest.mark.parametrize("name", ["TASKDATA.XML", "taskdata.xml", "TaskData.Xml"])
@pytest.mark.parametrize("inside", ["", "export/TASKDATA/"])
def test_a_folder_or_a_zip_will_do(tmp_path, name, inside):
    path = saved(tmp_path / "TASKDATA", WHOLE, name)
    (path.parent / "GRD00001.BIN").write_bytes(b"\x00\x01")
    (path.parent / "readme.txt").write_text("invented")
    archive = zipped(tmp_path, sorted(path.parent.iterdir()), inside)
    for place in (path, path.parent, archive):
        assert only_row(read(place)).geometry.equals(HOLED)
        assert len(read(place, "features").rows) == 5


@pytest.mark.parametrize("zips", [False, True], ids=["in a folder", "in a zip"])
def test_partfields_in_files_of_their_own_are_followed(tmp_path, zips):
    away = shapely.transform(HOME, lambda xy: xy + np.array([0.01, 0.0]))
    parts = partfield(outline(away), id_="PFD2", name="Away")
    path = saved(
        tmp_path / "t",
        task_data(
            '<XFR A="PFD00001" B="1"/>', '<XFR A="TSK00001" B="1"/>', partfield(outline(HOME))
        ),
    )
    saved(tmp_path / "t", f"<XFC>{parts}</XFC>", "pfd00001.xml")
    place = zipped(tmp_path, sorted(path.parent.iterdir()), "TASKDATA/") if zips else path
    names = [boundary.name for boundary in read_boundaries(place)]
    assert names == ["Home", "Away"]
    assert read_boundary(place, field_id="PFD2").geometry.equals(away)


def test_several_polygons_are_parts(tmp_path):
    away = shapely.transform(HOME, lambda xy: xy + np.array([0.01, 0.0]))
    row = only_row(read(saved(tmp_path, task_data(partfield(outline(HOME), outline(away))))))
    assert row.geometry.geom_type == "MultiPolygon"
    assert row.geometry.area == pytest.approx(2 * HOME.area)


def test_open_rings_of_version_3_are_closed_and_said(tmp_path):
    text = task_data(partfield(outline(HOLED, close=False)), version=3)
    sheet = read(saved(tmp_path, text))
    assert only_row(sheet).geometry.equals(HOLED)
    assert [finding.sentence for finding in sheet.findings] == [
        "2 rings of TASKDATA.XML did not end where they began: closed."
    ]


def test_several_outer_rings_of_version_3_each_get_their_holes(tmp_path):
    away = shapely.transform(HOLED, lambda xy: xy + np.array([0.01, 0.0]))
    rings = [ring(one.exterior.coords[:-1]) for one in (HOME, away)]
    rings += [ring(one.interiors[0].coords[:-1], 2) for one in (away, HOLED)]
    text = task_data(partfield(f'<PLN A="1">{"".join(rings)}</PLN>'), version=3)
    parts = only_row(read(saved(tmp_path, text))).geometry.geoms
    assert parts[0].equals(HOLED)
    assert parts[1].equals(away)


def test_rings_without_a_polygon_are_a_boundary(tmp_path):
    text = task_data(partfield(ring(HOME.exterior.coords), ring(POND.exterior.coords, 2)))
    assert only_row(read(saved(tmp_path, text))).geometry.equals(HOLED)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(
            WHOLE.replace("<ISO11783_TaskData ", '<ISO11783_TaskData xmlns="urn:x" '), id="default"
        ),
        pytest.param(
            re.sub(r"<(/?)(?=[A-Z])", r"<\1t:", WHOLE).replace(
                "<t:ISO11783_TaskData ", '<t:ISO11783_TaskData xmlns:t="urn:x" '
            ),
            id="with a prefix",
        ),
    ],
)
def test_a_namespace_makes_no_difference(tmp_path, text):
    assert only_row(read(saved(tmp_path, text))).geometry.equals(HOLED)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "iso-8859-1", "windows-1252"])
def test_letters_survive_their_encoding(tmp_path, encoding):
    text = WHOLE.replace('"UTF-8"', f'"{encoding}"').replace('C="Home"', 'C="Große Fläche"')
    assert read_boundary(saved(tmp_path, text, encoding=encoding)).name == "Große Fläche"


def test_a_partfield_without_a_boundary_is_counted_among_others(tmp_path):
    text = task_data(partfield(id_="PFD1"), partfield(outline(HOME), id_="PFD2"))
    boundary = read_boundary(saved(tmp_path, text))
    assert boundary.findings[0].sentence == "1 of 2 rows of TASKDATA.XML have no shape."


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param("<ISO11783_TaskData", "not whole as XML", id="a torn file"),
        pytest.param("<kml/>", "begins with 'kml'", id="another kind of XML"),
        pytest.param("<XFC/>", "one part of task data", id="an external part"),
        pytest.param(task_data(), "0 partfields and no boundary", id="no partfield"),
        pytest.param(
            task_data(partfield(outline(HOME, 9), outline(POND, 3))),
            "1 partfields and no boundary of one, only 1 x main field, 1 x water",
            id="other polygons alone",
        ),
        pytest.param(
            task_data('<XFR A="PFD00009" B="1"/>'), "PFD00009.XML, which is not", id="a part gone"
        ),
        pytest.param(
            task_data('<XFR A="../PFD00001" B="1"/>'), "no boundary", id="a path as a part"
        ),
        pytest.param(
            task_data(partfield('<PLN A="1"/>')), "no outer ring", id="a polygon of nothing"
        ),
        pytest.param(
            task_data(partfield(f'<PLN A="1">{ring(POND.exterior.coords, 2)}</PLN>')),
            "no outer ring",
            id="a hole alone",
        ),
        pytest.param(
            task_data(partfield('<PLN A="1"><LSG A="1"/></PLN>')), "0 corners", id="an empty ring"
        ),
        pytest.param(
            task_data(partfield(f'<PLN A="1">{ring([(1, 2), (3, 4)])}</PLN>')),
            "2 corners",
            id="two corners",
        ),
        pytest.param(WHOLE.replace('C="52.000400000"', ""), "'' as its north", id="no latitude"),
        pytest.param(
            WHOLE.replace("52.000400000", "52,0004"), "'52,0004' as its north", id="a comma"
        ),
        pytest.param(WHOLE.replace("52.000400000", "NaN"), "'NaN' as its north", id="not a number"),
        pytest.param(WHOLE.replace("52.000400000", "1e999"), "'1e999'", id="no end of a number"),
        pytest.param(
            task_data(partfield(outline(HOME), '<LSG A="6"/>')), "no points", id="a line of none"
        ),
        pytest.param('<!DOCTYPE x [<!ENTITY a "b">]>' + task_data(), "DOCTYPE", id="a definition"),
        pytest.param(WHOLE.replace(' C="52.', ' C="152.'), "152", id="a latitude that is none"),
    ],
)
def test_what_is_no_partfield_is_refused_in_one_line(tmp_path, text, match):
    with pytest.raises((FileError, BoundaryError), match=match) as refusal:
        read_boundary(saved(tmp_path, text))
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 500


def test_another_layer_is_refused_by_naming_the_two(tmp_path):
    with pytest.raises(FileError, match=r"fields.*features"):
        read(saved(tmp_path, WHOLE), "tasks")


# Other libraries


def test_the_test_file_stands_by_the_schema():
    pytest.importorskip("isoxml_writer", reason="the schema V4-3 comes with isoxml-writer")
    etree = pytest.importorskip("lxml.etree")
    schema = files("isoxml_writer") / "ISOXML_schema" / "ISO11783_TaskFile_V4-3.xsd"
    checked = etree.XMLSchema(etree.parse(str(schema)))
    assert checked.validate(etree.fromstring(WHOLE.encode())), checked.error_log


def test_isoxml_reads_the_same_outline(tmp_path):
    pytest.importorskip("isoxml", reason="isoxml is an independent reader")
    from isoxml.converter.shapely_geom import ShapelyConverterV4  # noqa: PLC0415
    from isoxml.util.isoxml_io import isoxml_from_path  # noqa: PLC0415

    path = saved(tmp_path, WHOLE)
    data, _ = isoxml_from_path(path)
    theirs = ShapelyConverterV4().to_shapely_polygon(data.partfields[0].polygons[0])
    assert only_row(read(path)).geometry.equals(theirs)
