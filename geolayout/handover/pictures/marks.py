"""What stands on every map alike: outlines, features, hazards, and scraps of paper for letters."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.path import Path as Outline
from matplotlib.text import Annotation
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import Caution
from geolayout.handover.pictures.letters import HAZARD_LETTERS, MOST_HAZARDS
from geolayout.handover.pictures.looks import wrapped
from geolayout.handover.pictures.paper import LINE, Pen
from geolayout.land.field import Field
from geolayout.land.kinds import KINDS

__all__ = [
    "Place",
    "as_place",
    "draw_features",
    "draw_hazards",
    "outline",
    "scrap",
    "tell_hazards",
    "write_name",
]

NAMES_AT = (0.1, 0.9, 0.3, 0.7)
"""Where along a line its name may stand: not in the middle, where its hazard stands. [-]"""

BESIDE = ((4, 4, "left"), (4, -8, "left"), (-4, 4, "right"), (-4, -8, "right"))
"""Where a name may stand beside its place, and its side that is nearer. [point of print]"""

Place = tuple[float, float]


def outline(area: BaseGeometry) -> Outline:
    """Return an area as one outline, holes run the other way round."""
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(area)))
    paths = [Outline(shapely.get_coordinates(ring), closed=True) for ring in rings]
    return Outline.make_compound_path(*paths)


def draw_features(axes: Axes, field: Field) -> None:
    """Draw what takes no ground of its own: wires, pipes, ways, gates, poles."""
    for feature in field.features:
        for part in shapely.get_parts(feature.geometry):
            places = _draw_part(axes, feature.kind, part, field.land)
            if places:
                write_name(axes, feature.name or feature.kind, places)


def write_name(axes: Axes, name: str, places: Sequence[Place]) -> None:
    """
    Write a name on a scrap of paper, where it lies over no other and within the map.

    Parameters
    ----------
    axes : Axes
        Of the map, on a figure that has its canvas and its size.
    name : str
        What to write.
    places : sequence of (float, float)
        Where it may stand, best first; the first of them where none is free. [m]
    """
    taken = [text.get_window_extent() for text in axes.texts]
    room = axes.get_window_extent()
    for spot, place in product(BESIDE, places):
        written = _name_beside(axes, name, place, spot)
        box = written.get_window_extent()
        inside = box.x0 >= room.x0 and box.x1 <= room.x1 and box.y0 >= room.y0 and box.y1 <= room.y1
        if inside and not box.count_overlaps(taken):
            return
        written.remove()
    _name_beside(axes, name, places[0], BESIDE[0])


def _name_beside(axes: Axes, name: str, place: Place, spot: tuple[int, int, str]) -> Annotation:
    """Write a name at one spot beside a place."""
    right, up, side = spot
    return axes.annotate(
        name,
        place,
        xytext=(right, up),
        textcoords="offset points",
        ha=side,
        fontsize=5.5,
        bbox=scrap(),
        zorder=7,
    )


def _draw_part(axes: Axes, kind: str, part: BaseGeometry, land: BaseGeometry) -> list[Place]:
    """Draw one shape of a feature; return where its name may go, nowhere where ground is drawn."""
    if shapely.get_dimensions(part) == 0:
        xy = shapely.get_coordinates(part)
        mark = "s" if kind == "gateway" else "X"
        axes.plot(*xy.T, mark, color="white", mec="black", ms=5, mew=0.8, zorder=6)
        return [as_place(xy[0])]
    if KINDS[kind].occupies:
        return []
    line = shapely.boundary(part) if shapely.get_dimensions(part) == 2 else part
    axes.plot(*shapely.get_coordinates(line).T, "-.", color="black", lw=1.1, zorder=5)
    shown = shapely.intersection(line, land)
    places = shapely.line_interpolate_point(
        shown if shown.length else line, NAMES_AT, normalized=True
    )
    return [as_place(xy) for xy in shapely.get_coordinates(places)]


def as_place(xy: NDArray[np.float64]) -> Place:
    """Return a point as two numbers."""
    return float(xy[0]), float(xy[1])


def scrap() -> dict[str, object]:
    """Return a scrap of white paper for letters to stand on."""
    return {"boxstyle": "square,pad=0.12", "fc": "white", "ec": "none", "alpha": 0.85}


def draw_hazards(axes: Axes, hazards: Iterable[Caution]) -> None:
    """Draw a triangle with a letter at each hazard that has a place."""
    for letter, hazard in zip(HAZARD_LETTERS, hazards, strict=False):
        if hazard.place is None:
            continue
        x, y = hazard.place
        axes.plot(x, y, "^", color="white", mec="black", ms=11, mew=1.2, zorder=9)
        axes.annotate(
            letter,
            (x, y),
            xytext=(0, -1.2),
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=6.5,
            fontweight="bold",
            zorder=10,
        )


def tell_hazards(
    pen: Pen, hazards: Sequence[Caution], rest: int, where: str = "summary.txt"
) -> None:
    """
    Tell hazards by the letters on the map; shorter where the sheet has no room.

    Parameters
    ----------
    pen : Pen
        Writes them.
    hazards : sequence of Caution
        Worst first.
    rest : int
        Lines to leave for what comes after them.
    where : str
        Where all of it is told.
    """
    if not hazards:
        return
    told = [_hazard_lines(pen, hazard) for hazard in hazards[:MOST_HAZARDS]]
    if sum(map(len, told)) + rest > pen.lines_left:
        told = [_hazard_lines(pen, _in_short(hazard, where)) for hazard in hazards[:MOST_HAZARDS]]
    pen.gap()
    pen.write(pen.words("HAZARDS"), bold=True)
    for letter, lines in zip(HAZARD_LETTERS, told, strict=False):
        pen.room_for(len(lines))
        pen.write(f"▲{letter}", bold=True)
        pen.y += LINE
        for line in lines:
            pen.write(line, indent=5.5)
    if len(hazards) > MOST_HAZARDS:
        pen.write(pen.words(f"{len(hazards) - MOST_HAZARDS} more in {where}."))


def _hazard_lines(pen: Pen, hazard: Caution) -> Sequence[str]:
    """Return a hazard as lines: what, what to do, and who looked."""
    said = f" ({hazard.acknowledged})" if hazard.acknowledged else ""
    return wrapped(pen.words(f"{hazard.sentence} {hazard.remedy}{said}"), pen.letters - 4)


def _in_short(hazard: Caution, where: str) -> Caution:
    """Return a hazard with its first sentence, which says what it is and where."""
    first, dot, _ = hazard.sentence.partition(". ")
    return replace(hazard, sentence=first + dot.strip(), remedy=f"All of it: {where}.")
