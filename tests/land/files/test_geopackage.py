"""GeoPackages that compute, overflow, or are open in another program (all invented)."""

import shutil
import sqlite3
from contextlib import closing

import pytest
from boundary_files import HOME, gpkg, zipped

from geolayout.errors import FileError
from geolayout.land.files import geopackage
from geolayout.land.files.formats import read_sheet

pytest.importorskip("fiona")

ENDLESS = "with recursive n(x) as (select 1 union all select x + 1 from n) select x as fid from n"


@pytest.fixture
def path(tmp_path):
    return gpkg(tmp_path / "farm.gpkg", {"fields": [("Home", 1.0, HOME)]})


def change(path, *statements):
    with closing(sqlite3.connect(path)) as database:
        for statement in statements:
            database.execute(statement)
        database.commit()


def listing(folder):
    return sorted((file.name, file.read_bytes()) for file in folder.iterdir())


def contents(name):
    return (
        "insert into gpkg_contents (table_name, data_type, identifier, srs_id)"  # noqa: S608
        f" values ('{name}', 'features', '{name}', 4326)"
    )


@pytest.mark.parametrize(
    "statements",
    [
        pytest.param((f"create view more as {ENDLESS}", contents("more")), id="an endless view"),
        pytest.param(
            (
                "create table more (no integer, big as (zeroblob(900000000)) virtual)",
                contents("more"),
            ),
            id="a column that is computed",
        ),
        pytest.param(
            ("create virtual table more using rtree(fid, x0, x1)", contents("more")),
            id="a table of a module",
        ),
    ],
)
def test_a_layer_that_is_computed_is_refused(path, statements):
    change(path, *statements)
    with pytest.raises(FileError, match=r"Layer 'more' of farm\.gpkg is computed"):
        read_sheet(path, "fields")


def test_too_many_rows_are_refused_before_they_are_read(path):
    change(
        path,
        "create table more (fid integer primary key, geom blob, name text)",
        "insert into more (name) with recursive n(x) as"
        " (select 1 union all select x + 1 from n where x <= 100000) select 'x' from n",
        contents("more"),
    )
    with pytest.raises(FileError, match="more than 100,000 rows"):
        read_sheet(path, "fields")


def test_too_many_corners_are_refused_before_they_are_read(path):
    columns = "table_name, column_name, geometry_type_name, srs_id, z, m"
    change(
        path,
        "create table more (fid integer primary key, shape blob)",
        "insert into more (shape) values (zeroblob(30000000))",
        contents("more"),
        f"insert into gpkg_geometry_columns ({columns})"  # noqa: S608
        " values ('more', 'shape', 'POLYGON', 4326, 0, 0)",
    )
    with pytest.raises(FileError, match="more than 1,500,000 corners"):
        read_sheet(path, "fields")


def test_too_much_text_is_refused_before_it_is_read(path):
    change(
        path,
        "create table more (fid integer primary key, note text)",
        "insert into more (note) values (zeroblob(60000000))",
        contents("more"),
    )
    with pytest.raises(FileError, match="too much text in its columns"):
        read_sheet(path, "fields")


def test_a_database_that_takes_too_long_is_left(path, monkeypatch):
    monkeypatch.setattr(geopackage, "PATIENCE", -1.0)
    monkeypatch.setattr(geopackage, "_INSTRUCTIONS", 1)
    with pytest.raises(FileError, match=r"cannot be read.*interrupted"):
        read_sheet(path, None)


@pytest.mark.parametrize("zip_it", [False, True], ids=["on the disk", "in a zip"])
def test_a_database_that_keeps_a_log_is_read_without_one(tmp_path, path, zip_it):
    change(path, "pragma journal_mode = wal")
    path = zipped(tmp_path, [path]) if zip_it else path
    before = listing(tmp_path)
    assert len(read_sheet(path, None).rows) == 1
    assert listing(tmp_path) == before


@pytest.fixture
def left_open(tmp_path, path):
    """Give a database with a log, as it is while another program has it open."""
    change(path, "pragma journal_mode = wal")
    with closing(sqlite3.connect(path)) as database:
        database.execute("create table note (text)")
        database.commit()
        (tmp_path / "copy").mkdir()
        for end in ("", "-wal", "-shm"):
            shutil.copy(f"{path}{end}", tmp_path / "copy" / f"farm.gpkg{end}")
    return tmp_path / "copy" / "farm.gpkg"


def test_changes_that_are_still_in_the_log_are_read(left_open):
    connection = sqlite3.connect(f"file:{left_open}?mode=ro", uri=True)
    with closing(connection) as database:
        assert database.execute("select count(*) from note").fetchone() == (0,)
    before = listing(left_open.parent)
    assert len(read_sheet(left_open, None).rows) == 1
    assert [name for name, _ in listing(left_open.parent)] == [name for name, _ in before]
    assert listing(left_open.parent)[0] == before[0]


def test_a_log_that_was_left_behind_is_refused(left_open):
    left_open.with_name("farm.gpkg-shm").unlink()
    with pytest.raises(FileError, match=r"not closed properly.*farm\.gpkg-wal"):
        read_sheet(left_open, None)


def test_a_journal_that_was_left_behind_is_refused(path):
    path.with_name("farm.gpkg-journal").write_bytes(
        bytes.fromhex("d9d505f920a163d7") + b"\x00" * 504
    )
    with pytest.raises(FileError, match=r"not closed properly.*farm\.gpkg-journal"):
        read_sheet(path, None)


@pytest.mark.parametrize("zip_it", [False, True], ids=["on the disk", "in a zip"])
@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"no database",
        b"SQLite format 3\x00",
        b"SQLite format 3\x00" + b"\x10\x00\x01\x01" * 500,
    ],
    ids=["nothing", "another text", "a head alone", "a head and noise"],
)
def test_a_file_that_is_no_database_is_refused(tmp_path, content, zip_it):
    path = tmp_path / "torn.gpkg"
    path.write_bytes(content)
    with pytest.raises(FileError, match=r"torn\.gpkg cannot be read"):
        read_sheet(zipped(tmp_path, [path]) if zip_it else path, None)


def test_a_database_that_is_no_geopackage_is_refused(tmp_path):
    path = tmp_path / "plain.gpkg"
    change(path, "create table fields (name text)")
    with pytest.raises(FileError, match="no such table: gpkg_contents"):
        read_sheet(path, None)
