"""Hollows that hold cold air, on bowls and slopes whose depth is known."""

import numpy as np
import pytest
import shapely
from hills import LAND, heights, on_hill
from strategies import ALLEYS, STRIPS, field_of, laid, plan_of

from geolayout.appraisal.slope.cold import cold_cautions
from geolayout.land.terrain.flow import hollows

GUIDE = 'bearing = 0.0\nfrom = "west"'


def bowl(x, y):
    # A cone 2 m deep, 60 m wide from rim to middle, in a plain
    return 100.0 - np.maximum(2.0 - np.hypot(x, y) / 30.0, 0.0)


def slope(_x, y):
    return 100.0 + 0.05 * y


def test_a_bowl_is_a_hollow_of_known_depth_and_ground():
    # Cells more than 1 m below the plain: within 30 m of the middle, pi 30^2
    (one,) = hollows(heights(bowl, cell=2.0, size=120), shapely.box(-60, -60, 60, 60), 1.0)
    assert one.depth == pytest.approx(2.0, abs=0.01)
    assert np.hypot(*one.deepest) < 3.0
    assert one.ground.area == pytest.approx(np.pi * 900.0, rel=0.03)


def test_a_notch_in_the_rim_lets_it_run_off():
    def notched(x, y):
        channel = (np.abs(y) < 4.0) & (x > 0.0)
        return np.where(channel, np.minimum(bowl(x, y), 98.0 - x / 1000.0), bowl(x, y))

    assert hollows(heights(notched), shapely.box(-60, -60, 60, 60), 0.3) == ()


def test_a_slope_holds_nothing():
    assert hollows(heights(slope), LAND, 0.1) == ()
    assert cold_cautions(laid(on_hill(slope), plan_of(STRIPS, guide=GUIDE))) == []


def test_two_bowls_come_deepest_first_and_far_ones_are_left_out():
    def two(x, y):
        return bowl(x + 80.0, y) + 0.5 * (bowl(x - 80.0, y) - 100.0)

    found = hollows(heights(two), shapely.box(-120, -60, 120, 60), 0.3)
    assert [one.depth for one in found] == pytest.approx([2.0, 1.0], abs=0.01)
    (west,) = hollows(heights(two), shapely.box(-120, -60, -60, 60), 0.3)
    assert west.depth == pytest.approx(2.0, abs=0.01)


def test_a_layout_is_told_how_many_trees_stand_in_it():
    layout = laid(on_hill(bowl), plan_of(ALLEYS, guide=GUIDE))
    (caution,) = cold_cautions(layout)
    # Averaged over 20 m the point of the cone is cut off: some tenths of its 2 m.
    assert 1.4 < caution.value < 2.0
    # 0.3 m below the rim is 51 m from the middle of a cone whose slope is 1 in 30
    inside = np.hypot(*layout.trees.xy.T) < 51.0
    told = int(caution.sentence.split(" of the trees")[0].split()[-1])
    assert told == pytest.approx(inside.sum(), rel=0.25)


def test_a_dent_is_not_told():
    shallow = laid(
        on_hill(lambda x, y: 100 + 0.2 * (bowl(x, y) - 100)), plan_of(STRIPS, guide=GUIDE)
    )
    assert cold_cautions(shallow) == []


def test_without_heights_nothing_is_said():
    assert cold_cautions(laid(field_of(LAND), plan_of(STRIPS, guide=GUIDE))) == []
