"""
The map: one A4 sheet at a true round scale that can be read in black and white.

North on the sheet is grid north of the field's own frame, which is true north at its centre.
"""

from collections.abc import Sequence
from functools import partial
from io import BytesIO
from math import ceil
from pathlib import Path

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PathCollection
from matplotlib.figure import Figure
from matplotlib.path import Path as Outline
from numpy.typing import NDArray

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.handover.pictures.chains import LETTER, chain_room, chains_of, draw_chain, reading
from geolayout.handover.pictures.legend import Legend, draw_legend
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.pictures.looks import MM, Look, ground_looks, legend_key, steady_style
from geolayout.handover.pictures.marks import (
    Place,
    as_place,
    draw_features,
    draw_hazards,
    outline,
    scrap,
)
from geolayout.handover.pictures.paper import A4, View
from geolayout.handover.pictures.zone_marks import draw_zones
from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.guides.follow import chords_inside
from geolayout.plan.section.section import Cut
from geolayout.plan.units import METRIC, Units

__all__ = ["map_figure", "map_png", "map_view", "write_map"]

DOTS = 200
"""Dots an inch of the picture."""


def write_map(layout: Layout, cautions: Sequence[Caution], path: Path) -> None:
    """
    Write the map of a layout as PNG.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Of that layout, worst first; its hazards are drawn and told.
    path : Path
        File to write.
    """
    path.write_bytes(map_png(layout, cautions))


def map_png(layout: Layout, cautions: Sequence[Caution]) -> bytes:
    """Return the bytes of the map; see `write_map`."""
    with steady_style():
        view = map_view(layout)
        hazards = tuple(caution for caution in cautions if caution.severity == HAZARD)
        figure, _ = map_figure(layout, hazards, view)
        draw_legend(figure, view.sheet, Legend(layout, hazards, view.scale))
        out = BytesIO()
        figure.savefig(out, format="png", dpi=DOTS, metadata={"Software": None})
    return out.getvalue()


def map_view(layout: Layout, size: tuple[float, float] = A4) -> View:
    """Return the largest view of a layout, with its dimensions, on a size of paper. [mm]"""
    return View.fitting(partial(_extent, layout), size=size)


def map_figure(
    layout: Layout, hazards: Sequence[Caution], view: View, units: Units = METRIC
) -> tuple[Figure, Axes]:
    """
    Draw the map alone, without what stands beside it; to be called within a steady style.

    Parameters
    ----------
    layout : Layout
        A layout.
    hazards : sequence of Caution
        Worst first; those that have a letter are drawn.
    view : View
        Sheet and scale.
    units : Units
        Unit of the dimensions.

    Returns
    -------
    figure : Figure
        Of the size of the sheet.
    axes : Axes
        Of the map, in metres of the frame.
    """
    figure = Figure(figsize=(view.sheet.width * MM, view.sheet.height * MM), dpi=DOTS)
    FigureCanvasAgg(figure)
    axes = view.axes(figure)
    _draw_ground(axes, layout)
    draw_zones(axes, layout)
    draw_features(axes, layout.field)
    _draw_rounds(axes, layout)
    _draw_trees(axes, layout, view)
    for chain in chains_of(layout, view):
        draw_chain(axes, chain, view, units.width)
    for block in layout.blocks:
        _draw_ends(axes, block)
        if block.leads:
            _draw_anchor(axes, block)
        _draw_band_labels(axes, layout, block, view)
    draw_hazards(axes, hazards[:MOST_HAZARDS])
    return figure, axes


def _extent(layout: Layout, view: View) -> tuple[float, float, float, float]:
    """Return what the map must show: the land, and the dimensions beside each block. [m]"""
    shown = shapely.union_all([layout.field.land, chain_room(layout, view)])
    west, south, east, north = shown.bounds
    edge = view.metres(1.5)
    return west - edge, south - edge, east + edge, north + edge


def _draw_ground(axes: Axes, layout: Layout) -> None:
    """Draw every piece of ground by its look, then the edge of the field."""
    ground = layout.ground
    pairs = zip(ground.kind.tolist(), ground.stand.tolist(), strict=True)
    keys = [legend_key(kind, stand) for kind, stand in pairs]
    for key, look in ground_looks(ground).items():
        mine = [outline(ground.geometry[i]) for i, other in enumerate(keys) if other == key]
        _draw_areas(axes, mine, look)
    edge = PathCollection([outline(layout.field.land)], facecolors="none", edgecolors="black")
    edge.set_linewidth(0.9)
    axes.add_collection(edge, autolim=False)


def _draw_areas(axes: Axes, outlines: list[Outline], look: Look) -> None:
    """Draw areas of one look."""
    drawn = PathCollection(outlines, facecolors=look.tint, edgecolors="#303030", linewidths=0.3)
    drawn.set_hatch(look.hatch)
    axes.add_collection(drawn, autolim=False)


def _draw_rounds(axes: Axes, layout: Layout) -> None:
    """Draw the rounds on the headland, thin and dashed."""
    inside = shapely.intersection(layout.rounds.lines.geometry, layout.field.land)
    for line in shapely.get_parts(inside):
        xy = shapely.get_coordinates(line)
        axes.plot(*xy.T, color="black", lw=0.35, ls=(0, (6, 2)), zorder=3)


def _draw_trees(axes: Axes, layout: Layout, view: View) -> None:
    """Draw trees as points, never larger than half their spacing."""
    xy = layout.trees.xy
    if not len(xy):
        return
    near = shapely.STRtree(shapely.points(xy)).query_nearest(
        shapely.points(xy), return_distance=True, exclusive=True, all_matches=False
    )[1]
    closest = float(near.min()) if len(near) else 1.0
    size = min(1.2, max(0.3, 0.4 * view.millimetres(closest)))
    axes.plot(*xy.T, "o", color="black", ms=size / 25.4 * 72, mew=0, zorder=5)


def _draw_ends(axes: Axes, block: Block) -> None:
    """Draw the edges that were taken as ends of the rows."""
    for run in block.ends:
        xy = shapely.get_coordinates(run.line)
        axes.plot(*xy.T, color="black", lw=2.2, solid_capstyle="butt", zorder=4)


def _draw_anchor(axes: Axes, block: Block) -> None:
    """Mark the point that the dimensions are counted from."""
    place = block.anchor
    axes.plot(*place, "o", color="white", mec="black", ms=6, mew=0.9, zorder=8)
    axes.plot(*place, "+", color="black", ms=6, mew=0.9, zorder=8)


def _draw_band_labels(axes: Axes, layout: Layout, block: Block, view: View) -> None:
    """Write the number and name of each band on its longest piece, where there is room."""
    index = layout.blocks.index(block)
    rotation, _ = reading(block)
    narrow = min((view.millimetres(cut.width) for cut in block.section.bands), default=LETTER)
    every = max(1, ceil(0.8 * LETTER / narrow)) if narrow < 0.8 * LETTER else 1
    for i, cut in enumerate(block.section.cuts):
        width = view.millimetres(cut.width)
        if not cut.grows or (width < 0.8 * LETTER and cut.number % every):
            continue
        mine = (layout.ground.block == index) & (layout.ground.cut == i)
        place = _label_place(block, layout.ground.geometry[mine], cut)
        if place is not None:
            axes.text(
                place[0],
                place[1],
                _band_label(cut),
                rotation=rotation,
                rotation_mode="anchor",
                ha="center",
                va="center",
                fontsize=min(6.0, max(4.2, 0.75 * width / 25.4 * 72)),
                bbox=scrap(),
                zorder=6,
            )


def _band_label(cut: Cut) -> str:
    """Return what a band is called on the map: its name, then its number."""
    if cut.band[-1:].isdigit():
        return f"{cut.number}: {cut.band}"
    return f"{cut.band} {cut.number}" if len(cut.band) > 2 else f"{cut.band}{cut.number}"


def _label_place(block: Block, pieces: NDArray[np.object_], cut: Cut) -> Place | None:
    """Return the middle of the longest stretch along a band, None where it has no ground."""
    if not len(pieces):
        return None
    middle = (cut.t0 + cut.t1) / 2
    chords = chords_inside(block.guides, shapely.multipolygons(pieces), np.array([middle]))
    if not len(chords.line):
        return None
    longest = int(np.argmax(chords.s1 - chords.s0))
    s = (chords.s0[longest] + chords.s1[longest]) / 2
    return as_place(block.guides.from_turned(np.array([middle, s])))
