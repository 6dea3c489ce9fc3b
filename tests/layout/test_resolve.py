"""From wishes to figures: bearings and anchors, and the wishes that cannot be met."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Polygon, affinity, box
from strategies import ENDS, STRIPS, centred, counts, feature_beside, field_of, laid, plan_of

from geolayout.errors import LayoutError, PlanError
from geolayout.land.field import make_field
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import guides_of, resolve_guides

RECTANGLE = box(0, 0, 200, 100)


def resolved(land, guide, *parts, drawn=None, features=()):
    """The guide resolved, and where its anchor lies in the frame."""
    field = field_of(land, features)
    found = resolve_guides(plan_of(STRIPS, *parts, guide=guide), field, drawn or Drawn()).guide
    return found, field.frame.metres(np.array([found.anchor]))[0]


@pytest.mark.parametrize(
    ("guide", "bearing", "side", "edge"),
    [
        # the frame's axes are true north and east to 0.002 degrees within 100 m
        pytest.param('near_edge = "south"', 90.0, "y", -50.0, id="along the south edge"),
        pytest.param('near_edge = "north"', 90.0, "y", 50.0, id="along the north edge"),
        pytest.param('near_edge = "west"', 0.0, "x", -100.0, id="along the west edge"),
        pytest.param('bearing = 0.0\nfrom = "east"', 0.0, "x", 100.0, id="north, from the east"),
        pytest.param('bearing = 90.0\nfrom = "north"', 90.0, "y", 50.0, id="east, from the north"),
        pytest.param('bearing = 270.0\nfrom = "south"', 270.0, "y", -50.0, id="westwards"),
        pytest.param('choose = "longest edge"', 90.0, "y", 50.0, id="longest edge, t to the right"),
        pytest.param(
            'bearing = 90.0\nfrom = "south"\nstart = 2.5', 90.0, "y", -47.5, id="starts at 2.5 m"
        ),
    ],
)
def test_a_wish_becomes_a_bearing_and_an_anchor(guide, bearing, side, edge):
    found, (x, y) = resolved(RECTANGLE, guide)
    assert found.resolved
    assert abs((found.bearing - bearing + 90) % 180 - 90) < 0.002
    assert {"x": x, "y": y}[side] == pytest.approx(edge, abs=0.01)


def test_the_anchor_is_measured_at_land_that_can_carry_bands():
    # Rows north, from the south ... cannot be; rows east from the south, with 4 m kept clear of a
    # ditch on the south edge: the anchor lies 4 m in.
    ditch = feature_beside(
        RECTANGLE, "ditch", LineString([(-9, 0), (209, 0)]), measured_from="centre line", all=4.0
    )
    _, (_, y) = resolved(RECTANGLE, 'bearing = 90.0\nfrom = "south"', features=[ditch])
    assert y == pytest.approx(-46.0, abs=0.01)


def test_t_grows_away_from_the_side_that_is_named():
    for side, step in (("south", (0, 1)), ("north", (0, -1))):
        field = field_of(RECTANGLE)
        plan = resolve_guides(plan_of(STRIPS, guide=f'near_edge = "{side}"'), field, Drawn())
        assert guides_of(plan.guide, field).sideways == pytest.approx(step, abs=1e-3)


def test_two_points_are_the_line_t_0_and_start_counts_from_it():
    field = field_of(RECTANGLE)
    ends = field.frame.lonlat(np.array([[-80.0, 10.0], [80.0, 10.0]])).round(9).tolist()
    guide = f'points = {ends}\nfrom = "south"\nstart = 3.0'
    plan = resolve_guides(plan_of(STRIPS, guide=guide), field, Drawn())
    lines = guides_of(plan.guide, field)
    assert lines.across(np.array([[0.0, 13.0]])) == pytest.approx([0.0], abs=1e-3)
    assert lines.direction(np.zeros((1, 2))) == pytest.approx([90.0], abs=1e-3)


def test_a_drawn_line_is_followed_and_a_bent_one_refused():
    straight = LineString([(-90, -20), (0, -19.98), (90, -20)])  # 2 cm bent: under 5 cm
    bent = LineString([(-90, -20), (0, -19.0), (90, -20)])
    guide = 'line = "last_year.geojson"\nfrom = "south"'
    _, (_, y) = resolved(RECTANGLE, guide, drawn=Drawn(lines={"last_year.geojson": straight}))
    assert y == pytest.approx(-20.0, abs=1e-3)
    with pytest.raises(PlanError, match=r"bends 1\.00 m"):
        resolved(RECTANGLE, guide, drawn=Drawn(lines={"last_year.geojson": bent}))
    with pytest.raises(LayoutError, match="was not read"):
        resolved(RECTANGLE, guide)


@pytest.mark.parametrize(
    ("guide", "match"),
    [
        pytest.param(
            'bearing = 0.0\nfrom = "north"',
            r'at an end of the rows.*from = "west" or from = "east"',
            id="from a side at the row ends",
        ),
        pytest.param(
            'bearing = 45.0\nfrom = "north-east"',
            r'from = "north-west" or from = "south-east"',
            id="from a corner at the row ends",
        ),
        pytest.param('kind = "contour"', "no terrain", id="a contour without heights"),
        pytest.param('choose = "fewest hours"', "Hours hang on machines", id="fewest hours"),
    ],
)
def test_wishes_that_cannot_be_met_are_refused(guide, match):
    with pytest.raises(PlanError, match=match):
        resolved(RECTANGLE, guide)


@pytest.mark.parametrize("bearing", [59.0, -59.0])
def test_from_may_lie_60_degrees_off_the_normal(bearing):
    found, _ = resolved(RECTANGLE, f'bearing = {bearing % 360}\nfrom = "west"')
    assert found.from_ == "west"


def test_an_edge_that_no_side_faces_is_refused():
    diamond = Polygon([(0, 0), (200, -20), (200, 20)])
    with pytest.raises(PlanError, match="No edge of the land faces west"):
        resolved(diamond, 'near_edge = "west"')


def test_the_longest_edge_is_that_of_the_thinned_boundary():
    # The south edge of 100 m has a stray vertex 20 cm off in its middle; the north one is 82 m
    # long and slants.
    land = Polygon([(0, 0), (50, -0.2), (100, 0), (90, 60), (10, 40)])
    found, _ = resolved(land, 'choose = "longest edge"')
    assert found.bearing == pytest.approx(90.0, abs=0.01)


def test_a_resolved_guide_stays_as_it_is():
    field = field_of(RECTANGLE)
    once = resolve_guides(plan_of(STRIPS), field, Drawn())
    assert resolve_guides(once, field, Drawn()) == once


def test_resurveying_a_corner_moves_no_row():
    # The far corner is found 3 m farther out; the near edge and its anchor stay.
    field = field_of(RECTANGLE)
    plan = resolve_guides(plan_of(STRIPS), field, Drawn())
    moved = Polygon([(-100, -50), (100, -50), (103, 53), (-100, 50)])
    later = make_field(field.frame.to_geographic(moved))
    before, after = lay_out(field, plan), lay_out(later, plan)
    shared = slice(0, before.rows.rows - 5)
    assert after.rows.t[shared] == pytest.approx(before.rows.t[shared], abs=1e-6)
    first = [layout.field.frame.lonlat(layout.rows.lines.xy[:1]) for layout in (before, after)]
    assert first[1] == pytest.approx(first[0], abs=1e-9)


def test_rows_keep_their_numbers_when_land_is_added_on_the_near_side():
    # 12 m are added on the south: two more bands before the first, numbered -1 and 0.
    field = field_of(RECTANGLE)
    plan = resolve_guides(plan_of(STRIPS), field, Drawn())
    wider = make_field(field.frame.to_geographic(box(-100, -62, 100, 50)))
    layout = lay_out(wider, plan)
    assert layout.ground.number.tolist() == list(range(-1, 18))


def test_a_start_within_the_land_runs_the_pattern_back_to_the_near_side():
    # 30 m from the south: repeat 1 begins there, 5 bands lie before it; they are numbers 1 to 5.
    layout = laid(field_of(RECTANGLE), plan_of(STRIPS, guide='near_edge = "south"\nstart = 30.0'))
    assert layout.ground.number.tolist() == list(range(1, 18))
    assert layout.blocks[0].section.cuts[5].t0 == pytest.approx(0.0, abs=1e-9)
    assert layout.plan.guide.number_at_anchor == 6


def test_opposite_bearings_are_the_same_lines_with_opposite_starts():
    field = field_of(RECTANGLE)
    there, back = (
        laid(field, plan_of(STRIPS, ENDS, guide=f'bearing = {bearing}\nfrom = "south"'))
        for bearing in (80.0, 260.0)
    )
    assert counts(there) == counts(back)
    one, other = there.rows.lines.geometry, back.rows.lines.geometry[: len(there.rows)]
    assert shapely.length(one).sum() == pytest.approx(shapely.length(other).sum(), rel=1e-6)
    start = shapely.get_coordinates(other[0])[0]
    assert start == pytest.approx(shapely.get_coordinates(one[0])[-1], abs=0.01)


def test_each_block_is_resolved_on_its_own_land():
    parts = """
[[block]]
name = "north"
part = { side = "north", width = 40.0 }
pattern = "strips"
[[block]]
name = "south"
rest = true
pattern = "strips"
guide = { near_edge = "west" }
"""
    field = field_of(RECTANGLE)
    plan = resolve_guides(plan_of(STRIPS, parts), field, Drawn())
    anchors = [field.frame.metres(np.array([block.guide.anchor]))[0] for block in plan.blocks]
    assert anchors[0][1] == pytest.approx(10.0, abs=0.01)  # 40 m below the north edge at 50
    assert anchors[1][0] == pytest.approx(-100.0, abs=0.01)


def test_an_anchor_given_by_hand_is_kept():
    guide = 'bearing = 90.0\nfrom = "south"\nanchor = [10.0, 52.0001]'
    found, _ = resolved(RECTANGLE, guide)
    assert found.anchor == (10.0, 52.0001)
    # 52.0001 lies 11.1 m north of the middle, 61.1 m from the south edge: 10 bands and a bit before
    assert found.number_at_anchor == 12


def test_bearings_are_true_at_the_anchor():
    # 3 km from the middle of a wide field the frame's north is not true north; rows follow truth.
    wide = centred(affinity.scale(RECTANGLE, 30.0, 10.0))
    field = field_of(wide)
    plan = resolve_guides(plan_of(STRIPS, guide='bearing = 0.0\nfrom = "west"'), field, Drawn())
    lines = guides_of(plan.guide, field)
    x, y = field.frame.metres(np.array([plan.guide.anchor]))[0]
    assert x < -2900
    # convergence: dlon sin(lat) = 3000 m / (6,391 km cos 52) x sin 52 = 0.0344 degrees
    assert abs((lines.bearing + 180) % 360 - 180) == pytest.approx(0.0344, rel=0.02)
    assert field.frame.true_bearing((x, y), lines.bearing) == pytest.approx(0.0, abs=1e-6)
