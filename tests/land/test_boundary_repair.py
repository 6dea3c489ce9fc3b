"""Boundaries made sound, with every change said."""

import time

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import GeometryCollection, LineString, MultiPolygon, Point, Polygon, box

from geolayout.errors import BoundaryError
from geolayout.land.boundary.repair import check_lonlat, made_valid, sound_polygon
from geolayout.land.frames.frame import Frame, geodesic_area

FRAME = Frame(10.0, 52.0)


def ground(*corners, holes=()):
    """Draw a polygon in metres around 10 east, 52 north, and give it in degrees."""
    return FRAME.to_geographic(Polygon(corners, holes))


def square(x, y, side):
    return ground((x, y), (x + side, y), (x + side, y + side), (x, y + side))


def area_of(polygon):
    return FRAME.to_local(polygon).area


def kinds(findings):
    return [finding.kind for finding in findings]


def test_a_sound_boundary_comes_back_without_a_finding():
    drawn = ground((0, 0), (0, 100), (100, 100), (100, 0))
    sound, findings = sound_polygon(drawn, name="Home")
    assert findings == ()
    assert sound.equals(drawn)
    assert shapely.is_ccw(sound.exterior)


def test_a_hole_runs_against_its_outer_ring_however_drawn():
    hole = [(10, 10), (20, 10), (20, 20), (10, 20)]
    for drawn_hole in (hole, hole[::-1]):
        drawn = ground((0, 0), (100, 0), (100, 100), (0, 100), holes=[drawn_hole])
        sound, findings = sound_polygon(drawn, name="Home")
        assert not shapely.is_ccw(sound.interiors[0])
        assert findings == ()
        assert area_of(sound) == pytest.approx(100 * 100 - 10 * 10, abs=1e-3)


def test_heights_are_left_behind():
    drawn = shapely.force_3d(square(0, 0, 100), 55.0)
    sound, findings = sound_polygon(drawn, name="Home")
    assert not sound.has_z
    assert findings == ()


def test_a_bow_tie_is_split_and_its_crossing_told():
    # Two triangles with corners at (0,0) (0,100) (50,50) and (100,0) (100,100) (50,50):
    # 2 x 100 x 50 / 2 = 5000 m2. buffer(0) would keep 2500, the signed sum is 0.
    sound, findings = sound_polygon(ground((0, 0), (100, 100), (100, 0), (0, 100)), name="Home")
    assert area_of(sound) == pytest.approx(5000, abs=0.01)
    assert kinds(findings) == ["crossing"]
    lon, lat = FRAME.lonlat(np.array([[50.0, 50.0]]))[0]
    assert f"{lon:.6f}"[:8] in findings[0].sentence
    assert f"{lat:.6f}"[:8] in findings[0].sentence
    assert findings[0].area_change == pytest.approx(0, abs=0.01)


def test_a_loop_of_the_pen_leaves_no_hole_and_says_what_it_gained():
    # The line runs on to (40,100), down to (40,70), right to (60,70), up through its own top edge
    # to (60,120): the 20 x 30 m loop is gone round twice. Even-odd leaves it out: 600 m2 gained.
    drawn = ground(
        (0, 0), (100, 0), (100, 100), (40, 100), (40, 70), (60, 70), (60, 120), (0, 120)
    )  # fmt: skip
    sound, findings = sound_polygon(drawn, name="Home")
    # 100 x 100 and the 60 x 20 m above.
    assert area_of(sound) == pytest.approx(10_000 + 1200, abs=0.01)
    assert kinds(findings) == ["crossing"]
    assert findings[0].area_change == pytest.approx(600, abs=0.01)
    assert "600.0 m2 more" in findings[0].sentence


def test_a_hole_outside_the_boundary_is_dropped_and_said():
    hole = [(200, 0), (210, 0), (210, 10), (200, 10)]
    drawn = ground((0, 0), (100, 0), (100, 100), (0, 100), holes=[hole])
    sound, findings = sound_polygon(drawn, name="Home")
    assert area_of(sound) == pytest.approx(10_000, abs=0.01)
    assert kinds(findings) == ["crossing"]
    assert "hole lies outside" in findings[0].sentence
    assert findings[0].area_change == pytest.approx(-100, abs=0.01)


def test_a_hole_across_the_edge_takes_what_it_covers():
    # 100 x 100 m less the 20 x 20 m of the hole that lie inside: 9600. Even-odd would count the
    # 20 x 20 m outside as land: 400 less than that.
    hole = [(80, 40), (120, 40), (120, 60), (80, 60)]
    drawn = ground((0, 0), (100, 0), (100, 100), (0, 100), holes=[hole])
    sound, findings = sound_polygon(drawn, name="Home")
    assert area_of(sound) == pytest.approx(9600, abs=0.01)
    assert kinds(findings) == ["crossing"]
    assert findings[0].area_change == pytest.approx(-400, abs=0.01)


def test_repeated_corners_are_counted_and_left_out():
    a, b, c, d = shapely.get_coordinates(square(0, 0, 100))[:-1]
    sound, findings = sound_polygon(Polygon([a, a, b, c, c, c, d]), name="Home")
    assert len(sound.exterior.coords) == 5
    assert kinds(findings) == ["repeated corner"]
    assert findings[0].sentence.startswith("3 corners")


@pytest.mark.parametrize(
    "corners",
    [
        pytest.param([(0, 0), (100, 0), (150, 0), (100, 0), (100, 100), (0, 100)], id="outward"),
        pytest.param([(0, 0), (50, 0), (50, 40), (50, 0), (100, 0), (100, 100), (0, 100)],
                     id="inward, as a slit"),
        pytest.param([(0, 0), (100, 0), (120, 0), (150, 0), (120, 0), (100, 0), (100, 100),
                      (0, 100)], id="with corners on its way"),
        pytest.param([(150, 0), (100, 0), (100, 100), (0, 100), (0, 0), (100, 0)],
                     id="with the ring starting at its tip"),
        pytest.param([(0, 0), (150, 0), (100, 0), (100, 100), (0, 100)], id="past a corner"),
    ],
)  # fmt: skip
def test_a_spike_is_cut_off(corners):
    sound, findings = sound_polygon(ground(*corners), name="Home")
    assert kinds(findings) == ["spike"]
    assert findings[0].area_change == pytest.approx(0, abs=0.01)
    assert area_of(sound) == pytest.approx(10_000, abs=0.01)
    assert shapely.bounds(FRAME.to_local(sound))[2] == pytest.approx(100, abs=1e-3)


def test_a_narrow_point_of_land_is_no_spike():
    # 2 cm wide at its foot, 50 m long: surveyed, so kept.
    drawn = ground((0, 0), (100, 0), (150, 0.01), (100, 0.02), (100, 100), (0, 100))
    sound, findings = sound_polygon(drawn, name="Home")
    assert findings == ()
    assert sound.equals(drawn)


def test_slivers_are_dropped_with_their_area():
    # Parts of 0.5 x 0.5 = 0.25 m2 beside a field.
    drawn = MultiPolygon([square(0, 0, 100), square(200, 0, 0.5), square(300, 0, 0.5)])
    sound, findings = sound_polygon(drawn, name="Home")
    assert isinstance(sound, Polygon)
    assert kinds(findings) == ["sliver"]
    assert findings[0].area_change == pytest.approx(-0.5, abs=1e-4)


def test_a_part_without_area_is_dropped_and_said():
    flat = Polygon([(10.25, 52.25), (10.2505, 52.2505), (10.251, 52.251)])
    sound, findings = sound_polygon(MultiPolygon([square(0, 0, 100), flat]), name="Home")
    assert isinstance(sound, Polygon)
    assert "sliver" in kinds(findings)


def test_two_lots_stay_two_parts():
    drawn = MultiPolygon([square(0, 0, 100), square(200, 0, 100)])
    sound, findings = sound_polygon(drawn, name="Home")
    assert len(sound.geoms) == 2
    assert findings == ()


def test_parts_that_share_an_edge_are_joined():
    left, right = box(10.0, 52.0, 10.001, 52.001), box(10.001, 52.0, 10.002, 52.001)
    sound, findings = sound_polygon(MultiPolygon([left, right]), name="Home")
    assert isinstance(sound, Polygon)
    assert kinds(findings) == ["joined parts"]
    assert findings[0].area_change == pytest.approx(0, abs=0.01)


def test_points_and_lines_beside_a_polygon_are_left_out_and_said():
    line = LineString([(10, 52), (10.1, 52.1)])
    drawn = GeometryCollection([Point(10, 52), GeometryCollection([line, square(0, 0, 100)])])
    sound, findings = sound_polygon(drawn, name="Home")
    assert isinstance(sound, Polygon)
    assert kinds(findings) == ["left out"]
    assert findings[0].sentence.startswith("2 points or lines")


@pytest.mark.parametrize(
    ("geometry", "match"),
    [
        pytest.param(None, "is empty", id="nothing"),
        pytest.param(Polygon(), "is empty", id="an empty polygon"),
        pytest.param(
            LineString([(10, 52), (10.1, 52), (10, 52.1)]), "a line with its ends", id="open line"
        ),
        pytest.param(shapely.MultiPoint([(10, 52), (10, 53)]), "2 points", id="points"),
        pytest.param(box(500_000, 5_700_000, 500_100, 5_700_100), "like metres", id="metres"),
        pytest.param(box(52.0, 100.0, 52.001, 100.001), "longitude first", id="swapped"),
        pytest.param(square(0, 0, 0.5), "encloses 0.25 m2", id="a quarter of a square metre"),
        pytest.param(
            Polygon([(10, 52), (10.1, 52.1), (10.2, 52.2)]), "encloses 0.00 m2", id="a flat ring"
        ),
        pytest.param(
            MultiPolygon([square(0, 0, 100), square(10, 10, 10)]),
            "overlap by 100.0 m2",
            id="a hole drawn as a part",
        ),
        pytest.param(
            MultiPolygon([square(0, 0, 100), square(98, 0, 100)]),
            "overlap by 200.0 m2",
            id="parts that overlap by 2 m",
        ),
    ],
)
def test_what_cannot_be_a_boundary_is_refused(geometry, match):
    with pytest.raises(BoundaryError, match=match) as refusal:
        sound_polygon(geometry, name="Home")
    assert refusal.value.why
    assert refusal.value.remedy


def test_an_overlap_under_1_m2_is_joined_with_its_area():
    # 100 m of edge overlapping by 5 mm: 0.5 m2, counted once.
    drawn = MultiPolygon([square(0, 0, 100), square(99.995, 0, 100)])
    sound, findings = sound_polygon(drawn, name="Home")
    # The 5 mm leave a hair at a corner, for what is level in metres is not in degrees.
    assert kinds(findings) == ["joined parts", "spike"]
    assert findings[0].area_change == pytest.approx(-0.5, abs=0.01)
    assert area_of(sound) == pytest.approx(20_000 - 0.5, abs=0.01)


@pytest.mark.parametrize("corner", [(float("inf"), 52.0), (10.0, float("inf"))])
def test_a_corner_without_a_place_is_refused(corner):
    with pytest.raises(BoundaryError, match="not numbers"):
        check_lonlat(LineString([(10.0, 52.0), corner]), name="Home")


def test_made_valid_of_a_flat_ring_is_nothing():
    assert made_valid(Polygon([(0, 0), (1, 1), (2, 2)])) == []


corners = st.lists(
    st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=3, max_size=9, unique=True
)


@given(corners)
def test_whatever_is_drawn_becomes_sound_or_is_refused(drawn):
    """Random rings on a 10 m grid: crossings, spikes and touches of every kind."""
    polygon = ground(*((10 * x, 10 * y) for x, y in drawn))
    try:
        sound, findings = sound_polygon(polygon, name="Home")
    except BoundaryError as refusal:
        assert "encloses 0.00" in refusal.found  # noqa: PT017
        return
    assert sound.is_valid
    assert sound.is_valid == (polygon.is_valid or bool(findings))
    again, more = sound_polygon(sound, name="Home")
    assert more == ()
    assert again.equals(sound)


@given(corners, st.integers(0, 8), st.booleans())
def test_start_and_winding_of_the_ring_do_not_change_the_area(drawn, start, turned):
    ring = [(10 * x, 10 * y) for x, y in drawn]
    shifted = ring[start % len(ring) :] + ring[: start % len(ring)]
    shifted = shifted[::-1] if turned else shifted
    areas = []
    for one in (ring, shifted):
        try:
            areas.append(geodesic_area(sound_polygon(ground(*one), name="Home")[0]))
        except BoundaryError:
            areas.append(0.0)
    assert areas[0] == pytest.approx(areas[1], abs=1.0)


@given(corners)
def test_what_was_drawn_and_what_was_done_add_up_to_what_is_kept(drawn):
    """A valid ring loses nothing unsaid; a tangle is compared with its even-odd reading."""
    polygon = ground(*((10 * x, 10 * y) for x, y in drawn))
    try:
        sound, findings = sound_polygon(polygon, name="Home")
    except BoundaryError:
        return
    before = geodesic_area(sound) - sum(finding.area_change for finding in findings)
    # Even-odd by another road: each crossing of a line turns inside to outside, cell by cell.
    local = FRAME.to_local(polygon)
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all(local.exterior)]))
    winding = [_turns(local, face.representative_point()) for face in faces]
    odd = sum(face.area for face, turns in zip(faces, winding, strict=True) if turns % 2)
    # Lines of 400 m that are straight in degrees bow by 4 mm in metres: some square metres.
    assert before == pytest.approx(odd, abs=4.0)


def _turns(polygon, point):
    """Count how often a ring goes round a point, by the angles its corners turn through."""
    arms = shapely.get_coordinates(polygon.exterior) - shapely.get_coordinates(point)
    angles = np.unwrap(np.arctan2(arms[:, 1], arms[:, 0]))
    return round((angles[-1] - angles[0]) / (2 * np.pi))


def test_findings_say_where():
    spiked = ground((0, 0), (100, 0), (150, 0), (100, 0), (100, 100), (0, 100))
    _, (spike,) = sound_polygon(spiked, name="Home")
    assert FRAME.metres(np.array(spike.places)) == pytest.approx(np.array([[150, 0]]), abs=1e-3)
    tie = ground((0, 0), (100, 100), (100, 0), (0, 100))
    _, (crossing,) = sound_polygon(tie, name="Home")
    assert FRAME.metres(np.array(crossing.places)) == pytest.approx(np.array([[50, 50]]), abs=0.01)
    assert "crossing" in crossing.question
    parts = MultiPolygon([square(0, 0, 100), square(200, 0, 0.5)])
    _, (sliver,) = sound_polygon(parts, name="Home")
    # Inside the sliver, which lies from 200 to 200.5 m.
    assert ((FRAME.metres(np.array(sliver.places)) - (200, 0)) <= 0.5).all()


def test_20_000_corners_that_tangle_are_made_sound_in_seconds():
    """Noise of 10 cm on corners 6 cm apart: thousands of loops."""
    angle = np.linspace(0, 2 * np.pi, 20_000, endpoint=False)
    ring = 180 * np.column_stack((np.cos(angle), np.sin(angle)))
    ring += np.random.default_rng(1).normal(0, 0.1, ring.shape)
    begin = time.process_time()
    sound, findings = sound_polygon(ground(*ring), name="Home")
    assert time.process_time() - begin < 10.0
    assert sound.is_valid
    assert {"crossing", "sliver"} <= set(kinds(findings))
    # 101,788 m2 of circle; the noise moves the edge by some centimetres over 1,131 m.
    assert area_of(sound) == pytest.approx(np.pi * 180**2, rel=1e-3)


def test_scribble_is_refused_before_it_is_mended():
    # 1,000 chords across a square cross each other some 100,000 times.
    ring = np.random.default_rng(1).uniform(-500, 500, (1000, 2))
    begin = time.process_time()
    with pytest.raises(BoundaryError, match="crosses itself over 40,000 times"):
        sound_polygon(ground(*ring), name="Home")
    assert time.process_time() - begin < 5.0


def test_many_parts_over_each_other_are_refused_at_once():
    parts = [square(x / 100, 0, 100) for x in range(3000)]
    with pytest.raises(BoundaryError, match="overlap by"):
        sound_polygon(MultiPolygon(parts), name="Home")


def test_a_hole_that_is_one_point_is_left_out():
    outer = square(0, 0, 100)
    point = shapely.get_coordinates(square(50, 50, 1))[0]
    sound, findings = sound_polygon(Polygon(outer.exterior, [[point] * 4]), name="Home")
    assert sound.equals(outer)
    assert kinds(findings) == ["repeated corner"]
