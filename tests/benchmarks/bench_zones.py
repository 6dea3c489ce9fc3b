"""Rate zones out of finely stepped polygons, against a union of all bits at once."""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from race import Race, Totals
from shapely.geometry.base import BaseGeometry

from geolayout.land.zones.map import ZoneMap
from geolayout.layout.shapes.overlay import common, joined, without
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.layout.zones.field import make_zones
from geolayout.plan.parse import parse_plan

SIDE, CELL, WIDTH = 400.0, 1.0, 12.0
"""Side of the field, width of the steps, width of a pass. [m]"""

PLAN = """schema = 1
[[pattern]]
name = "p"
bands = [{ name = "A", width = 6.0, stand = "maize" }]
[[stand]]
name = "maize"
sowing = [{ crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 } }]
[rate_zones]
source = "soil.gpkg"
column = "v"
classes = ["low", "middle", "high"]
limits = [1.5, 2.5]
narrowest = 12.0
rate = [{ sowing = "maize", factor = { low = 0.9, middle = 1.0, high = 1.1 } }]
"""


def races() -> Iterator[Race]:
    """Yield the race of this module."""
    mapped = stepped()
    land = shapely.box(10.0, 10.0, SIDE - 10.0, SIDE - 10.0)
    plan = parse_plan(PLAN)
    corners = int(shapely.get_num_coordinates(mapped.shapes).sum())

    def ours() -> list[BaseGeometry]:
        return [one.geometry for one in make_zones(mapped, land, plan).classes]

    def plain() -> list[BaseGeometry]:
        return opened(mapped, land)

    yield Race(f"rate zones, {corners} corners", ours, plain, _totals, _totals, 5)


def stepped() -> ZoneMap:
    """Make an invented map of three classes out of square cells."""
    rng = np.random.default_rng(1)
    y, x = np.mgrid[: int(SIDE / CELL), : int(SIDE / CELL)] * CELL
    spots = rng.uniform(0, SIDE, (12, 2))
    value = sum(np.exp(-((x - a) ** 2 + (y - b) ** 2) / (SIDE / 6) ** 2) for a, b in spots)
    classes = np.digitize(value, np.quantile(value, [1 / 3, 2 / 3])) + 1
    shapes: list[BaseGeometry] = []
    values: list[float] = []
    for k in (1, 2, 3):
        i, j = np.nonzero(classes == k)
        cells = shapely.box(j * CELL, i * CELL, (j + 1) * CELL, (i + 1) * CELL)
        parts = polygon_parts(np.atleast_1d(shapely.coverage_union_all(cells))).tolist()
        shapes += parts
        values += [float(k)] * len(parts)
    return ZoneMap(np.array(shapes, dtype=object), np.array(values), "soil.gpkg")


def opened(mapped: ZoneMap, land: BaseGeometry) -> list[BaseGeometry]:
    """Open each class as drawn, twice, and give what comes off to the zone most beside it."""
    zones: list[BaseGeometry] = []
    for k in (1.0, 2.0, 3.0):
        mine = common(land, joined(mapped.shapes[mapped.values == k].tolist()))
        zones.append(without(mine, joined(zones)))
    for _ in range(2):
        cores = [common(zone, zone.buffer(-WIDTH / 2).buffer(WIDTH / 2)) for zone in zones]
        bits = np.concatenate(
            [polygon_parts(without(zone, core)) for zone, core in zip(zones, cores, strict=True)]
        )
        zones = _given(cores, bits)
    zones[-1] = without(land, joined(zones[:-1]))
    return zones


def _given(cores: Sequence[BaseGeometry], bits: np.ndarray) -> list[BaseGeometry]:
    near = shapely.buffer(bits, 0.05)
    beside = np.stack([shapely.area(shapely.intersection(near, core)) for core in cores])
    best = np.argmax(beside, axis=0)
    return [joined([core, *bits[best == k]]) for k, core in enumerate(cores)]


def _totals(zones: Sequence[BaseGeometry]) -> Totals:
    return {"zones": len(zones), "area": float(np.sum(shapely.area(np.array(zones))))}
