"""The partfield of task data: outline, obstacles, buffers, headland, ways in, hazards, guidance."""

from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import Element  # written, never parsed

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.hazardmarks import HazardMark
from geolayout.handover.files.vertices import AREA_DECIMALS, lonlat_areas, lonlat_lines, rounded
from geolayout.handover.taskdata.elements import (
    AreaKind,
    LineKind,
    PlaceKind,
    element,
    line,
    place,
    polygons,
    short,
)
from geolayout.land.features import Feature, body
from geolayout.layout.build import Layout

__all__ = ["partfield"]

_GROUND = {
    "keep-clear": (AreaKind.BUFFER, "keep clear"),
    "margin": (AreaKind.OTHER, "margin"),
    "headland": (AreaKind.HEADLAND, "headland"),
    "tree band": (AreaKind.OTHER, "tree strip"),
    "band": (AreaKind.MAIN_FIELD, "crop land"),
}
"""Type and name of each kind of ground; obstacles are told feature by feature."""

_BODIES = {
    "watercourse": AreaKind.WATER,
    "ditch": AreaKind.WATER,
    "pond": AreaKind.WATER,
    "well": AreaKind.WATER,
    "spring": AreaKind.WATER,
    "building": AreaKind.BUILDING,
    "road": AreaKind.ROAD,
    "track": AreaKind.ROAD,
    "railway": AreaKind.ROAD,
}
"""Type of what takes ground; an obstacle where nothing is said."""

_LINES = {
    "drain": LineKind.DRAINAGE,
    "fence": LineKind.FENCE,
    "right of way": LineKind.FLAG,
}
"""Type of what is drawn as a line and takes no ground; an obstacle where nothing is said."""

_PLACES = {
    "gateway": PlaceKind.FIELD_ACCESS,
    "bridge": PlaceKind.FIELD_ACCESS,
    "culvert": PlaceKind.FIELD_ACCESS,
    "stack point": PlaceKind.STORAGE,
    "fill point": PlaceKind.OTHER,
    "tip point": PlaceKind.OTHER,
    "boundary stone": PlaceKind.FLAG,
}
"""Type of what is drawn as a point; an obstacle where nothing is said."""


def partfield(
    layout: Layout,
    told: dict[str, object],
    marks: Sequence[HazardMark],
    groups: Sequence[Element],
) -> Element:
    """
    Return the field as an element.

    Parameters
    ----------
    layout : Layout
        A layout.
    told : dict
        Its attributes but for its area.
    marks : sequence of HazardMark
        Hazards.
    groups : sequence of Element
        Guidance groups.

    Returns
    -------
    partfield : Element
    """
    field = layout.field
    children = [
        *polygons(rounded_area(field.boundary), AreaKind.BOUNDARY, field.name),
        *_ground(layout),
        *(one for feature in field.features for one in _feature(layout, feature)),
        *(place(mark.lonlat, PlaceKind.OBSTACLE, mark.name) for mark in marks),
        *groups,
    ]
    return element("PFD", {**told, "C": short(field.name), "D": round(field.area)}, children)


def rounded_area(area: BaseGeometry) -> BaseGeometry:
    """Return an area with the decimals of ground."""
    one: BaseGeometry = rounded(np.array([area], dtype=object), AREA_DECIMALS)[0]
    return one


def on_globe(layout: Layout, areas: Sequence[BaseGeometry]) -> NDArray[np.object_]:
    """Return areas of the frame on WGS 84, with the decimals of ground."""
    shapes = np.empty(len(areas), dtype=object)
    shapes[:] = areas
    return rounded(lonlat_areas(shapes, layout.field.frame), AREA_DECIMALS)


def _ground(layout: Layout) -> Iterator[Element]:
    """Return each kind of ground that a driver must know, as few areas as there are."""
    ground = layout.ground
    for kind, (number, name) in _GROUND.items():
        pieces = ground.geometry[ground.kind == kind]
        if len(pieces):
            (area,) = on_globe(layout, [shapely.union_all(pieces, grid_size=0.001)])
            yield from polygons(area, number, name)


def _feature(layout: Layout, feature: Feature) -> Iterator[Element]:
    """Return a feature: its body where it has one, else what was drawn."""
    name = feature.name or feature.kind
    takes = body(feature)
    if not takes.is_empty:
        kind = _BODIES.get(feature.kind, AreaKind.OBSTACLE)
        (area,) = on_globe(layout, [takes])
        yield from polygons(area, kind, name)
        return
    for part in shapely.get_parts(feature.geometry):
        if shapely.get_dimensions(part) == 0:
            lonlat = layout.field.frame.lonlat(shapely.get_coordinates(part))[0]
            yield place(lonlat, _PLACES.get(feature.kind, PlaceKind.OBSTACLE), name)
            continue
        kind = _LINES.get(feature.kind, LineKind.OBSTACLE)
        drawn = shapely.get_rings(part) if shapely.get_dimensions(part) == 2 else [part]
        lines = np.array([shapely.LineString(one) for one in drawn], dtype=object)
        for moved in lonlat_lines(lines, layout.field.frame):
            width = 2 * feature.half_width or None
            yield line(shapely.get_coordinates(moved), kind, name, width=width)
