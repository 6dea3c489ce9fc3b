"""Zones smoothed to a machine: nothing narrower than a pass, nothing lost."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import box

from geolayout.layout.shapes.overlay import on_grid
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.layout.zones.smooth import Least, partition, smoothed

LAND = box(0, 0, 100, 60)
PASS = Least(12.0, 144.0)


def areas(zones):
    return [round(zone.area, 6) for zone in zones]


def test_zones_that_a_pass_fits_stay_as_they_are_where_edges_are_straight():
    west, east = box(0, 0, 50, 60), box(50, 0, 100, 60)
    assert areas(smoothed([west, east], LAND, PASS)) == [3000.0, 3000.0, 0.0]


def test_a_strip_exactly_as_wide_as_a_pass_is_kept():
    strips = [box(0, 0, 44, 60), box(44, 0, 56, 60), box(56, 0, 100, 60)]
    # 44 x 60, 12 x 60, 44 x 60
    assert areas(smoothed(strips, LAND, PASS)) == [2640.0, 720.0, 2640.0, 0.0]


def test_a_strip_narrower_than_a_pass_goes_to_the_neighbour_along_most_of_its_edge():
    strip = box(44, 0, 54, 60)
    west, east = box(0, 0, 44, 60), shapely.union(box(54, 0, 100, 60), box(30, 60, 40, 61))
    # 10 m wide; both neighbours touch it on 60 m, and of equal ones the first has it
    assert areas(smoothed([west, strip, east], LAND, PASS)) == [3240.0, 0.0, 2760.0, 0.0]


def test_a_single_cell_goes_to_the_zone_around_it():
    cell = box(50, 30, 60, 40)
    rest = LAND.difference(cell)
    assert areas(smoothed([rest, cell], LAND, PASS)) == [6000.0, 0.0, 0.0]


def test_a_zone_wide_enough_and_too_small_goes():
    corner = box(0, 0, 20, 20)
    rest = LAND.difference(corner)
    assert smoothed([rest, corner], LAND, Least(12.0, 300.0))[1].area > 0.0
    assert areas(smoothed([rest, corner], LAND, Least(12.0, 500.0))) == [6000.0, 0.0, 0.0]


def test_a_narrow_gap_of_the_map_closes_and_a_wide_one_stays():
    west, east = box(0, 0, 40, 60), box(46, 0, 100, 60)
    assert smoothed([west, east], LAND, PASS)[2].is_empty
    east = box(60, 0, 100, 60)
    assert areas(smoothed([west, east], LAND, PASS)) == [2400.0, 2400.0, 1200.0]


def test_nothing_asked_for_leaves_the_map_as_it_is():
    cell = box(50, 30, 51, 31)
    rest = LAND.difference(cell)
    assert areas(smoothed([rest, cell], LAND, Least(0.0, 0.0))) == [5999.0, 1.0, 0.0]


def test_land_narrower_than_a_pass_keeps_the_class_that_most_of_it_has():
    land = box(0, 0, 100, 8)
    assert areas(smoothed([box(0, 0, 40, 8), box(40, 0, 100, 8)], land, PASS)) == [0, 800, 0]


def test_of_ground_that_two_classes_have_the_first_keeps_it():
    parts = partition([box(0, 0, 60, 60), box(50, 0, 100, 60)], LAND)
    assert areas(parts) == [3600.0, 2400.0, 0.0]


@st.composite
def noisy_maps(draw):
    """Draw cells of a map with spots and noise, and the land under them."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    count, cell = draw(st.integers(2, 4)), draw(st.sampled_from([10.0, 25.0]))
    size = round(200.0 / cell)
    y, x = np.mgrid[:size, :size] * cell
    spots = sum(
        np.exp(-((x - a) ** 2 + (y - b) ** 2) / 60.0**2) for a, b in rng.uniform(0, 200, (4, 2))
    )
    value = spots + draw(st.sampled_from([0.0, 0.1, 0.5])) * rng.normal(size=(size, size))
    classes = np.digitize(value, np.quantile(value, np.arange(1, count) / count))
    shapes = []
    for k in range(count):
        i, j = np.nonzero(classes == k)
        cells = shapely.box(j * cell, i * cell, (j + 1) * cell, (i + 1) * cell)
        shapes.append(shapely.coverage_union_all(cells) if len(cells) else shapely.Polygon())
    corners = [(3, 7), (190, 12), (198, 140), (110, 195), (20, 160)]
    return on_grid(shapely.Polygon(corners)), shapes


@given(noisy=noisy_maps(), width=st.sampled_from([3.0, 12.0, 24.0]), area=st.sampled_from([0, 900]))
@settings(max_examples=8, deadline=None)
@example(
    noisy=(box(0, 0, 200, 200), [box(0, 0, 100, 200), box(100, 0, 200, 200)]), width=24.0, area=900
)
def test_zones_are_a_partition_in_which_every_piece_holds_a_pass(noisy, width, area):
    land, classes = noisy
    zones = smoothed(classes, land, Least(width, float(area)))
    assert sum(zone.area for zone in zones) == pytest.approx(land.area, rel=1e-9)
    assert all(zone.is_valid for zone in zones)
    overlap = sum(shapely.intersection(a, b).area for i, a in enumerate(zones) for b in zones[:i])
    assert overlap <= 1e-9 * land.area
    for part in np.concatenate([polygon_parts(zone) for zone in zones]):
        assert part.area >= 0.99 * area
        # an independent measure: the widest circle within the part, to a hundredth of a metre
        circle = shapely.maximum_inscribed_circle(part, 0.01)
        assert 2.0 * shapely.length(circle) >= 0.98 * width - 0.02
