"""A drawn alley: the same bytes every time, and everything that is said is on it."""

import re

import numpy as np
import pytest

from geolayout.appraisal.light.alley import AlleyLight, Pace, YearLight
from geolayout.errors import FileError
from geolayout.handover.pictures.light import light_bytes, light_picture
from geolayout.plan.pattern import BandTrees

TREES = BandTrees(in_row_spacing=5.0)
CELLS = np.arange(0.5, 27.0)
CROP = (CELLS > 1.5) & (CELLS < 25.5)


def pace(height):
    """Light that falls as trees grow. Invented."""
    light = np.full(len(CELLS), 1.0 - height / 40.0)
    return Pace(height, 2.0, height / 2, light, light, light, light[0], light[0])


def alley(block="", *, estimated=True):
    years = tuple(YearLight(year, pace(year * 0.5), pace(year * 0.7)) for year in (5.0, 20.0))
    return AlleyLight(
        block, (2, 3), TREES, 27.0, 1.5, 25.5, 12.0, CELLS, CROP, estimated, (4, 7), years
    )


@pytest.mark.parametrize("form", ["png", "svg"])
def test_the_same_alley_is_the_same_picture(form):
    assert light_bytes([alley()], form) == light_bytes([alley()], form)


def test_rows_years_and_heights_are_written_on_it():
    text = light_bytes([alley("north")], "svg").decode()
    for words in ("Block north: tree rows 2 and 3", "27.0 m apart", "year 5: 2.5 - 3.5 m"):
        assert words in re.sub(r"\s+", " ", text), words


def test_two_alleys_are_drawn_below_each_other():
    one, two = (light_bytes([alley()] * count, "png") for count in (1, 2))
    tall = [int.from_bytes(picture[20:24], "big") for picture in (one, two)]  # PNG, IHDR
    assert tall[1] == pytest.approx(2 * tall[0], abs=2)


def test_a_picture_of_no_known_kind_is_refused(tmp_path):
    with pytest.raises(FileError, match=r"SVG or PNG"):
        light_picture([alley()], tmp_path / "light.pdf")
    assert list(tmp_path.iterdir()) == []
