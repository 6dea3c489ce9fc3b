"""
A drawn margin: what is left if prices or yields change, and trees over the years.

Lines differ by dashes and marks as well as by colour.
"""

from functools import partial
from io import BytesIO
from itertools import cycle
from pathlib import Path

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from geolayout.appraisal.money.reckoning import MoneyFigures
from geolayout.appraisal.money.sensitivity import Sensitivity
from geolayout.appraisal.money.treeflows import TreeFlows
from geolayout.errors import PlanError
from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.looks import MM, steady_style

__all__ = ["money_bytes", "money_picture"]

LEFT, WIDE, RIGHT = 24.0, 110.0, 56.0
"""Room for the axis, for the drawing, and for what the lines are. [mm]"""

HEAD, HIGH, FOOT = 12.0, 70.0, 14.0
"""Heights of a title, of a drawing, of its axis. [mm]"""

DOTS = 160
"""Dots an inch of a PNG."""

COLOURS = ("#000000", "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9")
DASHES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)))
MARKS = ("o", "s", "^", "v", "D", "x", "+")
"""Looks of the lines, told apart in black and white too; Okabe and Ito's colours."""


def money_picture(money: MoneyFigures, path: Path) -> None:
    """
    Draw the money of a layout into a file.

    Parameters
    ----------
    money : MoneyFigures
        The figures.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    PlanError
        If neither a margin nor trees over the years are known.
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    if money.sensitivity is None and money.trees is None:
        lacks = "; ".join(money.missing) or "yields and prices"
        raise PlanError(
            "No margin is known, so there is nothing to draw.",
            f"Missing: {lacks}.",
            "Add it to [money].",
        )
    write_picture(path, partial(money_bytes, money))


def money_bytes(money: MoneyFigures, form: str) -> bytes:
    """
    Return the drawn money as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    money : MoneyFigures
        The figures; with a margin, or trees, or both below each other.
    form : {"svg", "png"}
        Kind of picture.
    """
    drawn = [part for part in (money.sensitivity, money.trees) if part is not None]
    wide, tall = LEFT + WIDE + RIGHT, (HEAD + HIGH + FOOT) * len(drawn)
    with steady_style():
        figure = Figure(figsize=(wide * MM, tall * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        for row, part in enumerate(drawn):
            foot = tall - (row + 1) * (HEAD + HIGH + FOOT) + FOOT
            axes = figure.add_axes((LEFT / wide, foot / tall, WIDE / wide, HIGH / tall))
            if isinstance(part, Sensitivity):
                _draw_margin(axes, part, money.coin)
            else:
                _draw_trees(axes, part, money.coin)
            axes.axhline(0.0, color="0.3", linewidth=0.8)
            axes.set_ylabel(money.coin, fontsize=8)
            axes.grid(color="0.85", linewidth=0.5)
            axes.tick_params(labelsize=7)
        out = BytesIO()
        figure.savefig(out, format=form, metadata=NO_DATES[form])
    return out.getvalue()


def _draw_margin(axes: Axes, found: Sensitivity, coin: str) -> None:
    """Draw the field's margin by the change of one thing at a time, a line each."""
    steps, middle = [100 * step for step in found.steps], found.steps.index(0.0)
    lines = [
        ("all prices", found.margins[middle]),
        ("all yields", tuple(row[middle] for row in found.margins)),
        *(
            (f"price of {one.product or one.crop}", one.margins)
            for one in found.products
            if len(found.products) > 1
        ),
    ]
    for (name, margins), colour, dashes, mark in zip(
        lines, cycle(COLOURS), cycle(DASHES), cycle(MARKS), strict=False
    ):
        axes.plot(
            steps,
            margins,
            color=colour,
            linestyle=dashes,
            marker=mark,
            markersize=3.5,
            linewidth=1.2,
            label=name,
        )
    axes.set_title(f"The field's gross margin, in {coin}", fontsize=9, loc="left")
    axes.set_xlabel("% more or less than said", fontsize=8)
    axes.legend(
        fontsize=7, loc="upper left", bbox_to_anchor=(1.01, 1.0), frameon=False, handlelength=3.2
    )


def _draw_trees(axes: Axes, trees: TreeFlows, coin: str) -> None:
    """Draw what comes in each year, and the worth of all up to it, less crops too."""
    years = [one.year for one in trees.years]
    axes.bar(
        years,
        [one.net for one in trees.years],
        color="#56B4E9",
        edgecolor="0.3",
        hatch="//",
        linewidth=0.5,
        label="in that year",
    )
    rate = f" at {trees.discount_percent:g} %" if trees.discount_percent else ""
    axes.plot(
        years,
        [one.running for one in trees.years],
        color="#000000",
        marker="o",
        markersize=3,
        linewidth=1.2,
        label=f"up to it{rate}",
    )
    for one, colour, dashes in zip(trees.less_crops, COLOURS[2:], DASHES[1:], strict=False):
        axes.plot(
            years,
            one.running,
            color=colour,
            linestyle=dashes,
            linewidth=1.2,
            label=f"less what crops lose:\n{one.course}",
        )
    axes.set_title(f"Trees over the years, in {coin}", fontsize=9, loc="left")
    axes.set_xlabel("years after planting", fontsize=8)
    axes.legend(
        fontsize=7, loc="upper left", bbox_to_anchor=(1.01, 1.0), frameon=False, handlelength=3.2
    )
