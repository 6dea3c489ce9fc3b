"""Hairs: spikes of no width. Shapes are invented."""

import numpy as np
import pytest
import shapely
from shapely import Polygon

from geolayout.layout.shapes.hairs import without_hairs

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]


def trimmed(polygon):
    return without_hairs(np.array([polygon], dtype=object))[0]


def test_a_hair_along_an_edge_is_cut():
    # from (10, 10) a spike 6 m up the line x = 10, 1e-7 m wide at its foot
    hairy = Polygon([(0, 0), (10, 0), (10, 16), (10 - 1e-7, 10), (0, 10)])
    assert trimmed(hairy).bounds == pytest.approx((0, 0, 10, 10), abs=1e-6)


def test_a_spike_that_has_width_stays():
    spiky = Polygon([(0, 0), (10, 0), (10, 16), (9.99, 10), (0, 10)])
    assert trimmed(spiky) is spiky


def test_a_hair_of_a_hole_is_cut():
    hole = [(4, 4), (4, 6), (6, 6), (6, 2), (6 - 1e-8, 4)]
    found = trimmed(Polygon(SQUARE, [hole]))
    assert shapely.bounds(found.interiors[0]) == pytest.approx((4, 4, 6, 6), abs=1e-6)


def test_a_polygon_without_hairs_is_the_very_same():
    square = Polygon(SQUARE)
    assert trimmed(square) is square


def test_no_polygons_are_no_polygons():
    assert len(without_hairs(np.empty(0, dtype=object))) == 0
