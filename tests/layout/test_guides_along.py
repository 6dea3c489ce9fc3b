"""Layouts along bent edges: a partition all the same, rows at their distance, wedges named."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Polygon
from strategies import (
    centred,
    faults_of_ground,
    faults_of_rows_and_trees,
    field_of,
    laid,
    plan_of,
    real_fields,
)

from geolayout.errors import GeolayoutError, LayoutError, PlanError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.moved import lines_moved
from geolayout.layout.resolve import resolve_guides

STRIPS = """
[[pattern]]
name = "p"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "maize" },
]
[headland]
where = "ends"
width = 12.0
"""
ALLEYS = """
[[pattern]]
name = "p"
bands = [
  { name = "A", width = 24.0, stand = "maize" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 5.0 } },
]
"""
WEST = 'kind = "along"\nnear_edge = "west"'

# A quarter of a ring round (0, 0), 100 to 300 m: its inner edge, the long way round, faces in.
ANGLES = np.radians(np.linspace(0, 90, 181))
ROUND = np.stack([np.cos(ANGLES), np.sin(ANGLES)], axis=1)
RING = Polygon(np.concatenate([300 * ROUND, 100 * ROUND[::-1]]))


def line_of(radius):
    """The circle round (0, 0) as points, where the field lies after it was centred."""
    west, south, east, north = RING.bounds
    return radius * ROUND - [(west + east) / 2, (south + north) / 2]


def along(line, side):
    """A layout of strips along a line in the frame, smoothed as good as not at all."""
    field = field_of(RING)
    lonlat = field.frame.lonlat(line).round(10).tolist()
    guide = f'kind = "along"\npoints = {lonlat}\nfrom = "{side}"\nsmooth = 0.01'
    plan = plan_of(STRIPS, guide=guide)
    return laid(field, plan)


def test_strips_round_a_ring_are_as_large_as_their_rings():
    layout = along(line_of(100.0), "south-west")
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []
    (block,) = layout.blocks
    assert isinstance(block.guides, Parallel)
    ground = layout.ground
    areas = [ground.area[ground.cut == i].sum() for i in range(len(block.section.cuts))]
    for i, cut in enumerate(block.section.cuts[:-1]):
        # A band from t0 to t1 is a quarter of the ring from 100 + t0 to 100 + t1, less 12 m of
        # headland at each end: pi / 4 (r1^2 - r0^2) - 2 x 12 (r1 - r0), and less of a corner
        # where the headland's flat edge leaves the ring's end by up to 12^2 / 2r.
        r0, r1 = 100 + cut.t0, 100 + cut.t1
        known = np.pi / 4 * (r1**2 - r0**2) - 24 * (r1 - r0)
        assert areas[i] == pytest.approx(known, rel=0.01)
    assert len(block.section.cuts) == 34  # 200 m hold 33 bands of 6 m and one of 2 m


def test_rows_round_a_ring_lie_on_their_circles():
    layout = along(line_of(100.0), "south-west")
    west, south, east, north = RING.bounds
    middle = shapely.Point(-(west + east) / 2, -(south + north) / 2)
    rows = layout.rows
    for i in range(0, len(rows), 5):
        corners = shapely.points(rows.lines.xy[rows.lines.offsets[i] : rows.lines.offsets[i + 1]])
        off = shapely.distance(corners, middle) - (100 + rows.t[i])
        assert np.abs(off).max() < 0.02
    assert rows.length == pytest.approx(rows.lines.length, abs=1e-6)


def test_trees_along_a_curve_are_their_spacing_apart():
    field = field_of(RING)
    lonlat = field.frame.lonlat(line_of(100.0)).round(10).tolist()
    guide = f'kind = "along"\npoints = {lonlat}\nfrom = "south-west"'
    layout = laid(field, plan_of(ALLEYS, guide=guide))
    trees = layout.trees
    assert len(trees) > 100
    for row in np.unique(trees.row):
        xy = trees.xy[trees.row == row]
        steps = np.hypot(*np.diff(xy, axis=0).T)
        # Along the curve 5 m; a chord of 5 m on a radius of 100 m is 0.5 mm shorter.
        assert steps == pytest.approx(np.full(len(steps), 5.0), abs=1e-3)


def test_a_resolved_guide_lays_the_same_again():
    field = field_of(RING)
    plan = plan_of(STRIPS, guide='kind = "along"\nnear_edge = "north-east"')
    resolved = resolve_guides(plan, field, Drawn())
    assert resolved.guide.resolved
    again = resolve_guides(resolved, field, Drawn())
    assert again == resolved
    assert faults_of_ground(laid(field, plan)) == []


# An edge that bends by 45 degrees inwards: lines on its inside cannot follow.
KNEE = Polygon([(0, 0), (0, 200), (150, 350), (350, 150), (200, 0)])
PLANTER = """
[[machine]]
name = "planter"
working_width = 6.0
turning_radius = 6.5
"""


def test_a_tight_bend_splits_the_land_and_names_the_wedge():
    field = field_of(KNEE)
    layout = laid(field, plan_of(STRIPS, PLANTER, guide=WEST))
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []
    assert [block.name for block in layout.blocks] == ["stretch 1", "stretch 2"]
    ground = layout.ground
    wedge = ground.area[ground.reason == "wedge inside a bend"].sum()
    # 12 m on each side of the split, which runs from (0, 200) to the far side: some 300 m.
    assert 2 * 12 * 250 < wedge < 2 * 12 * 330
    assert any("wedge" in given.what for given in layout.gave_way)
    # Never a kink: every row is straight on either side.
    for line in layout.rows.lines.geometry:
        assert shapely.length(line) == pytest.approx(
            np.hypot(*np.diff(shapely.get_coordinates(line)[[0, -1]], axis=0)[0]), abs=1e-6
        )


def test_bands_keep_their_numbers_on_both_sides_of_a_split():
    layout = laid(field_of(KNEE), plan_of(STRIPS, PLANTER, guide=WEST))
    first, second = layout.blocks
    for cut in first.section.cuts[1:10]:
        twin = next(one for one in second.section.cuts if one.number == cut.number)
        assert (twin.t0, twin.band) == (pytest.approx(cut.t0, abs=1e-6), cut.band)


def test_a_line_that_bends_everywhere_is_refused_with_what_would_do():
    steps = np.arange(0, 300, 15.0)
    wave = np.stack([steps, 8 * np.sin(steps / 25)], axis=1)
    land = Polygon([*wave, (285, 200), (0, 200)])
    plan = plan_of(STRIPS, PLANTER, guide='kind = "along"\nnear_edge = "south"\nsmooth = 0.2')
    with pytest.raises(LayoutError, match=r"bends in \d+ places.*smooth = \d+\.\d"):
        laid(field_of(land), plan)


@pytest.mark.parametrize(
    ("guide", "says"),
    [
        pytest.param('kind = "along"\nbearing = 10.0', "no bends to lie along", id="a bearing"),
        pytest.param(
            'kind = "along"\npoints = [[7.0, 52.0], [7.1, 52.0]]', "no from", id="no side"
        ),
        pytest.param("bearing = 10.0\nsmooth = 1.0", "Only a bent line", id="a smooth straight"),
        pytest.param(
            "points = [[7.0, 52.0], [7.1, 52.0], [7.2, 52.1]]", "has two", id="a bent straight"
        ),
    ],
)
def test_a_guide_that_cannot_be_followed_is_refused(guide, says):
    with pytest.raises(PlanError, match=says):
        plan_of(STRIPS, guide=guide)


def test_no_edge_on_that_side_is_refused():
    diamond = Polygon([(0, 0), (200, -20), (200, 20)])
    with pytest.raises(PlanError, match="No edge of the land faces west"):
        laid(field_of(diamond), plan_of(STRIPS, guide=WEST))


@pytest.mark.parametrize("side", ["north", "south-east", "west"])
def test_real_fields_are_partitioned_along_their_edges(side):
    laid_out = 0
    for field in real_fields(60, seed=11):
        guide = f'kind = "along"\nnear_edge = "{side}"\nsmooth = 4.0'
        try:
            layout = laid(field, plan_of(STRIPS, PLANTER, guide=guide))
        except GeolayoutError:
            continue
        assert faults_of_ground(layout) == [], field.name
        laid_out += 1
    assert laid_out > 15


def test_along_a_straight_edge_it_is_the_straight_guide():
    for field in real_fields(200, seed=12):
        corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(field.land))
        line = LineString(corners[:2])
        lonlat = field.frame.lonlat(shapely.get_coordinates(line)).round(9).tolist()
        pair = []
        for kind in ("straight", "along"):
            guide = f'kind = "{kind}"\npoints = {lonlat}'
            sides = ("north", "east", "south", "west")
            for side in sides:
                try:
                    pair.append(laid(field, plan_of(STRIPS, guide=f'{guide}\nfrom = "{side}"')))
                    break
                except GeolayoutError:
                    continue
        if len(pair) < 2:
            continue
        straight, bent = pair
        assert bent.rows.rows == straight.rows.rows, field.name
        assert bent.ground.bands == straight.ground.bands, field.name
        for kind in ("band", "headland"):
            one, other = (x.ground.area[x.ground.kind == kind].sum() for x in (straight, bent))
            assert one == pytest.approx(other, rel=1e-9, abs=1e-6), field.name


def test_centring_is_what_the_ring_was_moved_by():
    assert centred(RING).bounds[2] == pytest.approx(150.0, abs=1e-9)


def test_a_line_that_moved_is_told():
    field = field_of(RING)
    plans = [
        resolve_guides(
            plan_of(STRIPS, guide=f'kind = "along"\nnear_edge = "north-east"\nstart = {start}'),
            field,
            Drawn(),
        )
        for start in (0.0, 1.5)
    ]
    assert lines_moved(plans[0], plans[0], field) == ()
    (said,) = lines_moved(plans[1], plans[0], field)
    assert "1.50 m" in said
