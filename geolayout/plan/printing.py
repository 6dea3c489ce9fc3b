"""What sheets are printed on, and in which language they are."""

from dataclasses import dataclass

__all__ = ["A4", "LANGUAGES", "LETTER", "PAPERS", "PLAIN", "Paper", "Printing"]

INCH = 25.4
"""Exact, by definition. [mm]"""

Size = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Paper:
    """
    A paper that a printer holds, and its larger sister.

    Attributes
    ----------
    name : str
        What the option calls it.
    small : tuple of float
        The usual sheet, the short side first. [mm]
    large : tuple of float
        The sheet for maps whose strips are too narrow on the usual one. [mm]
    """

    name: str
    small: Size
    large: Size


A4 = Paper("a4", (210.0, 297.0), (297.0, 420.0))
"""A4, and A3 for large maps; ISO 216."""

LETTER = Paper("letter", (8.5 * INCH, 11.0 * INCH), (11.0 * INCH, 17.0 * INCH))
"""Letter, and Tabloid, which is called Ledger where it lies; ANSI Y14.1, from memory."""

PAPERS = {paper.name: paper for paper in (A4, LETTER)}
"""By the word of the option."""

LANGUAGES = ("en", "de")
"""Languages that sheets are in, by their codes in ISO 639-1."""


@dataclass(frozen=True, slots=True)
class Printing:
    """
    How sheets are printed.

    Attributes
    ----------
    paper : Paper
        What they are printed on.
    language : str
        One of `LANGUAGES`.
    """

    paper: Paper = A4
    language: str = "en"


PLAIN = Printing()
"""A4 and English."""
