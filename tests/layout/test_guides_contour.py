"""Bands on the contour: on planes and cones, where every contour is known, and on a hill."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hills import on_hill
from shapely import Polygon
from strategies import faults_of_ground, faults_of_rows_and_trees, field_of, laid, plan_of

from geolayout.errors import GeolayoutError, LayoutError, PlanError
from geolayout.land.terrain.terrain import FIELD_SCALE, points_over
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.guides.contour import contour_baselines, lands_of, lines_of
from geolayout.layout.moved import lines_moved
from geolayout.layout.resolve import resolve_guides

LAND = shapely.box(0, 0, 240, 180)  # in its frame from -120 to 120 and -90 to 90
STRIPS = """
[[pattern]]
name = "p"
bands = [ { name = "A", width = 12.0, stand = "maize" } ]
[[machine]]
name = "planter"
working_width = 6.0
turning_radius = 6.5
"""
CONTOUR = 'kind = "contour"'


def plane(_x, y):
    return 100 + 0.06 * y  # rises to the north


def cone(x, y):
    return 100 - 0.08 * np.hypot(x + 300, y)  # its top lies 300 m to the west


def saddle(x, y):
    return 100 + 0.05 * y + 0.0006 * x * y  # steeper to the east: contours fan


def test_on_a_plane_the_bands_are_straight_and_level_from_the_top():
    layout = laid(on_hill(plane), plan_of(STRIPS, guide=CONTOUR))
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []
    (block,) = layout.blocks
    # 180 m from top to bottom hold 15 bands of 12 m, the first along the north edge.
    assert len(block.section.cuts) == 15
    first = layout.ground.geometry[(layout.ground.number == 1) & (layout.ground.kind == "band")]
    assert shapely.bounds(first)[0] == pytest.approx((-120, 78, 120, 90), abs=0.05)
    rows = layout.rows.lines.xy.reshape(-1, 2, 2) if len(layout.rows) else np.empty((0, 2, 2))
    assert np.abs(np.diff(rows[..., 1], axis=1)).max() < 0.02


def test_round_a_cone_rows_lie_on_their_circles():
    layout = laid(on_hill(cone), plan_of(STRIPS, guide=CONTOUR + "\nsmooth = 0.5"))
    assert faults_of_ground(layout) == []
    (block,) = layout.blocks
    rows = layout.rows
    off = []
    for i in range(0, len(rows), 3):
        xy = rows.lines.xy[rows.lines.offsets[i] : rows.lines.offsets[i + 1]]
        radius = np.hypot(xy[:, 0] + 300, xy[:, 1])
        off.append(np.ptp(radius))
    # Heights every 4 m, in proportion between, and half a metre of smoothing.
    assert max(off) < 1.0
    assert layout.field.terrain.grade(
        rows.lines.xy[rows.lines.offsets[:-1]],
        block.guides.direction(rows.lines.xy[rows.lines.offsets[:-1]]),
    ) == pytest.approx(np.zeros(len(rows)), abs=0.6)


def test_where_contours_fan_another_baseline_begins():
    field = on_hill(saddle)
    layout = laid(field, plan_of(STRIPS, guide=CONTOUR + "\ngrade = 1.0"))
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []
    assert len(layout.blocks) > 1
    assert [block.name for block in layout.blocks][:2] == ["contour 1", "contour 2"]
    # Bands keep their width, or share a narrow last one and are all alike: by 10 % at most (CTIC).
    for block in layout.blocks:
        widths = [cut.width for cut in block.section.cuts[:-1]]
        assert widths == pytest.approx([max(widths, default=12.0)] * len(widths))
        assert all(12.0 - 1e-6 <= width <= 13.2 for width in widths)


def test_rows_on_the_contour_keep_within_their_grade_but_for_a_quarter():
    field = on_hill(saddle)
    found = contour_baselines(field.terrain, field.land, smooth=2.0, most=1.0, least=6.5)
    lands, _ = lands_of(found, field.land, 2.0)
    slope = field.terrain.smoothed(FIELD_SCALE).slope(points_over(field.land, 1.0, 40))
    limit = min(1.0, 0.5 * slope.mean())
    for one, land in zip(found, lands, strict=True):
        guides = lines_of(one.xy, 2.0)
        for t in np.arange(max(one.low, -60.0) + 3.0, min(one.high, 60.0), 6.0):
            (line,) = guides.lines(np.array([t]), land)
            inside = shapely.intersection(line, land)
            if inside.length < 12.0:
                continue
            places = shapely.line_interpolate_point(inside, np.arange(1.0, inside.length, 2.0))
            xy = shapely.get_coordinates(places)
            grade = np.abs(field.terrain.grade(xy, guides.direction(xy)))
            # A line between two that were tried, 3 m apart, may be a little over, and a short one
            # is over at one place more for it: a tenth of 20 m.
            assert (grade > limit + 0.05).mean() <= 0.25 + max(0.05, 2.0 / inside.length)


def test_a_resolved_contour_lays_the_same_again():
    field = on_hill(saddle)
    plan = plan_of(STRIPS, guide=CONTOUR)
    resolved = resolve_guides(plan, field, Drawn())
    assert resolved.guide.resolved
    assert resolve_guides(resolved, field, Drawn()) == resolved
    blind = replace(field, terrain=None)  # the lines are in the plan now
    assert faults_of_ground(laid(blind, resolved)) == []


def test_a_pond_in_the_hill_is_gone_round():
    land = LAND - shapely.Point(120, 90).buffer(12)
    layout = laid(on_hill(cone, land), plan_of(STRIPS, guide=CONTOUR))
    assert faults_of_ground(layout) == []


def test_land_in_two_pieces_gets_a_baseline_each():
    land = shapely.MultiPolygon([shapely.box(0, 0, 100, 180), shapely.box(140, 0, 240, 180)])
    layout = laid(on_hill(plane, land), plan_of(STRIPS, guide=CONTOUR))
    assert faults_of_ground(layout) == []
    assert len(layout.blocks) == 2


def test_flat_land_has_no_contour():
    with pytest.raises(LayoutError, match="No contour crosses the land"):
        laid(on_hill(lambda x, y: 100 + 0.0 * x * y), plan_of(STRIPS, guide=CONTOUR))


def test_without_heights_a_contour_is_refused():
    with pytest.raises(PlanError, match="no terrain"):
        laid(field_of(LAND), plan_of(STRIPS, guide=CONTOUR))


@pytest.mark.parametrize(
    "key", ["bearing = 10.0", 'near_edge = "west"', "start = 3.0", 'from = "west"']
)
def test_nothing_else_says_where_a_contour_runs(key):
    with pytest.raises(PlanError, match="top down"):
        plan_of(STRIPS, guide=f"{CONTOUR}\n{key}")


def test_hills_of_any_make_are_partitioned():
    rng = np.random.default_rng(8)
    laid_out = 0
    for _ in range(12):
        waves = rng.normal(0, 1, (4, 4))

        def height(x, y, waves=waves):
            total = 100 + 0.05 * y
            for a, b, c, d in waves:
                total = total + 1.5 * a * np.sin(x / (60 + 30 * abs(b)) + c) * np.cos(y / 90 + d)
            return total

        angle = np.sort(rng.uniform(0, 2 * np.pi, 9))
        ring = np.stack([np.cos(angle), np.sin(angle)], axis=1) * rng.uniform(60, 150, (9, 1))
        land = Polygon(ring)
        if not land.is_valid or land.area < 5000:
            continue
        try:
            layout = laid(on_hill(height, land), plan_of(STRIPS, guide=CONTOUR))
        except GeolayoutError:
            continue
        assert faults_of_ground(layout) == []
        laid_out += 1
    assert laid_out >= 5


def test_moved_baselines_are_told():
    field = on_hill(saddle)
    one = resolve_guides(plan_of(STRIPS, guide=CONTOUR), field, Drawn())
    assert lines_moved(one, one, field) == ()
    other = resolve_guides(plan_of(STRIPS, guide=CONTOUR + "\ngrade = 1.0"), field, Drawn())
    (said,) = lines_moved(other, one, field)
    assert "baselines on the contour" in said
    (turned,) = lines_moved(resolve_guides(plan_of(STRIPS), field, Drawn()), one, field)
    assert "0 baselines" in turned
