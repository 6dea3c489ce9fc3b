"""What stands beside the map: title, hazards, what the hatches mean, areas, scale and north."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor, log10

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from numpy.typing import NDArray

from geolayout.appraisal.caution import Caution
from geolayout.handover.looks import Look, ground_looks, legend_key, shortened, wrapped
from geolayout.layout.build import Layout

__all__ = ["HAZARD_LETTERS", "MOST_HAZARDS", "Legend", "Sheet", "bar_length", "draw_legend"]

LINE = 2.75
"""Height of a line of text on paper. [mm]"""

MARGIN = 8.0
"""Edge of the sheet that is left free. [mm]"""

TITLE = 14.0
"""Height of the title on paper. [mm]"""

MOST_HAZARDS = 5
"""Hazards on the sheet; the rest are counted."""

HAZARD_LETTERS = "abcde"
"""Letters of the hazards, on the map and beside it."""

AFTER_HAZARDS = 16
"""Lines that are kept for counts and notes under the table of ground."""

NORTH = "North on this sheet is grid north of the field's own frame, true north at its centre."


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
    def landscape(cls) -> "Sheet":
        """Return A4 lying, the legend in one column on the right."""
        tall = 210.0 - 2 * MARGIN - TITLE
        side = 76.0
        map_box = (MARGIN, MARGIN, 297.0 - 2 * MARGIN - side - 3.0, tall)
        return cls(297.0, 210.0, map_box, ((297.0 - MARGIN - side, MARGIN, side, tall),))

    @classmethod
    def portrait(cls) -> "Sheet":
        """Return A4 standing, the legend in two columns under the map."""
        under = 82.0
        wide = 210.0 - 2 * MARGIN
        column = wide / 2 - 2.0
        map_box = (MARGIN, MARGIN + under, wide, 297.0 - 2 * MARGIN - TITLE - under)
        boxes = (
            (MARGIN, MARGIN, column, under - 3.0),
            (MARGIN + column + 4.0, MARGIN, column, under - 3.0),
        )
        return cls(210.0, 297.0, map_box, boxes)


@dataclass(frozen=True, slots=True, eq=False)
class Legend:
    """
    What is told beside the map.

    Attributes
    ----------
    layout : Layout
        What is drawn.
    hazards : tuple of Caution
        Worst first.
    scale : int
        The map is 1 : scale.
    """

    layout: Layout
    hazards: tuple[Caution, ...]
    scale: int


class _Pen:
    """Where the next line of the legend goes; moves on to the next column when one is full."""

    def __init__(self, axes: Axes, sheet: Sheet) -> None:
        self.axes = axes
        self._columns = list(sheet.columns)
        self._next_column()

    def _next_column(self) -> None:
        self.left, self._bottom, self.width, height = self._columns.pop(0)
        self.y = self._bottom + height

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


def draw_legend(figure: Figure, sheet: Sheet, legend: Legend) -> None:
    """
    Draw the title and everything beside the map.

    Parameters
    ----------
    figure : Figure
        Of the size of the sheet.
    sheet : Sheet
        The sheet.
    legend : Legend
        What to tell.
    """
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, sheet.width)
    axes.set_ylim(0, sheet.height)
    axes.set_axis_off()
    axes.patch.set_alpha(0)
    _draw_title(axes, sheet, legend.layout)
    pen = _Pen(axes, sheet)
    _draw_scale(pen, legend.scale)
    _tell_hazards(pen, legend)
    _tell_ground(pen, legend.layout)
    _tell_counts(pen, legend.layout)
    _tell(pen, _reading_notes(legend.layout))


def _draw_title(axes: Axes, sheet: Sheet, layout: Layout) -> None:
    """Write what field, what season and which pattern."""
    top = sheet.height - MARGIN
    axes.text(MARGIN, top - 5.0, layout.field.name, fontsize=13, fontweight="bold")
    season = layout.season
    year = f"harvest {season.year}" if season is not None else "bands' own stands"
    named = f" ({season.name})" if season is not None and season.name else ""
    patterns = ", ".join(dict.fromkeys(block.pattern.name for block in layout.blocks))
    words = f"{year}{named}, pattern: {patterns}, {layout.field.area / 1e4:.3f} ha on the ellipsoid"
    axes.text(MARGIN, top - 9.5, words, fontsize=7.5)
    axes.plot([MARGIN, sheet.width - MARGIN], [top - 11.5, top - 11.5], color="black", lw=0.6)


def _draw_scale(pen: _Pen, scale: int) -> None:
    """Draw the scale bar and the arrow to north."""
    room = pen.width - 18.0
    length = bar_length(scale, room)
    left, base = pen.left, pen.y - 7.5
    step = length / scale * 1000 / 4
    for k in range(4):
        colour = "black" if k % 2 == 0 else "white"
        box = Rectangle((left + k * step, base), step, 1.6, fc=colour, ec="black", lw=0.5)
        pen.axes.add_patch(box)
    for k in (0, 2, 4):
        words = f"{length * k / 4:g}" + (" m" if k == 4 else "")
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
    _tell(pen, [NORTH])


def bar_length(scale: int, room: float) -> float:
    """
    Return the longest round length of a scale bar that fits in a room on paper.

    Parameters
    ----------
    scale : int
        The map is 1 : scale.
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


def _tell(pen: _Pen, sentences: Sequence[str]) -> None:
    """Write sentences as far as there is room."""
    for sentence in sentences:
        lines = wrapped(sentence, _columns(pen))
        if pen.room_for(len(lines)):
            for line in lines:
                pen.write(line)


def _columns(pen: _Pen) -> int:
    """Return how many letters a line of the column holds."""
    return int(pen.width / 1.22)


def _tell_hazards(pen: _Pen, legend: Legend) -> None:
    """Tell hazards first, by the letters on the map; shorter where the sheet has no room."""
    hazards = legend.hazards
    if not hazards:
        return
    told = [_hazard_lines(pen, hazard) for hazard in hazards[:MOST_HAZARDS]]
    rest = len(ground_looks(legend.layout.ground)) + AFTER_HAZARDS
    if sum(map(len, told)) + rest > pen.lines_left:
        told = [_hazard_lines(pen, _in_short(hazard)) for hazard in hazards[:MOST_HAZARDS]]
    pen.gap()
    pen.write("HAZARDS", bold=True)
    for letter, lines in zip(HAZARD_LETTERS, told, strict=False):
        pen.room_for(len(lines))
        pen.write(f"▲{letter}", bold=True)
        pen.y += LINE
        for line in lines:
            pen.write(line, indent=5.5)
    if len(hazards) > MOST_HAZARDS:
        pen.write(f"{len(hazards) - MOST_HAZARDS} more in summary.txt.")


def _hazard_lines(pen: _Pen, hazard: Caution) -> Sequence[str]:
    """Return a hazard as lines: what, what to do, and who looked."""
    said = f" ({hazard.acknowledged})" if hazard.acknowledged else ""
    return wrapped(f"{hazard.sentence} {hazard.remedy}{said}", _columns(pen) - 4)


def _in_short(hazard: Caution) -> Caution:
    """Return a hazard with its first sentence, which says what it is and where."""
    first, dot, _ = hazard.sentence.partition(". ")
    return replace(hazard, sentence=first + dot.strip(), remedy="All of it: summary.txt.")


def _tell_ground(pen: _Pen, layout: Layout) -> None:
    """Tell what each look means and how much ground it has."""
    ground = layout.ground
    pairs = zip(ground.kind.tolist(), ground.stand.tolist(), strict=True)
    keys = [legend_key(kind, stand) for kind, stand in pairs]
    looks = ground_looks(ground)
    pen.gap()
    pen.room_for(len(looks) + 3)
    pen.write("Ground", bold=True)
    pen.write_right("ha")
    for key, look in looks.items():
        mine = np.array([other == key for other in keys])
        _swatch(pen, look)
        pen.write(shortened(_ground_words(layout, key, mine), _columns(pen) - 15), indent=8.5)
        pen.write_right(f"{ground.area[mine].sum() / 1e4:.3f}")
        pen.y -= 0.5
    pen.write("the field", indent=8.5)
    pen.write_right(f"{ground.area.sum() / 1e4:.3f}")


def _ground_words(layout: Layout, key: tuple[str, str], mine: NDArray[np.bool_]) -> str:
    """Return what a look is called."""
    kind, stand = key
    if kind != "band":
        stands = [word for word in dict.fromkeys(layout.ground.stand[mine].tolist()) if word]
        return f"{kind}: {', '.join(stands)}" if stands else kind
    cuts = np.stack([layout.ground.block[mine], layout.ground.cut[mine]], axis=1)
    count = len(np.unique(cuts, axis=0))
    names = list(dict.fromkeys(layout.ground.band[mine].tolist()))
    shown = ", ".join(names[:4]) + (" ..." if len(names) > 4 else "")
    return f"{stand or 'bare'}: {count} bands ({shown})"


def _swatch(pen: _Pen, look: Look) -> None:
    """Draw a sample of a look beside the line to come."""
    box = Rectangle((pen.left, pen.y - LINE - 0.4), 7.0, 2.7, fc=look.tint, ec="#303030", lw=0.4)
    box.set_hatch(look.hatch)
    pen.axes.add_patch(box)


def _tell_counts(pen: _Pen, layout: Layout) -> None:
    """Tell how many rows, trees and passes there are."""
    pen.gap()
    words = [f"{layout.rows.rows} rows of crops, {layout.rows.length.sum() / 1000:.2f} km"]
    if len(layout.trees):
        words.append(f"{len(layout.trees)} trees (points on the map)")
    for i, operation in enumerate(layout.plan.operations):
        mine = layout.passes.operation == i
        keys = np.stack([layout.passes.block[mine], layout.passes.number[mine]], axis=1)
        if mine.any():
            words.append(f"{operation.name}: {len(np.unique(keys, axis=0))} passes")
    _tell(pen, words)


def _reading_notes(layout: Layout) -> list[str]:
    """Return how to read the figures on the map."""
    notes = []
    for block in layout.blocks:
        anchor = (block.guides.x, block.guides.y)
        bearing = layout.field.frame.true_bearing(anchor, block.guides.bearing)
        lon, lat = layout.field.frame.lonlat(np.array([anchor]))[0]
        name = f"{block.name}: rows" if block.name else "Rows"
        notes.append(
            f"{name} run {bearing:.2f}° from true north. Figures in the chain are metres square to "
            f"the rows from the anchor, ringed, at latitude {lat:.8f}, longitude {lon:.8f}."
        )
    if any(block.ends for block in layout.blocks):
        notes.append("Thick edges were taken as ends of the rows.")
    return notes
