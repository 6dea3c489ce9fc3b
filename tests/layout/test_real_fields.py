"""
Real fields, wherever they lie: a sound layout, or a refusal that another road finds right.

No real field is kept in this repository. Where there is no folder of them the tests skip.
"""

import re
from collections import Counter

import numpy as np
import pytest
from strategies import (
    ALLEYS,
    ENDS,
    STRIPS,
    faults_of_ground,
    faults_of_rows_and_trees,
    laid,
    plan_of,
    real_boundaries,
    real_fields,
    refused,
)

from geolayout.errors import LayoutError

GUIDE = 'choose = "longest edge"'
PLANS = {
    "strips": plan_of(STRIPS, ENDS, guide=GUIDE),
    "alleys": plan_of(ALLEYS, ENDS, guide=GUIDE),
}
HEADLAND = 12.0
LEAST = {"strips": 6.0, "alleys": 12.0}
"""Width of a band that both plans can lay anywhere there is room for it. [m]"""
LONG = 10.0
"""Length of a band for which there must be room before a refusal is wrong. [m]"""


def has_room(land, width):
    """
    Whether a band surely has room, whichever way it lies.

    From a point as far from every edge as the headland and half the band's diagonal together, a
    band of any bearing lies clear of any headland. Neither bearing nor ends are asked for, so
    this judge shares nothing with the layout.
    """
    return not land.buffer(-(HEADLAND + np.hypot(LONG, width) / 2)).is_empty


def verdict(field, name):
    """Say in a word or two how a plan fares on a field; anything but these is a fault."""
    error = refused(laid, field, PLANS[name])
    if error is not None:
        if not isinstance(error, LayoutError) or "No band fits" not in error.found:
            return f"strange refusal: {error}"
        return "refused, and there is room" if has_room(field.land, LEAST[name]) else "refused"
    layout = laid(field, PLANS[name])
    faults = faults_of_ground(layout) + faults_of_rows_and_trees(layout)
    if abs(field.land.area - field.area) > 1e-6 * field.area:
        faults.append("the frame's area is not the geodesic one")
    if len(layout.trees) > 1 and _nearest(layout.trees.xy) < 5.0 - 0.011:
        faults.append("two trees are nearer than 5 m")
    return "; ".join(faults) or "sound"


def _nearest(xy):
    """Distance between neighbouring trees along their rows, the least. [m]"""
    step = np.hypot(*np.diff(xy, axis=0).T)
    return step.min()


def check(fields, name):
    """Lay one plan out on fields, tell the counts, and fail on the first of each fault."""
    verdicts = {field.name: verdict(field, name) for field in fields}
    print(name, dict(Counter(verdicts.values())))
    wrong = {field: word for field, word in verdicts.items() if word not in ("sound", "refused")}
    assert wrong == {}
    assert "sound" in verdicts.values()


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("tenth", range(10))
def test_500_real_fields(name, tenth):
    check(real_fields(500, seed=3822)[tenth::10], name)


@pytest.mark.every_field
@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("tenth", range(10))
def test_every_real_field(name, tenth):
    every = real_fields(len(real_boundaries()), seed=1)
    check(every[tenth::10], name)


@pytest.mark.parametrize("name", PLANS)
def test_a_headland_that_a_refusal_names_does_leave_room(name):
    """A tenth of a metre under the largest headland there is a layout, if one is named."""
    asked = 0
    for field in real_fields(200, seed=16):
        error = refused(laid, field, PLANS[name])
        named = re.search(r"up to ([\d.]+) m", error.remedy) if error is not None else None
        if named is None:
            continue
        asked += 1
        width = float(named.group(1))
        parts = (STRIPS if name == "strips" else ALLEYS, ENDS.replace("12.0", f"{width}"))
        assert refused(laid, field, plan_of(*parts, guide=GUIDE)) is None, field.name
    assert asked > 5
