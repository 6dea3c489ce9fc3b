"""Land along straight lines, bent lines and rings, by one set of questions."""

from math import pi

import numpy as np
import pytest
import shapely
from shapely import Point, box

from geolayout.layout.guides.follow import chords_along, chords_inside, reaches_along, strip_area
from geolayout.layout.guides.guide import Straight
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.guides.rings import Rings

LAND = box(-60.0, -50.0, 60.0, 50.0)
STRAIGHT = Straight(0.0, 0.0, 0.0)
BENT = Parallel(np.array([(0.0, -200.0), (0.0, 0.0), (0.0, 200.0)]))
DISC = Point(0, 0).buffer(100.0, quad_segs=256)
RINGS = Rings(shapely.get_coordinates(shapely.orient_polygons(DISC)), 6.5, 6.0)


def lengths(chords):
    return (chords.s1 - chords.s0).tolist()


@pytest.mark.parametrize("guides", [STRAIGHT, BENT], ids=["straight", "along a straight line"])
def test_upright_lines_cross_a_rectangle_from_side_to_side(guides):
    t = np.array([-70.0, -20.0, 0.0, 30.0])
    found = chords_inside(guides, LAND, t)
    assert found.line.tolist() == [1, 2, 3]
    assert lengths(found) == pytest.approx([100.0] * 3)


@pytest.mark.parametrize("guides", [STRAIGHT, BENT], ids=["straight", "along a straight line"])
def test_a_line_a_hair_outside_is_met_with_slack_alone(guides):
    true, wide = chords_along(guides, LAND, np.array([-60.005, 0.0]))
    assert wide.line.tolist() == true.line.tolist() == [0, 1]
    assert lengths(true)[1] == pytest.approx(100.0)
    assert lengths(wide)[1] == pytest.approx(100.02)


@pytest.mark.parametrize("guides", [STRAIGHT, BENT], ids=["straight", "along a straight line"])
def test_a_strip_reaches_from_its_first_ground_to_its_last(guides):
    # A notch of 20 x 30 m takes ground from the strip -6 to 0, but not from 0 to 6.
    land = LAND - box(-20.0, 20.0, 0.0, 50.0)
    strip, s0, s1 = reaches_along(guides, land, np.array([-6.0, 0.0]), np.array([0.0, 6.0]))
    assert strip.tolist() == [0, 1]
    assert (s1 - s0).tolist() == pytest.approx([70.0, 100.0])
    assert strip_area(guides, land, (-6.0, 0.0)) == pytest.approx(6.0 * 70.0)
    assert strip_area(guides, land, (0.0, 6.0), np.array([s0[1], s0[1] + 40.0])) == pytest.approx(
        240.0
    )


@pytest.mark.parametrize("t", [3.0, 9.0, 45.0])
def test_a_ring_runs_all_round_its_disc(t):
    found = chords_inside(RINGS, DISC, np.array([t]))
    length = RINGS.run(np.array([t]), found.s1) - RINGS.run(np.array([t]), found.s0)
    assert length == pytest.approx([2 * pi * (100.0 - t)], rel=1e-4)


def test_a_ring_is_parted_by_a_pond_on_it():
    # At 45 m a circle of 55 m; a pond of radius 5 m on it takes a chord's arc 2 x 55 asin(5 / 110)
    pond = Point(-55.0, 0.0).buffer(5.0, quad_segs=64)
    found = chords_inside(RINGS, DISC - pond, np.array([45.0]))
    t = np.full(len(found.line), 45.0)
    length = (RINGS.run(t, found.s1) - RINGS.run(t, found.s0)).sum()
    arc = 4 * 55.0 * np.arcsin(5.0 / 110.0)
    assert length == pytest.approx(2 * pi * 55.0 - arc, abs=0.05)


def test_a_ring_strip_is_worked_all_round_and_has_its_known_area():
    strip, s0, s1 = reaches_along(RINGS, DISC, np.array([6.0]), np.array([12.0]))
    assert strip.tolist() == [0]
    assert s1 - s0 == pytest.approx([RINGS.length], rel=1e-4)
    assert strip_area(RINGS, DISC, (6.0, 12.0)) == pytest.approx(pi * (94**2 - 88**2), rel=1e-4)


def test_land_on_one_side_is_worked_on_one_side():
    half = DISC & box(0.0, -100.0, 100.0, 100.0)
    strip, s0, s1 = reaches_along(RINGS, half, np.array([6.0]), np.array([12.0]))
    runs = RINGS.run(np.full(len(strip), 9.0), s1) - RINGS.run(np.full(len(strip), 9.0), s0)
    assert runs.sum() == pytest.approx(pi * 91.0, abs=8.0)
    area = pi * (94**2 - 88**2) / 2.0
    assert strip_area(RINGS, half, (6.0, 12.0)) == pytest.approx(area, rel=1e-3)
