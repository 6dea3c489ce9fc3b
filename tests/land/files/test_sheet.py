"""What a row is called, and which column answers to a name."""

import pytest

from geolayout.land.files.sheet import Row


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


def test_a_name_of_many_lines_is_one_line_and_short():
    label = Row(None, {"name": "Home\nfield\x1b[2J" + "x" * 1000}).label("otherwise")
    assert label.startswith("Home field [2Jx")
    assert label.isprintable()
    assert len(label) <= 80
