"""The strip map is true to its scale, by a reader of PDF that did not write it."""

import re
from dataclasses import replace
from io import BytesIO

import numpy as np
import pdfplumber
import pytest
from handed_layouts import SHEETED, handed_paper, handed_sample
from sample_layouts import STRIPS
from sheet_boxes import all_words, faults

from geolayout.handover.pictures.paper import A3, A4, Sheet
from geolayout.handover.sheets.pdf import figure_pdf, pdf_style
from geolayout.handover.sheets.stripmap import map_sheet, sheet_view, strip_pages
from geolayout.plan.printing import LETTER, PAPERS, Printing
from geolayout.plan.units import IMPERIAL

INCH = 25.4
NEAR = 0.3
"""How far a strip may be off on paper. [mm]"""


def drawn(handed):
    """Return the strip map as PDF."""
    with pdf_style():
        return figure_pdf("map", map_sheet(handed, sheet_view(handed), "strip_map.pdf"))


def read(pdf):
    """Return the size, the words, and the corners of every filled path on the page. [mm]"""
    with pdfplumber.open(BytesIO(pdf)) as file:
        (page,) = file.pages
        size = (page.width / 72 * INCH, page.height / 72 * INCH)
        paths = [
            np.array([(x, page.height - y) for x, y in shape["pts"]]) / 72 * INCH
            for shape in [*page.curves, *page.rects]
        ]
        words = page.filter(lambda one: abs(one.get("matrix", (1, 0))[1]) < 1e-9).extract_text()
        return size, words, paths


def scale_of(words):
    """Return N of the scale 1 : N as the sheet tells it."""
    return int(re.search(r"1 : ([\d ]+?)(?=\s*\n|\s+N\b|$)", words)[1].replace(" ", ""))


def strips_found(handed, paths, scale):
    """Return the strips that some path on the page shows from edge to edge, measured by ruler."""
    (block,) = handed.layout.blocks
    sideways = block.guides.sideways
    spans = [(float((p @ sideways).min()), float((p @ sideways).max())) for p in paths]
    cuts = [cut for cut in block.section.cuts if cut.grows]

    def shown(cut, zero):
        low, high = zero + cut.t0 * 1000 / scale, zero + cut.t1 * 1000 / scale
        return any(abs(a - low) <= NEAR and abs(b - high) <= NEAR for a, b in spans)

    zeros = {low - cuts[3].t0 * 1000 / scale for low, _ in spans}
    return max(sum(shown(cut, zero) for cut in cuts) for zero in zeros), len(cuts)


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
@pytest.mark.parametrize("bearing", [0.0, 17.3, 90.0, 141.0])
def test_every_strip_has_its_true_width_on_paper(bearing, paper):
    """The scale and the strips are read from the page alone."""
    text = STRIPS.replace("bearing = 0.0", f"bearing = {bearing}")
    if bearing == 90.0:
        text = text.replace('from = "west"', 'from = "north"')
    handed = replace(handed_paper(text), printing=Printing(paper))
    size, words, paths = read(drawn(handed))
    assert sorted(size) == pytest.approx(sorted(paper.small), abs=0.1)
    found, strips = strips_found(handed, paths, scale_of(words))
    assert strips >= 10
    assert found >= strips - 2  # the outermost may be cut at a slanting edge


def test_strips_of_a_sample_have_their_true_width():
    handed = handed_sample("pond_piece")
    _, words, paths = read(drawn(handed))
    found, strips = strips_found(handed, paths, scale_of(words))
    assert found >= strips - 3


def test_a_map_drawn_at_another_scale_would_be_noticed():
    handed = handed_paper()
    _, words, paths = read(drawn(handed))
    found, _ = strips_found(handed, paths, scale_of(words) * 1.02)
    assert found < 8


@pytest.mark.parametrize("name", SHEETED)
def test_the_sheet_is_a4_or_a3_and_tells_what_it_must(name):
    handed = handed_sample(name)
    size, words, _ = read(drawn(handed))
    assert sorted(size) in (pytest.approx(A4, abs=0.1), pytest.approx(A3, abs=0.1))
    assert handed.code in words
    assert "North on this sheet" in words
    for one in handed.driving:
        assert f"first pass of {one.operation}" in " ".join(words.split())


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_narrow_strips_take_the_larger_paper(paper):
    wide, narrow = (
        replace(handed_paper(text), printing=Printing(paper))
        for text in (STRIPS, STRIPS.replace("width = 6.0", "width = 0.75"))
    )
    assert sheet_view(wide).sheet in Sheet.both_ways(paper.small)
    assert sheet_view(narrow).sheet in Sheet.both_ways(paper.large)


def test_tabloid_of_a_sample_is_true_too():
    handed = replace(handed_sample("market_plots"), printing=Printing(LETTER))
    size, words, _ = read(drawn(handed))
    assert sorted(size) in (
        pytest.approx(sorted(LETTER.small), abs=0.1),
        pytest.approx(sorted(LETTER.large), abs=0.1),
    )
    assert scale_of(words) == sheet_view(handed).scale


def test_the_map_is_told_in_german():
    _, words, _ = read(
        drawn(replace(handed_sample("pond_piece"), printing=Printing(language="de")))
    )
    told = " ".join(words.split())
    assert "GEFAHREN" in told
    assert "Ernte 2027" in told
    assert "Nord auf diesem Blatt" in told
    assert "Hazards" not in told


def test_equal_layouts_have_equal_maps():
    assert drawn(handed_paper()) == drawn(handed_paper())


def test_imperial_maps_are_in_feet_and_acres():
    _, words, _ = read(drawn(handed_paper(units=IMPERIAL)))
    assert "acres" in words
    assert "Figures in the chain are feet" in " ".join(words.split())


def test_table_of_strips_by_hand():
    """Strip 2 lies 6 to 12 m from the anchor: 6 x 100 m, 24 rows of beans 0.25 m apart."""
    told = all_words(strip_pages(handed_paper()))
    assert "2 B beans 6.00 m 6.00 - 12.00 0.060 24" in told
    assert "10 B beans 6.00 m 54.00 - 60.00 0.060 24" in told


@pytest.mark.parametrize("name", SHEETED)
def test_no_words_of_the_table_lie_over_others(name):
    pages = strip_pages(handed_sample(name))
    assert [fault for page in pages for fault in faults(page)] == []
