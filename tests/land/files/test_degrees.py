"""Coordinates as people write them (all invented)."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.land.files.degrees import is_angle, parse_angle, parse_number

# 52 + 30 / 60 + 36 / 3600 = 52.51.
SAME_ANGLE = [
    "52.51",
    "52,51",
    "+52.51",
    "52.51°",
    "52.51 N",
    "N52.51",
    "52° 30' 36\"",
    "52°30'36\"N",
    "52°30′36″",
    "52º 30’ 36” n",
    "52°30'36''",
    "52 30 36 N",
    "N 52 30.6",
    "52:30:36",
    "52d30m36s",
    "52d 30m 36.0s N",
    "52° 30,6'",
]


@pytest.mark.parametrize("cell", SAME_ANGLE)
def test_one_latitude_written_in_many_ways_is_one_number(cell):
    assert parse_angle(cell, "latitude") == pytest.approx(52.51, abs=1e-12)


@pytest.mark.parametrize(
    "cell", ["-10.5", "10.5 W", "W10.5", "10°30'W", "-10°30'", "10 30 00 W", "10d30m00s W"]
)
def test_west_and_minus_are_one_side(cell):
    assert parse_angle(cell, "longitude") == pytest.approx(-10.5, abs=1e-12)


def test_an_s_after_seconds_is_south_unless_minutes_have_an_m():
    assert parse_angle("52 30 36 S", "latitude") == pytest.approx(-52.51)
    assert parse_angle("52°30'36\"S", "latitude") == pytest.approx(-52.51)
    assert parse_angle("52d30m36s", "latitude") == pytest.approx(52.51)
    assert parse_angle("52d30m36sS", "latitude") == pytest.approx(-52.51)


@pytest.mark.parametrize(
    ("cell", "match"),
    [
        pytest.param("", "is empty", id="an empty cell"),
        pytest.param("hedge", "no number", id="a word"),
        pytest.param("nan", "no number", id="not a number"),
        pytest.param("1_0", "no number", id="a number of a programming language"),
        pytest.param("0x10", "no number", id="another base"),
        pytest.param("9" * 70, "no number", id="seventy digits"),
        pytest.param("5.7E+06", "lost its last digits", id="a power of ten from a spreadsheet"),
        pytest.param("5700000,5.2", "marks for thousands", id="both decimal signs"),
        pytest.param("5.700.000", "marks for thousands", id="points for thousands"),
        pytest.param("5'700'000.5", "marks for thousands", id="dashes for thousands"),
        pytest.param("52°61'", "60 or more", id="61 minutes"),
        pytest.param("52°30'60\"", "60 or more", id="60 seconds"),
        pytest.param("52.5°30'", "decimals before", id="decimals of degrees and minutes"),
        pytest.param("52 N 30", "no number", id="a letter in the middle"),
        pytest.param("-52 S", "side twice", id="a sign and a letter"),
        pytest.param("N 52 N", "side twice", id="two letters"),
        pytest.param("10 E", "no latitude", id="a longitude"),
        pytest.param("52 30 12 7", "no number", id="four parts"),
        pytest.param("10 O", "no number", id="east in one language and west in another"),
    ],
)
def test_what_can_be_read_in_two_ways_or_none_is_refused(cell, match):
    with pytest.raises(ValueError, match=match):
        parse_angle(cell, "latitude")


def test_small_numbers_may_have_a_power_of_ten():
    assert parse_number("9.5E-05") == 9.5e-05


@pytest.mark.parametrize("cell", SAME_ANGLE)
def test_only_signs_and_letters_make_degrees_certain(cell):
    assert is_angle(cell) is (cell not in ("52.51", "52,51", "+52.51"))


@given(st.integers(0, 179), st.integers(0, 59), st.integers(0, 59_999_999), st.sampled_from("EW"))
@example(0, 0, 1, "W")
@example(179, 59, 59_999_999, "E")
def test_degrees_minutes_and_millionths_of_seconds_are_read_back(degrees, minutes, micro, side):
    """A millionth of a second is 0.03 mm."""
    cell = f"{degrees}°{minutes:02}'{micro / 1e6:09.6f}\"{side}"
    angle = (degrees + minutes / 60 + micro / 3.6e9) * (1 if side == "E" else -1)
    assert math.isclose(parse_angle(cell, "longitude"), angle, abs_tol=1e-12)
