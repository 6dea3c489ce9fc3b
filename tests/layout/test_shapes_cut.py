"""Cutting land at guide lines: the fast way against the generic way, which is its judge."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, box
from strategies import bearings, lands, real_fields

from geolayout.layout.guides.guide import Straight
from geolayout.layout.shapes.cut import clipped, cut_generic, cut_land, cut_straight
from geolayout.layout.shapes.polygons import polygon_parts

RECTANGLE = box(0, 0, 200, 100)
NORTH = Straight(0.0, 0.0, 0.0)
WAYS = pytest.mark.parametrize("cut", [cut_straight, cut_generic], ids=["fast", "generic"])


@WAYS
def test_a_rectangle_is_cut_into_what_stands_between_the_lines(cut):
    # Rows north, cuts at 50 m and 120 m: 50 x 100, 70 x 100 and 80 x 100 m2
    pieces = cut(RECTANGLE, NORTH, np.array([50.0, 120.0]))
    by_interval = dict(
        zip(pieces.interval.tolist(), shapely.area(pieces.geometry).tolist(), strict=True)
    )
    assert by_interval == pytest.approx({0: 5000.0, 1: 7000.0, 2: 8000.0})


@WAYS
def test_a_right_triangle_is_cut_into_a_trapezium_and_a_tip(cut):
    # Legs 200 m and 100 m, cut 50 m from the short leg: it is 100 x 150 / 200 = 75 m high there.
    # Trapezium (100 + 75) / 2 x 50 = 4,375 m2, tip 75 x 150 / 2 = 5,625 m2
    pieces = cut(Polygon([(0, 0), (200, 0), (0, 100)]), NORTH, np.array([50.0]))
    assert sorted(shapely.area(pieces.geometry)) == pytest.approx([4375.0, 5625.0])


@WAYS
def test_a_hole_parts_the_band_that_runs_into_it(cut):
    # A hole 40 m wide and 20 m high, bands 20 m wide: the two bands over it have two pieces each.
    land = RECTANGLE - box(80, 40, 120, 60)
    pieces = cut(land, NORTH, np.array([80.0, 100.0, 120.0]))
    assert np.bincount(pieces.interval).tolist() == [1, 2, 2, 1]


@WAYS
def test_without_edges_the_land_is_one_piece(cut):
    pieces = cut(RECTANGLE, NORTH, np.empty(0))
    assert shapely.area(pieces.geometry) == pytest.approx([20_000.0])
    assert pieces.interval.tolist() == [0]


@WAYS
def test_an_edge_along_the_boundary_cuts_off_nothing(cut):
    pieces = cut(RECTANGLE, NORTH, np.array([0.0, 100.0, 200.0]))
    assert pieces.interval.tolist() == [1, 2]


@WAYS
def test_land_that_is_empty_has_no_pieces(cut):
    assert len(cut(Polygon(), NORTH, np.array([1.0])).geometry) == 0


def test_land_that_touches_a_box_by_the_last_digit_of_a_corner_is_cut_all_the_same():
    """GEOS refuses such a box: what it clips is a ring of three points."""
    t = 1.0790491549941909e-05
    land = Polygon([(1.8, -16.6), (t, 3.77e-5), (0.09, 16.7), (30.0, 10.0)])
    for edge in (t, np.nextafter(t, 1.0), np.nextafter(t, 0.0)):
        beside = clipped(land, -1.0, -200.0, float(edge), 200.0)
        assert beside.area == pytest.approx(0.0, abs=1e-12)
    assert clipped(land, t, -200.0, 31.0, 200.0).area == pytest.approx(land.area)


def test_the_fast_way_is_taken_for_straight_guides():
    pieces = cut_land(RECTANGLE, NORTH, np.array([50.0]))
    again = cut_straight(RECTANGLE, NORTH, np.array([50.0]))
    assert shapely.equals_exact(pieces.geometry, again.geometry).all()


def test_polygon_parts_are_single_and_neither_lines_nor_points():
    mixed = shapely.GeometryCollection(
        [MultiPolygon([RECTANGLE, box(300, 0, 310, 10)]), shapely.Point(1, 1), Polygon()]
    )
    assert [part.geom_type for part in polygon_parts(mixed)] == ["Polygon", "Polygon"]


def disagreements(land, bearing, width):
    """Say where the fast way differs from the generic one, to 1e-9 of the land."""
    guides = Straight(0.0, 0.0, bearing)
    near, far = guides.span(land)
    edges = np.arange(near + 0.37 * width, far, width)
    fast, slow = cut_straight(land, guides, edges), cut_generic(land, guides, edges)
    if not shapely.is_valid(fast.geometry).all():
        return ["a piece is not valid"]
    if len(fast.geometry) != len(slow.geometry):
        return [f"{len(fast.geometry)} pieces against {len(slow.geometry)}"]
    shares = [_by_interval(pieces, len(edges) + 1) / land.area for pieces in (fast, slow)]
    faults = [] if np.abs(shares[0] - shares[1]).max() <= 1e-9 else ["areas of bands differ"]
    apart = sum(_apart(_band(fast, k), _band(slow, k)) for k in range(len(edges) + 1))
    return faults if apart <= 1e-9 * land.area else [*faults, f"{apart:.3g} m2 lie elsewhere"]


def _apart(one, other):
    """Area in one and not the other; on a grid, for edges a rounding apart mislead the overlay."""
    return shapely.symmetric_difference(one, other, grid_size=1e-9).area


def _by_interval(pieces, count):
    return np.bincount(pieces.interval, shapely.area(pieces.geometry), minlength=count)


def _band(pieces, interval):
    return MultiPolygon(pieces.geometry[pieces.interval == interval].tolist())


@given(land=lands, bearing=bearings, width=st.floats(3.0, 40.0))
def test_both_ways_agree_on_invented_fields(land, bearing, width):
    assert disagreements(land, bearing, width) == []


@pytest.mark.parametrize("tenth", range(10))
def test_both_ways_agree_on_500_real_fields(tenth):
    rng = np.random.default_rng([5, tenth])
    found = {}
    for field in real_fields(500, seed=5)[tenth::10]:
        bearing, width = rng.uniform(0, 180), rng.choice([6.0, 24.0])
        if faults := disagreements(field.land, bearing, width):
            found[field.name] = (bearing, width, faults)
    assert found == {}
