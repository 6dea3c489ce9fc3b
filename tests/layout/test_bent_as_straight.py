"""Bent lines that happen to be straight lay what straight guides lay, on 500 real fields."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from strategies import ALLEYS, ENDS, STRIPS, laid, plan_of, real_fields, refused

from geolayout.layout.ground import section_ground
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.passes.passes import lay_passes
from geolayout.layout.rows import lay_rows
from geolayout.layout.trees.trees import lay_trees
from geolayout.plan.section.passes import place_passes

WORK = """
[[machine]]
name = "drill"
working_width = 3.0
[[operation]]
name = "drill"
machine = "drill"
"""
GUIDE = 'choose = "longest edge"'
PLANS = (plan_of(STRIPS, ENDS, WORK, guide=GUIDE), plan_of(ALLEYS, ENDS, WORK, guide=GUIDE))


def bent(straight):
    """The lines of a straight guide as lines along a chain of three points. [m]"""
    chain = straight.from_turned(np.array([[0.0, 0.0], [0.0, 30.0], [0.0, 100.0]]))
    return Parallel(chain, straight.side)


def figures(layout, block):
    """Everything laid on a block, each as one column."""
    ground, _ = section_ground(block, 0, lambda _: 1.0)
    rows = lay_rows(block, 0, np.ones(len(block.rows.t), dtype=bool))
    trees = lay_trees(block, 0, layout.field, block.headland)
    places = place_passes(layout.plan, block.pattern, block.section, block.stands, 0.0)
    passes = lay_passes(block, 0, places, layout.layers.drivable)
    return {
        "span": np.array(block.guides.span(block.crop_land)),
        "ground": ground.area,
        "cut": ground.cut,
        "piece": ground.piece,
        "inner points": shapely.get_coordinates(shapely.centroid(ground.geometry)),
        "rows": rows.length,
        "row ends": rows.lines.ends(np.arange(len(rows))) if len(rows) else np.empty(0),
        "trees": trees.xy,
        "passes": passes.lines.length,
        "beyond": passes.beyond_edge,
    }


def differences(field, plan):
    """Say what differs between the straight layout of a field and the same by bent lines."""
    if refused(laid, field, plan) is not None:
        return []
    layout = laid(field, plan)
    (block,) = layout.blocks
    one, two = figures(layout, block), figures(layout, replace(block, guides=bent(block.guides)))
    scale = {"ground": 1e-9 * field.land.area + 1e-6}
    return [
        f"{name}: {len(one[name])} and {len(two[name])}"
        if one[name].shape != two[name].shape
        else f"{name}: {np.abs(one[name] - two[name]).max():.2g} off"
        for name in one
        if one[name].shape != two[name].shape
        or (one[name].size and np.abs(one[name] - two[name]).max() > scale.get(name, 1e-6))
    ]


@pytest.mark.parametrize(
    "tenth", [0, *(pytest.param(tenth, marks=pytest.mark.slow) for tenth in range(1, 10))]
)
def test_500_real_fields_are_the_same_both_ways(tenth):
    fields = real_fields(500, seed=77)[tenth::10]
    found = {field.name: differences(field, PLANS[i % 2]) for i, field in enumerate(fields)}
    assert {name: what for name, what in found.items() if what} == {}
