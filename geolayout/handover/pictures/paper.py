"""
The sheet of paper that maps are drawn on: its parts, its pen, its scale.

A millimetre on the sheet is a millimetre on the paper, and a map's scale is that of its bar.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor, log10

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from geolayout.handover.pictures.looks import Look, wrapped
from geolayout.handover.words.speech import Words, as_written
from geolayout.plan.units import METRIC, Scale

__all__ = [
    "A3",
    "A4",
    "MARGIN",
    "SCALES",
    "Pen",
    "Sheet",
    "View",
    "bar_length",
    "draw_scale",
    "sheet_axes",
    "swatch",
    "tell",
]

A4, A3 = (210.0, 297.0), (297.0, 420.0)
"""Sizes of paper, the short side first; ISO 216. [mm]"""

LINE = 2.75
"""Height of a line of text on paper. [mm]"""

MARGIN = 8.0
"""Edge of the sheet that is left free. [mm]"""

TITLE = 14.0
"""Height of the title on paper. [mm]"""

NORTH = "North on this sheet is grid north of the field's own frame, true north at its centre."

LETTER = 1.22
"""Width of a letter of the text, on the whole. [mm]"""

SCALES = (
    *(200, 250, 300, 400, 500, 600, 750, 1000, 1250, 1500, 2000, 2500, 3000, 4000, 5000),
    *(6000, 7500, 10_000, 12_500, 15_000, 20_000, 25_000, 30_000, 40_000, 50_000),
)
"""Scales that people can use a ruler with, 1 : N."""

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Sheet:
    """
    A sheet of paper: where the map is, and the columns beside or under it.

    Attributes
    ----------
    width, height : float
        The sheet. [mm]
    map_box : tuple of float
        Left, bottom, width and height of the map. [mm]
    columns : tuple of tuple of float
        Left, bottom, width and height of each column of the legend. [mm]
    """

    width: float
    height: float
    map_box: tuple[float, float, float, float]
    columns: tuple[tuple[float, float, float, float], ...]

    @classmethod
    def landscape(cls, width: float = A4[1], height: float = A4[0]) -> "Sheet":
        """Return a sheet lying, the legend in one column on the right."""
        tall = height - 2 * MARGIN - TITLE
        side = 76.0
        map_box = (MARGIN, MARGIN, width - 2 * MARGIN - side - 3.0, tall)
        return cls(width, height, map_box, ((width - MARGIN - side, MARGIN, side, tall),))

    @classmethod
    def portrait(cls, width: float = A4[0], height: float = A4[1]) -> "Sheet":
        """Return a sheet standing, the legend in two columns under the map."""
        under = 82.0
        wide = width - 2 * MARGIN
        column = wide / 2 - 2.0
        map_box = (MARGIN, MARGIN + under, wide, height - 2 * MARGIN - TITLE - under)
        boxes = (
            (MARGIN, MARGIN, column, under - 3.0),
            (MARGIN + column + 4.0, MARGIN, column, under - 3.0),
        )
        return cls(width, height, map_box, boxes)

    @classmethod
    def both_ways(cls, size: tuple[float, float] = A4) -> tuple["Sheet", "Sheet"]:
        """Return a size of paper lying and standing."""
        short, long = size
        return cls.landscape(long, short), cls.portrait(short, long)


@dataclass(frozen=True, slots=True)
class View:
    """Which part of the frame the map shows, and how."""

    sheet: Sheet
    scale: int
    west: float
    south: float

    def metres(self, mm: float) -> float:
        """Return what a length on paper is on the ground. [m]"""
        return mm / 1000 * self.scale

    def millimetres(self, m: float) -> float:
        """Return what a length on the ground is on paper. [mm]"""
        return m * 1000 / self.scale

    @classmethod
    def fitting(
        cls,
        extent: "Callable[[View], Bounds]",
        scales: Sequence[int] = SCALES,
        size: tuple[float, float] = A4,
    ) -> "View":
        """
        Choose the way up and the scale at which a map is largest.

        Parameters
        ----------
        extent : callable
            Of a view; returns west, south, east and north of what it must show. [m]
        scales : sequence of int
            To choose from, the largest map first.
        size : tuple of float
            Size of the paper. [mm]
        """
        for scale in scales:
            for sheet in Sheet.both_ways(size):
                view = cls(sheet, scale, 0.0, 0.0)
                west, south, east, north = extent(view)
                _, _, width, height = sheet.map_box
                spare = view.metres(width) - (east - west), view.metres(height) - (north - south)
                if min(spare) >= 0.0:
                    return cls(sheet, scale, west - spare[0] / 2, south - spare[1] / 2)
        last = cls(Sheet.both_ways(size)[0], scales[-1], 0.0, 0.0)
        west, south, _, _ = extent(last)
        return cls(last.sheet, last.scale, west, south)

    def axes(self, figure: Figure) -> Axes:
        """Return axes of the map in metres of the frame, at the true scale."""
        left, bottom, width, height = self.sheet.map_box
        page = self.sheet
        axes = figure.add_axes(
            (left / page.width, bottom / page.height, width / page.width, height / page.height)
        )
        axes.set_xlim(self.west, self.west + self.metres(width))
        axes.set_ylim(self.south, self.south + self.metres(height))
        axes.set_axis_off()
        return axes


class Pen:
    """Where the next line of the legend goes; moves on to the next column when one is full."""

    def __init__(self, axes: Axes, sheet: Sheet, words: Words = as_written) -> None:
        self.axes = axes
        self.words = words
        self._columns = list(sheet.columns)
        self._next_column()

    def _next_column(self) -> None:
        self.left, self._bottom, self.width, height = self._columns.pop(0)
        self.y = self._bottom + height

    @property
    def letters(self) -> int:
        """How many letters a line of this column holds."""
        return int(self.width / LETTER)

    @property
    def lines_left(self) -> int:
        """How many lines this column and those after it still hold."""
        later = sum(height for _, _, _, height in self._columns)
        return int((self.y - self._bottom) / LINE) + int(later / LINE)

    def room_for(self, lines: int) -> bool:
        """Return whether so many lines fit, moving to the next column if that is needed."""
        if self.y - lines * LINE >= self._bottom:
            return True
        if not self._columns:
            return False
        self._next_column()
        return self.room_for(lines)

    def write(self, words: str, *, indent: float = 0.0, bold: bool = False) -> None:
        """Write one line and go to the next."""
        self.y -= LINE
        weight = "bold" if bold else "normal"
        self.axes.text(self.left + indent, self.y, words, fontsize=6.2, fontweight=weight)

    def write_right(self, words: str) -> None:
        """Write at the right edge of the line just written."""
        self.axes.text(self.left + self.width, self.y, words, fontsize=6.2, ha="right")

    def gap(self) -> None:
        """Leave half a line free."""
        self.y -= LINE / 2


def sheet_axes(figure: Figure, sheet: Sheet) -> Axes:
    """Return axes over the whole sheet, in millimetres from its lower left corner."""
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, sheet.width)
    axes.set_ylim(0, sheet.height)
    axes.set_axis_off()
    axes.patch.set_alpha(0)
    return axes


def draw_scale(pen: Pen, scale: int, unit: Scale = METRIC.length) -> None:
    """Draw the scale bar, in a unit of length, and the arrow to north."""
    room = pen.width - 18.0
    length = bar_length(scale / unit.size, room)
    left, base = pen.left, pen.y - 7.5
    step = length * unit.size / scale * 1000 / 4
    for k in range(4):
        colour = "black" if k % 2 == 0 else "white"
        box = Rectangle((left + k * step, base), step, 1.6, fc=colour, ec="black", lw=0.5)
        pen.axes.add_patch(box)
    for k in (0, 2, 4):
        words = f"{length * k / 4:g}" + (f" {unit.word}" if k == 4 else "")
        align = "left" if k == 0 else "center"
        pen.axes.text(left + k * step, base - 2.6, words, fontsize=5.8, ha=align)
    pen.axes.text(left, base + 2.8, f"1 : {scale:,}".replace(",", " "), fontsize=7)
    tip = pen.left + pen.width - 5.0
    pen.axes.annotate(
        "",
        (tip, pen.y - 1.0),
        xytext=(tip, pen.y - 11.0),
        arrowprops={"arrowstyle": "-|>", "color": "black", "lw": 1.2},
    )
    pen.axes.text(tip + 2.0, pen.y - 7.0, "N", fontsize=9, fontweight="bold")
    pen.y -= 12.0
    tell(pen, [NORTH])


def bar_length(scale: float, room: float) -> float:
    """
    Return the longest round length of a scale bar that fits in a room on paper.

    Parameters
    ----------
    scale : float
        The map is 1 : scale; over the size of a unit for a length in that unit.
    room : float
        Room on paper. [mm]

    Returns
    -------
    length : float
        1, 2 or 5 times a power of ten. [m]

    Examples
    --------
    >>> bar_length(2500, 50.0)
    100.0
    """
    most = room / 1000 * scale
    power = 10.0 ** floor(log10(most))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)


def tell(pen: Pen, sentences: Sequence[str]) -> None:
    """Write sentences as far as there is room."""
    for sentence in sentences:
        lines = wrapped(pen.words(sentence), pen.letters)
        if pen.room_for(len(lines)):
            for line in lines:
                pen.write(line)


def swatch(pen: Pen, look: Look) -> None:
    """Draw a sample of a look beside the line to come."""
    box = Rectangle((pen.left, pen.y - LINE - 0.4), 7.0, 2.7, fc=look.tint, ec="#303030", lw=0.4)
    box.set_hatch(look.hatch)
    pen.axes.add_patch(box)
