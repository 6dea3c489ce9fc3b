"""
Which way the rows run, on one sheet: hours over every bearing, and the three best on the field.

No bearing is an instruction by itself: three are drawn, with what each means beside it.
"""

from dataclasses import dataclass
from functools import partial
from io import BytesIO
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.figure import Figure
from numpy.typing import NDArray

from geolayout.appraisal.direction.options import Compared, Option
from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.looks import (
    BLUE,
    GREEN,
    MM,
    OTHER_LOOKS,
    SKY,
    VERMILION,
    YELLOW,
    shortened,
    steady_style,
    tinted,
    wrapped,
)
from geolayout.handover.pictures.marks import outline
from geolayout.handover.pictures.paper import LINE, MARGIN
from geolayout.land.field import Field

__all__ = ["Told", "WaysView", "ways_bytes", "ways_picture"]

WIDTH, HEIGHT = 297.0, 210.0
"""A4 lying. [mm]"""

DOTS = 200
"""Dots an inch of a PNG."""

CURVE = (MARGIN + 12.0, 118.0, WIDTH - 2 * MARGIN - 12.0, 68.0)
"""Left, bottom, width and height of the curve. [mm]"""

BETWEEN = 6.0
"""Room between two maps. [mm]"""

MAP_BOTTOM, MAP_HEIGHT = 44.0, 60.0
"""Where the maps stand; words are under them. [mm]"""

LETTERS_TO_A_LINE = 68
"""What a map's column holds of its words. [-]"""

MOST_LINES = 45
"""Passes drawn on a map; of more, every second, third and so on. Our own choice. [-]"""

LOOKS = ((VERMILION, "o", "-"), (BLUE, "s", "--"), (GREEN, "^", ":"))
"""Colour, mark and stroke of each of the three, told apart without colour too."""

Told = tuple[str, Option, str, tuple[str, ...]]
"""A letter, its option, which way it runs and what else is said of it."""


@dataclass(frozen=True, slots=True, eq=False)
class WaysView:
    """
    What the picture shows.

    Attributes
    ----------
    field : Field
        The field.
    block : str
        Name of the block, "" where the field is one.
    compared : Compared
        What was compared.
    told : tuple of Told
        The best few, best first.
    notes : tuple of str
        What was assumed, told at the foot.
    """

    field: Field
    block: str
    compared: Compared
    told: tuple[Told, ...]
    notes: tuple[str, ...] = ()


def ways_picture(view: WaysView, path: Path) -> None:
    """
    Draw the ways into a file.

    Parameters
    ----------
    view : WaysView
        What to show.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    write_picture(path, partial(ways_bytes, view))


def ways_bytes(view: WaysView, form: str) -> bytes:
    """
    Return the ways as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    view : WaysView
        What to show.
    form : {"svg", "png"}
        Kind of picture.
    """
    with steady_style():
        figure = Figure(figsize=(WIDTH * MM, HEIGHT * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        _write_title(figure, view)
        _draw_curve(_axes(figure, CURVE), view)
        for place, told in enumerate(view.told):
            _draw_way(figure, place, told)
        out = BytesIO()
        figure.savefig(out, format=form, dpi=DOTS, metadata=NO_DATES[form])
    return out.getvalue()


def _axes(figure: Figure, box: tuple[float, float, float, float]) -> Axes:
    """Return axes in a box of the sheet, given in millimetres."""
    left, bottom, width, height = box
    return figure.add_axes((left / WIDTH, bottom / HEIGHT, width / WIDTH, height / HEIGHT))


def _write(figure: Figure, at: tuple[float, float], words: str, size: float = 6.2) -> None:
    """Write a line at a place of the sheet, in millimetres."""
    x, y = at
    figure.text(x / WIDTH, y / HEIGHT, words, fontsize=size)


def _write_title(figure: Figure, view: WaysView) -> None:
    """Write what the sheet shows."""
    name = shortened(
        f"{view.field.name}, block {view.block}" if view.block else view.field.name, 80
    )
    _write(figure, (MARGIN, HEIGHT - MARGIN - 4.0), f"Which way: {name}", 11)
    laid = len(view.compared.options)
    words = (
        f"{len(view.compared.look.bearings):,} bearings looked at, {laid} ways laid out and "
        f"measured. {view.told[0][0]} takes the fewest hours of those compared, for each hectare "
        "worked."
    )
    _write(figure, (MARGIN, HEIGHT - MARGIN - 9.0), words, 7)
    for i, line in enumerate(wrapped(" ".join(view.notes), 215)[:2]):
        _write(figure, (MARGIN, MARGIN - 2.0 - i * LINE), line, 5.6)


def _draw_curve(axes: Axes, view: WaysView) -> None:
    """Draw hours over bearing, as a range, and where the three lie."""
    look = view.compared.look
    bearing = look.bearings % 180.0
    order = np.argsort(bearing, kind="stable")
    x, low, usual, high = (
        column[order] for column in (bearing, look.hours.least, look.hours.usual, look.hours.most)
    )
    axes.fill_between(x, low, high, color=tinted(SKY, 0.25), lw=0, label="slow to fast")
    axes.plot(x, usual, color="black", lw=0.8, label="usual, by the quick look")
    if not np.array_equal(look.cost, look.hours.usual):
        axes.plot(x, look.cost[order], color="black", lw=0.8, ls=":", label="with what is weighed")
    for (letter, option, _, _), look_of in zip(view.told, LOOKS, strict=False):
        _mark(axes, letter, option, look_of)
    axes.set_xlim(0.0, 180.0)
    axes.set_xticks(np.arange(0, 181, 15))
    axes.set_xlabel("bearing of the rows, degrees clockwise from north")
    axes.set_ylabel("hours")
    axes.set_ylim(0.0, float(high.max()) * 1.05)
    axes.grid(color="#dddddd", lw=0.4)
    axes.set_axisbelow(True)
    axes.legend(loc="lower right", fontsize=6, framealpha=1.0, ncols=6)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def _mark(axes: Axes, letter: str, option: Option, look: tuple[str, str, str]) -> None:
    """Mark an option: at its bearing, or by a level line where it has none."""
    colour, mark, stroke = look
    hours = option.found.hours.usual
    if option.bearing is None:
        axes.axhline(hours, color=colour, lw=1.2, ls=stroke, label=f"{letter}, bent lines")
        return
    axes.plot([option.bearing], [hours], mark, color=colour, ms=6, label=f"{letter}, laid out")
    right = option.bearing > 174.0
    axes.annotate(
        letter,
        (option.bearing, hours),
        xytext=(-6 if right else 6, 6),
        textcoords="offset points",
        ha="right" if right else "left",
        fontsize=10,
        fontweight="bold",
        color=colour,
    )


def _draw_way(figure: Figure, place: int, told: Told) -> None:
    """Draw one way on the field, with its words under it."""
    letter, option, way, sentences = told
    column = (WIDTH - 2 * MARGIN - 2 * BETWEEN) / 3
    left = MARGIN + place * (column + BETWEEN)
    axes = _axes(figure, (left, MAP_BOTTOM, column, MAP_HEIGHT))
    axes.set_aspect("equal")
    axes.set_axis_off()
    every = _draw_map(axes, option, LOOKS[place][0])
    head = wrapped(f"{letter}: {way}", 56)
    y = MAP_BOTTOM - 3.0
    for line in head[:2]:
        figure.text(left / WIDTH, y / HEIGHT, line, fontsize=7, fontweight="bold")
        y -= LINE + 0.4
    for sentence in (*sentences, every):
        for line in wrapped(sentence, LETTERS_TO_A_LINE):
            if y > MARGIN + 1.0:
                _write(figure, (left, y), line, 6.0)
            y -= LINE


def _draw_map(axes: Axes, option: Option, colour: str) -> str:
    """Draw the ground and the passes of one operation; say which of them are drawn."""
    layout = option.layout
    looks = {"headland": OTHER_LOOKS["headland"].tint, "band": tinted(YELLOW, 0.3)}
    kinds = layout.ground.kind
    for kind, tint in looks.items():
        own = layout.ground.geometry[(kinds == kind) | ((kind == "band") & (kinds == "tree band"))]
        if len(own):
            areas = PathCollection([outline(area) for area in own], facecolors=tint, linewidths=0)
            if kind == "headland":
                areas.set_hatch(OTHER_LOOKS["headland"].hatch)
                areas.set_edgecolor("#909090")
            axes.add_collection(areas)
    lines, words = _passes(option)
    axes.add_collection(LineCollection(lines, colors=colour, linewidths=0.7))
    edge = PathCollection([outline(layout.field.land)], facecolors="none", edgecolors="black")
    edge.set_linewidth(1.0)
    axes.add_collection(edge)
    west, south, east, north = layout.field.land.bounds
    edge_room = 0.03 * max(east - west, north - south)
    axes.set_xlim(west - edge_room, east + edge_room)
    axes.set_ylim(south - edge_room, north + edge_room)
    return words


def _passes(option: Option) -> tuple[list[NDArray[np.float64]], str]:
    """Return the passes of the operation that has the most, thinned, and what they are."""
    passes, plan = option.layout.passes, option.layout.plan
    names = list(option.found.passes)
    name = max(names, key=lambda one: option.found.passes[one])
    index = [operation.name for operation in plan.operations].index(name)
    own = np.flatnonzero(passes.operation == index)
    step = max(1, -(-option.found.passes[name] // MOST_LINES))
    drawn = own[(passes.number[own] - 1) % step == 0]
    ends = passes.lines.offsets
    lines = [passes.lines.xy[ends[i] : ends[i + 1]] for i in drawn]
    which = {1: "every pass", 2: "every second pass", 3: "every third pass"}
    return lines, f"Drawn: {which.get(step, f'every {step}th pass')} of {name}. North is up."
