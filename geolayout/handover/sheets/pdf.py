"""
Pages of text as PDF by reportlab, maps by matplotlib: no clock in either, so equal is equal.

Reportlab sets a page of text thirty times as fast as matplotlib, and embeds only the letters used.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from io import BytesIO

import matplotlib as mpl
from matplotlib.figure import Figure
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from geolayout.handover.pictures.looks import steady_style
from geolayout.handover.sheets.printed import Frame, Mark, Page, Rule, Squares
from geolayout.handover.sheets.type import POINT, type_file

__all__ = ["figure_pdf", "pages_pdf", "pdf_style"]

FACES = {"normal": "geolayout-normal", "bold": "geolayout-bold"}
"""What reportlab calls the weights of the type."""


def pages_pdf(title: str, pages: Sequence[Page]) -> bytes:
    """
    Return pages of text as PDF.

    Parameters
    ----------
    title : str
        Title that a reader of PDF shows.
    pages : sequence of Page
        The pages.

    Returns
    -------
    data : bytes
    """
    _embed_type()
    out = BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    for page in pages:
        canvas.setPageSize((page.width / POINT, page.height / POINT))
        for mark in page.marks:
            _draw(canvas, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Canvas, mark: Mark) -> None:
    """Draw one mark."""
    x, y = mark.x / POINT, mark.y / POINT
    if isinstance(mark, Rule):
        canvas.setLineWidth(mark.weight)
        canvas.line(x, y, x + mark.length / POINT, y)
    elif isinstance(mark, Frame):
        canvas.setLineWidth(mark.weight)
        canvas.rect(x, y, mark.width / POINT, mark.height / POINT)
    elif isinstance(mark, Squares):
        for left, foot, wide, high in mark.runs():
            box = (left / POINT, foot / POINT, wide / POINT, high / POINT)
            canvas.rect(*box, stroke=0, fill=1)
    else:
        canvas.setFont(FACES[mark.weight], mark.size)
        canvas.drawString(x, y, mark.words)


@cache
def _embed_type() -> None:
    """Make the type known to reportlab, once."""
    for weight, name in FACES.items():
        pdfmetrics.registerFont(TTFont(name, str(type_file(weight))))


@contextmanager
def pdf_style() -> Iterator[None]:
    """
    Draw for PDF with the same letters and lines whatever the user's own settings say.

    Letters are outlines of their own: they keep their text and are quicker than whole fonts.
    """
    with steady_style():
        mpl.rcParams["pdf.fonttype"] = 3
        yield


def figure_pdf(title: str, figure: Figure) -> bytes:
    """
    Return a figure as PDF of its own size; to be called within `pdf_style`.

    Parameters
    ----------
    title : str
        Title that a reader of PDF shows.
    figure : Figure
        What to write.

    Returns
    -------
    data : bytes
    """
    told = {"Title": title, "CreationDate": None, "Creator": None, "Producer": None}
    out = BytesIO()
    figure.savefig(out, format="pdf", metadata=told)
    return out.getvalue()
