"""Many lines in two arrays."""

import numpy as np
import pytest

from geolayout.layout.shapes.lines import Lines, frozen, joined_columns, whole_numbers

NONE = Lines.two_point(np.empty((0, 2)), np.empty((0, 2)))
TWO = Lines.two_point(np.array([[0.0, 0.0], [5.0, 5.0]]), np.array([[3.0, 4.0], [5.0, 17.0]]))
BENT = Lines(np.array([[0.0, 0.0], [0.0, 2.0], [1.0, 2.0]]), np.array([0, 3]))


@pytest.mark.parametrize(
    ("lines", "lengths"),
    [
        pytest.param(TWO, [5.0, 12.0], id="3-4-5 and 12 m north"),
        pytest.param(BENT, [3.0], id="2 m north and 1 m east"),
        pytest.param(NONE, [], id="no lines"),
    ],
)
def test_lengths_are_those_of_the_geometries(lines, lengths):
    assert len(lines) == len(lengths)
    assert lines.length == pytest.approx(lengths)
    assert [line.length for line in lines.geometry] == pytest.approx(lengths)


def test_joined_lines_keep_their_order_and_their_vertices():
    joined = Lines.joined([BENT, NONE, TWO])
    assert joined.length == pytest.approx([3.0, 5.0, 12.0])
    assert joined.offsets.tolist() == [0, 3, 5, 7]
    assert [line.wkt for line in joined.geometry] == [
        line.wkt for lines in (BENT, TWO) for line in lines.geometry
    ]


def test_joining_nothing_gives_no_lines():
    assert len(Lines.joined([])) == 0


def test_columns_cannot_be_written():
    for column in (TWO.xy, TWO.offsets, Lines.joined([TWO]).xy, frozen(np.ones(2))):
        with pytest.raises(ValueError, match="read-only"):
            column[0] = 1


def test_whole_numbers_are_read_only_and_small():
    column = whole_numbers(np.array([1, 2]))
    assert column.dtype == np.int32
    assert not column.flags.writeable


def test_columns_are_joined_by_name_but_for_some():
    assert joined_columns([TWO, BENT], "xy")["offsets"].tolist() == [0, 2, 4, 0, 3]
    assert list(joined_columns([TWO], "xy")) == ["offsets"]
