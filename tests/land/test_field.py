"""A field made of its boundary."""

import numpy as np
import pytest
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon, box

from geolayout.errors import BoundaryError
from geolayout.land.boundary.finding import Finding
from geolayout.land.features import DrawnFeature, KeepClear
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame

FRAME = Frame(10.0, 52.0)
HOME = FRAME.to_geographic(box(-100, -50, 100, 50))  # 200 m x 100 m: 2 ha


def kinds(field):
    return [finding.kind for finding in field.findings]


def test_a_field_of_200_by_100_m_has_2_ha():
    field = make_field(HOME, name="Home")
    assert field.area == pytest.approx(20_000, abs=0.01)
    assert field.land.area == pytest.approx(20_000, abs=0.01)
    assert field.name == "Home"
    assert field.findings == ()


def test_land_is_centred_valid_and_counter_clockwise():
    field = make_field(shapely.reverse(HOME))
    assert field.frame == Frame(10.0, 52.0)
    assert field.land.is_valid
    assert shapely.is_ccw(field.land.exterior)


def test_height_lengthens_the_land_but_not_the_area_of_record():
    field = make_field(HOME, height=638.0)
    # 2 x 1.0e-4 of the area; see the frame's own test of height.
    assert field.land.area / 20_000 - 1 == pytest.approx(2e-4, rel=0.01)
    assert field.area == pytest.approx(20_000, abs=0.01)


def test_findings_stand_in_the_order_they_were_made():
    before = Finding("no shape", "1 of 2 rows of home.gpkg have no shape.")
    tie = FRAME.to_geographic(Polygon([(0, 0), (100, 100), (100, 0), (0, 100)]))
    field = make_field(tie, findings=[before])
    assert kinds(field) == ["no shape", "crossing", "parts"]


@pytest.mark.parametrize(
    ("side", "expected"),
    [
        pytest.param(31.0, ["unusual area"], id="0.096 ha is small"),
        pytest.param(32.0, [], id="0.102 ha is a field"),
        pytest.param(2236.0, [], id="499.97 ha is a field"),
        pytest.param(2237.0, ["unusual area"], id="500.4 ha is large"),
    ],
)
def test_an_unusual_area_is_remarked_on(side, expected):
    assert kinds(make_field(FRAME.to_geographic(box(0, 0, side, side)))) == expected


@pytest.mark.parametrize(
    ("boundary", "match"),
    [
        pytest.param(box(500_000, 5_700_000, 500_200, 5_700_100), "looks like metres", id="metres"),
        pytest.param(box(-179.999, -17, 179.999, -16.99), "180th meridian", id="round the earth"),
        pytest.param(MultiPolygon([HOME, box(30, 52, 30.01, 52.01)]), "degrees wide", id="far"),
        pytest.param(LineString([(10, 52), (10, 52.1)]), "as a polygon", id="a line"),
    ],
)
def test_what_is_no_field_is_refused(boundary, match):
    with pytest.raises(BoundaryError, match=match):
        make_field(boundary)


def test_a_field_without_features_has_no_obstacle():
    field = make_field(HOME)
    assert field.obstacles.is_empty
    assert field.kept_clear.is_empty


def test_obstacles_are_bodies_and_kept_clear_is_wider():
    pond = DrawnFeature(
        "pond", "", FRAME.to_geographic(box(0, 0, 10, 10)), keep_clear=KeepClear(all=5.0, trees=20)
    )
    wires = DrawnFeature(
        "overhead line", "", FRAME.to_geographic(LineString([(-100, 0), (100, 0)])),
        "centre line", keep_clear=KeepClear(trees=12.0),
    )  # fmt: skip
    field = make_field(HOME, features=[pond, wires])
    assert field.obstacles.area == pytest.approx(100, abs=0.01)
    # Trees keep 20 m off, crops only 5 m; nothing is held free under the wires.
    assert shapely.bounds(field.kept_clear) == pytest.approx((-5, -5, 15, 15), abs=1e-3)


def test_overlapping_features_count_their_ground_once():
    drawn = [
        DrawnFeature("rock", "", FRAME.to_geographic(box(x, 0, x + 10, 10))) for x in (0.0, 5.0)
    ]
    assert make_field(HOME, features=drawn).obstacles.area == pytest.approx(150, abs=0.01)


def test_a_hole_that_touches_an_edge_midway_stays_valid():
    # The hole's corner lies on the straight southern edge in degrees; in metres the edge bows.
    outer = [(10.0, 52.0), (10.02, 52.001), (10.02, 52.01), (10.0, 52.01)]
    hole = [(10.01, 52.0005), (10.011, 52.003), (10.009, 52.003)]
    field = make_field(Polygon(outer, [hole]))
    assert field.boundary.is_valid
    assert field.land.is_valid
    assert field.land.area == pytest.approx(field.area, rel=1e-5)


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_where_the_ring_starts_changes_neither_frame_nor_area(turn):
    ring = shapely.get_coordinates(HOME)[:-1].tolist()
    field = make_field(Polygon(ring[turn:] + ring[:turn]))
    assert field.frame == make_field(HOME).frame
    assert field.land.equals(make_field(HOME).land)


def test_a_point_feature_is_placed_where_it_stands():
    pole = DrawnFeature("pole", "", FRAME.to_geographic(Point(20, 30)))
    field = make_field(HOME, features=[pole])
    assert field.features[0].geometry.equals_exact(Point(20, 30), 1e-6)


def test_holes_and_parts_are_counted_and_measured():
    ring = [(0, 0), (200, 0), (200, 100), (0, 100)]
    hole = [(50, 20), (90, 20), (90, 70), (50, 70)]  # 40 m x 50 m: 0.2 ha
    land = MultiPolygon([Polygon(ring, [hole]), box(300, 0, 400, 100)])
    field = make_field(FRAME.to_geographic(land))
    assert kinds(field) == ["parts", "holes"]
    parts, holes = field.findings
    assert parts.sentence == "The field lies in 2 parts: 1.800, 1.000 ha."
    assert holes.sentence == "A hole of 0.200 ha is not in the field."
    assert len(parts.places) == 2
    assert FRAME.metres(np.array(holes.places))[0] == pytest.approx((70, 45), abs=1.0)


def wavy(corners):
    """Draw a round field whose edge strays by 2 cm, too densely for any use."""
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    radius = 180 + np.random.default_rng(1).normal(0, 0.02, corners)
    ring = np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))
    return FRAME.to_geographic(Polygon(ring))


def test_a_dense_boundary_is_thinned_and_the_area_follows():
    drawn = wavy(8000)
    field = make_field(drawn)
    assert kinds(field) == ["thinned"]
    (thinned,) = field.findings
    assert "8,000 corners" in thinned.sentence
    assert thinned.area_change == pytest.approx(field.area - make_field(drawn, thin=0.0).area)
    assert field.land.area == pytest.approx(field.area, rel=1e-6)
    assert field.land.is_valid
    assert field.boundary.is_valid


@pytest.mark.parametrize(
    ("corners", "thin", "expected"),
    [
        pytest.param(2999, None, [], id="2,999 corners stay"),
        pytest.param(8000, 0.0, [], id="thin = 0 leaves every corner in"),
        pytest.param(500, 0.5, ["thinned"], id="thin = 0.5 thins what is not dense"),
    ],
)
def test_thinning_follows_what_is_asked(corners, thin, expected):
    assert kinds(make_field(wavy(corners), thin=thin)) == expected


def test_a_closed_line_makes_a_field():
    field = make_field(HOME.exterior)
    assert kinds(field) == ["line"]
    assert field.area == pytest.approx(20_000, abs=0.01)


def test_a_boundary_too_noisy_to_be_thinned_enough_is_asked_about():
    angle = np.linspace(0, 2 * np.pi, 20_000, endpoint=False)
    radius = 500 + np.random.default_rng(1).normal(0, 0.6, 20_000)
    ring = np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))
    (thinned,) = make_field(FRAME.to_geographic(Polygon(ring))).findings
    assert "0.25 m off the line" in thinned.sentence
    assert "thin = 0.5" in thinned.question
