"""What stands beside the map: title, hazards, what the hatches mean, areas, scale and north."""

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from geolayout.appraisal.caution import Caution
from geolayout.handover.pictures.looks import ground_looks, legend_key, shortened
from geolayout.handover.pictures.marks import tell_hazards
from geolayout.handover.pictures.paper import (
    MARGIN,
    Pen,
    Sheet,
    draw_scale,
    sheet_axes,
    swatch,
    tell,
)
from geolayout.handover.pictures.zone_marks import legend_lines, tell_zones
from geolayout.handover.words.counting import counted
from geolayout.handover.words.speech import Words, as_written
from geolayout.layout.build import Layout
from geolayout.plan.units import METRIC, Units

__all__ = ["Legend", "draw_legend"]

AFTER_HAZARDS = 16
"""Lines that are kept for counts and notes under the table of ground."""


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
    units : Units
        Units of the figures; sentences of hazards stay in metres.
    marks : tuple of str
        What further marks on the map mean.
    words : callable
        Gives what is told in the language of the sheet.
    """

    layout: Layout
    hazards: tuple[Caution, ...]
    scale: int
    units: Units = METRIC
    marks: tuple[str, ...] = ()
    words: Words = as_written


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
    axes = sheet_axes(figure, sheet)
    _draw_title(axes, sheet, legend)
    pen = Pen(axes, sheet, legend.words)
    draw_scale(pen, legend.scale, legend.units.length)
    rest = len(ground_looks(legend.layout.ground)) + AFTER_HAZARDS + 2 * len(legend.marks)
    rest += legend_lines(legend.layout)
    tell_hazards(pen, legend.hazards, rest)
    _tell_ground(pen, legend)
    tell_zones(pen, legend.layout, legend.units)
    _tell_counts(pen, legend)
    tell(pen, legend.marks)
    tell(pen, _reading_notes(legend))


def _draw_title(axes: Axes, sheet: Sheet, legend: Legend) -> None:
    """Write what field, what season and which pattern."""
    layout, top = legend.layout, sheet.height - MARGIN
    axes.text(MARGIN, top - 5.0, layout.field.name, fontsize=13, fontweight="bold")
    season = layout.season
    year = f"harvest {season.year}" if season is not None else "bands' own stands"
    named = f" ({season.name})" if season is not None and season.name else ""
    patterns = ", ".join(dict.fromkeys(block.pattern.name for block in layout.blocks))
    area = legend.units.ground.said(layout.field.area)
    words = f"{year}{named}, pattern: {patterns}, {area} on the ellipsoid"
    axes.text(MARGIN, top - 9.5, legend.words(words), fontsize=7.5)
    axes.plot([MARGIN, sheet.width - MARGIN], [top - 11.5, top - 11.5], color="black", lw=0.6)


def _tell_ground(pen: Pen, legend: Legend) -> None:
    """Tell what each look means and how much ground it has."""
    layout, area = legend.layout, legend.units.ground
    ground = layout.ground
    pairs = zip(ground.kind.tolist(), ground.stand.tolist(), strict=True)
    keys = [legend_key(kind, stand) for kind, stand in pairs]
    looks = ground_looks(ground)
    pen.gap()
    pen.room_for(len(looks) + 3)
    pen.write(pen.words("Ground"), bold=True)
    pen.write_right(pen.words(area.word))
    for key, look in looks.items():
        mine = np.array([other == key for other in keys])
        swatch(pen, look)
        called = pen.words(_ground_words(layout, key, mine))
        pen.write(shortened(called, pen.letters - 15), indent=8.5)
        pen.write_right(pen.words(area.figure(ground.area[mine].sum())))
        pen.y -= 0.5
    pen.write(pen.words("the field"), indent=8.5)
    pen.write_right(pen.words(area.figure(ground.area.sum())))


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
    return f"{stand or 'bare'}: {counted(count, 'band', 'bands')} ({shown})"


def _tell_counts(pen: Pen, legend: Legend) -> None:
    """Tell how many rows, trees and passes there are."""
    layout = legend.layout
    pen.gap()
    rows = counted(layout.rows.rows, "row", "rows")
    words = [f"{rows} of crops, {legend.units.distance.said(layout.rows.length.sum())}"]
    if len(layout.trees):
        words.append(f"{counted(len(layout.trees), 'tree', 'trees')} (points on the map)")
    for i, operation in enumerate(layout.plan.operations):
        mine = layout.passes.operation == i
        keys = np.stack([layout.passes.block[mine], layout.passes.number[mine]], axis=1)
        if mine.any():
            count = len(np.unique(keys, axis=0))
            words.append(f"{operation.name}: {counted(count, 'pass', 'passes')}")
    if len(layout.rounds):
        words.append("Thin dashes are the middle of the machine on headland rounds.")
    tell(pen, words)


def _reading_notes(legend: Legend) -> list[str]:
    """Return how to read the figures on the map."""
    layout, notes = legend.layout, []
    unit = "metres" if legend.units.name == METRIC.name else "feet"
    for block in layout.blocks:
        if block.tier > 1:
            continue
        bearing = layout.field.frame.true_bearing(block.anchor, block.bearing)
        lon, lat = layout.field.frame.lonlat(np.array([block.anchor]))[0]
        name = f"{block.line_name}: rows" if block.line_name else "Rows"
        if block.guide.kind == "round":
            notes.append(f"{name} run round and round; bands are numbered from the edge inwards.")
            continue
        if block.crossed_by:
            notes.append(f"{name} run {bearing:.2f}° from true north.")
            continue
        notes.append(
            f"{name} run {bearing:.2f}° from true north. Figures in the chain are {unit} square to "
            f"the rows from the anchor, ringed, at latitude {lat:.8f}, longitude {lon:.8f}."
        )
    runs = [run for block in layout.blocks for run in block.ends]
    if any(run.told for run in runs):
        notes.append("Thick edges have headland.")
    elif runs:
        notes.append("Thick edges were taken as ends of the rows.")
    return notes
