"""
Rate zones on the map: a light shade over the strips, and what each shade is in the legend.

The strips keep their colours and hatches; a class is the darker the higher it is, and a dotted
line runs where two zones meet, so that the map can be read without colours as well.
"""

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.collections import PathCollection
from matplotlib.patches import Rectangle
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.handover.pictures.looks import shortened
from geolayout.handover.pictures.marks import outline, scrap
from geolayout.handover.pictures.paper import LINE, Pen
from geolayout.layout.build import Layout
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.layout.zones.field import Zones
from geolayout.plan.units import Units

__all__ = ["draw_zones", "legend_lines", "tell_zones"]

DARKEST = 0.30
"""Share of black over the highest class; the lowest has none. Our own choice. [-]"""

DOTTED = (0, (1, 1.6))
"""Dots along the border of two zones."""


def draw_zones(axes: Axes, layout: Layout) -> None:
    """Draw the rate zones of a layout over its ground; nothing where it has none."""
    if layout.zones is None:
        return
    zones = layout.zones.zones
    for k, one in enumerate(zones.classes):
        if one.geometry.is_empty:
            continue
        shade = PathCollection([outline(one.geometry)], facecolors="black", edgecolors="none")
        shade.set_alpha(_shade(k, zones))
        axes.add_collection(shade, autolim=False)
    for line in shapely.get_parts(_borders(zones)):
        axes.plot(*shapely.get_coordinates(line).T, color="black", lw=0.9, ls=DOTTED, zorder=2.5)
    for one in zones.classes:
        parts = polygon_parts(one.geometry)
        if len(parts):
            _name(axes, parts[int(np.argmax(shapely.area(parts)))], one.name)


def _shade(index: int, zones: Zones) -> float:
    """Return how dark a class is."""
    return DARKEST * index / max(1, len(zones.classes) - 1)


def _borders(zones: Zones) -> BaseGeometry:
    """Return the lines along which two zones meet."""
    edges = [shapely.boundary(one.geometry) for one in zones.classes if not one.geometry.is_empty]
    met = [shapely.intersection(edge, other) for i, edge in enumerate(edges) for other in edges[:i]]
    lines = [part for part in shapely.get_parts(met) if part.length > 0.0]
    return shapely.line_merge(shapely.union_all(lines)) if lines else shapely.MultiLineString()


def _name(axes: Axes, zone: Polygon, name: str) -> None:
    """Write what class a zone is in, where it is widest."""
    circle = shapely.maximum_inscribed_circle(zone, tolerance=1.0)
    x, y = shapely.get_coordinates(circle)[0].tolist()
    text = axes.text(x, y, name, fontsize=6.0, fontstyle="italic", bbox=scrap(), zorder=7)
    text.set_horizontalalignment("center")
    text.set_verticalalignment("center")


def legend_lines(layout: Layout) -> int:
    """Return how many lines the zones take in the legend."""
    return 0 if layout.zones is None else len(layout.zones.zones.classes) + 2


def tell_zones(pen: Pen, layout: Layout, units: Units) -> None:
    """Tell what each shade means, its limits and its ground; nothing without zones."""
    asked = layout.plan.rate_zones
    if layout.zones is None or asked is None:
        return
    zones = layout.zones.zones
    pen.gap()
    pen.room_for(legend_lines(layout))
    unit = f" [{asked.unit}]" if asked.unit else ""
    title = f"{pen.words('Rate zones')}: {asked.quantity}{unit}"
    pen.write(shortened(title, pen.letters), bold=True)
    for k, one in enumerate(zones.classes):
        box = Rectangle((pen.left, pen.y - LINE - 0.4), 7.0, 2.7, fc="white", ec="#303030", lw=0.4)
        pen.axes.add_patch(box)
        shade = Rectangle((pen.left, pen.y - LINE - 0.4), 7.0, 2.7, fc="black", ec="none")
        shade.set_alpha(_shade(k, zones))
        pen.axes.add_patch(shade)
        pen.write(shortened(_limits(one.name, one.above, one.below), pen.letters - 15), indent=8.5)
        pen.write_right(units.ground.figure(one.area_m2))
        pen.y -= 0.5


def _limits(name: str, above: float | None, below: float | None) -> str:
    """Return a class with the values that it lies between."""
    if above is not None and below is not None:
        return f"{name}: {above:.4g} - {below:.4g}"
    if below is not None:
        return f"{name}: < {below:.4g}"
    return f"{name}: > {above:.4g}" if above is not None else name
