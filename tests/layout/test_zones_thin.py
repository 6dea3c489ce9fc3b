"""Fine steps of a map drawn straight: nothing is lost between zones, nothing moves far."""

import numpy as np
import pytest
import shapely
from shapely import box

from geolayout.land.zones.map import ZoneMap
from geolayout.layout.shapes.polygons import MOST_CORNERS, subdivided
from geolayout.layout.zones.field import make_zones
from geolayout.layout.zones.smooth import partition
from geolayout.layout.zones.thin import MANY_CORNERS, finest_step, thinned
from geolayout.plan.parse import parse_plan

SIDE = 600.0
LAND = box(0, 0, SIDE, SIDE)


def stair(cell):
    """Ground under a diagonal of steps, from the south-west to the north-east."""
    steps = np.arange(0.0, SIDE, cell)
    ring = [xy for x in steps.tolist() for xy in ((x, x), (x + cell, x))]
    return shapely.Polygon([*ring, (SIDE, SIDE), (SIDE, 0.0)])


PLAN = parse_plan("""
schema = 1
[[pattern]]
name = "p"
bands = [{ name = "A", width = 6.0, stand = "maize" }]
[[stand]]
name = "maize"
sowing = [{ crop = "maize", spacing = 0.75, rate = { plants_per_ha = 80000 } }]
[rate_zones]
source = "soil.tif"
classes = ["low", "high"]
limits = [5.0]
narrowest = 12.0
rate = [{ sowing = "maize", factor = { low = 0.9, high = 1.1 } }]
""")


def zones_of(cell):
    """Return the zones of a diagonal map with steps."""
    lower = stair(cell)
    shapes = np.array([LAND.difference(lower), lower], dtype=object)
    return make_zones(ZoneMap(shapes, np.array([3.0, 8.0]), "soil.tif"), LAND, PLAN)


def both(cell):
    return partition([stair(cell)], LAND)


def test_a_quarter_of_a_pass_is_the_largest_step():
    # two cells of a raster that go into half a pass of 12 m are 3 m wide at most
    assert finest_step(12.0) == 3.0


@pytest.mark.parametrize(
    ("cell", "straight"),
    [pytest.param(2.0, True, id="2 m of a 12 m pass"), pytest.param(4.0, False, id="4 m of it")],
)
def test_only_steps_finer_than_that_are_drawn_straight(cell, straight):
    before = both(cell)
    after = thinned(before, 12.0)
    corners = [int(shapely.get_num_coordinates(zones[0])) for zones in (before, after)]
    assert (corners[1] < corners[0] / 1.9) is straight
    # the corner of a step lies half its diagonal from the line between its neighbours
    far = shapely.hausdorff_distance(shapely.boundary(after[0]), shapely.boundary(before[0]))
    assert far <= cell / np.sqrt(2.0) + 1e-9
    assert bool(far > 0.0) is straight


def test_both_zones_take_the_same_line_and_the_edge_stays():
    after = thinned(both(2.0), 12.0)
    assert shapely.intersection(*after).area == pytest.approx(0.0, abs=1e-9)
    assert sum(zone.area for zone in after) == pytest.approx(SIDE**2, rel=1e-12)
    assert shapely.equals(shapely.union_all(list(after)), LAND)


def test_a_hole_in_the_field_stays_one():
    land = LAND.difference(box(200, 100, 220, 140))
    after = thinned(partition([stair(2.0)], land), 12.0)
    assert sum(zone.area for zone in after) == pytest.approx(land.area, rel=1e-12)


def test_a_map_of_few_corners_is_left_as_it_is_and_one_of_many_is_told():
    few, many = zones_of(5.0 * SIDE / MANY_CORNERS), zones_of(0.5)
    assert not any("drawn straight" in note for note in few.notes)
    assert "Steps of soil.tif up to 3.00 m were drawn straight" in many.notes[0]
    # the map keeps its ground: half the square less half of each of 1,200 steps of 0.25 m2
    assert many.classes[1].drawn_m2 == pytest.approx(SIDE**2 / 2 - 1200 * 0.125, rel=1e-9)


def test_pieces_for_looking_up_cover_the_same_ground():
    whole = np.array([stair(1.0), box(0, 0, 1, 1)], dtype=object)
    pieces = subdivided(whole)
    assert shapely.get_num_coordinates(pieces).max() <= MOST_CORNERS
    assert shapely.area(pieces).sum() == pytest.approx(shapely.area(whole).sum(), rel=1e-12)
    assert len(subdivided(whole[:0])) == 0
