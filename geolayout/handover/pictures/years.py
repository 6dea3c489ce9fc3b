"""Small maps side by side, one for each season: stands move, bands shift, trees stay."""

from collections.abc import Sequence
from io import BytesIO
from math import ceil
from typing import Final

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PathCollection
from matplotlib.figure import Figure
from matplotlib.patches import Patch
from matplotlib.path import Path

from geolayout.handover.pictures.looks import (
    MM,
    OTHER_LOOKS,
    STAND_LOOKS,
    Look,
    shortened,
    steady_style,
)
from geolayout.handover.pictures.marks import outline
from geolayout.layout.blocks.years import season_ground, seasons_in_order
from geolayout.layout.build import Layout
from geolayout.plan.plan import Season

__all__ = ["YEARS_FILE", "years_png"]

YEARS_FILE: Final = "years.png"
"""Name of the picture in the output folder."""

SIDE: Final = 70.0
"""Width and height of one small map. [mm]"""

MOST_ACROSS: Final = 3
"""Maps side by side. Our own choice."""

MOST: Final = 9
"""Seasons that are drawn, the first ones. Our own choice."""

LEGEND: Final = 6.0
"""Height of a line of the legend. [mm]"""

LONGEST: Final = 40
"""Letters of a name in the legend."""


def years_png(layout: Layout) -> bytes | None:
    """
    Draw the seasons of a layout's plan.

    Parameters
    ----------
    layout : Layout
        Any season of the plan.

    Returns
    -------
    picture : bytes or None
        PNG; None where the plan has fewer than two seasons.
    """
    seasons = seasons_in_order(layout.plan)[:MOST]
    if len(seasons) < 2:
        return None
    drawn = [season_ground(layout.plan, layout.blocks, season) for season in seasons]
    stands = list(dict.fromkeys(name for ground in drawn for name, _ in ground if name))
    looks = {name: STAND_LOOKS[i % len(STAND_LOOKS)] for i, name in enumerate(stands)}
    if any(not name for ground in drawn for name, _ in ground):
        looks[""] = OTHER_LOOKS["bare"]
    across = min(MOST_ACROSS, len(seasons))
    down = ceil(len(seasons) / across)
    foot = LEGEND * (ceil(len(looks) / across) + 1)
    with steady_style():
        size = (across * SIDE * MM, (down * SIDE + foot) * MM)
        figure = Figure(figsize=size, dpi=150)
        FigureCanvasAgg(figure)
        share = foot / (down * SIDE + foot)
        for k, (season, ground) in enumerate(zip(seasons, drawn, strict=True)):
            column, row = k % across, k // across
            height = (1.0 - share) / down
            low = share + (down - 1 - row) * height
            axes = figure.add_axes((column / across, low, 1.0 / across, height * 0.9))
            _draw_season(axes, layout, season, [(looks[name], outline(g)) for name, g in ground])
        _draw_names(figure, looks, across)
        out = BytesIO()
        figure.savefig(out, format="png", metadata={"Software": None})
    return out.getvalue()


def _draw_season(
    axes: Axes, layout: Layout, season: Season, areas: Sequence[tuple[Look, Path]]
) -> None:
    """Draw the ground of one season, the trees and the edge of the field."""
    for look in dict.fromkeys(look for look, _ in areas):
        mine = [area for other, area in areas if other == look]
        drawn = PathCollection(mine, facecolors=look.tint, edgecolors="#303030", linewidths=0.25)
        drawn.set_hatch(look.hatch)
        axes.add_collection(drawn, autolim=False)
    edge = PathCollection([outline(layout.field.land)], facecolors="none", edgecolors="black")
    edge.set_linewidth(0.8)
    axes.add_collection(edge, autolim=False)
    if len(layout.trees.xy):
        axes.plot(*layout.trees.xy.T, "o", color="black", ms=0.8, mew=0)
    west, south, east, north = layout.field.land.bounds
    half = 0.52 * max(east - west, north - south)
    middle = ((west + east) / 2.0, (south + north) / 2.0)
    axes.set_xlim(middle[0] - half, middle[0] + half)
    axes.set_ylim(middle[1] - half, middle[1] + half)
    axes.set_aspect("equal")
    axes.set_axis_off()
    name = f", {shortened(season.name, LONGEST)}" if season.name else ""
    axes.set_title(f"{season.year}{name}", fontsize=8)


def _draw_names(figure: Figure, looks: dict[str, Look], across: int) -> None:
    """Write what each look means, under the maps."""
    keys = [
        Patch(
            facecolor=look.tint,
            hatch=look.hatch,
            edgecolor="#303030",
            label=shortened(name, LONGEST) or "bare or left over",
        )
        for name, look in looks.items()
    ]
    figure.text(0.01, 0.01, "North is up; headlands are white.", fontsize=6)
    figure.legend(
        handles=keys,
        loc="lower center",
        ncols=across,
        frameon=False,
        handlelength=3,
        handleheight=1.6,
    )
