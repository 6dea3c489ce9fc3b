"""Lines closed into boundaries: gaps, overshoots and several lines, all invented."""

import itertools
import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import GeometryCollection, LineString, MultiLineString, Point, Polygon, box

from geolayout.errors import BoundaryError
from geolayout.land.boundary.outline import CLOSING_GAP, lines_of, outlined
from geolayout.land.frames.frame import Frame

FRAME = Frame(10.0, 52.0)
SQUARE = [(0, 0), (200, 0), (200, 200), (0, 200)]


def lonlat(*corners):
    return FRAME.to_geographic(LineString(corners))


def closed(*lines):
    """Close lines in metres; the areas in metres, the kinds of findings, and the findings."""
    areas, findings = outlined([lonlat(*line) for line in lines], name="Home")
    return [FRAME.to_local(area) for area in areas], findings


def kinds(findings):
    return [finding.kind for finding in findings]


def test_a_closed_line_is_an_area():
    (area,), (finding,) = closed([*SQUARE, (0, 0)])
    assert area.area == pytest.approx(40_000, abs=0.01)
    assert finding.kind == "line"
    assert finding.question == ""


def test_a_gap_is_closed_and_told_with_its_length_and_place():
    # From (0, 6.2) straight back to (0, 0).
    (area,), (finding,) = closed([*SQUARE, (0, 6.2)])
    assert area.area == pytest.approx(40_000, abs=0.01)
    assert "6.20 m short of its start" in finding.sentence
    assert FRAME.metres(np.array(finding.places))[0] == pytest.approx((0, 6.2), abs=1e-3)
    assert finding.question == "Does the boundary run straight across the gap of 6.2 m?"


def test_a_gap_of_centimetres_is_said_and_not_asked():
    _, (finding,) = closed([*SQUARE, (0, 0.04)])
    assert "0.04 m short" in finding.sentence
    assert finding.question == ""


@pytest.mark.parametrize(
    ("short", "closes"),
    [
        pytest.param(CLOSING_GAP - 0.01, True, id="9.99 m is closed"),
        pytest.param(CLOSING_GAP + 0.01, False, id="10.01 m is not"),
    ],
)
def test_gaps_are_closed_up_to_10_m(short, closes):
    if closes:
        assert len(closed([*SQUARE, (0, short)])[0]) == 1
        return
    with pytest.raises(BoundaryError, match=r"10\.0 m apart"):
        closed([*SQUARE, (0, short)])


def test_a_gap_of_a_fifth_of_the_line_is_not_closed():
    # A plot of 5 m: three sides of 15 m leave 5 m open.
    with pytest.raises(BoundaryError, match=r"5\.0 m apart"):
        closed([(0, 0), (5, 0), (5, 5), (0, 5)])


def test_a_refusal_says_where_both_ends_lie():
    with pytest.raises(BoundaryError) as refusal:
        closed(SQUARE)
    (start,), (end,) = FRAME.lonlat(np.array([(0.0, 0.0)])), FRAME.lonlat(np.array([(0.0, 200.0)]))
    for lon, lat in (start, end):
        assert f"{lon:.7f}, {lat:.7f}" in refusal.value.found
    assert "200.0 m apart" in refusal.value.found
    assert refusal.value.why
    assert refusal.value.remedy


def test_a_track_that_runs_past_its_start_is_cut_at_the_crossing():
    # Down the west side at x = -3, across the first leg at (-3, 0)? No: it starts at (-5, 0), so
    # the first leg is crossed at (-3, 0): 2 m of it and 30 m of the last leg are left off.
    (area,), (finding,) = closed([(-5, 0), (200, 0), (200, 200), (-3, 200), (-3, -30)])
    assert area.equals_exact(box(-3, 0, 200, 200).normalize(), 0) or area.area == pytest.approx(
        203 * 200, abs=0.05
    )
    assert finding.kind == "overshoot"
    assert "32.0 m beyond the crossing" in finding.sentence
    assert FRAME.metres(np.array(finding.places))[0] == pytest.approx((-3, 0), abs=1e-3)


def test_lines_that_meet_end_to_end_make_one_ring():
    (area,), findings = closed([(0, 0), (200, 0), (200, 200)], [(0, 0), (0, 200), (200, 200)])
    assert area.area == pytest.approx(40_000, abs=0.01)
    assert kinds(findings) == ["joined lines", "line"]
    assert "2 lines were joined into 1 by ends that meet" in findings[0].sentence


def test_lines_that_nearly_meet_are_joined_and_the_widest_gap_told():
    # Gaps of 0.5, 3 and 0.2 m, the sides in no order and drawn either way. The widest is left to
    # the last, and closes the ring.
    sides = [
        [(200, 200), (3, 200)], [(0.5, 0), (200, 0)], [(0, 0), (0, 200)], [(200, 199.8), (200, 0)],
    ]  # fmt: skip
    (area,), findings = closed(*sides)
    assert area.area == pytest.approx(40_000, abs=5.0)
    assert kinds(findings) == ["joined lines", "line"]
    assert "4 lines were joined into 1 by ends up to 0.50 m apart" in findings[0].sentence
    assert findings[0].question == ""
    assert "3.00 m short of its start" in findings[1].sentence
    assert findings[1].question == "Does the boundary run straight across the gap of 3.0 m?"


def test_a_wide_gap_between_lines_is_asked_about():
    # Gaps of 2 m and, wider, of 4 m at the end.
    _, findings = closed([(0, 0), (200, 0), (200, 200)], [(198, 200), (0, 200), (0, 4)])
    assert findings[0].question == "Does the boundary run straight across the gap of 2.0 m?"
    assert FRAME.metres(np.array(findings[0].places))[0] == pytest.approx((200, 200), abs=1e-3)


def test_lines_that_cross_at_the_corners_enclose_one_area():
    # Each side runs 15 m past its corners: 8 x 15 m are left off.
    sides = [
        [(-15, 0), (215, 0)], [(200, -15), (200, 215)], [(215, 200), (-15, 200)],
        [(0, 215), (0, -15)],
    ]  # fmt: skip
    (area,), (finding,) = closed(*sides)
    assert area.area == pytest.approx(40_000, abs=0.5)
    assert "120.0 m beyond their crossings" in finding.sentence


def test_two_closed_lines_are_two_areas():
    areas, findings = closed([*SQUARE, (0, 0)], [(300, 0), (400, 0), (400, 50), (300, 0)])
    assert sorted(area.area for area in areas) == pytest.approx([2500, 40_000], abs=0.1)
    assert kinds(findings) == ["line", "line"]


def test_a_line_beside_a_ring_is_left_out_and_asked_about():
    areas, findings = closed([*SQUARE, (0, 0)], [(50, 50), (150, 60)])
    assert len(areas) == 1
    assert kinds(findings) == ["line", "left out"]
    assert findings[1].question


@pytest.mark.parametrize(
    ("lines", "match"),
    [
        pytest.param([], "0 lines", id="no line"),
        pytest.param([LineString()], "0 lines", id="an empty line"),
        pytest.param([LineString([(10, 52), (12, 52), (10, 53)])], "a line", id="degrees wide"),
        pytest.param([lonlat((0, 0), (100, 0)), lonlat((0, 50), (100, 50))], "2 lines", id="apart"),
        pytest.param([lonlat((0, 0), (0, 0))], "0 lines", id="no length"),
    ],
)
def test_what_makes_no_ring_is_refused(lines, match):
    with pytest.raises(BoundaryError, match=match):
        outlined(lines, name="Home")


def test_lines_are_found_however_deep():
    deep = GeometryCollection(
        [Point(0, 0), GeometryCollection([MultiLineString([[(0, 0), (1, 1)], [(2, 2), (3, 3)]])])]
    )
    assert len(lines_of(deep)) == 2
    assert lines_of(Point(0, 0)) == []
    assert lines_of(None) == []


@given(
    st.integers(3, 40), st.floats(40, 400), st.integers(0, 1000), st.integers(1, 5), st.booleans()
)
def test_a_ring_cut_into_lines_comes_back_whole(corners, radius, seed, cuts, turned):
    """Lines of one ring, shuffled and turned, enclose what the ring does."""
    rng = np.random.default_rng(seed)
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    stretch = radius * rng.uniform(0.6, 1.0, corners)
    ring = np.column_stack((stretch * np.cos(angle), stretch * np.sin(angle)))
    ring = np.concatenate((ring, ring[:1]))
    places = np.unique(np.concatenate(([0, corners], rng.integers(1, corners, cuts))))
    lines = [ring[a : b + 1] for a, b in itertools.pairwise(places)]
    lines = [line[::-1] if turned and rng.random() < 0.5 else line for line in lines]
    rng.shuffle(lines)
    areas, _ = closed(*lines)
    assert sum(area.area for area in areas) == pytest.approx(Polygon(ring).area, rel=1e-6, abs=0.1)


def test_200_loose_lines_are_joined_in_seconds_and_more_are_refused():
    angle = np.linspace(0, 2 * np.pi, 401)
    ring = 500 * np.column_stack((np.cos(angle), np.sin(angle)))
    # Every second piece of 7.8 m is missing: 200 pieces, gaps of 7.8 m.
    pieces = [ring[i : i + 2] for i in range(0, 400, 2)]
    (area,), _ = closed(*pieces)
    assert area.area == pytest.approx(np.pi * 500**2, rel=1e-3)
    far = [piece + np.array((0, 3000)) for piece in pieces]
    with pytest.raises(BoundaryError, match="lines that do not join"):
        closed(*pieces, *far)


def test_scribble_and_thousands_of_loose_lines_are_refused_at_once():
    rng = np.random.default_rng(1)
    begin = time.process_time()
    with pytest.raises(BoundaryError, match="crosses itself over 40,000 times"):
        closed(rng.uniform(-500, 500, (5000, 2)))
    # A grid of short strokes, none near another.
    x, y = (30.0 * part for part in np.divmod(np.arange(5000.0), 100.0))
    strokes = np.stack((np.c_[x, y], np.c_[x + 3.0, y]), axis=1)
    with pytest.raises(BoundaryError, match="5000 lines that do not join"):
        closed(*strokes)
    assert time.process_time() - begin < 8.0
