"""What is said of files that hold too much."""

import pytest

from geolayout.errors import FileError
from geolayout.land.files.limits import (
    CUT_OUT,
    EXPORT_AGAIN,
    MAX_ROWS,
    MAX_VALUES,
    MAX_VERTICES,
    check_json_size,
    check_rows,
    too_large,
)


@pytest.mark.parametrize(
    ("rows", "corners", "holds", "most"),
    [
        (MAX_ROWS + 1, 0, "holds more than 100,000 rows", "At most 100,000 are read"),
        (1, MAX_VERTICES + 1, "holds more than 1,500,000 corners", "At most 1,500,000 are read"),
    ],
    ids=["a layer of a whole country", "a layer of few shapes with very many corners"],
)
def test_a_layer_that_is_too_large_is_refused_with_what_to_do(rows, corners, holds, most):
    with pytest.raises(FileError) as caught:
        check_rows("country.gpkg", rows, corners)
    for words in ("country.gpkg", holds, most, CUT_OUT):
        assert words in str(caught.value)


def test_a_layer_at_the_limits_is_read():
    check_rows("county.gpkg", MAX_ROWS, MAX_VERTICES)


def test_a_json_text_at_the_limit_is_read_and_one_value_more_is_refused():
    check_json_size("a.geojson", b"," * MAX_VALUES)
    with pytest.raises(FileError, match="holds 2,000,001 values"):
        check_json_size("a.geojson", b"," * (MAX_VALUES + 1))


def test_the_remedy_can_be_another():
    error = too_large("a.gpx", "101 nested elements", "100", EXPORT_AGAIN)
    assert EXPORT_AGAIN in str(error)
    assert CUT_OUT not in str(error)
