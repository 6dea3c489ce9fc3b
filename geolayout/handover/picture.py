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
from geolayout.handover.legend import Legend, draw_legend
from geolayout.handover.letters import MOST_HAZARDS
from geolayout.handover.looks import MM, Look, ground_looks, legend_key, steady_style
from geolayout.handover.marks import (
    Place,
    as_place,
    draw_features,
    draw_hazards,
    outline,
    scrap,
)
from geolayout.handover.paper import View
from geolayout.layout.block import Block
from geolayout.layout.build import Layout
from geolayout.layout.scan import scan
from geolayout.plan.section import Cut

__all__ = ["map_png", "write_map"]

DOTS = 200
"""Dots an inch of the picture."""

CHAIN_GAP, CHAIN_TEXT = 3.0, 11.0
"""From the land to the chain of dimensions, and room for its figures, on paper. [mm]"""

LETTER = 2.0
"""Height that one line of small letters needs, on paper. [mm]"""

Points = NDArray[np.float64]


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
        view = View.fitting(partial(_extent, layout))
        figure = Figure(figsize=(view.sheet.width * MM, view.sheet.height * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        axes = view.axes(figure)
        hazards = [caution for caution in cautions if caution.severity == HAZARD]
        _draw_ground(axes, layout)
        draw_features(axes, layout.field)
        _draw_trees(axes, layout, view)
        for block in layout.blocks:
            _draw_ends(axes, block)
            _draw_chain(axes, block, view)
            _draw_anchor(axes, block)
            _draw_band_labels(axes, layout, block, view)
        draw_hazards(axes, hazards[:MOST_HAZARDS])
        draw_legend(figure, view.sheet, Legend(layout, tuple(hazards), view.scale))
        out = BytesIO()
        figure.savefig(out, format="png", dpi=DOTS, metadata={"Software": None})
    return out.getvalue()


def _extent(layout: Layout, view: View) -> tuple[float, float, float, float]:
    """Return what the map must show: the land, and the dimensions beside each block. [m]"""
    room = shapely.points([_chain_point(block, view, CHAIN_TEXT) for block in _sections(layout)])
    shown = shapely.union_all([layout.field.land, *room.ravel()])
    west, south, east, north = shown.bounds
    edge = view.metres(1.5)
    return west - edge, south - edge, east + edge, north + edge


def _sections(layout: Layout) -> list[Block]:
    """Return the blocks that have bands."""
    return [block for block in layout.blocks if not block.crop_land.is_empty]


def _chain_point(block: Block, view: View, outward: float) -> Points:
    """Return near and far end of a line square to the rows beside a block, shape (2, 2). [m]"""
    ts = block.guides.to_turned(shapely.get_coordinates(block.land))
    s = ts[:, 1].min() - view.metres(CHAIN_GAP + outward)
    near, far = block.guides.span(block.crop_land)
    return block.guides.from_turned(np.array([[near, s], [far, s]]))


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


def _draw_chain(axes: Axes, block: Block, view: View) -> None:
    """Draw the distances of the band edges from the anchor, in a chain beside the block."""
    edges = _band_edges(block)
    if not len(edges):
        return
    s = block.guides.to_turned(_chain_point(block, view, 0.0))[0, 1]
    tick = view.metres(1.0)
    base = block.guides.from_turned(np.array([[edges[0], s], [edges[-1], s]]))
    axes.plot(*base.T, color="black", lw=0.5, zorder=3)
    for t in edges:
        ends = block.guides.from_turned(np.array([[t, s - tick], [t, s + tick]]))
        axes.plot(*ends.T, color="black", lw=0.5, zorder=3)
    rotation, align = _reading(block)
    for t in spaced(edges, view.metres(LETTER)):
        x, y = block.guides.from_turned(np.array([t, s - 1.6 * tick]))
        axes.text(
            x,
            y,
            _figure(t),
            rotation=rotation,
            rotation_mode="anchor",
            ha=align,
            va="center",
            fontsize=5,
        )


def _draw_anchor(axes: Axes, block: Block) -> None:
    """Mark the point that the dimensions are counted from."""
    place = block.anchor
    axes.plot(*place, "o", color="white", mec="black", ms=6, mew=0.9, zorder=8)
    axes.plot(*place, "+", color="black", ms=6, mew=0.9, zorder=8)


def _band_edges(block: Block) -> Points:
    """Return the edges of the bands from the anchor, increasing. [m]"""
    cuts = [cut for cut in block.section.cuts if cut.grows]
    return np.unique(np.round([t for cut in cuts for t in (cut.t0, cut.t1)], 3))


def _figure(t: float) -> str:
    """Return a distance in metres with as many decimals as it needs, two at most."""
    return f"{round(t, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def spaced(places: Points, least: float) -> list[float]:
    """
    Return the places that can be written without touching, first and last among them.

    Examples
    --------
    >>> spaced(np.array([0.0, 1.0, 2.0, 3.0, 3.5]), 2.0)
    [0.0, 3.5]
    """
    chosen = [float(places[0])]
    last = float(places[-1])
    for place in places[1:-1].tolist():
        if place - chosen[-1] >= least and last - place >= least:
            chosen.append(place)
    return chosen if len(places) == 1 else [*chosen, last]


def _reading(block: Block) -> tuple[float, str]:
    """Return how letters along the rows are turned, and their side that is nearer to the field."""
    rotation = _upright(90.0 - block.bearing)
    forward = np.array([np.sin(np.radians(block.bearing)), np.cos(np.radians(block.bearing))])
    reads = np.array([np.cos(np.radians(rotation)), np.sin(np.radians(rotation))])
    return rotation, "left" if reads @ -forward > 0 else "right"


def _upright(angle: float) -> float:
    """Return an angle along the same line at which letters do not stand on their heads."""
    return (angle + 89.999) % 180.0 - 89.999


def _draw_band_labels(axes: Axes, layout: Layout, block: Block, view: View) -> None:
    """Write the number and name of each band on its longest piece, where there is room."""
    index = layout.blocks.index(block)
    rotation, _ = _reading(block)
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
    turned = shapely.multipolygons(block.guides.turn(pieces))
    middle = (cut.t0 + cut.t1) / 2
    chords = scan(turned, np.array([middle]))
    if not len(chords.line):
        return None
    longest = int(np.argmax(chords.s1 - chords.s0))
    s = (chords.s0[longest] + chords.s1[longest]) / 2
    return as_place(block.guides.from_turned(np.array([middle, s])))
