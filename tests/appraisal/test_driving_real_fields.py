"""Order of driving over real fields: every piece once, never worse than up and back."""

import numpy as np
import pytest
from general_orders import general_cost, installed_library
from strategies import laid, plan_of, real_fields

from geolayout.appraisal.driving import order
from geolayout.appraisal.driving.routes import best_route
from geolayout.appraisal.driving.search import total
from geolayout.appraisal.driving.season import driving_of
from geolayout.errors import GeolayoutError

# A planter of 6 m and a boom of 24 m, all of it one crop. Invented.
PLAN = """
[headland]
where = "all round"
width = 24.5
[[pattern]]
name = "whole"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
[[machine]]
name = "planter"
working_width = 6.0
turning_radius = 6.5
[[machine]]
name = "sprayer"
working_width = 24.0
turning_radius = 6.5
[[operation]]
name = "plant"
machine = "planter"
over = "block"
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""


def layouts(count, seed):
    """Yield a seeded sample of real fields of 2 ha and more, laid along their longest edge."""
    for field in real_fields(8 * count, seed):
        if count == 0:
            return
        if field.area < 20_000.0:
            continue
        try:
            layout = laid(field, plan_of(PLAN, guide='choose = "longest edge"'))
        except GeolayoutError:
            continue
        count -= 1
        yield layout


@pytest.mark.parametrize(
    "count", [6, pytest.param(100, marks=pytest.mark.every_field)], ids=["some", "a hundred"]
)
def test_no_order_is_worse_than_up_and_back(monkeypatch, count):
    found = []

    def watched(spans, links, **how):
        routed = best_route(spans, links, **how)
        assert total(routed.route, links) <= total(routed.usual, links) + 1e-6
        assert total(routed.by_list, links) <= total(routed.route, links) + 1e-6
        found.append(sorted(routed.route >> 1) == list(range(links.pieces)))
        return routed

    monkeypatch.setattr(order, "best_route", watched)
    for layout in layouts(count, 3):
        for one in driving_of(layout):
            pieces = np.concatenate([part.piece for part in one.orders])
            assert len(np.unique(pieces)) == len(pieces)
            assert one.hours.total.least <= one.hours.total.usual <= one.hours.total.most
            assert 0.0 < one.efficiency < 1.0
    assert len(found) >= 2 * count
    assert all(found)


@pytest.mark.every_field
@pytest.mark.filterwarnings("ignore:builtin type .* has no __module__")
def test_orders_are_within_a_twentieth_of_a_general_routers(monkeypatch):
    library, looked = installed_library(), []

    def watched(spans, links, **how):
        routed = best_route(spans, links, **how)
        if links.pieces <= 60:
            theirs = general_cost(library, links, routed, 1.0)
            assert total(routed.by_list, links) <= 1.05 * theirs
            looked.append(links.pieces)
        return routed

    monkeypatch.setattr(order, "best_route", watched)
    for layout in layouts(20, 3):
        driving_of(layout)
    assert len(looked) >= 20
