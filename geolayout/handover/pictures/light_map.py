"""
A drawn map of the light over a field: cells from dark to bright, trees, edge, and what it means.

The colours run from dark violet to bright yellow, evenly in brightness, so that people who see
colours differently and photocopiers see the same order ("viridis", as matplotlib has it).
"""

from dataclasses import dataclass
from functools import partial
from io import BytesIO
from pathlib import Path

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PathCollection
from matplotlib.colors import BoundaryNorm, ListedColormap, to_hex
from matplotlib.figure import Figure

from geolayout.appraisal.light.area import BlockLight, LightMap
from geolayout.handover.files.lightraster import LightCells
from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.looks import MM, OTHER_LOOKS, Look, steady_style
from geolayout.handover.pictures.marks import draw_features, outline
from geolayout.handover.pictures.paper import (
    MARGIN,
    Bounds,
    Pen,
    Sheet,
    View,
    draw_scale,
    sheet_axes,
    swatch,
    tell,
)
from geolayout.layout.build import Layout
from geolayout.plan.trees.growth import Light
from geolayout.plan.units import METRIC

__all__ = ["CLASSES", "DrawnLight", "light_map_bytes", "light_map_picture"]

DOTS = 200
"""Dots an inch of a PNG."""

CLASSES = (0.0, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0)
"""Borders of the colours, shares of open light; the plan's limit is one more. [-]"""

COLOURS = "viridis"

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

TREE = 0.7
"""Dot of a tree on paper. [mm]"""


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLight:
    """
    What the picture shows.

    Attributes
    ----------
    layout : Layout
        The layout.
    told : LightMap
        Its light at the middles of the cells.
    cells : LightCells
        The cells.
    blocks : list of BlockLight
        The light on the crop, block by block.
    site : str
        "slow" or "fast", where heights are an estimate.
    stands : ndarray of bool, shape (trees,)
        Which trees stand.
    """

    layout: Layout
    told: LightMap
    cells: LightCells
    blocks: list[BlockLight]
    site: str
    stands: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


def light_map_picture(drawn: DrawnLight, path: Path) -> None:
    """
    Draw a map of light into a file.

    Parameters
    ----------
    drawn : DrawnLight
        What to show.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    write_picture(path, partial(light_map_bytes, drawn))


def light_map_bytes(drawn: DrawnLight, form: str) -> bytes:
    """
    Return a map of light as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    drawn : DrawnLight
        What to show.
    form : {"svg", "png"}
        Kind of picture.
    """
    with steady_style():
        view = View.fitting(partial(_extent, drawn.layout))
        figure = Figure(figsize=(view.sheet.width * MM, view.sheet.height * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        axes = view.axes(figure)
        _draw_cells(axes, drawn)
        _draw_field(axes, drawn)
        _draw_legend(figure, view, drawn)
        out = BytesIO()
        figure.savefig(out, format=form, dpi=DOTS, metadata=NO_DATES[form])
    return out.getvalue()


def _extent(layout: Layout, view: View) -> Bounds:
    """Return what the picture must show: the field with a little room. [m]"""
    west, south, east, north = (float(value) for value in layout.field.land.bounds)
    edge = view.metres(2.0)
    return west - edge, south - edge, east + edge, north + edge


def _draw_cells(axes: Axes, drawn: DrawnLight) -> None:
    """Draw the light of every cell within the field."""
    classes = _classes(drawn)
    light = np.ma.masked_invalid(drawn.cells.spread(drawn.told.light, np.nan))
    x, y = np.moveaxis(drawn.cells.corners(drawn.layout), -1, 0)
    colours = ListedColormap([colour for _, _, colour in classes])
    borders = [*(low for low, _, _ in classes), np.nextafter(1.0, 2.0)]  # all light is of the last
    norm = BoundaryNorm(borders, len(classes))
    axes.pcolormesh(x, y, light, cmap=colours, norm=norm, rasterized=True, zorder=1)


def _classes(drawn: DrawnLight) -> list[tuple[float, float, str]]:
    """Return from and to which share each colour goes, the plan's limit a border among them."""
    limit = drawn.layout.plan.light.limit
    borders = sorted({*CLASSES, limit})
    steps = np.linspace(0.0, 1.0, len(borders) - 1)
    colours = [to_hex(colour) for colour in mpl.colormaps[COLOURS](steps)]
    return list(zip(borders[:-1], borders[1:], colours, strict=True))


def _draw_field(axes: Axes, drawn: DrawnLight) -> None:
    """Draw the edge of the field, its features and the trees that stand."""
    layout = drawn.layout
    bodies = outline(layout.field.obstacles)
    taken = PathCollection([bodies], facecolors=OTHER_LOOKS["obstacle"].tint, linewidths=0)
    taken.set_zorder(3)
    axes.add_collection(taken, autolim=False)
    edge = PathCollection([outline(layout.field.land)], facecolors="none", edgecolors="black")
    edge.set_linewidth(0.9)
    edge.set_zorder(4)
    axes.add_collection(edge, autolim=False)
    draw_features(axes, layout.field)
    size = TREE / 25.4 * 72
    xy = layout.trees.xy[drawn.stands]
    axes.plot(*xy.T, "o", color="white", mec="black", ms=size, mew=0.4, zorder=5)


def _draw_legend(figure: Figure, view: View, drawn: DrawnLight) -> None:
    """Write the title, what the colours mean and how much ground they have, and how to read it."""
    axes = sheet_axes(figure, view.sheet)
    _draw_title(axes, view.sheet, drawn)
    pen = Pen(axes, view.sheet)
    draw_scale(pen, view.scale)
    _tell_classes(pen, drawn)
    tell(pen, _sentences(drawn))


def _draw_title(axes: Axes, sheet: Sheet, drawn: DrawnLight) -> None:
    """Write which field, which year and which months."""
    told, top = drawn.told, sheet.height - MARGIN
    axes.text(MARGIN, top - 5.0, drawn.layout.field.name, fontsize=13, fontweight="bold")
    first, last = (MONTHS[month - 1] for month in told.months)
    site = f" on a {drawn.site} site, by our estimate" if told.estimated else ""
    words = (
        f"Light on the ground from {first} to {last}, {told.year:g} years after planting: "
        f"trees up to {told.height:.1f} m{site}"
    )
    axes.text(MARGIN, top - 9.5, words, fontsize=7.5)
    axes.plot([MARGIN, sheet.width - MARGIN], [top - 11.5, top - 11.5], color="black", lw=0.6)


def _tell_classes(pen: Pen, drawn: DrawnLight) -> None:
    """Tell what each colour means, and how much crop and how much ground has it."""
    told = drawn.told
    pen.gap()
    pen.write("Share of open light", bold=True)
    pen.write_right("crop / all, ha")
    for low, high, colour in _classes(drawn):
        mine = (told.light >= low) & ((told.light < high) | (high >= 1.0))
        swatch(pen, Look(colour, ""))
        pen.write(f"{100 * low:g} to {100 * high:g}%", indent=8.5)
        crop, every = ((mine & told.crop).sum(), mine.sum())
        pen.write_right(_areas(drawn, int(crop), int(every)))
        pen.y -= 0.5
    if not drawn.layout.field.obstacles.is_empty:
        swatch(pen, OTHER_LOOKS["obstacle"])
        pen.write("hedges, water, buildings and the like", indent=8.5)
        pen.y -= 0.5
    pen.write("the field", indent=8.5)
    pen.write_right(_areas(drawn, int(told.crop.sum()), len(told.light)))
    pen.gap()


def _areas(drawn: DrawnLight, crop: int, every: int) -> str:
    """Return how much ground so many cells are, on crop and in all."""
    return " / ".join(METRIC.ground.figure(count * drawn.cells.area) for count in (crop, every))


def _sentences(drawn: DrawnLight) -> list[str]:
    """Return how to read the map."""
    asked: Light = drawn.layout.plan.light
    told = [
        f"{'Block ' + one.block + ': c' if one.block else 'C'}rop has {one.mean:.0%} of open light "
        f"on the mean and {one.darkest:.0%} at its darkest; {one.under:.0%} of it has less than "
        f"{asked.limit:.0%}."
        for one in drawn.blocks
    ]
    cell = f"{drawn.cells.grid.cell:g} m"
    standing, planted = int(drawn.stands.sum()), len(drawn.layout.trees)
    left = "" if standing == planted else f" of {planted:,} planted"
    return [
        *told,
        f"Dots are the {standing:,} trees{left}.",
        f"{asked.direct:.0%} of open light comes straight from the sun, the rest from all the sky.",
        f"Cells of {cell}, looked at in their middle. Areas are those of the cells.",
        "Hedges, woods and buildings shade where the plan gives their height.",
        "Clouds by the hour and hills on the horizon are not known here. Light is not yield.",
    ]
