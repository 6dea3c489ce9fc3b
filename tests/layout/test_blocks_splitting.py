"""The field parted by drawn lines, on 200 m x 100 m whose middle is the origin."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, Point, box
from strategies import STRIPS, area_of, faults_of_ground, feature_beside, field_of, laid, plan_of

from geolayout.errors import LayoutError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.blocks.splitting import PROLONGED, piece_of
from geolayout.plan.parts import Piece

RECTANGLE = box(0, 0, 200, 100)
FIELD = field_of(RECTANGLE)
BLOCKS = """
[[block]]
name = "west"
piece = {{ line = "s.geojson", near = {west} }}
pattern = "strips"
guide = {{ bearing = 90.0, from = "south" }}
[[block]]
name = "east"
piece = {{ line = "s.geojson", near = {east} }}
pattern = "strips"
guide = {{ bearing = 0.0, from = "east" }}
"""


def near(x, y, field=FIELD):
    """Return longitude and latitude of a place of the frame."""
    return tuple(field.frame.lonlat(np.array([[x, y]], dtype=float))[0].tolist())


def cut(lines, at, field=FIELD):
    """Return the piece at a place between lines given by their corners."""
    piece = Piece(line="s.geojson", near=near(*at, field))
    return piece_of(piece, "north", field, MultiLineString(lines))


def test_a_line_from_edge_to_edge_parts_the_land():
    # 100 m high, from x = -20 below to x = 40 above: 80 m and 140 m wide from the west, mean 110
    line = [(-20, -50), (40, 50)]
    assert cut([line], (-90, 0)).area == pytest.approx(11_000.0, rel=1e-6)
    assert cut([line], (90, 0)).area == pytest.approx(9_000.0, rel=1e-6)


@pytest.mark.parametrize("gap", [0.001, 0.5, 9.99])
def test_a_line_that_stops_short_of_the_hedge_runs_on(gap):
    line = [(0, -50 + gap), (0, 50 - gap)]
    assert cut([line], (-90, 0)).area == pytest.approx(10_000.0, rel=1e-6)


def test_a_line_may_stop_short_of_another_line():
    # the second line runs from the east to 4 m before the first: three pieces
    lines = [[(0, -60), (0, 60)], [(110, 0), (4, 0)]]
    assert cut(lines, (-50, 10)).area == pytest.approx(10_000.0, rel=1e-6)
    assert cut(lines, (50, 10)).area == pytest.approx(5_000.0, rel=1e-6)
    assert cut(lines, (50, -10)).area == pytest.approx(5_000.0, rel=1e-6)


def test_a_closed_line_cuts_an_island():
    ring = [(-20, -10), (20, -10), (20, 10), (-20, 10), (-20, -10)]
    assert cut([ring], (0, 0)).area == pytest.approx(800.0, rel=1e-6)
    assert cut([ring], (50, 0)).area == pytest.approx(19_200.0, rel=1e-6)


def test_a_line_may_end_at_an_obstacle():
    pond = feature_beside(RECTANGLE, "pond", box(80, 40, 120, 60), all=0.0)
    field = field_of(RECTANGLE, [pond])
    lines = [[(0, -55), (0, -12)], [(0, 12), (0, 55)]]
    # half of the field without half of the pond of 40 x 20 m
    assert cut(lines, (-50, 0), field).area == pytest.approx(9_600.0, rel=1e-6)


def test_lines_beside_the_field_are_passed_over():
    lines = [[(0, -60), (0, 60)], [(300, -60), (300, 60)]]
    assert cut(lines, (-50, 0)).area == pytest.approx(10_000.0, rel=1e-6)


def test_the_way_a_line_was_drawn_changes_nothing():
    line = [(-20, -45), (0, 3), (40, 44)]
    one, other = cut([line], (-90, 0)), cut([line[::-1]], (-90, 0))
    assert one.symmetric_difference(other).area < 1e-6


@pytest.mark.parametrize(
    ("lines", "at", "match"),
    [
        pytest.param(
            [[(150, -60), (150, 60)]],
            (0, 0),
            r"No line of s\.geojson meets the field: the nearest lies 50\.0 m beside it",
            id="a line that misses the field",
        ),
        pytest.param(
            [[(0, -60), (0, 20)]],
            (0, 0),
            r"ends inside the field near 10\.0+, 52\.0+\d+, 30\.0 m short of what it would meet\. "
            r"It parts the land from edge to edge, and runs on by itself over 10 m\.",
            id="a line that ends inside",
        ),
        pytest.param(
            [[(0, -30), (0, 30)]],
            (0, 0),
            r"ends inside the field .* 20\.0 m short",
            id="a line that is all inside",
        ),
        pytest.param(
            [[(0, -50 + PROLONGED + 0.1), (0, 60)]],
            (0, 0),
            r"10\.1 m short",
            id="a line a hand too short",
        ),
        pytest.param(
            [FIELD.land.exterior.coords[1:3]],
            (0, 0),
            r"meet the field and do not part it",
            id="a line along the edge",
        ),
        pytest.param(
            [[(0, -60), (0, 60)]],
            (130, 0),
            r"Block north is the piece near 10\.0\d+, 52, which lies 30\.0 m beside the field",
            id="a point beside the field",
        ),
        pytest.param(
            [[(0, -60), (0, 60)]],
            (0, 10),
            r"lies on a line and in no piece\..*Give a point inside",
            id="a point on the line",
        ),
    ],
)
def test_what_parts_nothing_is_refused_in_a_sentence(lines, at, match):
    with pytest.raises(LayoutError, match=match):
        cut(lines, at)


def test_a_point_on_an_obstacle_is_in_no_piece():
    pond = feature_beside(RECTANGLE, "pond", box(80, 40, 120, 60), all=0.0)
    with pytest.raises(LayoutError, match=r"lies on an obstacle and in no piece"):
        cut([[(-50, -60), (-50, 60)]], (0, 0), field_of(RECTANGLE, [pond]))


def test_a_point_with_latitude_first_is_far_off():
    piece = Piece(line="s.geojson", near=near(0, 0)[::-1])
    with pytest.raises(LayoutError, match=r"lies [\d,]+ km beside the field.*longitude first"):
        piece_of(piece, "north", FIELD, MultiLineString([[(0, -60), (0, 60)]]))


def two_blocks(line, points=((-99, -49), (99, 49))):
    """Lay two blocks on both sides of a line."""
    west, east = (list(near(*point)) for point in points)
    drawn = Drawn(cuts={"s.geojson": MultiLineString([line])})
    return laid(FIELD, plan_of(STRIPS, BLOCKS.format(west=west, east=east)), drawn=drawn)


def test_two_blocks_that_take_one_piece_share_their_ground():
    with pytest.raises(LayoutError, match=r"Blocks west and east share 10000\.0 m2"):
        two_blocks([(0, -60), (0, 60)], ((-50, 0), (-50, 10)))


def test_a_piece_whose_lines_were_not_read_is_refused():
    plan = plan_of(STRIPS, BLOCKS.format(west=list(near(-9, 0)), east=list(near(9, 0))))
    with pytest.raises(LayoutError, match=r"Block west has land in 's\.geojson'.*not read"):
        laid(FIELD, plan)


across = st.floats(-90, 90)


@settings(max_examples=25)
@given(across, across, st.floats(-60, 60), st.floats(0, 2.5))
@example(0.0, 0.0, 0.0, 0.0)
def test_pieces_are_a_partition_and_carry_their_own_lines(below, above, bend, gap):
    line = LineString([(below, -50 + gap), (bend, 0), (above, 50 - gap)])
    if not FIELD.land.buffer(-1).contains(Point(bend, 0)):
        return
    layout = two_blocks(line.coords)
    assert faults_of_ground(layout) == []
    bearings = [(block.bearing + 90.0) % 360.0 for block in layout.blocks]  # 0 is 360 too
    assert bearings == pytest.approx([180.0, 90.0], abs=0.01)
    total = sum(area_of(layout, block=k) for k in (0, 1))
    assert total == pytest.approx(FIELD.land.area, rel=1e-9)
