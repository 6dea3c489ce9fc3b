"""Shapefiles whose parts are missing, torn, or from two exports (all invented)."""

import struct

import pytest
import shapefile
from boundary_files import ring, shp, zipped

from geolayout.errors import FileError
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.limits import MAX_RINGS
from geolayout.land.files.shapefile import check_shapefile
from geolayout.land.files.source import Source

pytest.importorskip("fiona")

HERE = (500_000, 5_700_000)


def many(folder, squares=3, name="farm"):
    with shapefile.Writer(str(folder / name), shapeType=5) as writer:
        writer.field("NAME", "C", 40)
        for number in range(squares):
            writer.poly([ring(HERE[0] + 200 * number, HERE[1], 100)])
            writer.record(f"F{number}")
    return folder / f"{name}.shp"


def names(path):
    return [row.column("name") for row in read_sheet(path, None).rows]


def listing(folder):
    return sorted((file.name, file.stat().st_size) for file in folder.iterdir())


def test_a_missing_shx_is_worked_out_and_nothing_is_written(tmp_path):
    path = many(tmp_path)
    path.with_suffix(".shx").unlink()
    before = listing(tmp_path)
    sheet = read_sheet(path, None)
    assert [row.geometry.bounds[0] for row in sheet.rows] == [500_000, 500_200, 500_400]
    assert names(path) == ["F0", "F1", "F2"]
    assert [finding.kind for finding in sheet.findings] == ["missing part"]
    assert r".shx" in sheet.findings[0].sentence
    assert listing(tmp_path) == before


def test_the_shx_worked_out_is_the_one_that_was_lost(tmp_path):
    path = many(tmp_path, 5)
    lost = path.with_suffix(".shx")
    content = lost.read_bytes()
    lost.unlink()
    assert check_shapefile(Source(path)).contents[".shx"] == content


def test_a_missing_shx_in_a_zip_is_worked_out(tmp_path):
    path = many(tmp_path)
    archive = zipped(tmp_path, [path, path.with_suffix(".dbf")], inside="export/")
    assert names(archive) == ["F0", "F1", "F2"]


def test_files_on_the_disk_are_left_there(tmp_path):
    assert check_shapefile(Source(many(tmp_path))).contents == {}


def test_null_shapes_are_rows_without_shape(tmp_path):
    path = tmp_path / "farm.shp"
    with shapefile.Writer(str(path), shapeType=5) as writer:
        writer.field("NAME", "C", 40)
        writer.null()
        writer.record("none")
        writer.poly([ring(*HERE, 100)])
        writer.record("Home")
    first, second = read_sheet(path, None).rows
    assert (first.geometry, second.geometry.area) == (None, 10_000)


@pytest.mark.parametrize("suffix", [".shp", ".shx", ".dbf"])
@pytest.mark.parametrize("kept", [0, 50, 0.5, -9], ids=["all", "the head", "half", "the end"])
def test_a_part_that_breaks_off_is_named(tmp_path, suffix, kept):
    path = many(tmp_path)
    part = path.with_suffix(suffix)
    content = part.read_bytes()
    part.write_bytes(content[: int(len(content) * kept) if isinstance(kept, float) else kept])
    with pytest.raises(FileError, match=rf"its \{suffix} part|its \.shp part"):
        read_sheet(path, None)


def test_a_torn_shp_without_shx_is_refused(tmp_path):
    path = many(tmp_path)
    path.with_suffix(".shx").unlink()
    path.write_bytes(path.read_bytes()[:-20])
    with pytest.raises(FileError, match=r"its \.shp part breaks off"):
        read_sheet(path, None)


def test_another_file_named_shp_is_refused(tmp_path):
    path = many(tmp_path)
    path.write_bytes(b"<kml/>" * 100)
    with pytest.raises(FileError, match=r"its \.shp part breaks off or is damaged"):
        read_sheet(path, None)


def test_parts_of_two_exports_are_a_question(tmp_path):
    path = many(tmp_path)
    (tmp_path / "other").mkdir()
    more = many(tmp_path / "other", 4)
    path.with_suffix(".dbf").write_bytes(more.with_suffix(".dbf").read_bytes())
    (finding,) = read_sheet(path, None).findings
    assert (finding.kind, bool(finding.question)) == ("parts differ", True)
    assert "3 shapes, but its .dbf file has 4 rows" in finding.sentence


def test_a_shape_of_very_many_rings_is_refused(tmp_path):
    path = shp(tmp_path, [ring(HERE[0] + 2 * n, HERE[1], 1) for n in range(MAX_RINGS + 1)])
    with pytest.raises(FileError, match="a shape of 3,001 rings"):
        read_sheet(path, None)


def test_one_shape_listed_over_and_over_is_refused(tmp_path):
    # 40,000 entries that all point at one shape of 101 corners would be 4 million corners.
    corners = [[HERE[0] + n, HERE[1] + n * n] for n in range(100)]
    path = shp(tmp_path, [[*corners, corners[0]]])
    index = path.with_suffix(".shx")
    content = index.read_bytes()
    entries = content[100:108] * 40_000
    index.write_bytes(
        content[:24] + struct.pack(">i", (100 + len(entries)) // 2) + content[28:100] + entries
    )
    with pytest.raises(FileError, match="more than 1,500,000 corners"):
        read_sheet(path, None)


def test_letters_of_two_bytes_astride_two_pieces_are_utf_8(tmp_path, monkeypatch):
    monkeypatch.setattr("geolayout.land.files.shapefile._PIECE", 1)
    path = shp(tmp_path, [ring(*HERE, 100)], text="Fläche")
    assert names(path) == ["Fläche"]


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252"])
def test_a_system_with_letters_beyond_ascii_is_read(tmp_path, encoding):
    path = shp(tmp_path, [ring(*HERE, 100)])
    prj = path.with_suffix(".prj")
    text = prj.read_text().replace("ETRS_1989_UTM", "ETRS_1989_Zöne_UTM")
    assert "ö" in text
    prj.write_bytes(text.encode(encoding))
    assert read_sheet(path, None).crs.is_projected
