"""Shapes of fields with passes running north, and what driving between their ends costs."""

import numpy as np
import shapely

from geolayout.appraisal.driving.lobes import Spans
from geolayout.appraisal.driving.search import Links
from geolayout.appraisal.driving.turnings import Ends, Turner, joins_between
from geolayout.appraisal.driving.ways import Trips, trips_between


def made(arms, *, width=6.0, radius=6.5, headland=20.0):
    """
    Return spans and links of passes running north over arms, (passes, south, north) each.

    Arms stand side by side from the west; the gate is in the south-west corner. Invented.
    """
    pieces, boxes, x = [], [], 0.0
    number = 0
    for passes, low, high in arms:
        wide = passes * width
        boxes.append(shapely.box(x - headland, low, x + wide + headland, high))
        for _ in range(passes):
            pieces.append((number, x + width / 2.0, low + headland, high - headland))
            number, x = number + 1, x + width
    land = shapely.union_all(boxes)
    numbers, xs, s0, s1 = (np.array(column) for column in zip(*pieces, strict=True))
    place = np.stack([np.repeat(xs, 2), np.stack([s0, s1], axis=1).ravel()], axis=1)
    outward = np.tile([[0.0, -1.0], [0.0, 1.0]], (len(pieces), 1))
    gate = np.array([land.bounds[:2]])
    core = land.buffer(-headland, join_style="mitre")
    trips = trips_between(np.concatenate([place, gate]), land, land.difference(core), headland)
    n = len(place)
    ends = Ends(place, outward, np.full(n, headland))
    own = Trips(trips.length[:n, :n], trips.off[:n, :n])
    joins = joins_between(ends, own, Turner(radius, width), land)
    way = trips.cost[n, :n]
    return Spans(numbers, s0, s1), Links.of(joins.cost, way, way)


SHAPES = {
    "a plain field of ten passes": [(10, 0, 300)],
    "a field of five passes": [(5, 0, 200)],
    "two lobes, one short": [(5, 0, 300), (5, 0, 140)],
    "two lobes, stepped": [(4, 0, 200), (5, 120, 340)],
    "three steps": [(3, 0, 300), (4, 0, 200), (3, 0, 120)],
}
