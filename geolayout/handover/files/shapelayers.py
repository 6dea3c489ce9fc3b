"""
A layout as named shapes, layer by layer: what a phone, a rover or a drawing office shows of it.

Rows are left out: thousands of lines help nobody who stands in the field. They are in the files for
a GIS.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import Caution
from geolayout.handover.files.hazardmarks import hazard_marks
from geolayout.handover.files.vertices import (
    AREA_DECIMALS,
    LINE_DECIMALS,
    lonlat_areas,
    lonlat_lines,
    rounded,
)
from geolayout.handover.tables import crops_of, pass_title, round_title
from geolayout.land.frames.frame import Frame
from geolayout.layout.build import Layout

__all__ = ["LAYERS", "DrawnLayer", "frame_words", "layers_of"]

LAYERS = ("HAZARD", "BOUNDARY", "FEATURE", "KEEP_CLEAR", "HEADLAND", "BAND", "PASS", "TREE")
"""Names of the layers, in the order in which they are written."""


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLayer:
    """
    Shapes of one layer.

    Attributes
    ----------
    name : str
        One of ``LAYERS``.
    names, told : tuple of str
        What each shape is called, and what is said about it.
    shapes : ndarray of shapely geometry, shape (n,)
        Single points, lines and polygons, in the frame. [m]
    """

    name: str
    names: tuple[str, ...]
    told: tuple[str, ...]
    shapes: NDArray[np.object_]

    def lonlat(self, frame: Frame) -> NDArray[np.object_]:
        """Return the shapes on WGS 84, rounded as files are; touching areas may be multi."""
        drawn = self.shapes.copy()
        kind = shapely.get_dimensions(self.shapes)
        areas, lines, points = (kind == 2), (kind == 1), (kind == 0)
        drawn[areas] = rounded(lonlat_areas(self.shapes[areas], frame), AREA_DECIMALS)
        drawn[lines] = rounded(lonlat_lines(self.shapes[lines], frame), LINE_DECIMALS)
        drawn[points] = rounded(frame.to_geographic(self.shapes[points]), LINE_DECIMALS)
        return drawn


def frame_words() -> str:
    """Return what coordinates of a phone's file are fixed to."""
    return "Longitude and latitude on WGS 84, heights none."


def layers_of(layout: Layout, cautions: Sequence[Caution]) -> tuple[DrawnLayer, ...]:
    """
    Return a layout as named shapes.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Worst first.

    Returns
    -------
    layers : tuple of DrawnLayer
        One for each of ``LAYERS``, empty ones too.
    """
    marks = hazard_marks(cautions, layout.field.frame)
    ground = layout.ground
    found = [
        [(mark.name, mark.told, shapely.Point(*mark.xy)) for mark in marks],
        [(layout.field.name, f"{layout.field.area / 1e4:.2f} ha", layout.field.land)],
        [(one.name or one.kind, one.kind, one.geometry) for one in layout.field.features],
        [("keep clear", "nothing is sown here", area) for area in _of_kind(layout, "keep-clear")],
        [("headland", "for turning", area) for area in _of_kind(layout, "headland")],
        [
            _band(layout, int(i))
            for i in np.flatnonzero(np.isin(ground.kind, ["band", "tree band"]))
        ],
        [*_passes(layout), *_rounds(layout)],
        _trees(layout),
    ]
    return tuple(_layer(name, items) for name, items in zip(LAYERS, found, strict=True))


Item = tuple[str, str, BaseGeometry]


def _layer(name: str, items: Iterable[Item]) -> DrawnLayer:
    """Return items as a layer, their parts one by one."""
    single = [(title, told, part) for title, told, s in items for part in shapely.get_parts(s)]
    shapes = np.empty(len(single), dtype=object)
    shapes[:] = [part for _, _, part in single]
    titles, told = (tuple(item[k] for item in single) for k in (0, 1))
    return DrawnLayer(name, titles, told, shapes)


def _of_kind(layout: Layout, kind: str) -> list[BaseGeometry]:
    """Return ground of one kind as one area, if there is any."""
    pieces = layout.ground.geometry[layout.ground.kind == kind]
    return [shapely.union_all(pieces, grid_size=0.001)] if len(pieces) else []


def _band(layout: Layout, i: int) -> Item:
    """Return a piece of a band: its name and number, and what grows there."""
    ground = layout.ground
    block = layout.blocks[int(ground.block[i])].name
    piece = f".{ground.piece[i]}" if ground.piece[i] > 1 else ""
    title = " ".join(filter(None, [block, f"{ground.band[i]} {ground.number[i]}{piece}"]))
    crops = crops_of(layout.plan.stand(ground.stand[i])) or ground.stand[i] or "bare"
    return title, f"{crops}, {ground.area[i] / 1e4:.3f} ha", ground.geometry[i]


def _passes(layout: Layout) -> list[Item]:
    """Return the pieces of the passes."""
    passes, operations = layout.passes, layout.plan.operations
    lines = passes.lines.geometry
    width = passes.reach1 - passes.reach0
    return [
        (
            pass_title(layout, operations[k].name, i),
            f"{operations[k].machine}, {width[i]:.2f} m wide",
            lines[i],
        )
        for i, k in enumerate(passes.operation.tolist())
    ]


def _rounds(layout: Layout) -> list[Item]:
    """Return the pieces of the rounds on headlands."""
    rounds, operations = layout.rounds, layout.plan.operations
    lines = rounds.lines.geometry
    return [
        (
            round_title(layout, operations[k].name, i),
            f"{operations[k].machine}, {rounds.width[i]:.2f} m wide",
            lines[i],
        )
        for i, k in enumerate(rounds.operation.tolist())
    ]


def _trees(layout: Layout) -> list[Item]:
    """Return the trees, called by block, row and position."""
    trees = layout.trees
    names = [block.name for block in layout.blocks]
    rows = zip(trees.block.tolist(), trees.row.tolist(), trees.position.tolist(), strict=True)
    points = shapely.points(trees.xy)
    return [
        (f"{names[block]} tree {row}-{at}".strip(), f"row {row}, tree {at}", point)
        for (block, row, at), point in zip(rows, points, strict=True)
    ]
