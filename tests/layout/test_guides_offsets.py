"""Offsets are true to a millimetre, on hollow curves too."""

from math import pi

import numpy as np
import pytest
from shapely import Polygon, box

from geolayout.layout.guides.offsets import areas_of, grown, land_beside, shrunk


def circle(radius, corners=1440):
    angle = np.linspace(0, 2 * pi, corners, endpoint=False)
    return Polygon(np.stack([np.cos(angle), np.sin(angle)], axis=1) * radius)


def test_a_shrunk_circle_is_a_circle():
    # radius 91 m; a polygon of 1,440 corners has 1 - 2 pi^2 / (3 x 1440^2) of its area
    share = 1 - 2 * pi**2 / (3 * 1440**2)
    assert shrunk(circle(100), 9.0).area == pytest.approx(pi * 91**2 * share, rel=1e-6)


def test_a_hollow_circle_is_filled_by_growing():
    # the hole of 50 m shrinks to 41 m
    ring = box(-80, -80, 80, 80) - circle(50)
    (hole,) = grown(ring, 9.0).interiors
    assert Polygon(hole).area == pytest.approx(pi * 41**2, rel=1e-5)


def test_what_is_shrunk_and_grown_again_is_rounded_at_its_corners():
    # a square of 100 m by 10 m: 100^2 - (4 - pi) 10^2
    again = grown(shrunk(box(0, 0, 100, 100), 10.0), 10.0)
    assert again.area == pytest.approx(10_000 - (4 - pi) * 100, abs=0.2)


def test_land_narrower_than_twice_the_distance_is_gone():
    assert shrunk(box(0, 0, 100, 17.9), 9.0).is_empty


@pytest.mark.parametrize(
    ("path", "area"),
    [
        pytest.param([(0, 0), (100, 0)], 500, id="straight: a rectangle"),
        pytest.param([(0, 0), (50, 0), (50, 50)], 475, id="to the left: the squares share 25"),
        pytest.param(
            [(0, 0), (50, 0), (50, -50)], 500 + pi * 25 / 4, id="to the right: a quarter circle"
        ),
    ],
)
def test_land_beside_a_path_lies_on_its_left(path, area):
    assert land_beside(np.array(path, dtype=float), 5.0).area == pytest.approx(area, abs=0.01)


def test_specks_and_pinholes_are_no_ground():
    ground = (box(0, 0, 10, 10) - box(5, 5, 5.0005, 5.0005)) | box(20, 0, 20.0005, 0.0005)
    assert areas_of(ground).area == 100.0


def test_a_sliver_along_an_edge_is_no_ground_however_long():
    # 2,600 m of 1e-9 m: an overlay left one, and a track was driven round it
    assert areas_of(box(0, 0, 2600, 1e-9)).is_empty
