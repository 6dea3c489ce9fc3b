"""
The strip map: what lies where at a true round scale, and the table of strips that goes with it.

It is the map of the folder on paper of its own: where each work begins, the known points, the
match code, and on the next page every strip with its edges from the anchor, its ground and rows.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.figure import Figure
from matplotlib.text import Text

from geolayout.appraisal.places import listed
from geolayout.handover.pictures.legend import Legend, draw_legend
from geolayout.handover.pictures.map import map_figure, map_view
from geolayout.handover.pictures.marks import as_place, scrap, write_name
from geolayout.handover.pictures.paper import MARGIN, View, sheet_axes
from geolayout.handover.sheets.firstpass import FirstPass, first_passes
from geolayout.handover.sheets.handed import Handed, hazard_items, headline
from geolayout.handover.sheets.known import KnownPoint, known_items, known_points
from geolayout.handover.sheets.page import set_pages
from geolayout.handover.sheets.parts import Part, Sentence, Table
from geolayout.handover.sheets.printed import Page, Squares
from geolayout.handover.sheets.say import say
from geolayout.handover.sheets.squares import QUIET, squares_of
from geolayout.handover.sheets.type import LACKING, lacking_note, printable
from geolayout.handover.words.speech import Words
from geolayout.land.kinds import PASSED_THROUGH
from geolayout.plan.section.section import Cut

__all__ = ["map_sheet", "sheet_view", "strip_pages"]

LEGIBLE = 1.5
"""Strips narrower than this on A4 or Letter are drawn on A3 or Tabloid. Our own choice. [mm]"""

SQUARES = 12.0
"""Edge of the code that a telephone reads, which stands in the title. [mm]"""

ARROW, BEHIND = 9.0, 3.0
"""Length of the arrow of a first pass, and from its foot back to its number. [mm]"""

TOGETHER = 5.0
"""First passes nearer than this on paper share one number's place. [mm]"""


@dataclass(frozen=True, slots=True)
class _Start:
    """Where works begin that begin at one place."""

    first: FirstPass
    numbers: tuple[int, ...]


def sheet_view(handed: Handed) -> View:
    """Return the view of the strip map: the usual paper, or the large one for narrow strips."""
    paper = handed.printing.paper
    view = map_view(handed.layout, paper.small)
    widths = [
        cut.width for block in handed.layout.blocks for cut in block.section.cuts if cut.grows
    ]
    if min(widths, default=np.inf) * 1000.0 / view.scale >= LEGIBLE:
        return view
    return map_view(handed.layout, paper.large)


def map_sheet(handed: Handed, view: View, file: str) -> Figure:
    """
    Draw the strip map; to be called within `pdf_style`.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    view : View
        Sheet and scale.
    file : str
        Name of its own file, which the code on it tells.

    Returns
    -------
    figure : Figure
        Of the size of the sheet.
    """
    figure, axes = map_figure(handed.layout, handed.hazards, view, handed.units)
    for text in axes.texts:
        text.set_text(handed.words(text.get_text()))
    points = known_points(handed.layout)
    works = [first_passes(handed, i) for i in range(len(handed.layout.plan.operations))]
    for start in _together(works, view):
        _draw_start(axes, start, view)
    _draw_points(axes, points, handed.words)
    marks = (*_gate_words(handed), *_start_words(handed, works), *_point_words(points))
    told = (handed.units, marks, handed.words)
    draw_legend(figure, view.sheet, Legend(handed.layout, handed.hazards, view.scale, *told))
    _draw_code(figure, view, handed, file)
    _mend_letters(figure, view, handed.words)
    return figure


def _draw_points(axes: Axes, points: Sequence[KnownPoint], words: Words) -> None:
    """Draw known points as pegs with their names."""
    for point in points:
        axes.plot(*point.xy, "D", color="white", mec="black", ms=4, mew=0.9, zorder=8)
        write_name(axes, words(point.name), [point.xy])


def _draw_code(figure: Figure, view: View, handed: Handed, file: str) -> None:
    """Draw the match code at the right of the title, and the squares that a telephone reads."""
    axes = sheet_axes(figure, view.sheet)
    right, top = view.sheet.width - MARGIN, view.sheet.height - MARGIN
    place = (right - SQUARES, top + 1.5 - SQUARES)
    squares = Squares(*place, SQUARES, squares_of(f"{handed.code} {file}"))
    runs = [
        [(left, foot), (left + wide, foot), (left + wide, foot + high), (left, foot + high)]
        for left, foot, wide, high in squares.runs()
    ]
    axes.add_collection(PolyCollection(runs, facecolors="black", linewidths=0), autolim=False)
    axes.text(place[0] - QUIET, top - 5.0, handed.code, fontsize=13, fontweight="bold", ha="right")


def _together(works: Sequence[tuple[FirstPass, ...]], view: View) -> list[_Start]:
    """Return first passes by their places, with the numbers of the works that begin there."""
    starts: list[_Start] = []
    for number, firsts in enumerate(works, start=1):
        for first in firsts:
            for k, other in enumerate(starts):
                away = float(np.hypot(*np.subtract(first.start, other.first.start)))
                if view.millimetres(away) < TOGETHER and first.compass == other.first.compass:
                    starts[k] = _Start(other.first, (*other.numbers, number))
                    break
            else:
                starts.append(_Start(first, (number,)))
    return starts


def _draw_start(axes: Axes, start: _Start, view: View) -> None:
    """Draw an arrow along a first pass, and the numbers of the works that begin there."""
    angle = np.radians(start.first.bearing)
    way = np.array([np.sin(angle), np.cos(angle)])
    foot = np.asarray(start.first.start)
    tip = as_place(foot + way * view.metres(ARROW))
    back = as_place(foot - way * view.metres(BEHIND))
    axes.annotate(
        "",
        tip,
        xytext=start.first.start,
        arrowprops={"arrowstyle": "-|>", "color": "black", "lw": 1.4, "shrinkA": 0, "shrinkB": 0},
        zorder=8,
    )
    axes.text(
        back[0],
        back[1],
        ", ".join(map(str, dict.fromkeys(start.numbers))),
        ha="center",
        va="center",
        fontsize=7,
        fontweight="bold",
        bbox=scrap(),
        zorder=9,
    )


def _gate_words(handed: Handed) -> list[str]:
    """Say how wide the ways in are."""
    width = handed.units.width
    words = []
    for way in handed.layout.field.features:
        if way.kind in PASSED_THROUGH:
            wide = (
                say("{width} wide").format(width=width.said(way.width))
                if way.width
                else say("width not measured")
            )
            words.append(f"{way.label}: {wide}.")
    return words


def _start_words(handed: Handed, works: Sequence[tuple[FirstPass, ...]]) -> list[str]:
    """Say which work each number is, and where it begins."""
    words = []
    operations = handed.layout.plan.operations
    for number, (firsts, operation) in enumerate(zip(works, operations, strict=True), start=1):
        if firsts:
            begins = ", ".join(
                say("{line} towards {compass}").format(line=first.title, compass=first.compass)
                for first in firsts
            )
            words.append(
                say("Arrow {number}: first pass of {work}, {begins}.").format(
                    number=number, work=operation.name, begins=begins
                )
            )
    return words


def _point_words(points: Sequence[KnownPoint]) -> list[str]:
    """Say what the pegs are."""
    if not points:
        return []
    names = listed([point.name for point in points])
    said = say("Known points: {names}, with coordinates beside the table of strips.")
    return [said.format(names=names)]


def _mend_letters(figure: Figure, view: View, words: Words) -> None:
    """Put a square for every letter that the type lacks, and say what it is."""
    lacking = False
    for text in figure.findobj(Text):
        if isinstance(text, Text):
            shown = printable(text.get_text())
            lacking = lacking or LACKING in shown
            text.set_text(shown)
    if lacking:
        figure.text(0.5, 2.0 / view.sheet.height, words(lacking_note()), fontsize=5.5, ha="center")


def strip_pages(handed: Handed) -> list[Page]:
    """
    Set the table of strips that goes with the map.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.

    Returns
    -------
    pages : list of Page
    """
    notes = say(
        "Edges are {unit} from the anchor, ringed on the map, square to the rows. Print the map at "
        "100 %, not fitted to the page, or its scale is not true: measure the bar."
    )
    words = say("metres") if handed.units.name == "metric" else say("feet")
    parts = [
        Part(say("Hazards"), hazard_items(handed), True),
        Part(say("Strips, ground and rows"), (Sentence(notes.format(unit=words)),)),
        Part(say("Known points"), known_items(handed)),
        *(_strip_part(handed, index) for index in range(len(handed.layout.blocks))),
    ]
    title = say("Strips: {field}").format(field=handed.layout.field.name)
    return set_pages(title, headline(handed), parts, headline(handed), handed.style())


def _strip_part(handed: Handed, index: int) -> Part:
    """Return the strips of one block."""
    layout, units = handed.layout, handed.units
    block = layout.blocks[index]
    mine = layout.rows.block == index
    keys = np.unique(
        np.stack([layout.rows.cut, layout.rows.sowing, layout.rows.row])[
            :, mine & layout.rows.counts
        ],
        axis=1,
    )
    rows = Counter(keys[0].tolist())
    areas = [
        float(layout.ground.area[(layout.ground.block == index) & (layout.ground.cut == c)].sum())
        for c in range(len(block.section.cuts))
    ]
    shown = [
        (
            str(cut.number),
            cut.band,
            stand.name if stand is not None else say("bare"),
            units.width.said(cut.width),
            _edges(cut, units.width.size),
            units.ground.figure(areas[c]),
            str(rows[c]) if rows[c] else "-",
        )
        for c, (cut, stand) in enumerate(zip(block.section.cuts, block.stands, strict=True))
        if cut.grows and not block.crossed_by
    ]
    head = (
        *map(say, ("number", "strip", "grows", "width", "edges")),
        units.ground.word,
        say("rows"),
    )
    title = block.name or say("The field")
    return Part(title, (Table(head, tuple(shown)),) if shown else ())


def _edges(cut: Cut, size: float) -> str:
    """Return both edges of a strip from the anchor."""
    return f"{cut.t0 / size + 0.0:.2f} - {cut.t1 / size:.2f}".replace("-0.00 ", "0.00 ")
