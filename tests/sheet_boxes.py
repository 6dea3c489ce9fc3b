"""Where words stand on a page of a sheet, for tests that nothing lies over anything else."""

from itertools import combinations

from geolayout.handover.sheets.page import MARGIN
from geolayout.handover.sheets.printed import Squares, Text
from geolayout.handover.sheets.squares import QUIET
from geolayout.handover.sheets.type import POINT

FOOT, HEAD = MARGIN + 1.0, MARGIN + 12.0
"""From the foot of a page, and from its top to below its title. [mm]"""


def texts(page):
    """Return the words of a page."""
    return [mark for mark in page.marks if isinstance(mark, Text)]


def box(text):
    """Return left, foot, right and top of words; letters of DejaVu reach 0.24 below the line."""
    high = text.size * POINT
    return text.x, text.y - 0.2 * high, text.right, text.y + 0.76 * high


def squares(mark):
    """Return left, foot, right and top of a code with the light border it needs."""
    return mark.x - QUIET, mark.y - QUIET, mark.x + mark.side + QUIET, mark.y + mark.side + QUIET


def over(a, b):
    """Whether two boxes lie over each other by more than a hair."""
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.01 and min(a[3], b[3]) - max(a[1], b[1]) > 0.01


def faults(page):
    """Return words that reach over the margin, and pairs that lie over each other."""
    placed = [(text.words, box(text)) for text in texts(page) if text.words.strip()]
    outside = [
        words
        for words, (left, foot, right, top) in placed
        if left < MARGIN - 0.01
        or right > page.width - MARGIN + 0.05
        or foot < MARGIN - 1.0
        or top > page.height - MARGIN + 0.6
    ]
    codes = [("code", squares(mark)) for mark in page.marks if isinstance(mark, Squares)]
    both = [(a[0], b[0]) for a, b in combinations([*placed, *codes], 2) if over(a[1], b[1])]
    return [*outside, *both]


def all_words(pages):
    """Return all words of some pages but their heads and feet, one space between them."""
    body = (text for page in pages for text in texts(page) if FOOT < text.y < page.height - HEAD)
    return " ".join(text.words for text in body)
