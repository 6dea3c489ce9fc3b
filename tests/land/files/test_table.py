"""Cells of a table, whichever sign parts them (all invented)."""

import csv

import pytest

from geolayout.errors import FileError
from geolayout.land.files import table as table_module
from geolayout.land.files.table import read_table


def known(cells):
    return "lon" in cells and "lat" in cells


def read(text, encoding="utf-8"):
    return read_table(text.encode(encoding), "farm.csv", known)


def cells(table):
    return [line.cells for line in table.lines]


@pytest.mark.parametrize("sign", [",", ";", "\t", "|", " "])
def test_the_sign_that_parts_cells_is_found(sign):
    table = read(f"lon{sign}lat\n10.5{sign}52.5\n")
    assert table.columns == ("lon", "lat")
    assert cells(table) == [("10.5", "52.5")]


def test_semicolons_leave_commas_to_decimals():
    assert cells(read("lon;lat\n10,5;52,5\n")) == [("10,5", "52,5")]


def test_a_spreadsheet_may_state_the_sign():
    assert cells(read("sep=!\r\nlon!lat\r\n1!2\r\n")) == [("1", "2")]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"], ids=["UTF-8", "marked", "1252", "16"]
)
def test_letters_survive_their_encoding(encoding):
    assert cells(read("lon,lat,name\n1,2,Fläche ß\n", encoding)) == [("1", "2", "Fläche ß")]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_will_do(end):
    table = read(end.join(["lon,lat", "1,2", "3,4"]))
    assert cells(table) == [("1", "2"), ("3", "4")]
    assert [line.number for line in table.lines] == [2, 3]


def test_quotes_hold_signs_and_line_ends_and_inches_are_no_quotes():
    table = read('lon,lat,note\n"10,5",52°30\'36",an "old" oak\n1,2,"two\nlines"\n3,4,\n')
    assert cells(table) == [
        ("10,5", "52°30'36\"", 'an "old" oak'),
        ("1", "2", "two lines"),
        ("3", "4", ""),
    ]
    assert [line.number for line in table.lines] == [2, 4, 5]


def test_remarks_and_empty_lines_at_the_ends_are_passed_over_and_gaps_told():
    table = read("# made by hand\n\nlon,lat\n\n1,2\n# a remark\n,\n3,4\n\n")
    assert cells(table) == [("1", "2"), ("3", "4")]
    assert table.gaps == (7,)


def test_a_cell_may_hold_a_whole_outline():
    before = csv.field_size_limit()
    long = "1 2, " * 100_000
    assert cells(read(f'lon,lat,note\n1,2,"{long}"\n'))[0][2] == long.strip()
    assert csv.field_size_limit() == before


def test_short_lines_are_filled_up():
    assert cells(read("lon,lat,note\n1,2\n3,4,x,,\n")) == [("1", "2", ""), ("3", "4", "x")]


@pytest.mark.parametrize(
    ("content", "match"),
    [
        pytest.param(b"", "names no columns", id="nothing"),
        pytest.param(b"10.5,52.5\n10.6,52.6\n", "names no columns", id="figures alone"),
        pytest.param(b"sep=;\n", "names no columns", id="a separator alone"),
        pytest.param(b"lon,lat\n10,5,52,5\n", "4 cells for 2 columns", id="decimal commas"),
        pytest.param(b'lon,lat\n"10,52\n', "cannot be parted", id="an open quote"),
        pytest.param(b'lon,lat\n"10"5,52\n', "cannot be parted", id="letters after a quote"),
        pytest.param(b"lon,lat\n10,5\x002\n", "no text", id="a zero byte"),
        pytest.param(b"lon,lat,\x81\xff\n", "no text", id="bytes that are no letters"),
        pytest.param(b"\xff\xfelon", "no text", id="half a letter of UTF-16"),
        pytest.param(b"\x89PNG\r\n\x1a\n\x00", "no text", id="a picture"),
    ],
)
def test_what_is_no_table_is_refused(content, match):
    with pytest.raises(FileError, match=match):
        read_table(content, "farm.csv", known)


def test_a_table_of_too_many_lines_or_cells_is_refused(monkeypatch):
    monkeypatch.setattr(table_module, "_MAX_LINES", 3)
    with pytest.raises(FileError, match="more than 3 lines"):
        read("lon,lat\n1,2\n1,2\n1,2\n")
    monkeypatch.setattr(table_module, "_MAX_CELLS", 5)
    with pytest.raises(FileError, match="6 cells"):
        read("lon,lat\n,,,,,\n")
