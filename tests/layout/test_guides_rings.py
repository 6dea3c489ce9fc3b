"""Rings on circles and rectangles, where every figure is known; on real fields, what must hold."""

import numpy as np
import pytest
import shapely
from shapely import Point
from strategies import (
    ALLEYS,
    STRIPS,
    faults_of_ground,
    faults_of_rows_and_trees,
    field_of,
    laid,
    plan_of,
    real_fields,
)

from geolayout.errors import LayoutError
from geolayout.layout.guides.rings import Rings

DRILL = """
[[machine]]
name = "drill"
working_width = 3.0
turning_radius = 6.5
[[operation]]
name = "drill"
machine = "drill"
"""
ROUND = 'kind = "round"'
GRASS = """
[[pattern]]
name = "all"
bands = [ { name = "G", width = "rest", stand = "sward" } ]
[[stand]]
name = "sward"
sowing = [ { crop = "grass", place = "broadcast", operation = "drill" } ]
"""
CIRCLE = Point(0, 0).buffer(100.0, quad_segs=60)
SQUARE = shapely.box(0, 0, 200, 200)
ELBOW = shapely.Polygon([(0, 0), (200, 0), (200, 80), (80, 80), (80, 200), (0, 200)])


def rings_on(land, *parts, guide=ROUND):
    return laid(field_of(land), plan_of(*(parts or (STRIPS,)), DRILL, guide=guide))


def area_of(layout, number):
    return layout.ground.area[layout.ground.number == number].sum()


def test_bands_of_a_circle_are_rings_of_known_area():
    layout = rings_on(CIRCLE)
    for number, (outer, inner) in enumerate(((100, 94), (94, 88), (88, 82)), 1):
        # pi (100^2 - 94^2) = 3,656.8 ...; the edge is a chain of chords, off by some mm
        assert area_of(layout, number) == pytest.approx(np.pi * (outer**2 - inner**2), rel=1e-3)


def test_rows_of_a_circle_are_circles():
    layout = rings_on(CIRCLE)
    rows = layout.rows
    assert rows.length == pytest.approx(2 * np.pi * (100.0 - rows.t), rel=2e-4, abs=0.08)
    ends = rows.lines.ends(np.arange(len(rows)))
    assert np.hypot(*(ends[:, 0] - ends[:, 1]).T).max() < 1e-6  # each closes


def test_passes_of_a_square_are_rounded_and_their_corners_are_left_over():
    layout = rings_on(SQUARE)
    # Pass k drives at 3 k - 1.5 m: four sides of 200 - 2 x 1.5 less the eight legs of its
    # corners, and a circle of 6.5 m: 4 x 197 - 8 x 6.5 + 2 pi x 6.5 = 776.84 m.
    first = layout.passes.lines.length[layout.passes.number == 1][0]
    assert first == pytest.approx(4 * 197 - 8 * 6.5 + 2 * np.pi * 6.5, abs=0.01)
    left = np.sort(layout.ground.area[layout.ground.kind == "left over"])
    # (1 - pi / 4) x 8^2 = 13.73 m2 at each corner: the outermost line has a radius of 8 m.
    assert left[:4] == pytest.approx(np.full(4, (1 - np.pi / 4) * 64), rel=1e-3)
    # 31 passes: 7 m are left to the middle, a square of 14 m whose corners have 5 m.
    assert left[4] == pytest.approx(196 - (4 - np.pi) * 25, rel=1e-3)


def test_lines_of_one_pass_keep_their_distance_round_corners():
    rings = Rings(np.asarray(SQUARE.exterior.coords), 6.5, 3.0)
    outer, inner = (rings.level(t).tracks[0].line for t in (0.5, 2.5))
    places = shapely.line_interpolate_point(inner, np.linspace(0, 1, 500), normalized=True)
    assert shapely.distance(places, outer) == pytest.approx(2.0, abs=1e-3)


def test_a_corner_into_the_field_parts_tracks_and_never_kinks_them():
    layout = rings_on(ELBOW)
    for line in layout.passes.lines.geometry:
        step = np.diff(shapely.get_coordinates(line), axis=0)
        turn = np.abs(np.diff(np.unwrap(np.arctan2(*step.T[::-1]))))
        assert np.degrees(turn).max() < 10.0


@pytest.mark.parametrize("land", [CIRCLE, SQUARE, ELBOW], ids=["circle", "square", "elbow"])
@pytest.mark.parametrize("pattern", [STRIPS, ALLEYS], ids=["strips", "alleys"])
def test_rings_are_a_partition_and_rows_and_trees_stand_on_their_own(land, pattern):
    layout = rings_on(land, pattern)
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []


def test_trees_on_a_ring_are_as_many_as_its_length_holds():
    layout = rings_on(CIRCLE, ALLEYS)
    # The first tree row stands in the middle of the band after 24 m: 25.5 m from the edge.
    # floor(2 pi x 74.5 / 5) = 93, half a step from the seam on both sides.
    assert (layout.trees.row == 1).sum() == 93


def test_a_pond_is_driven_round_and_the_rest_balances():
    layout = rings_on(CIRCLE - Point(60, 0).buffer(15))
    assert faults_of_ground(layout) == []
    assert layout.rows.piece.max() > 1


def test_the_first_band_begins_where_it_is_said():
    layout = rings_on(CIRCLE, guide=f"{ROUND}\nstart = 10.0")
    # 10 m hold 4 m of one band and another whole, so the band at 10 m is the third.
    assert layout.plan.guide.number_at_anchor == 3
    assert area_of(layout, 3) == pytest.approx(np.pi * (90**2 - 84**2), rel=2e-3)
    assert area_of(layout, 2) == pytest.approx(np.pi * (96**2 - 90**2), rel=2e-3)


def test_next_years_rings_do_not_move_with_a_corner():
    field = field_of(SQUARE)
    first = laid(field, plan_of(STRIPS, DRILL, guide=ROUND))
    moved = field_of(shapely.Polygon([(0, 0), (200, 0), (200, 200), (0.4, 199.7)]))
    again = laid(moved, first.plan)
    for t in (9.0, 30.0):
        one, two = (lay.blocks[0].guides.level(t).tracks[0].line for lay in (first, again))
        # The frame is centred on the field, so 0.2 m of the centre and rounding are allowed for.
        assert one.length == pytest.approx(two.length, abs=1e-3)


@pytest.mark.parametrize(
    ("land", "parts", "guide", "match"),
    [
        pytest.param(shapely.box(0, 0, 200, 12), (), ROUND, r"12\.0 m across", id="too narrow"),
        pytest.param(
            SQUARE, (GRASS,), f"{ROUND}\nspiral = true", r"41\.\d m outside", id="a square spiral"
        ),
        pytest.param(CIRCLE, (STRIPS,), f"{ROUND}\nspiral = true", r"has rows", id="drilled"),
    ],
)
def test_what_cannot_be_gone_round_is_refused(land, parts, guide, match):
    with pytest.raises(LayoutError, match=match):
        rings_on(land, *parts, guide=guide)


def test_without_a_turning_radius_nobody_knows_how_tight_a_round_is():
    with pytest.raises(LayoutError, match=r"no machine has a turning_radius"):
        laid(field_of(SQUARE), plan_of(STRIPS, guide=ROUND))


def test_a_spiral_is_one_round_and_one_line():
    layout = rings_on(CIRCLE, GRASS, guide=f"{ROUND}\nspiral = true")
    around, spiral = layout.passes.lines.length
    assert around == pytest.approx(2 * np.pi * 98.5, rel=1e-4)
    # From 98.5 m to 6.5 m by 3 m a turn: 30.7 turns of 52.5 m in the mean.
    assert spiral == pytest.approx(2 * np.pi * 52.5 * 92 / 3, rel=1e-3)
    assert any("again" in given.what for given in layout.gave_way)


@pytest.mark.parametrize("count", [2, pytest.param(25, marks=pytest.mark.slow)])
def test_real_fields_go_round_or_say_why_not(count):
    faults = {}
    for field in real_fields(count, seed=29):
        plan = plan_of(STRIPS, DRILL, guide=ROUND)
        try:
            layout = laid(field, plan, rounds=False)
        except LayoutError:
            continue
        found = faults_of_ground(layout)
        if found:
            faults[field.name] = found
    assert faults == {}
