"""
The type that sheets are set in: how wide words are, where lines break, which letters it has.

DejaVu comes with matplotlib and has Latin, Greek and Cyrillic letters. A letter that it lacks is
set as an empty square, and the sheet says so; the files beside it have the letter.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import matplotlib as mpl
from matplotlib.ft2font import FT2Font, LoadFlags

from geolayout.handover.sheets.say import say

__all__ = ["LACKING", "POINT", "broken", "cut_short", "lacking_note", "printable", "words_width"]

POINT = 25.4 / 72.0
"""A point of print. [mm]"""

LACKING = "\u25a1"
"""What stands for a letter that the type lacks."""

MEASURED_AT = 100.0
"""Size at which letters are measured. [point of print]"""

JOINERS = "\u200c\u200d\u200e\u200f\ufeff"
"""Signs without a shape of their own, which are left out."""


def words_width(words: str, size: float, weight: str = "normal") -> float:
    """
    Return how wide words are on paper.

    Parameters
    ----------
    words : str
        One line.
    size : float
        Size of the letters. [point of print]
    weight : {"normal", "bold"}
        Weight of the letters.

    Returns
    -------
    width : float
        [mm]
    """
    return sum(_advance(letter, weight) for letter in words) * size / MEASURED_AT * POINT


def broken(words: str, width: float, size: float, weight: str = "normal") -> list[str]:
    """
    Break words into lines no wider than a width, inside a word where it alone is too wide.

    Parameters
    ----------
    words : str
        A sentence or a name.
    width : float
        Room on paper. [mm]
    size : float
        Size of the letters. [point of print]
    weight : {"normal", "bold"}
        Weight of the letters.
    """

    def fits(line: str) -> bool:
        return words_width(line, size, weight) <= width

    lines: list[str] = []
    for word in words.split():
        if lines and fits(f"{lines[-1]} {word}"):
            lines[-1] += f" {word}"
        else:
            lines += _pieces(word, fits)
    return lines or [""]


def _pieces(word: str, fits: Callable[[str], bool]) -> list[str]:
    """Return a word in as few pieces as fit."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and not fits(pieces[-1] + letter):
            pieces.append("")
        pieces[-1] += letter
    return pieces


def cut_short(words: str, width: float, size: float, weight: str = "normal") -> str:
    """Return words with dots for what does not fit into a width; see `broken`."""
    if words_width(words, size, weight) <= width:
        return words
    kept = words
    while kept and words_width(f"{kept}...", size, weight) > width:
        kept = kept[:-1].rstrip()
    return f"{kept}..."


def printable(words: str) -> str:
    """
    Return words in letters that the type has.

    Examples
    --------
    >>> printable("Żółty жук"), printable("北 field")
    ('Żółty жук', '□ field')
    """
    known = _known_letters()
    shown = (" " if letter.isspace() else letter for letter in words if letter not in JOINERS)
    return "".join(letter if ord(letter) in known else LACKING for letter in shown)


def lacking_note() -> str:
    """Say what an empty square among letters means."""
    return say("{square} stands for a letter this type lacks; the files have it.").format(
        square=LACKING
    )


def type_file(weight: str) -> Path:
    """Return the file of the type in a weight, "normal" or "bold", as matplotlib brings it."""
    name = "DejaVuSans-Bold.ttf" if weight == "bold" else "DejaVuSans.ttf"
    return Path(mpl.get_data_path()) / "fonts" / "ttf" / name


@cache
def _known_letters() -> frozenset[int]:
    """Return the letters that the type has, by their numbers in Unicode."""
    return frozenset(_face("normal").get_charmap())


@cache
def _face(weight: str) -> FT2Font:
    """Return the type of a weight."""
    face = FT2Font(str(type_file(weight)))
    face.set_size(MEASURED_AT, 72.0)
    return face


@cache
def _advance(letter: str, weight: str) -> float:
    """Return how far a letter moves the pen at the size of measuring. [point of print]"""
    glyph = _face(weight).load_char(ord(letter), flags=LoadFlags.NO_HINTING)
    return float(glyph.linearHoriAdvance) / 65536.0
