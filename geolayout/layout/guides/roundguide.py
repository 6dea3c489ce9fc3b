"""A guide round and round, settled: the edge that it follows, and the number of its first band."""

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.land.field import Field
from geolayout.layout.guides.along import parts_of
from geolayout.layout.headlands.edges import canonical_ring
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.plan.guide import Guide
from geolayout.plan.pattern import Pattern
from geolayout.plan.section.section import cut_section

__all__ = ["settled_round"]

DECIMALS = 9
"""Decimals of a degree in which the edge is written: a tenth of a millimetre."""


def settled_round(
    guide: Guide,
    pattern: Pattern,
    field: Field,
    land: BaseGeometry,
    turns: tuple[float, float],
) -> Guide:
    """
    Return a guide round and round with the edge of its land written into it.

    The edge then stands: next year's rings are the same, whatever a new survey makes of a corner.

    Parameters
    ----------
    guide : Guide
        The guide as it was written.
    pattern : Pattern
        What is laid along its rings.
    field : Field
        The field.
    land : Polygon or MultiPolygon
        The block's land; of several parts, the largest is gone round. [m]
    turns : (float, float)
        Tightest radius that the machines turn at, and the width of their narrowest pass. [m]

    Raises
    ------
    LayoutError
        If the land is too narrow to be gone round, or no machine says how tightly it turns.
    """
    points = guide.points
    if points is None:
        parts = polygon_parts(land)
        largest = parts[int(np.argmax(shapely.area(parts)))]
        edge = canonical_ring(shapely.get_exterior_ring(largest))[:-1]
        points = tuple(map(tuple, np.round(field.frame.lonlat(edge), DECIMALS).tolist()))
    number = guide.number_at_anchor
    given = {"kind": "round", "start": guide.start, "points": points, "spiral": guide.spiral}
    settled = Guide.model_validate({**given, "number_at_anchor": 1 if number is None else number})
    (part,) = parts_of(settled, field, land, turns[0], 0.0, turns[1]).parts
    if number is not None:
        return settled
    first = cut_section(pattern, part.guides.span(part.land)).number_at_anchor
    return settled.model_copy(update={"number_at_anchor": first})
