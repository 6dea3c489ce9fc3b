"""Which file is meant: a file, a folder, a zip; and the tricks of zips, all refused."""

import os
import stat
import struct
import zipfile

import pytest
from boundary_files import AWAY, HOME, feature, geojson, gpkg, kml, kml_polygon, ring, shp, zipped

from geolayout.errors import FileError
from geolayout.land.files import archive as archives
from geolayout.land.files.formats import READERS, read_sheet
from geolayout.land.files.limits import MAX_MEMBERS, MAX_TEXT
from geolayout.land.files.source import Source, find_source

pytest.importorskip("fiona")

TEXT = b'{"type": "Point", "coordinates": [10, 52]}'


def found(path, layer=None):
    return find_source(path, layer, READERS)


def only_row(path, layer=None):
    (row,) = read_sheet(path, layer).rows
    return row


def packed(folder, members, name="farm.zip", **how):
    path = folder / name
    with zipfile.ZipFile(path, "w", **how) as archive:
        for member, content in members.items():
            archive.writestr(member, content)
    return path


# One file


def test_a_file_is_its_own_source(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    source, layer = found(path, "farm")
    assert (source.file, source.archive, source.suffix, layer) == (path, None, ".geojson", "farm")
    assert source.content() == path.read_bytes()


def test_a_missing_file_is_told(tmp_path):
    for name in ("none.gpkg", "none/farm.gpkg", "nul\0.gpkg"):
        with pytest.raises(FileError, match="is not there"):
            found(tmp_path / name)
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError, match="is not there"):
        found(tmp_path / "file" / "farm.gpkg")


def test_a_name_too_long_for_the_system_is_told_in_short(tmp_path):
    with pytest.raises(FileError, match="cannot be opened") as caught:
        found(tmp_path / f"{'x' * 5000}.gpkg")
    assert len(str(caught.value)) < 400


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_no_file(tmp_path):
    os.mkfifo(tmp_path / "farm.geojson")
    with pytest.raises(FileError, match="is no file"):
        found(tmp_path / "farm.geojson")


@pytest.mark.parametrize(
    ("name", "remedy"),
    [
        pytest.param("farm.dbf", "Name farm.shp", id="a part of a shapefile"),
        pytest.param("farm.SHX", "Name farm.shp", id="a part in upper case"),
        pytest.param("farm.rar", "Unpack it first", id="another way to pack"),
        pytest.param("farm.qgz", "Export the layer", id="a project"),
        pytest.param("farm.pdf", "has no corners", id="a picture"),
        pytest.param("farm.docx", "GeoPackage for choice", id="another kind of file"),
        pytest.param("farm", "GeoPackage for choice", id="no kind at all"),
    ],
)
def test_another_kind_of_file_is_told_what_to_do(tmp_path, name, remedy):
    (tmp_path / name).write_text("")
    with pytest.raises(FileError, match=remedy):
        found(tmp_path / name)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads all")
def test_a_file_that_is_not_ours_to_read_is_refused(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    path.chmod(0)
    with pytest.raises(FileError, match="cannot be opened"):
        Source(path).content()


def test_a_file_gone_since_it_was_found_is_refused(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    archive = zipped(tmp_path, [path])
    sources = [found(path)[0], found(archive)[0]]
    path.unlink()
    archive.unlink()
    for source, words in zip(sources, ("cannot be opened", "is not there"), strict=True):
        with pytest.raises(FileError, match=words):
            source.content()


def test_a_text_over_the_limit_is_not_read(tmp_path):
    path = tmp_path / "farm.geojson"
    with path.open("wb") as file:
        file.truncate(MAX_TEXT + 1)  # a sparse file: no room taken on most systems
    with pytest.raises(FileError, match=r"holds 30\.0 MB.*At most 30 MB"):
        found(path)[0].content()


def test_partners_and_neighbours_are_found_in_either_case(tmp_path):
    for name in ("farm.shp", "farm.DBF", "Other.XML"):
        (tmp_path / name).write_bytes(b"")
    source = Source(tmp_path / "farm.shp")
    assert source.partner(".dbf").file.name == "farm.DBF"
    assert source.partner(".shx") is None
    assert source.neighbour("other.xml").file.name == "Other.XML"
    assert source.neighbour("../farm.shp") is None


# Folders


def test_a_folder_with_one_set_is_read(tmp_path):
    shp(tmp_path, [ring(500_000, 5_700_000, 100)])
    (tmp_path / "read me.txt").write_text("Notes, no map")
    (tmp_path / ".hidden.geojson").write_bytes(TEXT)
    assert only_row(tmp_path).properties == {"NAME": "Home"}


def test_a_set_in_a_folder_of_the_folder_is_read(tmp_path):
    (tmp_path / "export" / "2026").mkdir(parents=True)
    geojson(tmp_path / "export" / "2026", feature(HOME, {"name": "Home"}))
    assert only_row(tmp_path).properties == {"name": "Home"}


def test_two_files_in_a_folder_need_a_choice(tmp_path):
    geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    with pytest.raises(FileError, match=r"2 files.*away\.geojson, home\.geojson"):
        found(tmp_path)
    assert found(tmp_path, "away")[0].file == away


def test_a_folder_without_a_map_is_refused(tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"")
    with pytest.raises(FileError, match="holds 0 files that can be read, of 1"):
        found(tmp_path)
    packed(tmp_path, {"farm.geojson": TEXT})
    with pytest.raises(FileError, match=r"another zip, farm\.zip"):
        found(tmp_path)


def test_a_folder_of_very_many_files_is_refused(tmp_path):
    for number in range(MAX_MEMBERS + 1):
        (tmp_path / f"{number}.txt").touch()
    with pytest.raises(FileError, match="more than 5,000 files"):
        found(tmp_path)


# Zips


@pytest.mark.parametrize("inside", ["", "export/2026/"])
@pytest.mark.parametrize("name", ["farm.zip", "farm.shp.zip", "Farm of 2026.ZIP", "farm.shz"])
def test_a_zipped_shapefile_is_found(tmp_path, inside, name):
    folder = tmp_path / "loose"
    folder.mkdir()
    shp(folder, [ring(500_000, 5_700_000, 100)], text="Fläche")
    path = zipped(tmp_path, sorted(folder.iterdir()), inside, name)
    assert only_row(path).properties["NAME"] == "Fläche"


def test_what_a_packing_program_adds_is_passed_over(tmp_path):
    path = geojson(tmp_path, feature(HOME, {}))
    archive = zipped(tmp_path, [path])
    with zipfile.ZipFile(archive, "a") as extra:
        extra.writestr("__MACOSX/._farm.geojson", b"\x00")
        extra.writestr("empty/", b"")
        extra.writestr("read me.txt", b"Notes, no map")
    source, layer = found(archive)
    assert (source.content(), layer) == (path.read_bytes(), None)


def test_two_files_in_a_zip_need_a_choice(tmp_path):
    home = geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    archive = zipped(tmp_path, [home, away])
    with pytest.raises(FileError, match=r"2 files.*home\.geojson, away\.geojson"):
        found(archive)
    with pytest.raises(FileError, match="None of them is called 'here'"):
        found(archive, "here")
    source, layer = found(archive, "away")
    assert source.content() == away.read_bytes()
    assert layer is None


@pytest.mark.parametrize("name", ["away", "away.geojson", "export/away.geojson"])
def test_a_file_of_a_zip_is_named_with_or_without_suffix_and_folder(tmp_path, name):
    home = geojson(tmp_path, feature(HOME, {}), name="home.geojson")
    away = geojson(tmp_path, feature(AWAY, {}), name="away.geojson")
    archive = zipped(tmp_path, [home, away], inside="export/")
    assert found(archive, name)[0].file.name == "away.geojson"


def test_files_of_one_name_in_two_folders_are_named_with_the_folder(tmp_path):
    archive = packed(tmp_path, {"a/farm.json": TEXT, "b/farm.json": TEXT})
    with pytest.raises(FileError, match="2 of them are called 'farm'"):
        found(archive, "farm")
    assert str(found(archive, "b/farm.json")[0].file) == "b/farm.json"


def test_the_layer_of_the_only_file_in_a_zip_is_left_to_choose(tmp_path):
    layers = {"fields": [("Home", 1.0, HOME)], "plots": [("Away", 1.0, AWAY)]}
    archive = zipped(tmp_path, [gpkg(tmp_path / "fields.gpkg", layers)])
    assert found(archive, "plots")[1] == "plots"
    assert only_row(archive, "plots").geometry.equals(AWAY)
    assert only_row(archive, "fields").geometry.equals(HOME)


def test_a_kmz_is_an_archive_of_a_kml(tmp_path):
    doc = kml(tmp_path, f"<Placemark>{kml_polygon(HOME)}</Placemark>", name="doc.kml")
    assert only_row(zipped(tmp_path, [doc], name="home.kmz")).geometry.equals(HOME)


def test_an_archive_without_shapes_is_refused(tmp_path):
    with pytest.raises(FileError, match="holds 0 files"):
        found(packed(tmp_path, {"read.me": b"nothing"}))


def test_a_zip_in_a_zip_is_named(tmp_path):
    inner = packed(tmp_path, {"farm.geojson": TEXT}, name="inner.zip")
    with pytest.raises(FileError, match=r"another zip, inner\.zip.*Unpack the outer one"):
        found(zipped(tmp_path, [inner], name="outer.zip"))


# Tricks of zips


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        pytest.param("/etc/farm.geojson", "from a drive or the root", id="an absolute path"),
        pytest.param("C:/farm.geojson", "from a drive or the root", id="a drive"),
        pytest.param("farm.geojson:stream", "from a drive or the root", id="a stream of a file"),
        pytest.param("../farm.geojson", "through other folders", id="the folder above"),
        pytest.param("a/../../farm.geojson", "through other folders", id="a way round"),
        pytest.param("a//farm.geojson", "through other folders", id="a folder without a name"),
        pytest.param("./farm.geojson", "through other folders", id="the folder itself"),
        pytest.param("a\\farm.geojson", "backslash", id="a backslash"),
        pytest.param("CON.geojson", "name of a device", id="a device"),
        pytest.param("a/lpt1", "name of a device", id="a device in a folder"),
        pytest.param("nul .geojson", "name of a device", id="a device with a blank"),
        pytest.param("a\nb.geojson", "cannot be shown", id="a line break"),
        pytest.param("a\x1b[2J.geojson", "cannot be shown", id="a sign that clears the screen"),
        pytest.param("a\u202egeojson.exe", "cannot be shown", id="a sign that turns the text"),
    ],
)
def test_a_member_with_a_name_that_is_no_plain_path_is_refused(tmp_path, name, fault):
    with pytest.raises(FileError, match=fault) as caught:
        found(packed(tmp_path, {"fine.geojson": TEXT, name: TEXT}))
    assert str(caught.value).isprintable()


def test_a_name_that_ends_early_is_refused(tmp_path):
    path = packed(tmp_path, {"farm.geojson?.exe": TEXT})
    path.write_bytes(path.read_bytes().replace(b"geojson?", b"geojson\0"))
    with pytest.raises(FileError, match="cannot be shown"):
        found(path)


def test_a_member_that_is_a_link_is_refused(tmp_path):
    link = zipfile.ZipInfo("farm.geojson")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with pytest.raises(FileError, match="is a link"):
        found(packed(tmp_path, {link: b"/etc/passwd"}))


def test_a_locked_member_is_refused(tmp_path):
    path = packed(tmp_path, {"farm.geojson": TEXT})
    content = bytearray(path.read_bytes())
    # The flags of the member: byte 6 of its own header, byte 8 of the one in the list.
    content[6] |= 1
    content[content.index(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(content)
    with pytest.raises(FileError, match="locked by a password"):
        found(path)


def test_a_member_that_is_there_twice_is_refused(tmp_path):
    path = packed(tmp_path, {"farm.geojson": TEXT})
    with pytest.warns(UserWarning, match="Duplicate name"), zipfile.ZipFile(path, "a") as more:
        more.writestr("farm.geojson", b"another")
    with pytest.raises(FileError, match="is there twice"):
        found(path)


def test_a_zip_of_very_many_files_is_refused(tmp_path):
    many = packed(tmp_path, {f"{number}.txt": b"" for number in range(MAX_MEMBERS + 1)})
    with pytest.raises(FileError, match="holds 5,001 files"):
        found(many)


def test_a_list_of_contents_longer_than_is_read_is_refused(tmp_path, monkeypatch):
    path = packed(tmp_path, {f"{number}.json": b"" for number in range(100)})
    monkeypatch.setattr(archives, "MAX_LISTING", 100 * 46)
    with pytest.raises(FileError, match="list of contents is too long"):
        found(path)


def test_a_zip_bomb_is_refused_by_what_it_says(tmp_path):
    # 120 MB of one letter; deflate packs it a thousand times smaller.
    path = packed(tmp_path, {"farm.geojson": b" " * 120_000_000}, compression=zipfile.ZIP_DEFLATED)
    with pytest.raises(FileError, match="says that it unpacks to 120 MB"):
        found(path)


def test_a_member_over_the_limit_is_not_unpacked(tmp_path):
    path = packed(tmp_path, {"a.geojson": b" " * 40_000_000}, compression=zipfile.ZIP_DEFLATED)
    with pytest.raises(FileError, match=r"holds 40\.0 MB.*At most 30 MB"):
        found(path)[0].content()


def test_a_member_that_is_longer_than_it_says_is_refused(tmp_path):
    path = packed(tmp_path, {"a.geojson": b" " * 20_000_000}, compression=zipfile.ZIP_DEFLATED)
    size, less = struct.pack("<I", 20_000_000), struct.pack("<I", 1_000)
    path.write_bytes(path.read_bytes().replace(size, less))
    with pytest.raises(FileError, match="not a whole zip file"):
        found(path)[0].content()


@pytest.mark.parametrize("way", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA], ids=["bzip2", "lzma"])
def test_a_member_packed_in_a_rare_way_is_refused(tmp_path, way):
    path = packed(tmp_path, {"farm.geojson": TEXT}, compression=way)
    with pytest.raises(FileError, match="packed in an unusual way"):
        found(path)[0].content()


def test_a_torn_zip_is_refused(tmp_path):
    whole = packed(tmp_path, {"farm.geojson": TEXT}).read_bytes()
    for number, content in enumerate((b"", b"PK no zip", whole[:-10], whole[:20])):
        path = tmp_path / f"{number}.zip"
        path.write_bytes(content)
        with pytest.raises(FileError, match="not a whole zip file"):
            found(path)


def test_a_member_with_a_wrong_checksum_is_refused(tmp_path):
    path = packed(tmp_path, {"farm.geojson": TEXT})
    path.write_bytes(path.read_bytes().replace(b'"Point"', b'"Paint"'))
    with pytest.raises(FileError, match="not a whole zip file"):
        found(path)[0].content()
