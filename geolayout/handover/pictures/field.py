"""
A field as it was read, on one sheet: the outline kept, what became of the outline drawn.

Like the map of a layout it is at a true round scale and can be read in black and white.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PathCollection
from matplotlib.figure import Figure
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.caution import Caution
from geolayout.handover.pictures.file import NO_DATES, write_picture
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.pictures.looks import (
    GREEN,
    MM,
    OTHER_LOOKS,
    VERMILION,
    YELLOW,
    Look,
    shortened,
    steady_style,
    tinted,
    wrapped,
)
from geolayout.handover.pictures.marks import (
    as_place,
    draw_features,
    draw_hazards,
    outline,
    scrap,
    tell_hazards,
    write_name,
)
from geolayout.handover.pictures.paper import (
    LINE,
    MARGIN,
    SCALES,
    Bounds,
    Pen,
    Sheet,
    View,
    draw_scale,
    sheet_axes,
    swatch,
    tell,
)
from geolayout.land.boundary.report import BoundaryReport
from geolayout.land.features import body
from geolayout.land.field import Field
from geolayout.land.kinds import KINDS

__all__ = ["FieldView", "field_bytes", "field_picture"]

FIELD_SCALES = (10, 20, 50, 100, *SCALES, 75_000, 100_000, 200_000, 500_000)
"""Scales for any field, garden or ranch, 1 : N."""

DOTS = 200
"""Dots an inch of a PNG."""

FARTHEST = 1.5
"""A drawn outline reaching farther than so many widths of the field is cut at the edge. [-]"""

LEAST_DROPPED = 0.25
"""Dropped or gained ground under this on paper is a hair and not hatched. [mm]"""

SAME_PLACE = 0.001
"""Corners nearer than this are one. [m]"""

LABEL = 4.0
"""Room that the number of a finding takes on paper. [mm]"""

AFTER_HAZARDS = 20
"""Lines of the sheet that are kept for looks and figures, beside what was found."""

TOLD_IN = "the text of geolayout check"
"""Where hazards are told in full."""

Points = NDArray[np.float64]
Style = dict[str, Any]
"""Looks of a line, in matplotlib's words."""

LAND = Look(tinted(YELLOW, 0.25), "")
HOLE = Look("#ffffff", "////")
DROPPED = Look(tinted(VERMILION, 0.35), "\\\\\\\\")
GAINED = Look(tinted(GREEN, 0.35), "++++")

KEPT_LINE: Style = {"color": "black", "lw": 1.1}
DRAWN_LINE: Style = {"color": "#707070", "lw": 0.7, "ls": (0, (4, 2))}

AROUND = ((1, 1), (1, -1), (-1, 1), (-1, -1), (2, 0), (-2, 0), (0, 2), (0, -2))
"""Where a number may stand beside its place, in steps of 3/4 of its room, the best first. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class FieldView:
    """
    What the picture shows.

    Attributes
    ----------
    field : Field
        The field, sound.
    report : BoundaryReport
        What is known of its boundary.
    drawn : shapely geometry
        The boundary as drawn, in the field's frame. [m]
    hazards : tuple of Caution
        Worst first.
    """

    field: Field
    report: BoundaryReport
    drawn: BaseGeometry
    hazards: tuple[Caution, ...] = ()


def field_picture(view: FieldView, path: Path) -> None:
    """
    Draw a field into a file.

    Parameters
    ----------
    view : FieldView
        What to show.
    path : Path
        File ending in ``.svg`` or ``.png``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    write_picture(path, partial(field_bytes, view))


def field_bytes(view: FieldView, form: str) -> bytes:
    """
    Return a drawn field as the bytes of a picture, the same ones every time.

    Parameters
    ----------
    view : FieldView
        What to show.
    form : {"svg", "png"}
        Kind of picture.
    """
    with steady_style():
        paper = View.fitting(partial(_extent, view), FIELD_SCALES)
        figure = Figure(figsize=(paper.sheet.width * MM, paper.sheet.height * MM), dpi=DOTS)
        FigureCanvasAgg(figure)
        axes = paper.axes(figure)
        looks = _draw_ground(axes, view, paper)
        _draw_outlines(axes, view)
        draw_features(axes, view.field)
        _name_bodies(axes, view.field)
        _draw_findings(axes, view, paper)
        draw_hazards(axes, view.hazards[:MOST_HAZARDS])
        _draw_legend(figure, paper, view, looks)
        out = BytesIO()
        figure.savefig(out, format=form, dpi=DOTS, metadata=NO_DATES[form])
    return out.getvalue()


def _extent(view: FieldView, paper: View) -> Bounds:
    """Return what the picture must show: the field, and the outline drawn if it is near. [m]"""
    west, south, east, north = (float(value) for value in view.field.land.bounds)
    reach = max(east - west, north - south) * (FARTHEST - 1) / 2
    near = shapely.box(west - reach, south - reach, east + reach, north + reach)
    shown = shapely.union_all([view.field.land.envelope, near & view.drawn.envelope])
    west, south, east, north = (float(value) for value in shown.bounds)
    edge = paper.metres(LABEL)
    return west - edge, south - edge, east + edge, north + edge


def _draw_ground(axes: Axes, view: FieldView, paper: View) -> dict[str, Look]:
    """Draw the field, its holes, what was left out and taken in; return the looks used."""
    land = view.field.land
    rings = shapely.get_rings(shapely.get_parts(land))
    holes = [Polygon(ring) for ring in rings if not shapely.is_ccw(ring)]
    drawn = _enclosed(view.drawn, land)
    hair = paper.metres(LEAST_DROPPED) / 2
    grounds = {
        "the field": (LAND, land),
        "a hole, no part of the field": (HOLE, MultiPolygon(holes)),
        "drawn, and left out": (DROPPED, _open(shapely.difference(drawn, land), hair)),
        "not drawn, and taken in": (GAINED, _open(shapely.difference(land, drawn), hair)),
        "a feature's own ground": (OTHER_LOOKS["obstacle"], view.field.obstacles & land),
        "kept clear of it": (
            OTHER_LOOKS["keep-clear"],
            (view.field.kept_clear - view.field.obstacles) & land,
        ),
    }
    shown = {words: look for words, (look, ground) in grounds.items() if not ground.is_empty}
    for words, look in shown.items():
        areas = PathCollection([outline(grounds[words][1])], facecolors=look.tint, linewidths=0)
        areas.set_hatch(look.hatch)
        areas.set_edgecolor("#303030")
        axes.add_collection(areas, autolim=False)
    return shown


def _enclosed(drawn: BaseGeometry, otherwise: BaseGeometry) -> BaseGeometry:
    """Return the ground that an outline goes round; another where it is drawn as lines."""
    parts = [part for part in _parts(drawn) if isinstance(part, Polygon)]
    if not parts:
        return otherwise
    return shapely.union_all(shapely.make_valid(parts, method="structure", keep_collapsed=False))


def _parts(shape: BaseGeometry) -> list[BaseGeometry]:
    """Return the simple parts of a shape, however deep collections are nested."""
    if not hasattr(shape, "geoms"):
        return [] if shape.is_empty else [shape]
    return [flat for part in shape.geoms for flat in _parts(part)]


def _open(ground: BaseGeometry, hair: float) -> BaseGeometry:
    """Return ground without what is thinner than two hairs."""
    grown: BaseGeometry = ground.buffer(-hair, join_style="mitre").buffer(hair, join_style="mitre")
    return grown


def _draw_outlines(axes: Axes, view: FieldView) -> None:
    """Draw the outline as drawn, thin and grey, seen where the one that is kept leaves it."""
    edge = PathCollection([outline(view.field.land)], facecolors="none", edgecolors="black")
    edge.set_linewidth(1.1)
    edge.set_zorder(4)
    axes.add_collection(edge, autolim=False)
    for part in _parts(view.drawn):
        for line in shapely.get_rings(part) if isinstance(part, Polygon) else [part]:
            mark = "." if shapely.get_dimensions(line) == 0 else ""
            axes.plot(*shapely.get_coordinates(line).T, marker=mark, ms=2, zorder=3, **DRAWN_LINE)


def _name_bodies(axes: Axes, field: Field) -> None:
    """Write the names of features that have ground of their own in the field."""
    for feature in field.features:
        if KINDS[feature.kind].occupies and shapely.get_dimensions(feature.geometry) > 0:
            inside = shapely.intersection(body(feature), field.land)
            if not inside.is_empty:
                xy = shapely.get_coordinates(shapely.point_on_surface(inside))[0]
                write_name(axes, feature.name or feature.kind, [as_place(xy)])


def _draw_findings(axes: Axes, view: FieldView, paper: View) -> None:
    """Draw a ring and a number at each place of a finding, as far as there is room."""
    taken: list[Points] = []
    for number, finding in enumerate(view.report.findings, 1):
        if not finding.places:
            continue
        places = view.field.frame.metres(np.array(finding.places, dtype=float))
        axes.plot(*places.T, "o", mfc="none", mec=VERMILION, ms=5, mew=1.1, zorder=8)
        for place in places:
            spot = _free_spot(place, taken, paper.metres(LABEL))
            if spot is not None:
                taken.append(spot)
                _draw_number(axes, number, place, spot)


def _free_spot(place: Points, taken: Sequence[Points], room: float) -> Points | None:
    """Return where a number stands beside its place, away from other numbers, if anywhere."""
    for dx, dy in AROUND:
        spot: Points = place + np.array([dx, dy]) * room * 0.75
        if all(np.hypot(*(spot - other)) >= room for other in taken):
            return spot
    return None


def _draw_number(axes: Axes, number: int, place: Points, spot: Points) -> None:
    """Write the number of a finding, with a hair line to its place."""
    axes.plot(*np.array([place, spot]).T, color=VERMILION, lw=0.5, zorder=7)
    axes.text(
        spot[0],
        spot[1],
        str(number),
        fontsize=6.5,
        fontweight="bold",
        ha="center",
        va="center",
        bbox=scrap(),
        zorder=9,
        clip_on=True,
    )


def _draw_legend(figure: Figure, paper: View, view: FieldView, looks: Mapping[str, Look]) -> None:
    """Draw the title and everything beside the field."""
    axes = sheet_axes(figure, paper.sheet)
    _draw_title(axes, paper.sheet, view.report)
    pen = Pen(axes, paper.sheet)
    draw_scale(pen, paper.scale)
    found = sum(len(_lines(pen, one.sentence)) for one in view.report.findings)
    tell_hazards(pen, view.hazards, AFTER_HAZARDS + found, TOLD_IN)
    _tell_looks(pen, looks, view)
    _tell_figures(pen, view)
    _tell_findings(pen, view.report)


def _draw_title(axes: Axes, sheet: Sheet, report: BoundaryReport) -> None:
    """Write what field it is, how large, and where it was read."""
    top = sheet.height - MARGIN
    axes.text(MARGIN, top - 5.0, shortened(report.name, 60), fontsize=13, fontweight="bold")
    words = f"{report.area / 1e4:.3f} ha on the ellipsoid, {report.vertices} corners"
    words += f", read from {shortened(report.source, 60)}" if report.source else ""
    axes.text(MARGIN, top - 9.5, words, fontsize=7.5)
    axes.plot([MARGIN, sheet.width - MARGIN], [top - 11.5, top - 11.5], color="black", lw=0.6)


def _tell_looks(pen: Pen, looks: Mapping[str, Look], view: FieldView) -> None:
    """Tell what each look and line means."""
    pen.gap()
    pen.room_for(len(looks) + 4)
    for words, look in looks.items():
        swatch(pen, look)
        pen.write(words, indent=8.5)
        pen.y -= 0.5
    lines = {"the outline kept": KEPT_LINE}
    if not view.drawn.normalize().equals_exact(view.field.land.normalize(), SAME_PLACE):
        lines["the outline as drawn"] = DRAWN_LINE
    for words, style in lines.items():
        pen.write(words, indent=8.5)
        pen.axes.plot([pen.left, pen.left + 7.0], [pen.y + 0.8, pen.y + 0.8], **style)
    if any(finding.places for finding in view.report.findings):
        pen.write("found there, by its number", indent=8.5)
        pen.axes.plot(pen.left + 3.5, pen.y + 0.8, "o", mfc="none", mec=VERMILION, ms=5, mew=1.1)


def _tell_figures(pen: Pen, view: FieldView) -> None:
    """Tell areas, and where the field is."""
    report = view.report
    lon, lat = report.centre
    lines = [f"Coordinate system of the file: {report.crs}."] if report.crs else []
    lines.append(
        f"Area as drawn {report.drawn_area / 1e4:.4f} ha, kept {report.area / 1e4:.4f} ha."
    )
    if report.plane_area is not None:
        lines.append(f"In the flat grid of its file {report.plane_area / 1e4:.4f} ha.")
    lines.append(f"A place inside it: latitude {lat:.6f}, longitude {lon:.6f} (WGS 84).")
    pen.gap()
    tell(pen, lines)


def _tell_findings(pen: Pen, report: BoundaryReport) -> None:
    """Tell what was found by number, then what is asked, as far as there is room."""
    pen.gap()
    pen.write("Found, and done", bold=True)
    if not report.findings:
        tell(pen, ["Nothing was found in the boundary, and nothing was done to it."])
    for number, finding in enumerate(report.findings, 1):
        _tell_one(pen, str(number), finding.sentence)
    if report.questions:
        pen.gap()
        pen.write("What needs an answer", bold=True)
        for number, finding in enumerate(report.findings, 1):
            if finding.question:
                _tell_one(pen, str(number), finding.question)


def _lines(pen: Pen, sentence: str) -> Sequence[str]:
    """Return a sentence as the lines that stand behind its mark."""
    return wrapped(sentence, pen.letters - 4)


def _tell_one(pen: Pen, mark: str, sentence: str) -> None:
    """Write a sentence behind its mark, if there is room for it."""
    lines = _lines(pen, sentence)
    if not pen.room_for(len(lines)):
        return
    pen.write(mark, bold=True)
    pen.y += LINE
    for line in lines:
        pen.write(line, indent=5.5)
