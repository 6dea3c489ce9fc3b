"""Another reader of PDF finds the pages, their size and their words."""

import re
from io import BytesIO

import pdfplumber
import pytest

from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Part, Sentence
from geolayout.handover.sheets.pdf import pages_pdf

PAGES = set_pages(
    "Żółty жук $x^2$", "", [Part("Way in", (Sentence("Gate 4.5 m wide. " * 300),), framed=True)]
)


@pytest.fixture(scope="module")
def pdf():
    return pages_pdf("Job", PAGES)


def test_pages_are_a4(pdf):
    """297 mm are 841.89 points, 210 mm are 595.28."""
    with pdfplumber.open(BytesIO(pdf)) as read:
        assert len(read.pages) == len(PAGES)
        for page in read.pages:
            assert page.width == pytest.approx(595.28, abs=0.01)
            assert page.height == pytest.approx(841.89, abs=0.01)


def test_words_can_be_searched_and_signs_of_formulas_stay_signs(pdf):
    with pdfplumber.open(BytesIO(pdf)) as read:
        text = read.pages[0].extract_text()
    assert "Żółty жук $x^2$" in text
    assert "Gate 4.5 m wide." in text


def test_words_stand_where_they_were_set(pdf):
    title = PAGES[0].marks[0]
    with pdfplumber.open(BytesIO(pdf)) as read:
        letter = read.pages[0].chars[0]
    assert letter["x0"] / 72 * 25.4 == pytest.approx(title.x, abs=0.05)


def test_equal_pages_have_equal_bytes_without_a_day(pdf):
    assert pages_pdf("Job", PAGES) == pdf
    assert set(re.findall(rb"Date \(D:(\d{8})", pdf)) <= {b"20000101"}
