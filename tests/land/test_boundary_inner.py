"""Shapes within shapes: found, asked about, cut out or left in."""

import time

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import GeometryCollection, LineString, MultiPolygon, Point, Polygon, box

from geolayout.errors import BoundaryError
from geolayout.land.boundary.inner import lying_within, nested, polygons_of, settled

HOME = box(10.0, 52.0, 10.01, 52.01)
POND = box(10.002, 52.002, 10.003, 52.003)


def test_a_shape_within_another_is_found_by_its_number():
    found = nested([HOME, POND])
    assert found.within == ((1, 0),)
    assert found.twins == ()


def test_a_shape_in_a_hole_of_another_is_not_within_it():
    assert nested([HOME.difference(POND), POND]).within == ()


def test_neighbours_that_share_an_edge_are_not_within_each_other():
    assert nested([HOME, box(10.01, 52.0, 10.02, 52.01)]).within == ()


@pytest.mark.parametrize(
    ("beyond", "within"),
    [
        pytest.param(0.005, True, id="half a percent beyond the edge is still within"),
        pytest.param(0.02, False, id="two percent are not"),
    ],
)
def test_a_shape_drawn_a_little_over_the_edge_is_within(beyond, within):
    pond = box(10.0 - beyond * 0.001, 52.002, 10.001 - beyond * 0.001, 52.003)
    assert bool(nested([HOME, pond]).within) is within


def test_the_same_shape_drawn_otherwise_is_a_twin():
    again = shapely.reverse(Polygon([*HOME.exterior.coords[1:], HOME.exterior.coords[1]]))
    found = nested([HOME, again])
    assert found.twins == ((0, 1),)
    assert found.within == ()


def test_a_shape_that_crosses_itself_is_looked_at_all_the_same():
    tie = Polygon([(10.001, 52.001), (10.002, 52.002), (10.002, 52.001), (10.001, 52.002)])
    assert nested([HOME, tie]).within == ((1, 0),)


def test_polygons_are_found_however_deep():
    deep = GeometryCollection([Point(0, 0), GeometryCollection([MultiPolygon([HOME, POND])])])
    assert len(polygons_of(deep)) == 2
    assert polygons_of(LineString([(0, 0), (1, 1)])) == []
    assert polygons_of(None) == []


def test_nothing_within_is_nothing_to_settle():
    assert settled(HOME, [], name="Home", inner=None) == (HOME, ())


def test_what_lies_within_is_asked_about_with_its_names():
    with pytest.raises(BoundaryError, match="Home the file draws Pond and Wood") as refusal:
        settled(HOME, [("Pond", POND), ("Wood", POND)], name="Home", inner=None)
    assert refusal.value.why
    assert '"hole"' in refusal.value.remedy


def test_a_hole_is_cut_and_its_island_kept():
    island = box(10.0024, 52.0024, 10.0026, 52.0026)
    ring = POND.difference(island)
    cut, (said,) = settled(HOME, [("Pond", ring)], name="Home", inner="hole")
    assert cut.equals(HOME.difference(ring))
    assert said.kind == "shape within"
    assert "cut out" in said.sentence


def test_a_hole_is_cut_from_the_part_it_lies_in():
    away = box(10.02, 52.0, 10.03, 52.01)
    cut, _ = settled(MultiPolygon([away, HOME]), [("Pond", POND)], name="Home", inner="hole")
    assert cut.equals(MultiPolygon([away, HOME.difference(POND)]))


def test_ground_drawn_again_stays():
    left, (said,) = settled(HOME, [("Pond", POND)], name="Home", inner="field")
    assert left is HOME
    assert "stays" in said.sentence


@given(st.lists(st.tuples(*[st.integers(0, 8)] * 2, *[st.integers(1, 4)] * 2), min_size=2))
def test_within_is_what_covering_says(boxes):
    """Boxes on a grid, against the plain question asked of every pair."""
    shapes = [box(x, y, x + w, y + h) for x, y, w, h in boxes]
    found = nested(shapes)
    pairs = [(i, j) for i in range(len(shapes)) for j in range(len(shapes)) if i != j]
    same = {(i, j) for i, j in pairs if shapes[i].equals(shapes[j])}
    covered = {(i, j) for i, j in pairs if shapes[j].covers(shapes[i])}
    assert set(found.within) == covered - same
    assert set(found.twins) == {(i, j) for i, j in same if i < j}


def test_2_000_fields_are_held_against_each_other_quickly():
    x, y = np.divmod(np.arange(2000), 50)
    shapes = list(shapely.box(x, y, x + 1.0, y + 1.0))
    assert nested([*shapes, box(3.2, 3.2, 3.4, 3.4)]).within == ((2000, 3 * 50 + 3),)


def test_2_000_maps_of_one_field_are_not_all_looked_at():
    shapes = [box(10.0 + i * 1e-7, 52.0, 10.001 + i * 1e-7, 52.001) for i in range(2000)]
    found = nested(shapes)
    assert not found.is_whole
    assert nested(shapes[:50]).is_whole


def test_what_lies_within_one_shape_is_found_once():
    tie = Polygon([(10.001, 52.001), (10.002, 52.002), (10.002, 52.001), (10.001, 52.002)])
    away = box(10.02, 52.0, 10.03, 52.01)
    turned = Polygon([*POND.exterior.coords[1:], POND.exterior.coords[1]])
    assert lying_within(HOME, [away, POND, tie, turned, HOME]) == [1, 2]
    assert lying_within(POND, [HOME]) == []


def test_scribble_covers_nothing_and_takes_no_time():
    corners = np.random.default_rng(1).uniform((10.0, 52.0), (10.01, 52.01), (3000, 2))
    scribble = Polygon(corners)
    begin = time.process_time()
    assert nested([HOME, scribble, POND]).within == ((2, 0),)
    assert lying_within(scribble, [POND]) == []
    assert time.process_time() - begin < 5.0
