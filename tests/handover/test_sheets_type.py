"""Words keep their measure, break where they must, and tell of letters that cannot be set."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from geolayout.handover.sheets.type import (
    LACKING,
    POINT,
    broken,
    cut_short,
    printable,
    words_width,
)

SIZE = 9.0


@pytest.mark.parametrize("weight", ["normal", "bold"])
@pytest.mark.parametrize("words", ["HAMBURG hamburg", "Żółty жук", "12.50 m, 1 : 2 500"])
def test_the_width_is_that_of_the_drawn_letters(words, weight):
    """Outlines of the same words are as wide, but for kerning and the air at both ends."""
    face = FontProperties(family="DejaVu Sans", size=SIZE, weight=weight)
    drawn = TextPath((0, 0), words, prop=face).get_extents()
    assert words_width(words, SIZE, weight) == pytest.approx(drawn.x1 * POINT, rel=0.03)


@given(words=st.text(alphabet="ab żЖ.", max_size=80), width=st.floats(8.0, 60.0))
def test_no_line_is_wider_than_its_room_and_no_letter_is_lost(words, width):
    lines = broken(words, width, SIZE)
    assert all(words_width(line, SIZE) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(words.split())


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        pytest.param("Große Wiese, Żółty", "Große Wiese, Żółty", id="accents stand"),
        pytest.param("Поле № 3", "Поле № 3", id="Cyrillic stands"),
        pytest.param("北 field", f"{LACKING} field", id="a letter that is not there is a square"),
        pytest.param("a\tb\nc", "a b c", id="tabs and new lines are spaces"),
        pytest.param("\u200eright\u200f", "right", id="signs without a shape are left out"),
    ],
)
def test_letters_that_the_type_has_stand(words, shown):
    assert printable(words) == shown


def test_a_long_name_is_cut_with_dots():
    name = "the field behind the old brickworks by the river"
    cut = cut_short(name, 30.0, SIZE)
    assert cut.endswith("...")
    assert words_width(cut, SIZE) <= 30.0
    assert cut_short("short", 30.0, SIZE) == "short"
