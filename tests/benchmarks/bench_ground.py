"""Strips as polygons against one intersection a strip; headland against one buffer."""

import itertools
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from made_land import blob
from race import Race, Totals
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides.guide import Straight
from geolayout.layout.headlands.headland import round_headland
from geolayout.layout.shapes.cut import Pieces, cut_land

GUIDES = Straight(0.0, 0.0, 12.5)
STRIP = 6.0
"""Width of a strip. [m]"""

HEADLAND = 24.0
"""Width of the headland. [m]"""

HECTARES = 100.0
"""Size of the land. [ha]"""


def races() -> Iterator[Race]:
    """Yield the races of this module."""
    for vertices, aim in ((200, 12), (2000, 22)):
        yield _strips_race(blob(HECTARES, vertices), f"strips of 6 m, {vertices} vertices", aim)
    for vertices in (200, 2000):
        # At most 1.2 of one buffer call.
        yield _headland_race(blob(HECTARES, vertices), f"headland, {vertices} vertices", 1 / 1.2)


def _strips_race(land: Polygon, work: str, aim: float) -> Race:
    low, high = GUIDES.span(land)
    edges = np.arange(low + STRIP, high, STRIP)
    limits = [low, *edges.tolist(), high]
    reach = 2 * (high - low)

    def ours() -> Pieces:
        return cut_land(land, GUIDES, edges)

    def plain() -> list[BaseGeometry]:
        found = []
        for t0, t1 in itertools.pairwise(limits):
            corners = np.array([[t0, -reach], [t1, -reach], [t1, reach], [t0, reach]])
            strip = Polygon(GUIDES.from_turned(corners))
            found += list(shapely.get_parts(land.intersection(strip)))
        return found

    return Race(work, ours, plain, lambda pieces: _areas(pieces.geometry), _areas, aim)


def _areas(pieces: Sequence[BaseGeometry]) -> Totals:
    return {"pieces": len(pieces), "area": float(np.sum(shapely.area(pieces)))}


def _headland_race(land: Polygon, work: str, aim: float) -> Race:
    def ours() -> BaseGeometry:
        return round_headland(land, HEADLAND, corners="rounded")

    def plain() -> BaseGeometry:
        return land.buffer(-HEADLAND)

    def taken(headland: BaseGeometry) -> Totals:
        return {"area": float(headland.area)}

    def left(inner: BaseGeometry) -> Totals:
        return {"area": float(land.area - inner.area)}

    return Race(work, ours, plain, taken, left, aim)
