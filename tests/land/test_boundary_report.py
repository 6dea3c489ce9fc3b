"""What is known of a boundary, gathered; all fields invented."""

import numpy as np
import pytest
from shapely import MultiPolygon, Polygon, box

from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.report import boundary_report
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame, geodesic_area
from geolayout.land.readers import DrawnBoundary

FRAME = Frame(10.0, 52.0)


def report_on(shape, *findings, **about):
    """Make a field of a shape in metres, and report on it."""
    drawn = DrawnBoundary(FRAME.to_geographic(shape), "Home", findings, {}, **about)
    field = make_field(drawn.geometry, name="Home", findings=findings)
    return boundary_report(field, drawn), field


def test_a_square_with_a_hole_and_a_second_part():
    hole = box(50, 20, 90, 70)  # 40 m x 50 m
    land = MultiPolygon([box(0, 0, 200, 100).difference(hole), box(300, 0, 400, 100)])
    report, field = report_on(land, source="farm.zip, home.shp", crs="ETRS89", plane_area=28_001.0)
    assert report.name == "Home"
    assert report.source == "farm.zip, home.shp"
    assert report.crs == "ETRS89"
    assert report.plane_area == 28_001.0
    # 200 x 100 - 40 x 50 + 100 x 100
    assert report.area == pytest.approx(28_000, abs=0.05)
    assert report.drawn_area == pytest.approx(28_000, abs=0.05)
    assert report.parts == pytest.approx((20_000, 10_000), abs=0.05)
    assert report.holes == pytest.approx((2000,), abs=0.05)
    # 2 x (200 + 100) + 2 x (40 + 50) + 4 x 100
    assert report.perimeter == pytest.approx(600 + 180 + 400, abs=0.01)
    assert (report.vertices, report.drawn_vertices) == (12, 12)
    assert report.bounds == field.boundary.bounds
    assert report.kinds == {"holes": 1, "parts": 1}
    assert report.questions == ()


def test_what_was_done_is_the_area_kept_less_the_area_drawn():
    # A sliver of 0.25 m2 beside 1 ha is dropped.
    report, _ = report_on(MultiPolygon([box(0, 0, 100, 100), box(200, 0, 200.5, 0.5)]))
    assert report.area_change == pytest.approx(-0.25, abs=1e-4)
    assert report.drawn_area == pytest.approx(10_000.25, abs=0.01)
    assert (report.vertices, report.drawn_vertices) == (4, 8)


def test_the_centre_lies_in_the_field():
    ell = Polygon([(0, 0), (200, 0), (200, 10), (10, 10), (10, 200), (0, 200)])
    report, field = report_on(ell)
    x, y = FRAME.metres(np.array([report.centre]))[0]
    assert ell.contains(Polygon(box(x - 0.01, y - 0.01, x + 0.01, y + 0.01).exterior))
    assert report.area == field.area == geodesic_area(field.boundary)


def test_questions_are_asked_once_each():
    asked = [Finding("line", "a", question="Why?"), Finding("line", "b", question="Why?")]
    report, _ = report_on(box(0, 0, 10, 10), *asked)
    # 10 m x 10 m is under 0.1 ha.
    assert report.questions == ("Why?", "Is the coordinate system the right one?")
    assert report.kinds == {"line": 2, "unusual area": 1}


def test_a_crossing_is_measured_against_its_even_odd_reading():
    # Two triangles of 2500 m2 each, for which an area with signs has 0.
    report, _ = report_on(Polygon([(0, 0), (100, 100), (100, 0), (0, 100)]))
    assert report.drawn_area == pytest.approx(5000, abs=0.05)
    assert report.area == pytest.approx(5000, abs=0.05)
