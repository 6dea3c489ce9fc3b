"""What stands on a page once it is set: words, lines, frames and codes at their places."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from geolayout.handover.sheets.type import words_width
from geolayout.plan.printing import A4

__all__ = ["BODY", "Frame", "Mark", "Page", "Rule", "Squares", "Text"]

BODY = 8.6
"""Size of the letters of the body. [point of print]"""


@dataclass(frozen=True, slots=True)
class Text:
    """
    Words at a place.

    Attributes
    ----------
    x, y : float
        Where their foot begins. [mm]
    words : str
        One line.
    size : float
        Size of the letters. [point of print]
    weight : {"normal", "bold"}
        Weight of the letters.
    """

    x: float
    y: float
    words: str
    size: float = BODY
    weight: str = "normal"

    @property
    def right(self) -> float:
        """Where the words end. [mm]"""
        return self.x + words_width(self.words, self.size, self.weight)


@dataclass(frozen=True, slots=True)
class Rule:
    """
    A line, lying.

    Attributes
    ----------
    x, y : float
        Its left end. [mm]
    length : float
        [mm]
    weight : float
        Its thickness. [point of print]
    """

    x: float
    y: float
    length: float
    weight: float = 0.4


@dataclass(frozen=True, slots=True)
class Frame:
    """
    A frame round a part.

    Attributes
    ----------
    x, y : float
        Its lower left corner. [mm]
    width, height : float
        [mm]
    weight : float
        Thickness of its line. [point of print]
    """

    x: float
    y: float
    width: float
    height: float
    weight: float = 1.8


@dataclass(frozen=True, slots=True)
class Squares:
    """
    A square of dark and light squares, which a telephone reads.

    Attributes
    ----------
    x, y : float
        Its lower left corner. [mm]
    side : float
        Length of its edge, without the light border that it needs. [mm]
    rows : tuple of tuple of bool
        Whether a square is dark, from the top row down.
    """

    x: float
    y: float
    side: float
    rows: tuple[tuple[bool, ...], ...]

    def runs(self) -> Iterator[tuple[float, float, float, float]]:
        """Yield dark squares side by side as left, foot, width and height. [mm]"""
        step = self.side / len(self.rows)
        for k, row in enumerate(self.rows):
            foot, at = self.y + self.side - (k + 1) * step, 0
            for dark, group in groupby(row):
                many = len(list(group))
                if dark:
                    yield self.x + at * step, foot, many * step, step
                at += many


Mark = Text | Rule | Frame | Squares


@dataclass(frozen=True, slots=True)
class Page:
    """
    One page.

    Attributes
    ----------
    marks : tuple of Mark
        What stands on it.
    width, height : float
        Its size. [mm]
    """

    marks: tuple[Mark, ...]
    width: float = A4.small[0]
    height: float = A4.small[1]
