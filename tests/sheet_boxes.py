"""Where words stand on a page of a sheet, for tests that nothing lies over anything else."""

from itertools import combinations

from geolayout.handover.sheets.page import HEIGHT, MARGIN, WIDTH, Text
from geolayout.handover.sheets.type import POINT

FOOT, HEAD = MARGIN + 1.0, HEIGHT - MARGIN - 12.0
"""Between the foot of a page and its title. [mm]"""


def texts(page):
    """Return the words of a page."""
    return [mark for mark in page.marks if isinstance(mark, Text)]


def box(text):
    """Return left, foot, right and top of words; letters of DejaVu reach 0.24 below the line."""
    high = text.size * POINT
    return text.x, text.y - 0.2 * high, text.right, text.y + 0.76 * high


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
        or right > WIDTH - MARGIN + 0.05
        or foot < MARGIN - 1.0
        or top > HEIGHT - MARGIN + 0.6
    ]
    both = [(a[0], b[0]) for a, b in combinations(placed, 2) if over(a[1], b[1])]
    return [*outside, *both]


def all_words(pages):
    """Return all words of some pages but their heads and feet, one space between them."""
    body = (text for page in pages for text in texts(page) if FOOT < text.y < HEAD)
    return " ".join(text.words for text in body)
