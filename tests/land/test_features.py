"""What features take and hold free."""

from math import pi

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, Point, Polygon, box

from geolayout.errors import BoundaryError, MeasureError, PlanError
from geolayout.land.features import DrawnFeature, Feature, KeepClear, body, kept_clear, placed
from geolayout.land.frames.frame import Frame

LINE = LineString([(0, 0), (100, 0)])
ROUND = 0.998  # a circle of 64 edges covers 64 / (2 pi) x sin(2 pi / 64) = 0.9984 of the true one


def feature(kind, geometry, measured_from, half_width=0.0):
    return Feature(kind, "", geometry, measured_from, half_width, KeepClear())


def test_a_ditch_of_4_m_kept_clear_by_5_m_from_its_bank_ends_7_m_from_the_line():
    # yard.md 2.5: half width 2 m + 5 m = 7 m each side.
    ditch = feature("ditch", LINE, "top of bank", half_width=2.0)
    ground = kept_clear(ditch, 5.0)
    assert shapely.covers(ground, Point(50, 6.999))
    assert not shapely.covers(ground, Point(50, 7.001))


def test_from_the_centre_line_the_distance_counts_from_the_line_itself():
    ditch = feature("ditch", LINE, "centre line", half_width=2.0)
    assert shapely.bounds(kept_clear(ditch, 5.0))[3] == pytest.approx(5.0)


def test_a_distance_shorter_than_the_body_still_holds_the_body():
    ditch = feature("ditch", LINE, "centre line", half_width=2.0)
    assert kept_clear(ditch, 1.0).equals(body(ditch))


def test_an_overhead_line_is_measured_from_its_outer_wire():
    wires = feature("overhead line", LINE, "outer wire", half_width=3.0)
    assert shapely.bounds(kept_clear(wires, 10.0))[3] == pytest.approx(13.0)
    assert body(wires).is_empty


def test_the_body_of_a_line_is_a_strip_with_round_ends():
    # 100 x 4 m and a circle of 2 m: 400 + 4 pi.
    ground = body(feature("ditch", LINE, "top of bank", half_width=2.0))
    assert ground.area == pytest.approx(400 + ROUND * 4 * pi, rel=1e-4)


def test_a_polygon_is_measured_from_its_drawn_edge():
    # 10 x 10 m grown by 3 m with round corners: 100 + 4 x 30 + 9 pi.
    pond = feature("pond", box(0, 0, 10, 10), "drawn edge")
    assert body(pond).equals(box(0, 0, 10, 10))
    assert kept_clear(pond, 3.0).area == pytest.approx(220 + ROUND * 9 * pi, rel=1e-4)


def test_top_of_bank_of_a_polygon_is_its_drawn_edge():
    by_bank, by_edge = (
        kept_clear(feature("pond", box(0, 0, 10, 10), words), 3.0)
        for words in ("top of bank", "drawn edge")
    )
    assert by_bank.equals(by_edge)


def test_a_point_occupies_nothing_and_keeps_a_circle_clear():
    pole = feature("pole", Point(0, 0), "drawn edge")
    assert body(pole).is_empty
    assert kept_clear(pole, 0.0).is_empty
    assert kept_clear(pole, 4.0).area == pytest.approx(ROUND * 16 * pi, rel=1e-3)


def test_distance_0_leaves_the_body_alone():
    hedge = feature("hedge", LINE, "centre line", half_width=1.5)
    assert kept_clear(hedge, 0.0).equals(body(hedge))


def test_distance_0_of_what_can_be_sown_over_is_no_ground():
    assert kept_clear(feature("buried pipe", LINE, "centre line"), 0.0).is_empty


def test_several_lines_are_one_feature():
    lines = MultiLineString([[(0, 0), (10, 0)], [(0, 50), (10, 50)]])
    assert len(shapely.get_parts(kept_clear(feature("hedge", lines, "centre line"), 2.0))) == 2


@given(st.floats(0.1, 50.0), st.floats(0.1, 20.0))
def test_every_point_within_the_distance_and_none_beyond(distance, half_width):
    ground = kept_clear(feature("ditch", LINE, "top of bank", half_width), distance)
    reach = distance + half_width
    # The 64-gon lies within 1 - cos(pi / 64) = 0.12 % of its circle.
    assert shapely.hausdorff_distance(ground, shapely.buffer(LINE, reach, quad_segs=200)) < (
        0.0013 * reach
    )


@pytest.mark.parametrize(
    ("arguments", "error", "match"),
    [
        pytest.param(("moat", LINE, "centre line"), PlanError, "Choose one", id="unknown kind"),
        pytest.param(("ditch", LINE, "the middle"), PlanError, "top of bank", id="unknown words"),
        pytest.param(
            ("pond", box(0, 0, 1, 1), "centre line"), PlanError, "no centre line",
            id="centre line of a polygon",
        ),
        pytest.param(("ditch", LINE, "drawn edge"), PlanError, "which side", id="edge of a line"),
        pytest.param(
            ("pole", Point(0, 0), "outer wire"), PlanError, "neither bank nor wire",
            id="wire of a point",
        ),
        pytest.param(
            ("ditch", LINE, "top of bank"), MeasureError, "fall short", id="bank without a width"
        ),
        pytest.param(
            ("pond", box(0, 0, 1, 1), "drawn edge", 2.0), MeasureError, "Only a line",
            id="half width of a polygon",
        ),
        pytest.param(
            ("ditch", LINE, "centre line", -1.0), MeasureError, "0 m or more", id="negative width"
        ),
        pytest.param(
            ("ditch", LINE, "centre line", float("nan")), MeasureError, "0 m or more", id="no width"
        ),
        pytest.param(("pond", Polygon(), "drawn edge"), BoundaryError, "is empty", id="empty"),
        pytest.param(
            ("pond", shapely.GeometryCollection([Point(0, 0), LINE]), "drawn edge"),
            BoundaryError, "mixed", id="points and lines together",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_measured_is_refused(arguments, error, match):
    with pytest.raises(error, match=match) as refusal:
        feature(*arguments)
    assert refusal.value.remedy


@pytest.mark.parametrize("key", ["all", "trees", "turning"])
def test_a_negative_distance_is_refused_by_its_key(key):
    with pytest.raises(MeasureError, match=f"keep_clear {key} is -1 m"):
        KeepClear(**{key: -1.0})


def test_a_negative_distance_is_refused_when_asked_for():
    with pytest.raises(MeasureError, match="0 m or more"):
        kept_clear(feature("hedge", LINE, "centre line"), -1.0)


def test_a_drawn_feature_is_placed_in_metres():
    frame = Frame(10.0, 52.0)
    drawn = DrawnFeature("hedge", "west", frame.to_geographic(LINE), "centre line")
    hedge = placed(drawn, frame)
    assert hedge.geometry.equals_exact(LINE, 1e-6)
    assert hedge.label == "hedge 'west'"


def test_a_feature_in_metres_is_refused():
    drawn = DrawnFeature("hedge", "west", LineString([(0, 0), (500, 0)]), "centre line")
    with pytest.raises(BoundaryError, match="looks like metres"):
        placed(drawn, Frame(10.0, 52.0))


def test_a_feature_that_crosses_itself_is_refused():
    bow_tie = Polygon([(10, 52), (10.1, 52.1), (10.1, 52), (10, 52.1)])
    with pytest.raises(BoundaryError, match="Self-intersection"):
        placed(DrawnFeature("pond", "", bow_tie), Frame(10.0, 52.0))


# Round things drawn as points


def test_a_point_with_a_radius_takes_a_circle():
    # A crown of 5 m: 25 pi.
    oak = Feature("tree", "", Point(0, 0), "centre line", 0.0, KeepClear(), radius=5.0)
    assert body(oak).area == pytest.approx(ROUND * 25 * pi, rel=1e-3)
    assert body(feature("tree", Point(0, 0), "centre line")).is_empty


@pytest.mark.parametrize(
    ("measured_from", "farthest"),
    [
        pytest.param("drawn edge", 8.0, id="from the edge the radius comes first, 5 + 3"),
        pytest.param("centre line", 5.0, id="from the middle 3 m lie within the crown of 5"),
    ],
)
def test_a_distance_from_a_round_thing(measured_from, farthest):
    oak = Feature("tree", "", Point(0, 0), measured_from, 0.0, KeepClear(), radius=5.0)
    assert shapely.bounds(kept_clear(oak, 3.0))[3] == pytest.approx(farthest)


@pytest.mark.parametrize(
    ("shape", "radius", "match"),
    [
        pytest.param(LINE, 2.0, r"line with a radius of 2 m", id="a line"),
        pytest.param(box(0, 0, 1, 1), 2.0, r"polygon with a radius of 2 m", id="a polygon"),
        pytest.param(Point(0, 0), -1.0, r"radius of the tree is -1 m", id="less than nothing"),
    ],
)
def test_only_a_point_has_a_radius(shape, radius, match):
    measured_from = "centre line" if shape is LINE else "drawn edge"
    with pytest.raises(MeasureError, match=match):
        Feature("tree", "", shape, measured_from, 0.0, KeepClear(), radius=radius)


def test_what_is_drawn_is_placed_with_all_that_is_known_of_it():
    frame = Frame(10.0, 50.0)
    drawn = DrawnFeature(
        "gateway", "south gate", Point(10.0, 50.0), "centre line", width=4.2, room=0.4
    )
    gate = placed(drawn, frame)
    assert (gate.width, gate.room, gate.radius, gate.default_from) == (4.2, 0.4, 0.0, "")
