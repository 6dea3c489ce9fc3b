"""
How one operation is driven, drawn: pieces numbered in turn, turns, loads and gates.

The sheet is that of the map, at its scale. Colours run from dark to light in the order driven, and
every piece has its number and an arrow, so that nothing is lost in black and white.
"""

from collections.abc import Iterator, Sequence
from functools import partial
from io import BytesIO
from pathlib import Path

import matplotlib as mpl
import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.figure import Figure
from numpy.typing import NDArray

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.appraisal.driving.order import Order
from geolayout.appraisal.driving.rounds import RoundsOrder
from geolayout.appraisal.driving.season import Driving, driving_of
from geolayout.appraisal.driving.turnlines import TurnLines, round_turn_lines, turn_lines
from geolayout.handover.files.prescription import short_names
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.pictures.looks import MM, OTHER_LOOKS, VERMILION, steady_style
from geolayout.handover.pictures.marks import (
    draw_features,
    draw_hazards,
    outline,
    scrap,
    tell_hazards,
)
from geolayout.handover.pictures.paper import MARGIN, Pen, View, draw_scale, sheet_axes, tell
from geolayout.handover.words.drive import drive_lines, in_turn
from geolayout.layout.build import Layout

__all__ = ["DRIVING", "drive_png", "write_drive_pictures"]

DRIVING = "driving"
"""Folder of these pictures in the output folder."""

DOTS = 120
"""Dots an inch of the picture."""

SHADES = (0.0, 0.85)
"""Part of the scale of colours that is used: the lightest is lost on paper."""

NUMBER = 4.8
"""Size of a piece's number. [point of print]"""

LETTER = 1.15
"""Width of a digit of that size, with what is left free. [mm]"""

TALL = 1.9
"""Height of a number, with what is left free. [mm]"""

ALONG = (3.0, 8.0, 13.0, 18.0, 25.0)
"""Where along its piece a number may stand, best first; left out where none is free. [mm]"""

KEPT = 14
"""Lines that are kept under the hazards for how it is driven."""

MARKS = (
    "Numbers: pieces in the order driven, at the end where each begins; rounds have an R.",
    "Thick: at work, dark first, light last. Thin: turns and ways round on the headland.",
    "Broken: turns that the headland does not hold.",
)
"""What lines and numbers mean."""

BEGIN = "Circle: begin. Square ring: end."
RUN_OUT = "Diamond: a load ends here if it is driven to its last."
FILL = "Cross: goes from here to fill or tip, before the piece that could not be finished."

Floats = NDArray[np.float64]
Leg = Order | RoundsOrder


def write_drive_pictures(layout: Layout, cautions: Sequence[Caution], folder: Path) -> list[str]:
    """
    Write a picture for every operation, named like the file of its lines.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Of that layout, worst first; its hazards are drawn and told.
    folder : Path
        An existing folder to write into.

    Returns
    -------
    files : list of str
        Names of what was written.
    """
    every = driving_of(layout)
    names = [f"{name}.png" for name in short_names([one.operation for one in every])]
    for name, one in zip(names, every, strict=True):
        (folder / name).write_bytes(drive_png(layout, one, cautions))
    return names


def drive_png(layout: Layout, driving: Driving, cautions: Sequence[Caution]) -> bytes:
    """
    Draw how one operation is driven.

    Parameters
    ----------
    layout : Layout
        A layout.
    driving : Driving
        How one of its operations is driven.
    cautions : sequence of Caution
        Of that layout, worst first; its hazards are drawn and told.

    Returns
    -------
    picture : bytes
        PNG.
    """
    hazards = [caution for caution in cautions if caution.severity == HAZARD]
    legs = in_turn(driving)
    turns = [_turns(layout, leg) for leg in legs]
    shown = np.concatenate(
        [shapely.get_coordinates(layout.field.land), *(one.lines.xy for one in turns)]
    )
    with steady_style():
        view = View.fitting(partial(_extent, shown))
        figure = Figure(figsize=(view.sheet.width * MM, view.sheet.height * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        axes = view.axes(figure)
        _draw_land(axes, layout)
        _draw_legs(axes, layout, (legs, turns), view)
        _draw_loads(axes, layout, driving)
        draw_features(axes, layout.field)
        draw_hazards(axes, hazards[:MOST_HAZARDS])
        _tell(figure, view, (layout, driving), hazards)
        out = BytesIO()
        figure.savefig(out, format="png", metadata={"Software": None})
    return out.getvalue()


def _extent(shown: Floats, view: View) -> tuple[float, float, float, float]:
    """Return what the picture must show: the land, and turns that leave it. [m]"""
    (west, south), (east, north) = shown.min(axis=0).tolist(), shown.max(axis=0).tolist()
    edge = view.metres(2.0)
    return west - edge, south - edge, east + edge, north + edge


def _draw_land(axes: Axes, layout: Layout) -> None:
    """Draw headland, what nobody drives on, and the edge of the field."""
    ground = layout.ground
    for kind in ("headland", "margin", "keep-clear", "obstacle", "tree band"):
        mine = [outline(one) for one in ground.geometry[ground.kind == kind]]
        tint = "#6e6e6e" if kind == "obstacle" else "#eeeeee"
        drawn = PathCollection(mine, facecolors=tint, edgecolors="#a0a0a0", linewidths=0.2)
        if kind in ("margin", "keep-clear"):
            drawn.set_hatch(OTHER_LOOKS[kind].hatch)
        axes.add_collection(drawn, autolim=False)
    edge = PathCollection([outline(layout.field.land)], facecolors="none", edgecolors="black")
    edge.set_linewidth(0.9)
    axes.add_collection(edge, autolim=False)


def _draw_legs(
    axes: Axes, layout: Layout, driven: tuple[Sequence[Leg], Sequence[TurnLines]], view: View
) -> None:
    """Draw what is driven: pieces with arrows and numbers, turns, begin and end."""
    legs, turns = driven
    lines = [xy for leg in legs for xy in _pieces(layout, leg)]
    names = [name for leg in legs for name in _names(leg, legs)]
    at = np.linspace(*SHADES, len(lines))
    colours = mpl.colormaps["viridis"](at)
    work = LineCollection(lines, colors=colours, linewidths=1.0, zorder=4)
    axes.add_collection(work, autolim=False)
    for leg, between in zip(legs, turns, strict=True):
        held = leg.fits[1:] if isinstance(leg, Order) else between.beyond_edge == 0.0
        _draw_turns(axes, between, held)
    _draw_arrows(axes, lines, colours, view)
    _draw_numbers(axes, zip(names, lines, strict=True), view)
    axes.plot(*lines[0][0], "o", color="white", mec="black", ms=6, mew=1.2, zorder=8)
    axes.plot(*lines[-1][-1], "s", color="none", mec="black", ms=6, mew=1.2, zorder=8)


def _pieces(layout: Layout, leg: Leg) -> Iterator[Floats]:
    """Yield the line of each piece as it is driven. [m]"""
    lines = (layout.rounds if isinstance(leg, RoundsOrder) else layout.passes).lines
    for piece, backward in zip(leg.piece.tolist(), leg.backward.tolist(), strict=True):
        xy = lines.xy[lines.offsets[piece] : lines.offsets[piece + 1]]
        yield xy[::-1] if backward else xy


def _names(leg: Leg, legs: Sequence[Leg]) -> list[str]:
    """Return the number of each piece, counted on over all legs of its kind."""
    kind = type(leg)
    before = sum(len(one) for one in legs[: legs.index(leg)] if isinstance(one, kind))
    letter = "R" if isinstance(leg, RoundsOrder) else ""
    return [f"{letter}{before + k}" for k in range(1, len(leg) + 1)]


def _turns(layout: Layout, leg: Leg) -> TurnLines:
    """Return the turns of a leg."""
    if isinstance(leg, RoundsOrder):
        return round_turn_lines(layout, leg)
    return turn_lines(layout, leg)


def _draw_turns(axes: Axes, turns: TurnLines, fits: NDArray[np.bool_]) -> None:
    """Draw turns, broken where the headland does not hold them."""
    parts = np.split(turns.lines.xy, turns.lines.offsets[1:-1])
    styles = ["-" if one else "--" for one in fits.tolist()]
    drawn = LineCollection(parts, colors=VERMILION, linewidths=0.6, linestyles=styles, zorder=5)
    axes.add_collection(drawn, autolim=False)


def _draw_arrows(axes: Axes, lines: Sequence[Floats], colours: Floats, view: View) -> None:
    """Draw an arrow in the middle of each piece that is long enough."""
    drawn = shapely.linestrings
    long = [k for k, xy in enumerate(lines) if drawn(xy).length > view.metres(6.0)]
    if not long:
        return
    tip = view.metres(1.0)
    middles = [0.5 * drawn(lines[k]).length for k in long]
    ends = np.array(
        [
            shapely.get_coordinates(
                shapely.line_interpolate_point(drawn(lines[k]), [s - tip, s + tip])
            )
            for k, s in zip(long, middles, strict=True)
        ]
    )
    way = ends[:, 1] - ends[:, 0]
    axes.quiver(
        *ends[:, 0].T,
        *way.T,
        color=colours[long],
        angles="xy",
        scale_units="xy",
        scale=1.0,
        units="inches",
        width=0.02,
        headwidth=4.5,
        headlength=5.0,
        headaxislength=5.0,
        minlength=0.0,
        zorder=6,
    )


def _draw_numbers(axes: Axes, named: Iterator[tuple[str, Floats]], view: View) -> None:
    """Write the number of each piece near its beginning, where no other one stands."""
    taken: list[tuple[float, float, float]] = []
    for name, xy in named:
        half = view.metres(LETTER * len(name) / 2.0)
        place = _free(shapely.linestrings(xy), half, taken, view)
        if place is None:
            continue
        taken.append((*place, half))
        axes.text(*place, name, fontsize=NUMBER, ha="center", va="center", bbox=scrap(), zorder=7)


def _free(
    line: shapely.LineString, half: float, taken: list[tuple[float, float, float]], view: View
) -> tuple[float, float] | None:
    """Return where along a line a number lies over no other."""
    tall = view.metres(TALL)
    for along in ALONG:
        s = view.metres(along)
        if s > line.length / 2.0 and along != ALONG[0]:
            break
        x, y = shapely.get_coordinates(line.interpolate(min(s, line.length / 2.0)))[0].tolist()
        if all(abs(x - a) > half + wide or abs(y - b) > tall for a, b, wide in taken):
            return x, y
    return None


def _draw_loads(axes: Axes, layout: Layout, driving: Driving) -> None:
    """Mark where loads end, and where the machine goes to fill or tip."""
    carting = driving.carting
    if carting is None:
        return
    lines = [xy for order in driving.orders for xy in _pieces(layout, order)]
    for out in carting.run_outs:
        spot = shapely.linestrings(lines[out.piece]).interpolate(out.along)
        axes.plot(spot.x, spot.y, "D", color="white", mec="black", ms=4.5, mew=0.9, zorder=8)
    for trip in carting.trips:
        spot = lines[trip.after][-1] if trip.after >= 0 else lines[0][0]
        axes.plot(*spot, "P", color="white", mec="black", ms=5.5, mew=0.9, zorder=8)


def _tell(
    figure: Figure, view: View, of: tuple[Layout, Driving], hazards: Sequence[Caution]
) -> None:
    """Write the title, the scale, hazards, and how the operation is driven."""
    layout, driving = of
    sheet = view.sheet
    axes, top = sheet_axes(figure, sheet), sheet.height - MARGIN
    axes.text(MARGIN, top - 5.0, layout.field.name, fontsize=13, fontweight="bold")
    words = f"{driving.operation}: in which order it is driven ({driving.machine.name})"
    axes.text(MARGIN, top - 9.5, words, fontsize=7.5)
    axes.plot([MARGIN, sheet.width - MARGIN], [top - 11.5, top - 11.5], color="black", lw=0.6)
    pen = Pen(axes, sheet)
    draw_scale(pen, view.scale)
    tell_hazards(pen, hazards, KEPT)
    pen.gap()
    tell(pen, [*MARKS, BEGIN, *_load_marks(driving)])
    pen.gap()
    tell(pen, [line.strip() for line in drive_lines([driving], layout)[:-1]])
    tell(pen, ["All of it: summary.txt."])


def _load_marks(driving: Driving) -> list[str]:
    """Return what the marks of loads mean, where there are some."""
    carting = driving.carting
    if carting is None:
        return []
    return [*([RUN_OUT] if carting.run_outs else []), *([FILL] if carting.trips else [])]
