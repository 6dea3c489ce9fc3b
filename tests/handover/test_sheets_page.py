"""Whatever stands on a page stands within its margins and over nothing else."""

import pytest
from sheet_boxes import faults, texts

from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Blanks, Part, Sentence, Table
from geolayout.handover.sheets.printed import Frame
from geolayout.handover.sheets.type import LACKING

LONG = "A line of unknown height crosses the field and a boom that folds under it can reach it. "

HAZARDS = Part("Hazards", (Sentence(LONG * 3, "▲a"), Sentence("Look.", "▲b")), framed=True)
TABLE = Part(
    "Products",
    (Table(("band", "product", "ha"), tuple((f"A{k}", LONG, "1.25") for k in range(90))),),
)
SIGNED = Part("Sign-off", (Blanks(("Name", "Day", "Hectares done")), Blanks(("Lot numbers",))))


@pytest.mark.parametrize(
    "parts",
    [
        pytest.param([HAZARDS], id="a frame"),
        pytest.param([HAZARDS, TABLE, SIGNED], id="several pages"),
        pytest.param([Part(LONG, (Sentence("w" * 300),))], id="one word over three lines"),
        pytest.param(
            [Part("Wide", (Table(tuple("abcdefgh"), ((LONG,) * 8,) * 9),))], id="eight long columns"
        ),
        pytest.param([HAZARDS] * 9, id="frames to the foot of the page"),
    ],
)
def test_words_stand_within_the_margins_and_over_no_others(parts):
    for page in set_pages("Job sheet " * 9, LONG * 2, parts, LONG * 4):
        assert faults(page) == []


def test_a_frame_holds_its_part():
    (page,) = set_pages("Job", "", [HAZARDS])
    (frame,) = [mark for mark in page.marks if isinstance(mark, Frame)]
    held = [text for text in texts(page) if frame.y < text.y < frame.y + frame.height]
    assert {"Hazards", "▲a", "▲b", "Look."} <= {text.words for text in held}


def test_a_frame_that_fits_on_one_page_is_not_parted():
    fill = Part("Fill", (Sentence(LONG * 80),))
    pages = set_pages("Job", "", [fill, HAZARDS])
    frames = [mark for page in pages for mark in page.marks if isinstance(mark, Frame)]
    assert len(pages) == 2
    assert len(frames) == 1


def test_pages_are_numbered_and_say_whose_they_are():
    pages = set_pages("Job", "", [TABLE], "Plan K7Q-2MX")
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        words = [text.words for text in texts(page)]
        assert f"{number} / {len(pages)}" in words
        assert "Plan K7Q-2MX" in words


def test_every_row_of_a_table_is_there_once():
    pages = set_pages("Job", "", [TABLE])
    words = [text.words for page in pages for text in texts(page)]
    assert [word for word in words if word.startswith("A") and word[1:].isdigit()] == [
        f"A{k}" for k in range(90)
    ]


def test_a_square_for_a_letter_that_is_not_there_is_told_of():
    (page,) = set_pages("Field 北", "", [HAZARDS])
    words = [text.words for text in texts(page)]
    assert f"Field {LACKING}" in words
    assert any("stands for a letter" in word for word in words)
    (plain,) = set_pages("Field", "", [HAZARDS])
    assert not any("stands for a letter" in text.words for text in texts(plain))


def test_a_part_that_says_nothing_is_left_out():
    (page,) = set_pages("Job", "", [Part("Trees", ()), HAZARDS])
    assert "Trees" not in [text.words for text in texts(page)]
