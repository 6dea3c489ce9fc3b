"""Headlands and margins against sums done on paper, and against what must never change them."""

import json
import os
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPolygon, Polygon, affinity, box

from geolayout.errors import GeolayoutError, MeasureError, PlanError
from geolayout.layout.headlands.edges import EdgeRun, describe_runs, end_runs, side_runs
from geolayout.layout.headlands.headland import land_along, round_headland

EAST = 90.0  # bearing of rows that run along x [degrees]
RECTANGLE = box(0, 0, 200, 100)
ELL = Polygon([(0, 0), (200, 0), (200, 100), (100, 100), (100, 200), (0, 200)])
# Invented; no symmetry, so no two of its vertices compete to be the first.
LOPSIDED = Polygon(
    [(0, 0), (90, -14), (213, 8), (240, 95), (180, 120), (150, 88), (95, 101), (88, 140), (20, 133)]
)


def rows(bearing):
    """Straight guides: one direction everywhere."""
    return lambda xy: np.full(len(xy), bearing)


def ends(land, bearing=EAST, *, width=12.0, steep=30.0):
    """The runs of ends under straight guides."""
    return end_runs(land, rows(bearing), width=width, steep=steep)


def end_land(land, bearing=EAST, *, width=12.0, steep=30.0, corners="mitred"):
    """The headland at the ends under straight guides."""
    return land_along(land, ends(land, bearing, width=width, steep=steep), width, corners=corners)


def turned(land, degrees):
    """Turn land about the origin, clockwise, as bearings go."""
    return affinity.rotate(land, -degrees, origin=(0, 0))


def shaken(land, seed, by=0.01):
    """Land whose vertices lie up to a centimetre off, as after rounding to 7 decimals."""
    rng = np.random.default_rng(seed)
    return shapely.transform(land, lambda xy: xy + _shake(rng, xy, by))


def _shake(rng, xy, by):
    """One shake a vertex; the closing vertex moves with the first."""
    shake = rng.uniform(-by, by, xy.shape)
    shake[-1] = shake[0]
    return shake


# Sums on paper


def test_ends_of_a_rectangle_are_two_strips():
    # 200 m x 100 m, rows along the 200 m: 2 ends x 12 m x 100 m = 2,400 m2
    assert end_land(RECTANGLE).area == pytest.approx(2400.0, rel=1e-12)


def test_headland_all_round_a_rectangle_leaves_what_is_inside():
    # 200 x 100 - (200 - 24) x (100 - 24) = 20,000 - 13,376 = 6,624 m2
    headland = round_headland(RECTANGLE, 12.0, corners="mitred")
    assert headland.area == pytest.approx(6624.0, rel=1e-12)


@pytest.mark.parametrize("along", [False, True], ids=["all round", "as one run of ends"])
def test_reflex_corner_of_an_ell(along):
    mitred, rounded = (
        end_land(ELL, steep=0.0, corners=corners)
        if along
        else round_headland(ELL, 12.0, corners=corners)
        for corners in ("mitred", "rounded")
    )
    # Inside the mitred headland: 176 x 76 below, 76 x 100 above: 13,376 + 7,600 = 20,976 m2,
    # so the headland has 30,000 - 20,976 = 9,024 m2.
    assert mitred.area == pytest.approx(9024.0, rel=1e-12)
    # practice.md C6: a square against a quarter disc, (1 - pi / 4) x 12^2 = 30.90 m2. The quarter
    # disc is drawn in 16 chords: 12^2 / 2 x 16 x sin(90 degrees / 16) is 0.16 % smaller.
    square, quarter = 144.0, 72.0 * 16 * np.sin(np.pi / 32)
    assert mitred.area - rounded.area == pytest.approx(square - quarter, rel=1e-9)
    assert mitred.area - rounded.area == pytest.approx((1 - np.pi / 4) * 144.0, abs=0.2)


def test_right_triangle():
    # Legs 120 m along the rows and 90 m across. The hypotenuse, 150 m, lies at 36.9 degrees to
    # the rows: with the short leg it is one run. Left inside: x >= 12 and 3x + 4y <= 360 - 5 x 12
    # = 300, a triangle of 88 m x 66 m, 2,904 m2. The headland: 5,400 - 2,904 = 2,496 m2.
    triangle = Polygon([(0, 0), (120, 0), (0, 90)])
    runs = ends(triangle)
    assert [run.length for run in runs] == [pytest.approx(150.0 + 90.0)]
    # angle: (150 x 36.87 + 90 x 90) / 240 = 56.79 degrees
    assert runs[0].angle == pytest.approx(56.794, abs=1e-3)
    assert end_land(triangle).area == pytest.approx(2496.0, rel=1e-12)


@pytest.mark.parametrize("slant", [45.0, 60.0, 75.0])
def test_strip_on_a_slanting_end_reaches_both_sides(slant):
    # One end, 100 m across, at `slant` to the rows. Along a row the strip is 12 / sin(slant) long
    # from side to side: 100 x 12 / sin(slant), 1,697.1 m2 at 45 degrees, 1,385.6 m2 at 60.
    back = 100 / np.tan(np.radians(slant))
    field = Polygon([(0, 0), (300, 0), (300 - back, 100), (0, 100)])
    (slanting,) = (run for run in ends(field) if "east" in run.side)
    strip = land_along(field, [slanting], 12.0, corners="mitred")
    assert strip.area == pytest.approx(1200.0 / np.sin(np.radians(slant)), rel=1e-12)


def test_strip_is_prolonged_by_five_widths_at_most():
    # At 8 degrees the strip would have to go 12 / tan(8) = 85.4 m past the corner; it goes 60 m.
    # The triangle left out is 85.4 - 60 = 25.4 m long and 25.4 x tan(8) = 3.57 m wide, 45.3 m2.
    lean = np.tan(np.radians(8.0))
    field = Polygon([(0, 0), (600, 0), (600 - 20 / lean, 20), (0, 20)])
    (slanting,) = (run for run in ends(field, steep=5.0) if run.angle < 45.0)
    strip = land_along(field, [slanting], 12.0, corners="mitred")
    whole = 20 * 12 / np.sin(np.radians(8.0))
    left_out = (12 / lean - 60) ** 2 * lean / 2
    assert left_out == pytest.approx(45.3, abs=0.1)
    assert strip.area == pytest.approx(whole - left_out, rel=1e-9)


def test_ends_of_a_parallelogram():
    # Ends lean 50 m over 100 m: each is 111.80 m long, the strip 12 x 111.80 m2: 2 x 1,341.6 m2.
    field = Polygon([(0, 0), (200, 0), (250, 100), (50, 100)])
    assert end_land(field).area == pytest.approx(2 * 12 * np.hypot(50, 100), rel=1e-12)


def test_disc_has_two_ends_of_a_third_each():
    # Edges of a disc turn away from the rows evenly: those at 30 degrees and more are 2 x 120
    # degrees, 2 x 418.9 m at a radius of 200 m. Chords 0.5 m deep are 28 m long, so a run may be
    # off by one chord.
    disc = Polygon([(200 * np.cos(a), 200 * np.sin(a)) for a in np.linspace(0, 2 * np.pi, 721)])
    runs = ends(disc)
    assert sorted(run.side for run in runs) == ["east", "west"]
    assert [run.length for run in runs] == pytest.approx([418.9, 418.9], abs=28.3)
    along = end_land(disc)
    assert along.difference(disc.difference(disc.buffer(-12.01))).area == pytest.approx(0, abs=1e-6)
    # The strip is prolonged 60 m along the tangent at four corners, never less than the sectors.
    sectors = 2 * (np.pi / 3) * (200**2 - 188**2)
    assert sectors * 0.9 < along.area < sectors + 4 * 60 * 12


def test_strip_is_cut_flat_at_a_reflex_corner():
    # The inner end of the ell's upper arm, x = 100, faces east; its lower corner is reflex. Cut
    # flat there, prolonged (to nothing) at the top: 12 x 100 m2, and not 12 m further down.
    runs = [run for run in ends(ELL) if run.line.centroid.x == pytest.approx(100.0)]
    strip = land_along(ELL, runs, 12.0, corners="mitred")
    assert strip.bounds == pytest.approx((88.0, 100.0, 100.0, 200.0))
    assert strip.area == pytest.approx(1200.0, rel=1e-12)


# Which edges are ends


@pytest.mark.parametrize("turn", range(0, 360, 6))
def test_edge_exactly_as_steep_as_said_is_an_end_however_turned(turn):
    field = Polygon([(0, 0), (200, 0), (200 - 80 / np.tan(np.radians(30)), 80), (0, 80)])
    runs = ends(shaken(turned(field, turn), turn), EAST + turn)
    assert len(runs) == 2
    assert min(run.angle for run in runs) == pytest.approx(30.0, abs=0.05)


JOG = [(0, 0), (200, 0), (200, 100), (100, 100)]


@pytest.mark.parametrize(
    ("jog", "runs"),
    [
        pytest.param(5.0, 2, id="a jog of 5 m joins the side it is in"),
        pytest.param(11.9, 2, id="a jog just under the headland's width joins"),
        pytest.param(12.0, 3, id="a jog as long as the headland is wide stays an end"),
    ],
)
def test_run_of_ends_in_a_side(jog, runs):
    field = Polygon([*JOG, (100, 100 - jog), (0, 100 - jog)])
    assert len(ends(field)) == runs


@pytest.mark.parametrize("turn", range(0, 360, 30))
def test_run_as_long_as_the_width_stays_however_turned(turn):
    field = Polygon([*JOG, (100, 88), (0, 88)])
    assert len(ends(shaken(turned(field, turn), turn), EAST + turn)) == 3


def test_short_side_in_an_end_joins_the_end():
    # A step of 5 m in the eastern end: 50 + 5 + 50 m are one run.
    field = Polygon([(0, 0), (200, 0), (200, 50), (205, 50), (205, 100), (0, 100)])
    assert sorted(run.length for run in ends(field)) == pytest.approx([100.0, 105.0])


def test_narrow_field_keeps_its_ends():
    # 8 m wide, 12 m of headland: the ends are shorter than the headland, and still where rows
    # end. 2 x 12 x 8 = 192 m2.
    assert end_land(box(0, 0, 150, 8)).area == pytest.approx(192.0, rel=1e-12)


def test_staircase_is_one_end():
    # Steps of 5 m by 5 m at 45 degrees to the rows, headland 12 m: no step is long enough to
    # stand alone; together they are an end, whatever rounding does to their lengths. 20 rises and
    # 19 treads, 195 m; the last tread belongs to the northern side.
    steps = [(200 - 5 * (i // 2), 5 * ((i + 1) // 2)) for i in range(41)]
    field = Polygon([(0, 0), *steps, (0, 100)])
    for seed in range(10):
        assert len(ends(shaken(field, seed))) == 2
        assert max(run.length for run in ends(shaken(field, seed))) == pytest.approx(195, abs=1)


def test_ring_of_nothing_but_ends_is_one_closed_run():
    (run,) = ends(LOPSIDED, steep=0.0)
    assert run.line.is_closed
    assert run.side == "all round"
    assert run.length == pytest.approx(LOPSIDED.exterior.length)


def test_field_along_bent_guides_has_its_ends_where_the_guides_point():
    # Guides turn from east at x = 0 to north at x = 200.
    stations = np.linspace(0, 200, 21)
    field = Polygon([*((x, 0) for x in stations), *((x, 100) for x in stations[::-1])])
    bent = shapely.segmentize(field, 10.0)
    runs = end_runs(bent, lambda xy: 90.0 - 90.0 * xy[:, 0] / 200.0, width=12.0, steep=30.0)
    # Thinning leaves four edges. Long ones are judged at their middles, 45 degrees: ends. Left:
    # 90 degrees, an end. Right: guides run along it, a side. One run of 200 + 100 + 200 m.
    assert [run.side for run in runs] == ["west"]
    assert runs[0].length == pytest.approx(500.0)
    # angle: (200 x 45 + 100 x 90 + 200 x 45) / 500 = 54 degrees
    assert runs[0].angle == pytest.approx(54.0)


@pytest.mark.parametrize(
    ("bearing", "names"),
    [
        pytest.param(90.0, {"east", "west"}, id="rows east and west"),
        pytest.param(0.0, {"north", "south"}, id="rows north and south"),
        pytest.param(180.0, {"north", "south"}, id="rows the other way along"),
    ],
)
def test_sides_are_named_by_compass(bearing, names):
    assert {run.side for run in ends(RECTANGLE, bearing)} == names


def test_turned_field_faces_the_corners_of_the_compass():
    runs = ends(turned(RECTANGLE, 45.0), EAST + 45.0)
    assert {run.side for run in runs} == {"south-east", "north-west"}


def test_line_of_a_run_is_the_boundary_as_drawn():
    # The eastern end wavers by 0.2 m: thinned it is one edge, and the run still has every vertex.
    waver = [(200 + 0.2 * (i % 2), 10 * i) for i in range(1, 10)]
    field = Polygon([(0, 0), (200, 0), *waver, (200, 100), (0, 100)])
    (run,) = (run for run in ends(field) if run.side == "east")
    assert list(run.line.coords) == [(200, 0), *waver, (200, 100)]
    assert list(run.thinned.coords) == [(200, 0), (200, 100)]
    assert run.turns == pytest.approx((90.0, 90.0))


# What must change nothing


def restarted(land, start):
    """The same land with its ring begun elsewhere."""
    xy = shapely.get_coordinates(land.exterior)[:-1]
    return Polygon(np.roll(xy, -start, axis=0))


@pytest.mark.parametrize("start", range(9))
@pytest.mark.parametrize("backwards", [False, True], ids=["as drawn", "wound the other way"])
def test_start_and_winding_of_the_ring_change_nothing(start, backwards):
    other = restarted(LOPSIDED, start)
    other = other.reverse() if backwards else other
    for corners in ("mitred", "rounded"):
        assert end_land(other, corners=corners).area == pytest.approx(
            end_land(LOPSIDED, corners=corners).area, rel=1e-9
        )
        assert round_headland(other, 12.0, corners=corners).area == pytest.approx(
            round_headland(LOPSIDED, 12.0, corners=corners).area, rel=1e-9
        )
    assert describe_runs(ends(other)) == describe_runs(ends(LOPSIDED))


def test_order_of_the_parts_changes_nothing():
    parts = [LOPSIDED, affinity.translate(RECTANGLE, 400, 30)]
    forth, back = MultiPolygon(parts), MultiPolygon(parts[::-1])
    assert describe_runs(ends(forth)) == describe_runs(ends(back))
    assert end_land(forth).equals_exact(end_land(back), 1e-9, normalize=True)


@pytest.mark.parametrize("turn", [17.0, 90.0, 133.3, 271.0])
def test_turning_field_and_guide_turns_the_headland(turn):
    whole = end_land(LOPSIDED)
    again = end_land(turned(LOPSIDED, turn), EAST + turn)
    assert turned(again, -turn).symmetric_difference(whole).area < 1e-6


# Where the headland may lie


def test_hole_gets_no_headland():
    pond = box(90, 40, 110, 60)
    land = RECTANGLE.difference(pond)
    assert round_headland(land, 12.0, corners="mitred").area == pytest.approx(6624.0, rel=1e-12)
    # A pond inside the headland only takes its own ground out: 6,624 - 4 x 4 m2.
    land = RECTANGLE.difference(box(3, 50, 7, 54))
    assert round_headland(land, 12.0, corners="mitred").area == pytest.approx(6608.0, rel=1e-12)


def test_island_in_a_hole_has_a_headland_of_its_own():
    island = box(60, 30, 140, 70)
    land = MultiPolygon([RECTANGLE.difference(box(50, 20, 150, 80)), island])
    # outer ring: 6,624 m2; all its land outside the hole. Island: 80 x 40 - 56 x 16 = 2,304 m2
    headland = round_headland(land, 12.0, corners="mitred")
    assert headland.area == pytest.approx(6624.0 + 2304.0, rel=1e-12)


def test_strip_does_not_jump_a_gap_into_another_lobe():
    # Two lobes, 48 m each, with a gap of 4 m between them. The eastern end of the lower one is
    # 48 m long; prolonged, it would take the end of the upper one too. 12 x 48 = 576 m2.
    land = RECTANGLE.difference(box(50, 48, 201, 52))
    (lower,) = (run for run in ends(land) if run.side == "east" and run.line.bounds[3] < 50)
    strip = land_along(land, [lower], 12.0, corners="mitred")
    assert strip.area == pytest.approx(576.0, rel=1e-12)


def test_notch_of_a_few_centimetres_does_not_throw_a_mitre():
    # A needle of 30 cm drawn by mistake: its tip is a reflex corner of 37 degrees outside the
    # land, whose mitre would reach 38 m into the field. What is within 12 m of the tip and not of
    # the edge is a cap 0.3 m high of a circle of 12 m: 144 acos(0.975) - 11.7 sqrt(7.11) = 1.07 m2;
    # the needle takes 0.03 m2: 6,624 + 1.07 - 0.03 m2.
    needle = Polygon([(0, 0), (99.9, 0), (100, 0.3), (100.1, 0), (200, 0), (200, 100), (0, 100)])
    for area in (
        round_headland(needle, 12.0, corners="mitred").area,
        end_land(needle, steep=0.0).area,
    ):
        assert area == pytest.approx(6625.04, abs=0.1)  # arcs are chords


def test_mitre_is_cut_off_at_five_widths():
    # A wedge 10 m wide and 100 m deep let into the top: half its angle is atan(5 / 100) = 2.86
    # degrees, so the full mitre would reach 12 / sin(2.86) = 240 m; it is cut off at 60 m.
    field = Polygon([(0, 0), (400, 0), (400, 300), (205, 300), (200, 200), (195, 300), (0, 300)])
    (top,) = (run for run in ends(field, 0.0, steep=0.0))
    mitred = land_along(field, [top], 12.0, corners="mitred")
    assert mitred.contains(shapely.Point(200, 200 - 59.9))
    assert not mitred.intersects(shapely.Point(200, 200 - 60.1))
    assert mitred.area == pytest.approx(round_headland(field, 12.0, corners="mitred").area)


def test_no_width_and_no_runs_are_no_land():
    assert land_along(RECTANGLE, ends(RECTANGLE), 0.0, corners="mitred").is_empty
    assert land_along(RECTANGLE, [], 12.0, corners="mitred").is_empty
    assert round_headland(RECTANGLE, 0.0, corners="mitred").is_empty


def test_no_land_has_no_headland():
    assert round_headland(Polygon(), 12.0, corners="mitred").is_empty
    assert ends(Polygon()) == ()
    assert side_runs(Polygon(), frozenset({"north"})) == {"north": ()}


def test_headland_wider_than_the_field_is_the_field():
    for corners in ("mitred", "rounded"):
        assert round_headland(RECTANGLE, 60.0, corners=corners).equals(RECTANGLE)


# Stars: every corner reflex or convex at random


@st.composite
def stars(draw):
    """Star-shaped land of 5 to 12 corners, 30 to 150 m from its middle."""
    count = draw(st.integers(5, 12))
    radii = draw(st.lists(st.floats(30, 150), min_size=count, max_size=count))
    lags = draw(st.lists(st.floats(-0.3, 0.3), min_size=count, max_size=count))
    around = 2 * np.pi * (np.arange(count) + np.array(lags)) / count
    return Polygon(np.stack([np.cos(around), np.sin(around)], axis=1) * np.array(radii)[:, None])


def has_plain_corners(land):
    """
    Whether every corner turns by 5 degrees or more.

    The overlay library's buffer leaves shallower corners out (up to 1 % of its distance), so it
    is no check there.
    """
    edges = np.diff(shapely.get_coordinates(land.exterior), axis=0)
    before = np.roll(edges, 1, axis=0)
    cross = before[:, 0] * edges[:, 1] - before[:, 1] * edges[:, 0]
    turns = np.arctan2(cross, (before * edges).sum(axis=1))
    return bool((np.abs(np.degrees(turns)) > 5.0).all())


@settings(max_examples=150, deadline=None)
@given(land=stars(), width=st.floats(3, 24), corners=st.sampled_from(["mitred", "rounded"]))
@example(land=ELL, width=12.0, corners="mitred")
@example(land=ELL, width=12.0, corners="rounded")
def test_ring_of_ends_has_the_headland_all_round(land, width, corners):
    """Strips along every edge, built piece by piece, against a buffer of the whole."""
    assume(has_plain_corners(land))
    join = {"mitred": "mitre", "rounded": "round"}[corners]
    plain = (
        land.area - land.buffer(-width, join_style=join, mitre_limit=5.0).intersection(land).area
    )
    along = end_land(land, width=width, steep=0.0, corners=corners)
    whole = round_headland(land, width, corners=corners)
    # The buffer still leaves out short edges beside corners of little more than 5 degrees.
    assert along.area == pytest.approx(whole.area, rel=1e-4)
    assert whole.area == pytest.approx(plain, rel=1e-9)


@pytest.mark.parametrize("corners", ["mitred", "rounded"])
@pytest.mark.parametrize("land", [RECTANGLE, ELL], ids=["rectangle", "ell"])
def test_ring_of_ends_is_the_buffer_to_the_last_digit_where_corners_are_square(land, corners):
    along = end_land(land, width=12.0, steep=0.0, corners=corners)
    whole = round_headland(land, 12.0, corners=corners)
    assert along.area == pytest.approx(whole.area, rel=1e-9)


@settings(max_examples=100, deadline=None)
@given(land=stars(), bearing=st.floats(0, 180), width=st.floats(3, 24))
@example(land=LOPSIDED, bearing=90.0, width=12.0)
def test_headland_at_the_ends_lies_in_the_land_beside_its_runs(land, bearing, width):
    runs = ends(land, bearing, width=width)
    rounded = land_along(land, runs, width, corners="rounded")
    mitred = land_along(land, runs, width, corners="mitred")
    assert rounded.is_valid
    assert mitred.is_valid
    assert mitred.difference(land).area <= 1e-9 * land.area
    assert rounded.difference(mitred).area <= 1e-9 * land.area
    for run in runs:
        # By distance: an overlay with a strip of a micrometre can return the whole of the strip.
        along = shapely.points(shapely.get_coordinates(shapely.segmentize(run.line, 1.0)))
        assert shapely.distance(mitred, along).max() <= 1e-6


# Margins


def test_margin_on_one_side_of_a_rectangle():
    # 6 m along the northern 200 m: 1,200 m2
    runs = side_runs(RECTANGLE, frozenset({"north"}))
    assert list(runs) == ["north"]
    margin = land_along(RECTANGLE, runs["north"], 6.0, corners="mitred")
    assert margin.equals_exact(box(0, 94, 200, 100), 1e-9, normalize=True)


def test_margins_of_two_widths_share_the_corner():
    # 6 m north, 3 m west: 200 x 6 + 3 x (100 - 6) = 1,482 m2
    runs = side_runs(RECTANGLE, frozenset({"west", "north"}))
    assert list(runs) == ["north", "west"]
    north = land_along(RECTANGLE, runs["north"], 6.0, corners="mitred")
    west = land_along(RECTANGLE, runs["west"], 3.0, corners="mitred")
    assert north.union(west).area == pytest.approx(1482.0, rel=1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_edge_that_faces_between_two_sides_is_on_the_clockwise_one(seed):
    diamond = Polygon([(100, 0), (0, 100), (-100, 0), (0, -100)])
    runs = side_runs(shaken(diamond, seed), frozenset({"north", "east", "south", "west"}))
    found = {side: [run.side for run in runs[side]] for side in runs}
    assert found == {
        "north": ["north-west"],
        "east": ["north-east"],
        "south": ["south-east"],
        "west": ["south-west"],
    }


@settings(max_examples=100, deadline=None)
@given(land=stars())
@example(land=ELL)
def test_every_edge_is_on_one_side(land):
    sides = side_runs(land, frozenset({"north", "east", "south", "west"}))
    length = sum(run.length for runs in sides.values() for run in runs)
    assert length == pytest.approx(land.exterior.length, rel=1e-9)


# What is said


def test_runs_are_described_by_side_length_and_angle():
    assert describe_runs(ends(RECTANGLE)) == [
        "east end, 100.0 m, meets the rows at 90 degrees",
        "west end, 100.0 m, meets the rows at 90 degrees",
    ]


def test_margin_is_described_without_rows():
    runs = side_runs(RECTANGLE, frozenset({"south"}))["south"]
    assert describe_runs(runs) == ["south side, 200.0 m"]


def test_whole_ring_is_described_as_all_round():
    edge = LineString([(0, 0), (9, 0), (0, 9), (0, 0)])
    run = EdgeRun("all round", 30.7, 62.4, edge, edge, (0.0, 0.0))
    assert describe_runs([run]) == ["all round, 30.7 m, meets the rows at 62 degrees"]


# Bad input


@pytest.mark.parametrize(
    ("act", "error", "match"),
    [
        (lambda: round_headland(RECTANGLE, -1.0, corners="mitred"), MeasureError, "-1 m wide"),
        (lambda: round_headland(RECTANGLE, np.nan, corners="mitred"), MeasureError, "nan m"),
        (lambda: round_headland(RECTANGLE, 12.0, corners="square"), PlanError, "'square'"),
        (lambda: land_along(RECTANGLE, [], np.inf, corners="mitred"), MeasureError, "inf m"),
        (lambda: land_along(RECTANGLE, [], 12.0, corners=""), PlanError, "mitred or rounded"),
        (lambda: ends(RECTANGLE, steep=91.0), MeasureError, "91 degrees"),
        (lambda: ends(RECTANGLE, width=-6.0), MeasureError, "-6 m wide"),
        (lambda: side_runs(RECTANGLE, frozenset({"left"})), PlanError, "no side called 'left'"),
    ],
    ids=[
        "a width below 0",
        "a width that is no number",
        "corners of a third kind",
        "a width without end",
        "corners not said",
        "steeper than upright",
        "ends of a width below 0",
        "a side that is none of the four",
    ],
)
def test_refused(act, error, match):
    with pytest.raises(error, match=match) as caught:
        act()
    assert isinstance(caught.value, GeolayoutError)
    assert caught.value.why
    assert caught.value.remedy


# Real boundaries, where they lie beside the repository


def real_fields():
    """The awkward real fields, in metres round their own middles; none where they are not."""
    beside = [parent.parent / "shared" / "fields" for parent in Path(__file__).resolve().parents]
    told = os.environ.get("GEOLAYOUT_FIELDS")
    for folder in [Path(told)] if told else beside:
        path = folder / "awkward.geojson"
        if path.is_file():
            features = json.loads(path.read_text(encoding="utf-8"))["features"]
            return [in_metres(shapely.geometry.shape(f["geometry"])) for f in features]
    return []


def in_metres(geometry):
    """Scale degrees to metres: near enough to try shapes on."""
    lon, lat = geometry.centroid.x, geometry.centroid.y
    scale = 111_195.0 * np.array([np.cos(np.radians(lat)), 1.0])
    return shapely.make_valid(shapely.transform(geometry, lambda xy: (xy - (lon, lat)) * scale))


def test_awkward_real_fields():
    fields = [land for land in real_fields() if land.geom_type in ("Polygon", "MultiPolygon")]
    if not fields:
        pytest.skip("the real fields do not lie beside the repository")
    for land in fields:
        along = end_land(land)
        ringed = end_land(land, steep=0.0, corners="rounded")
        whole = round_headland(land, 12.0, corners="rounded")
        for headland in (along, ringed, whole, round_headland(land, 12.0, corners="mitred")):
            assert headland.is_valid
            assert headland.difference(land).area <= 1e-9 * land.area
        assert ringed.area == pytest.approx(whole.area, rel=2e-3)  # the buffer is good to 1 %
