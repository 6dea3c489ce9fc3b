"""A reader that did not write the squares finds the match code and the file in them."""

from io import BytesIO

import numpy as np
import pypdfium2
import pytest
from handed_layouts import handed_paper, handed_sample
from hypothesis import given, settings
from hypothesis import strategies as st

from geolayout.handover.sheets.jobsheet import job_pages
from geolayout.handover.sheets.pdf import figure_pdf, pages_pdf, pdf_style
from geolayout.handover.sheets.planting import planting_pages
from geolayout.handover.sheets.squares import squares_of
from geolayout.handover.sheets.stripmap import map_sheet, sheet_view

reader = pytest.importorskip("zxingcpp", reason="zxing-cpp reads the squares back")

DOTS = 150
"""Of a middling copier. [dots per inch]"""


def read_back(pdf):
    """Return what a reader finds on the first page, printed in grey."""
    page = pypdfium2.PdfDocument(BytesIO(pdf))[0]
    image = page.render(scale=DOTS / 72, grayscale=True).to_numpy()
    return [found.text for found in reader.read_barcodes(np.ascontiguousarray(image.squeeze()))]


def test_of_a_job_sheet():
    handed = handed_paper()
    pdf = pages_pdf("job", job_pages(handed, 0, "guidance/plant.shp"))
    assert read_back(pdf) == [f"{handed.code} guidance/plant.shp"]


def test_of_the_strip_map():
    handed = handed_sample("pond_piece")
    with pdf_style():
        pdf = figure_pdf("map", map_sheet(handed, sheet_view(handed), "strip_map.pdf"))
    assert read_back(pdf) == [f"{handed.code} strip_map.pdf"]


def test_of_the_planting_sheet():
    handed = handed_sample("crooked_hedge")
    pdf = pages_pdf("planting", planting_pages(handed, "planting.pdf"))
    assert read_back(pdf) == [f"{handed.code} planting.pdf"]


def test_it_is_text_and_no_address():
    told = read_back(pages_pdf("job", job_pages(handed_paper(), 0, "guidance/plant.shp")))
    assert not any(
        "://" in text or text.lower().startswith(("http", "www", "geo")) for text in told
    )


@settings(max_examples=20)
@given(name=st.from_regex(r"[a-z]{1,8}(_\d)?", fullmatch=True))
def test_any_name_of_a_file_is_read_back(name):
    text = f"TUC-P8F guidance/{name}.shp"
    squares = np.array(squares_of(text))
    image = np.kron(np.pad(~squares, 4, constant_values=True), np.ones((4, 4))).astype(np.uint8)
    (found,) = reader.read_barcodes(image * 255)
    assert found.text == text
