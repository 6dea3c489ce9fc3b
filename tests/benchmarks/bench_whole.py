"""
The whole layout of one 10 ha field, against the plain way to it.

The plain way makes a projection object, buffers the field by its headland, and then takes one
intersection a strip, a row and a pass. Both lay strips of 6 m with rows of 0.75 m and passes of
3 m inside a headland of 12 m. Where the first strip begins is settled beforehand for both.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from made_land import blob, field_of, laid
from pyproj import CRS, Transformer
from race import Race, Totals
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.land.field import Field, make_field
from geolayout.layout.build import Layout, lay_out
from geolayout.layout.guides.guide import Straight

PLAN = """
[headland]
where = "all round"
width = 12.0
corners = "rounded"
[[stand]]
name = "maize"
sowing = [ { crop = "maize", rows = 8, spacing = 0.75, operation = "sow" } ]
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "maize" },
]
[[machine]]
name = "planter"
working_width = 3.0
[[operation]]
name = "sow"
machine = "planter"
over = "band"
"""

NO_ROW = 1e-6
"""Clipping leaves lines of next to no length where a row passes a corner. [m]"""


@dataclass(frozen=True, slots=True)
class Plain:
    """What the plain way makes."""

    headland: BaseGeometry
    strips: list[BaseGeometry]
    rows: list[BaseGeometry]
    passes: list[float]


def races() -> Iterator[Race]:
    """Yield the races of this module."""
    layout = laid(field_of(blob(10.0, 200)), PLAN)
    boundary, plan = layout.field.boundary, layout.plan

    def ours() -> Layout:
        return lay_out(make_field(boundary), plan)

    yield Race("whole layout, 10 ha", ours, lambda: _plain(layout), _our_totals, _plain_totals, 50)


def _plain(layout: Layout) -> Plain:
    """Lay the same out with one shapely call a thing."""
    block = layout.blocks[0]
    guides = block.guides
    land = _projected(layout.field)
    inner = land.buffer(-12.0)
    strips = [_strip(inner, guides, cut.t0, cut.t1) for cut in block.section.cuts]
    lines = [_line(inner, guides, float(t)) for t in block.rows.t]
    found = [part for line in lines for part in shapely.get_parts(line)]
    rows = [part for part in found if part.length > NO_ROW]
    edges = zip(*np.unique(np.stack([layout.passes.t0, layout.passes.t1]), axis=1), strict=True)
    driven = [_strip(inner, guides, t0, t1) for t0, t1 in edges]
    lengths = [np.ptp(guides.along(shapely.get_coordinates(strip))) for strip in driven]
    return Plain(land.difference(inner), strips, rows, lengths)


def _projected(field: Field) -> BaseGeometry:
    """Return the boundary in metres by a projection object made for it."""
    crs = CRS.from_proj4(field.frame.definition)
    project = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
    return shapely.transform(
        field.boundary, lambda xy: np.stack(project.transform(xy[:, 0], xy[:, 1]), axis=1)
    )


def _strip(land: BaseGeometry, guides: Straight, t0: float, t1: float) -> BaseGeometry:
    """Return the land between two guide lines."""
    corners = np.array([[t0, -2e3], [t1, -2e3], [t1, 2e3], [t0, 2e3]])
    return land.intersection(Polygon(guides.from_turned(corners)))


def _line(land: BaseGeometry, guides: Straight, t: float) -> BaseGeometry:
    """Return one row's line, clipped by the land."""
    ends = guides.from_turned(np.array([[t, -2e3], [t, 2e3]]))
    return land.intersection(LineString(ends))


def _our_totals(layout: Layout) -> Totals:
    grows = layout.ground.kind == "band"
    return {
        "headland": float(layout.ground.area[layout.ground.kind == "headland"].sum()),
        "strips": int(grows.sum()),
        "strip area": float(layout.ground.area[grows].sum()),
        "rows": len(layout.rows),
        "row length": float(layout.rows.length.sum()),
        "passes": len(layout.passes),
        "pass length": float(layout.passes.lines.length.sum()),
    }


def _plain_totals(made: Plain) -> Totals:
    return {
        "headland": float(made.headland.area),
        "strips": sum(len(shapely.get_parts(strip)) for strip in made.strips),
        "strip area": float(sum(strip.area for strip in made.strips)),
        "rows": len(made.rows),
        "row length": float(sum(row.length for row in made.rows)),
        "passes": len(made.passes),
        "pass length": float(sum(made.passes)),
    }
