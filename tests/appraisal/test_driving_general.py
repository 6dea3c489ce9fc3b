"""The order of driving against a general routing library's: within a twentieth of its best."""

import pytest
from driven_shapes import SHAPES, made
from exact_orders import exact_cost
from general_orders import general_cost, installed_library

from geolayout.appraisal.driving.routes import best_route
from geolayout.appraisal.driving.search import total

# what its compiled part says of itself on newer Pythons
pytestmark = pytest.mark.filterwarnings("ignore:builtin type .* has no __module__")

SMALL = {
    **SHAPES,
    "twelve passes": [(12, 0, 300)],
    "three pieces": [(2, 80, 340), (1, 0, 260)],
    "three lobes of twelve": [(3, 0, 300), (5, 80, 260), (4, 40, 340)],
}
MIDDLING = {
    "forty passes side by side": ([(40, 0, 300)], 6.5, 6.0),
    "three lobes of 36": ([(12, 0, 300), (10, 0, 160), (14, 60, 320)], 6.5, 6.0),
    "three lobes of 58, a wide turn": ([(20, 0, 300), (18, 80, 260), (20, 0, 400)], 9.0, 6.0),
    "thirty of 12 m": ([(18, 0, 300), (12, 40, 260)], 6.5, 12.0),
}


@pytest.fixture
def library():
    return installed_library()


def _within_a_twentieth(library, arms, how, seconds):
    """Hold an order against the library's best, and against up and back."""
    spans, links = made(arms, **how)
    routed = best_route(spans, links, widest=5)
    theirs = general_cost(library, links, routed, seconds)
    assert total(routed.route, links) <= 1.05 * theirs
    assert total(routed.route, links) <= total(routed.usual, links) + 1e-6
    return links, theirs


@pytest.mark.parametrize("radius", [3.0, 9.0], ids=["R 3 m", "R 9 m"])
@pytest.mark.parametrize("arms", SMALL.values(), ids=SMALL)
def test_a_small_order_is_within_a_twentieth_of_a_general_routers(library, arms, radius):
    links, theirs = _within_a_twentieth(library, arms, {"radius": radius}, 0.4)
    if links.pieces <= 9:
        # so that both count the same: nothing is less than the least of all orders
        assert theirs >= exact_cost(links) - 0.01


@pytest.mark.parametrize(("arms", "radius", "width"), MIDDLING.values(), ids=MIDDLING)
def test_a_middling_order_is_within_a_twentieth_of_a_general_routers(library, arms, radius, width):
    _within_a_twentieth(library, arms, {"radius": radius, "width": width}, 2.0)
