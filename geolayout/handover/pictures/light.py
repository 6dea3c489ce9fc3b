"""
A drawn alley: tree rows to scale as they grow, and the light on the ground between them.

Above, both rows and the alley, one outline a year; below, the share of open light from row to row,
one line a year. Lines differ by dashes as well as by colour.
"""

from collections.abc import Sequence
from functools import partial
from io import BytesIO
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, Rectangle

from geolayout.appraisal.light.alley import AlleyLight
from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.looks import MM, steady_style, tinted

__all__ = ["light_bytes", "light_picture"]

LEFT, WIDE, RIGHT = 18.0, 120.0, 46.0
"""Room for the axis, for the alley, and for what the lines are. [mm]"""

HEAD, BETWEEN, LIGHT, FOOT = 12.0, 7.0, 50.0, 14.0
"""Heights of the title, of the room between both drawings, of the light, of its axis. [mm]"""

DOTS = 160
"""Dots an inch of a PNG."""

COLOURS = ("#56B4E9", "#009E73", "#E69F00", "#D55E00", "#000000")
DASHES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)))
"""Looks of the years, told apart in black and white too; Okabe and Ito's colours."""


def light_picture(alleys: Sequence[AlleyLight], path: Path) -> None:
    """
    Draw the light across alleys into a file.

    Parameters
    ----------
    alleys : sequence of AlleyLight
        One drawing each, below each other.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    write_picture(path, partial(light_bytes, alleys))


def light_bytes(alleys: Sequence[AlleyLight], form: str) -> bytes:
    """
    Return drawn alleys as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    alleys : sequence of AlleyLight
        One drawing each, below each other.
    form : {"svg", "png"}
        Kind of picture.
    """
    heights = [HEAD + _high(alley) + BETWEEN + LIGHT + FOOT for alley in alleys]
    wide, tall = LEFT + WIDE + RIGHT, sum(heights)
    with steady_style():
        figure = Figure(figsize=(wide * MM, tall * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        for alley, foot in zip(alleys, tall - np.cumsum(heights), strict=True):
            base = (foot + FOOT) / tall
            light = figure.add_axes((LEFT / wide, base, WIDE / wide, LIGHT / tall))
            above = base + (LIGHT + BETWEEN) / tall
            rows = figure.add_axes((LEFT / wide, above, WIDE / wide, _high(alley) / tall))
            _draw_rows(rows, alley)
            _draw_light(light, alley)
            for axes in (rows, light):
                axes.set_xlim(*_reach(alley))
        out = BytesIO()
        figure.savefig(out, format=form, metadata=NO_DATES[form])
    return out.getvalue()


def _top(alley: AlleyLight) -> float:
    """Return the height of the highest tree of all years. [m]"""
    return max(year.fast.height for year in alley.years)


def _reach(alley: AlleyLight) -> tuple[float, float]:
    """Return from where to where across is drawn. [m]"""
    beside = max(_top(alley) * 0.3, 2.0)
    return -beside, alley.pitch + beside


def _high(alley: AlleyLight) -> float:
    """Return the height of the drawn rows, at the scale at which they are drawn across. [mm]"""
    low, high = _reach(alley)
    return (1.05 * _top(alley) + 1.0) * WIDE / (high - low)


def _title(alley: AlleyLight) -> str:
    """Return what one drawing shows."""
    where = f"Block {alley.block}: t" if alley.block else "T"
    rows = (
        f"rows {alley.rows[0]} and {alley.rows[1]}, {alley.pitch:.1f} m apart"
        if len(alley.rows) > 1
        else f"row {alley.rows[0]} and the crop beside it"
    )
    return f"{where}ree {rows}, bearing {alley.bearing:.0f}\N{DEGREE SIGN}"


def _draw_rows(axes: Axes, alley: AlleyLight) -> None:
    """Draw both tree rows of every year, to scale, and the strips they stand in."""
    axes.set_title(_title(alley), fontsize=9, loc="left")
    low, high = alley.crop_from, alley.crop_to
    axes.add_patch(Rectangle((low, -1.0), high - low, 1.0, facecolor=tinted("#F0E442", 0.5)))
    for start, wide in ((-low, 2.0 * low), (high, 2.0 * (alley.pitch - high)))[: len(alley.rows)]:
        strip = Rectangle((start, -1.0), wide, 1.0, facecolor="white", edgecolor="0.4")
        strip.set_hatch("////")
        axes.add_patch(strip)
    for i, year in enumerate(alley.years):
        tree = year.fast
        deep = tree.height - tree.crown_base
        for foot in (0.0, alley.pitch)[: len(alley.rows)]:
            crown = Ellipse((foot, tree.crown_base + deep / 2), tree.crown_width, deep, fill=False)
            crown.set(edgecolor=COLOURS[i % 5], linestyle=DASHES[i % 5], linewidth=1.0)
            axes.add_patch(crown)
            axes.plot([foot, foot], [0, tree.crown_base], color=COLOURS[i % 5], linewidth=1.0)
    axes.set_ylim(-1.0, 1.05 * _top(alley))
    axes.set_ylabel("m", fontsize=8)
    axes.tick_params(labelsize=7, labelbottom=False)


def _draw_light(axes: Axes, alley: AlleyLight) -> None:
    """Draw the share of open light across the alley, a line a year; a band where estimated."""
    for i, year in enumerate(alley.years):
        colour, dashes = COLOURS[i % 5], DASHES[i % 5]
        slow, fast = year.slow.light, year.fast.light
        if alley.estimated:
            axes.fill_between(alley.t, 100 * fast, 100 * slow, color=tinted(colour, 0.35), zorder=1)
        middle = 100 * np.mean([slow, fast], axis=0)
        name = _name(year.year, year.slow.height, year.fast.height)
        axes.plot(alley.t, middle, color=colour, linestyle=dashes, linewidth=1.4, label=name)
    axes.set_ylim(0, 105)
    axes.set_xlabel("m from the first row", fontsize=8)
    axes.set_ylabel("% of open light", fontsize=8)
    axes.grid(color="0.85", linewidth=0.5)
    axes.tick_params(labelsize=7)
    axes.legend(
        fontsize=7, loc="upper left", bbox_to_anchor=(1.01, 1.0), frameon=False, handlelength=3.2
    )


def _name(year: float, slow: float, fast: float) -> str:
    """Return what a year's line is called."""
    heights = f"{slow:.1f}" if f"{slow:.1f}" == f"{fast:.1f}" else f"{slow:.1f} - {fast:.1f}"
    return f"year {year:g}: {heights} m"
