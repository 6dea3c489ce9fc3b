"""Routes over land with turns of real length: by rule, and never worse than up and back."""

import numpy as np
import pytest
import shapely
from exact_orders import exact_cost
from hypothesis import example, given, settings
from hypothesis import strategies as st

from geolayout.appraisal.driving.lobes import Spans, lobes
from geolayout.appraisal.driving.patterns import Rule
from geolayout.appraisal.driving.routes import best_route, route_by_rule
from geolayout.appraisal.driving.search import Links, total
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


@pytest.mark.parametrize("arms", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("radius", [3.0, 6.5, 9.0], ids=["R 3 m", "R 6.5 m", "R 9 m"])
def test_a_route_comes_within_a_twentieth_of_the_exact_order(arms, radius):
    spans, links = made(arms, radius=radius)
    routed = best_route(spans, links, widest=4)
    assert total(routed.route, links) <= 1.05 * exact_cost(links)


@given(
    arms=st.lists(
        st.tuples(st.integers(1, 9), st.sampled_from([0, 60]), st.sampled_from([180, 320])),
        min_size=1,
        max_size=3,
    ),
    radius=st.floats(2.0, 9.0),
    width=st.sampled_from([3.0, 6.0, 24.0]),
)
@example(arms=[(1, 0, 180)], radius=6.5, width=6.0)
@settings(deadline=None, max_examples=25)
def test_a_route_is_never_worse_than_up_and_back(arms, radius, width):
    spans, links = made(arms, radius=radius, width=width)
    routed = best_route(spans, links, widest=5)
    assert total(routed.route, links) <= total(routed.usual, links) + 1e-6
    plain = route_by_rule(Rule("up and back", 1), lobes(spans), links)
    assert total(routed.usual, links) <= total(plain, links) + 1e-6
    assert sorted(routed.route >> 1) == list(range(links.pieces))


def test_a_wide_machine_drives_up_and_back():
    # 24 m passes and a radius of 6.5 m: every turn is a U, and the next pass is the nearest
    spans, links = made([(8, 0, 300)], width=24.0)
    routed = best_route(spans, links, widest=3)
    assert routed.rule == Rule("up and back", 1)
    assert routed.lobes == 1


def test_a_narrow_machine_does_not():
    # 6 m passes and a radius of 6.5 m: every third pass is the first U
    spans, links = made([(24, 0, 300)], width=6.0)
    routed = best_route(spans, links, widest=4)
    assert routed.rule != Rule("up and back", 1)
    # 23 omegas of 40 m against 23 turns of at most 25 m
    assert total(routed.route, links) < 0.75 * total(routed.usual, links)


def test_lobes_are_driven_one_after_the_other():
    spans, links = made([(6, 0, 180), (6, 140, 320)], width=24.0)
    route = route_by_rule(Rule("up and back", 1), lobes(spans), links)
    assert sorted(route[:6] >> 1) == list(range(6))
