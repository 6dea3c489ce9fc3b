"""What every layout must hold, on invented fields of every shape; the real ones have their own."""

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from pyproj import Geod
from shapely import Point, Polygon, affinity, box
from strategies import (
    ALLEYS,
    ENDS,
    PLACE,
    STRIPS,
    bearings,
    centred,
    counts,
    faults_of_ground,
    faults_of_rows_and_trees,
    feature_beside,
    field_of,
    laid,
    lands,
    plan_of,
    refused,
)

from geolayout.errors import LayoutError
from geolayout.land.field import make_field
from geolayout.land.frames.frame import Frame
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.guides.follow import chords_along
from geolayout.layout.resolve import guides_of, resolve_guides
from geolayout.layout.trees.posts import PostRule

GEOD = Geod(ellps="WGS84")
MARGIN = "[margin]\nwidth = 2.0"
ROUND = '[headland]\nwhere = "all round"\nwidth = 8.0'
PARTS = st.sampled_from(
    [
        (STRIPS,),
        (STRIPS, ENDS),
        (STRIPS, ROUND),
        (ALLEYS,),
        (ALLEYS, ENDS, MARGIN),
        (ALLEYS, ROUND),
    ]
)
SLOW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
FEW = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def guide_for(bearing):
    """A bearing counted from the side that lies to the left of it."""
    words = ["west", "north-west", "north", "north-east", "east", "south-east", "south"]
    side = [*words, "south-west"][round(bearing / 45.0) % 8]
    return f'bearing = {bearing}\nfrom = "{side}"'


def layout_or_none(field, plan):
    """Lay out, or nothing where the plan is refused because no band fits."""
    error = refused(laid, field, plan)
    if error is not None:
        assert isinstance(error, LayoutError)
        assert "No band fits" in error.found
        return None
    return laid(field, plan)


@given(land=lands, bearing=bearings, parts=PARTS)
@example(land=box(0, 0, 200, 100), bearing=90.0, parts=(STRIPS, ENDS))
@SLOW
def test_ground_is_a_partition_and_rows_and_trees_stand_on_their_own(land, bearing, parts):
    layout = layout_or_none(field_of(land), plan_of(*parts, guide=guide_for(bearing)))
    assume(layout is not None)
    assert faults_of_ground(layout) == []
    assert faults_of_rows_and_trees(layout) == []


@given(land=lands, bearing=bearings, x=st.floats(-60, 60), y=st.floats(-60, 60))
@SLOW
def test_no_tree_is_nearer_than_the_plan_allows(land, bearing, x, y):
    # Invented distances: boundary 3 m, headland 4 m, feature 6 m; 5 m between trees of a row.
    setback = "setback = { boundary = 3.0, headland = 4.0, feature = 6.0 }"
    trees = ALLEYS.replace("in_row_spacing = 5.0", f"in_row_spacing = 5.0, {setback}")
    middle = shapely.box(*land.bounds).centroid
    pond = Point(middle.x + x, middle.y + y).buffer(4.0)
    field = field_of(land, [feature_beside(land, "pond", pond, all=1.0, trees=7.0)])
    layout = layout_or_none(field, plan_of(trees, ENDS, guide=guide_for(bearing)))
    assume(layout is not None and len(layout.trees) > 1)
    points = shapely.points(layout.trees.xy)
    off = {
        "boundary": (shapely.boundary(field.land), 3.0),
        "headland": (_headland(layout), 4.0),
        "pond": (field.features[0].geometry, 7.0),  # the larger of 7 kept clear and 6 set back
    }
    for name, (shape, least) in off.items():
        if not shape.is_empty:
            # arcs are chords, inside the true arc by under 4 mm here
            assert shapely.distance(points, shape).min() >= least - 0.01 - 0.004, name
    assert _nearest_other(points) >= 5.0 - 0.011


def _headland(layout):
    ground = layout.ground
    return shapely.union_all(ground.geometry[ground.kind == "headland"])


def _nearest_other(points):
    """Distance between the two points that are nearest to each other."""
    tree = shapely.STRtree(points)
    _, distance = tree.query_nearest(
        points, exclusive=True, return_distance=True, all_matches=False
    )
    return distance.min()


@given(
    lon=st.floats(-179.0, 179.0),
    lat=st.floats(-70.0, 70.0),
    size=st.floats(50.0, 1000.0),
    bearing=bearings,
)
@example(lon=10.0, lat=52.0, size=1000.0, bearing=45.0)
@FEW
def test_area_and_spacing_are_true_on_the_ellipsoid(lon, lat, size, bearing):
    at = (round(lon, 4), round(lat, 4))
    land = box(-size, -size, size, size)  # up to 400 ha, up to 1.4 km from the middle
    field = make_field(Frame(*at).to_geographic(land))
    assert field.land.area == pytest.approx(field.area, rel=1e-6)
    wide = '[[pattern]]\nname = "w"\nbands = [ { name = "A", width = 30.0, stand = "sparse" } ]'
    sparse = '[[stand]]\nname = "sparse"\nsowing = [ { crop = "maize", spacing = 30.0 } ]'
    layout = laid(field, plan_of(wide, sparse, guide=guide_for(bearing)))
    _check_spacing(layout, 30.0)


def _check_spacing(layout, spacing):
    """Walk from the middle of each row straight across to the next one, on the ellipsoid."""
    rows, frame = layout.rows, layout.field.frame
    xy = rows.lines.xy.reshape(-1, 2, 2)
    guides = layout.blocks[0].guides
    ends = frame.lonlat(xy.reshape(-1, 2)).reshape(-1, 2, 2)
    for k in range(len(xy) - 1):
        middle = xy[k].mean(axis=0)
        foot = middle + guides.sideways * spacing
        if np.hypot(*middle) > 1000.0 or not _between(guides, foot, xy[k + 1]):
            continue
        (lon, lat), other = frame.lonlat(middle[None])[0], frame.lonlat(foot[None])[0]
        _, _, apart = GEOD.inv(lon, lat, *other)
        assert apart == pytest.approx(spacing, abs=1e-3)
        off = Frame(*other.tolist()).metres(
            ends[k + 1]
        )  # the next row seen from the foot: through it
        step = off[1] - off[0]
        assert abs(step[0] * off[0][1] - step[1] * off[0][0]) / np.hypot(*step) < 1e-3


def _between(guides, foot, row):
    """Whether the foot lies beside the row and not beyond its ends."""
    s0, s1 = guides.along(row)
    return s0 < guides.along(foot[None])[0] < s1


def moved_field(land, move):
    """A field whose land in the frame at PLACE is moved."""
    return make_field(Frame(*PLACE).to_geographic(move(centred(land))))


def summary(layout):
    """What a layout is, figures rounded to the millimetre."""
    ground = layout.ground
    return (counts(layout), ground.kind.tolist(), ground.number.tolist(), layout.gave_way)


def far_from_steps(layout):
    """Whether no width, row or tree lies so near a step that a millimetre decides its count."""
    pieces = layout.rows.length
    across = [cut.width for cut in layout.blocks[0].section.cuts]
    return (
        (np.abs(pieces - 1.0) > 0.01).all()
        and min(across) > 0.1
        and all(trees_are_sure(block) for block in layout.blocks)
    )


def trees_are_sure(block):
    """Whether no tree row ends within 2 cm of where one tree more would stand."""
    for index, band in enumerate(block.pattern.bands):
        mine = [
            i for i, cut in enumerate(block.tree_rows.cut) if block.section.cuts[cut].index == index
        ]
        if band.trees is None or not mine:
            continue
        _, wide = chords_along(block.guides, block.crop_land, block.tree_rows.t[mine])
        rule = PostRule.of(band.trees)
        room = (wide.s1 - wide.s0 - rule.first - rule.last) / rule.step
        if (np.abs(room - np.round(room)) * rule.step < 0.02).any():
            return False
    return True


@given(land=lands, bearing=bearings, parts=PARTS, east=st.floats(0, 3e4), north=st.floats(0, 3e4))
@FEW
def test_moving_the_field_moves_the_layout(land, bearing, parts, east, north):
    plan = plan_of(*parts, guide=guide_for(bearing))
    here = layout_or_none(field_of(land), plan)
    assume(here is not None and far_from_steps(here))
    there_at = Frame(PLACE[0] + east / 1e5, PLACE[1] + north / 1e5)
    there = make_field(there_at.to_geographic(centred(land)))
    assert _same_but_rounding(here, laid(there, plan))


def _same_but_rounding(one, other):
    """The same counts where no piece of ground is a sliver that rounding makes or loses."""
    return counts(one) == counts(other) and one.ground.area.sum() == pytest.approx(
        other.ground.area.sum(), rel=1e-5
    )


@given(land=lands, bearing=bearings, parts=PARTS, turn=st.floats(1.0, 359.0))
@FEW
def test_turning_field_and_guide_turns_the_layout(land, bearing, parts, turn):
    turn = round(turn, 2)
    plan = plan_of(*parts, guide=guide_for(bearing))
    here = layout_or_none(field_of(land), plan)
    assume(here is not None and far_from_steps(here))
    field = moved_field(land, lambda shape: affinity.rotate(shape, -turn, origin=(0, 0)))
    guide = guide_for(round((bearing + turn) % 360.0, 3))
    there = laid(field, plan_of(*parts, guide=guide))
    # Bearings count from true north at the anchor, and the turned anchor has another true north:
    # some millimetres over a long field, enough for a row more. So it is taken out.
    astray = (_direction(there) - _direction(here) - turn + 180.0) % 360.0 - 180.0
    assert abs(astray) < 0.01
    guide = guide.replace(f"{there.plan.guide.bearing}", f"{there.plan.guide.bearing - astray}")
    assert _same_but_rounding(here, laid(field, plan_of(*parts, guide=guide)))


def _direction(layout):
    """Return the direction of straight rows in the frame. [degrees]"""
    return float(layout.blocks[0].guides.direction(np.zeros((1, 2)))[0])


@given(land=lands, parts=PARTS)
@FEW
def test_mirroring_the_field_mirrors_the_layout(land, parts):
    # Rows north; the mirror image counts from the east where the field counted from the west.
    here = layout_or_none(field_of(land), plan_of(*parts, guide='bearing = 0.0\nfrom = "west"'))
    assume(here is not None and far_from_steps(here))
    field = moved_field(land, lambda shape: affinity.scale(shape, -1.0, 1.0, origin=(0, 0)))
    there = laid(field, plan_of(*parts, guide='bearing = 0.0\nfrom = "east"'))
    assert _same_but_rounding(here, there)


@given(land=lands, bearing=bearings, parts=PARTS, roll=st.integers(0, 20), back=st.booleans())
@FEW
def test_where_a_ring_begins_and_which_way_it_runs_change_nothing(land, bearing, parts, roll, back):
    plan = plan_of(*parts, guide=guide_for(bearing))
    here = layout_or_none(field_of(land), plan)
    assume(here is not None)
    field = moved_field(land, lambda shape: _redrawn(shape, roll, back))
    there = laid(field, plan)
    assert there.plan.guide == here.plan.guide
    assert summary(there) == summary(here)
    assert there.rows.t == pytest.approx(here.rows.t, abs=1e-9)
    for one, other in zip(here.ground.geometry, there.ground.geometry, strict=True):
        assert shapely.symmetric_difference(one, other, grid_size=1e-9).area < 1e-3


def _redrawn(polygon, roll, back):
    """The same polygon with its rings begun elsewhere, perhaps run the other way."""
    rings = [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(polygon)]
    rings = [np.roll(xy, roll, axis=0)[:: -1 if back else 1] for xy in rings]
    return Polygon(rings[0], rings[1:])


@given(land=lands, bearing=bearings, parts=PARTS)
@FEW
def test_the_same_field_and_plan_give_the_same_layout_to_the_bit(land, bearing, parts):
    field, plan = field_of(land), plan_of(*parts, guide=guide_for(bearing))
    one = layout_or_none(field, plan)
    assume(one is not None)
    other = laid(field, plan)
    assert shapely.equals_exact(one.ground.geometry, other.ground.geometry).all()
    assert (one.rows.lines.xy == other.rows.lines.xy).all()
    assert (one.trees.xy == other.trees.xy).all()
    assert one.gave_way == other.gave_way


@given(land=lands, bearing=bearings)
@FEW
def test_a_closed_form_checks_the_length_of_rows(land, bearing):
    # Rows 0.5 m apart stand for 0.5 m each, so length x spacing is the area, but for the ends of
    # the rows at edges and the 0.25 m beside the first and the last one.
    plan = plan_of(STRIPS.replace('"maize"', '"beans"'), guide=guide_for(bearing))
    layout = laid(field_of(land), plan)
    perimeter = shapely.length(layout.field.land)
    area = layout.rows.length.sum() * 0.5
    assert area == pytest.approx(layout.field.land.area, abs=0.25 * perimeter)


@given(land=lands, bearing=bearings)
@FEW
def test_a_resolved_plan_is_all_that_is_needed_to_lay_the_same_out_again(land, bearing):
    field, plan = field_of(land), plan_of(STRIPS, ENDS, guide=guide_for(bearing))
    assume(layout_or_none(field, plan) is not None)
    resolved = resolve_guides(plan, field, Drawn())
    again = resolve_guides(resolved, field, Drawn())
    assert guides_of(again.guide, field) == guides_of(resolved.guide, field)
    assert counts(lay_out(field, again)) == counts(laid(field, plan))
