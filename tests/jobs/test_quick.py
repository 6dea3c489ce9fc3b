"""Quick wishes: what they lay, and that they are plans like any other."""

import json
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod

from geolayout import jobs
from geolayout.errors import GeolayoutError, LayoutError, MeasureError, PlanError
from geolayout.jobs.quick import (
    AlleyWish,
    Ground,
    RowWish,
    StripWish,
    Tally,
    alley_wish,
    check_wish,
    field_features,
    lay_quickly,
    place_of,
    quick_plan,
    reach_of,
    tally,
)
from geolayout.land.frames.frame import Frame
from geolayout.land.readers import DrawnBoundary
from geolayout.layout.blocks.drawn import Drawn
from geolayout.plan.parse import parse_plan
from geolayout.plan.units import IMPERIAL, METRIC

FRAME = Frame(10.0, 52.0)

NORTHWARD = Ground(bearing=0.0, from_="west")


def drawn(width, height, name="home", **properties):
    """Return a rectangle as a boundary, in degrees."""
    box = shapely.box(-width / 2, -height / 2, width / 2, height / 2)
    return DrawnBoundary(FRAME.to_geographic(box), name, (), properties)


def features(wish, ground=NORTHWARD, boundary=None):
    """Return what a wish comes to on a field, a square of 60 m unless it is given."""
    boundary = boundary or drawn(60.0, 60.0)
    layout = lay_quickly(wish, ground, boundary)
    return [json.loads(line) for line in field_features(wish, layout, {}, 1)]


def metres(feature):
    """Return the corners of a feature in the frame of the invented field."""
    return FRAME.metres(shapely.get_coordinates(shapely.from_geojson(json.dumps(feature))))


def property_of(found, name):
    return [feature["properties"][name] for feature in found]


def test_rows_stand_half_a_spacing_from_the_edge_and_then_evenly():
    """60 m / 3 m: 20 rows of 60 m, at 1.5, 4.5 ... 58.5 m from the west."""
    rows = features(RowWish(3.0))
    assert property_of(rows, "row") == list(range(1, 21))
    assert property_of(rows, "length_m") == pytest.approx([60.0] * 20, abs=0.002)
    places = [metres(row)[:, 0].mean() + 30.0 for row in rows]
    assert places == pytest.approx(np.arange(1.5, 60.0, 3.0), abs=0.002)


def test_rows_are_counted_from_the_side_that_is_said():
    first = features(RowWish(3.0), Ground(bearing=0.0, from_="east"))[0]
    assert metres(first)[:, 0].mean() == pytest.approx(28.5, abs=0.002)


def test_a_start_moves_all_rows_by_as_much():
    """1 m on: rows at 2.5, 5.5 ... 59.5 m; none fits before 1 m."""
    rows = features(RowWish(3.0), Ground(bearing=0.0, from_="west", start=1.0))
    places = [metres(row)[:, 0].mean() + 30.0 for row in rows]
    assert places == pytest.approx(np.arange(2.5, 60.0, 3.0), abs=0.002)


def test_rows_before_the_start_keep_the_spacing_and_the_count():
    """7 m on with 3 m: rows at 8.5 and on, and before it at 5.5 and 2.5 m."""
    rows = features(RowWish(3.0), Ground(bearing=0.0, from_="west", start=7.0))
    places = [metres(row)[:, 0].mean() + 30.0 for row in rows]
    assert places == pytest.approx(np.arange(2.5, 60.0, 3.0), abs=0.002)
    assert property_of(rows, "row") == list(range(1, 21))


def test_a_headland_at_the_ends_shortens_the_rows():
    """60 m less 2 x 6 m."""
    rows = features(RowWish(3.0), Ground(bearing=0.0, from_="west", headland=6.0))
    assert property_of(rows, "length_m") == pytest.approx([48.0] * 20, abs=0.002)


def test_a_headland_all_round_and_a_margin_take_rows_too():
    """60 m less 2 x (6 + 1.5) m: 45 m, 15 rows of 45 m."""
    ground = Ground(bearing=0.0, from_="west", headland=6.0, where="all round", margin=1.5)
    assert property_of(features(RowWish(3.0), ground), "length_m") == pytest.approx(
        [45.0] * 15, abs=0.002
    )


def test_rows_follow_the_longest_edge_if_nothing_is_said():
    """90 m by 60 m: 20 rows of 90 m run east and west."""
    rows = features(RowWish(3.0), Ground(), drawn(90.0, 60.0))
    assert property_of(rows, "length_m") == pytest.approx([90.0] * 20, abs=0.002)


def test_rows_follow_the_edge_that_is_named():
    rows = features(RowWish(3.0), Ground(along="west"), drawn(90.0, 60.0))
    assert property_of(rows, "length_m") == pytest.approx([60.0] * 30, abs=0.002)
    assert metres(rows[0])[:, 0].mean() == pytest.approx(-43.5, abs=0.002)  # from the west


def test_strips_repeat_with_their_names_and_areas():
    """60 m / (6 + 4) m: six of each, of 360 and 240 m2."""
    strips = features(StripWish((6.0, 4.0), ("maize", "beans")))
    assert property_of(strips, "band") == ["maize", "beans"] * 6
    assert property_of(strips, "number") == list(range(1, 13))
    assert property_of(strips, "area_m2") == pytest.approx([360.0, 240.0] * 6, abs=0.05)


def test_strips_have_letters_for_names_if_nothing_is_said():
    assert property_of(features(StripWish((6.0, 6.0, 3.0))), "band")[:4] == ["A", "B", "C", "A"]


def test_what_is_left_at_the_far_side_is_a_narrower_strip():
    """60 = 3 x (10 + 7) + 9: the last is 9 m wide."""
    assert property_of(features(StripWish((10.0, 7.0))), "area_m2")[-1] == pytest.approx(
        540.0, abs=0.05
    )


def test_alleys_end_with_an_alley_and_count_their_trees():
    """100 m: 24 3 24 3 24 3 19. A row of 100 m with 8 m: floor((100 - 8) / 8) + 1 = 12 trees."""
    found = features(AlleyWish(24.0, 3.0, 8.0), NORTHWARD, drawn(100.0, 100.0))
    kinds = property_of(found, "kind")
    assert kinds == ["band"] * 7 + ["tree row"] * 3 + ["tree"] * 36
    assert property_of(found[:7], "area_m2") == pytest.approx(
        [2400, 300, 2400, 300, 2400, 300, 1900], abs=0.5
    )
    assert property_of(found[:7], "trees") == [False, True] * 3 + [False]
    assert [feature["id"] for feature in found] == list(range(1, 47))


def test_a_tree_row_reaches_from_its_first_tree_to_its_last():
    """12 trees, 8 m apart: 88 m."""
    rows = features(AlleyWish(24.0, 3.0, 8.0, what="rows"), NORTHWARD, drawn(100.0, 100.0))
    assert property_of(rows, "trees") == [12, 12, 12]
    assert property_of(rows, "length_m") == pytest.approx([88.0] * 3, abs=0.002)


def test_a_setback_keeps_trees_from_the_edge():
    """10 m at both ends leave 80 m: floor((80 - 8) / 8) + 1 = 10 trees in each of 3 rows."""
    trees = features(AlleyWish(24.0, 3.0, 8.0, 10.0, "trees"), NORTHWARD, drawn(100.0, 100.0))
    assert len(trees) == 30
    assert min(abs(metres(tree)[0, 1]) for tree in trees) == pytest.approx(4.0, abs=0.01)
    assert max(abs(metres(tree)[0, 1]) for tree in trees) <= 40.01


def test_the_pitch_is_alley_and_tree_strip_together():
    assert alley_wish((None, 27.0), tree_strip=3.0, in_row_spacing=8.0) == alley_wish(
        (24.0, None), tree_strip=3.0, in_row_spacing=8.0
    )


@pytest.mark.parametrize(
    ("width", "error", "match"),
    [
        pytest.param((None, None), PlanError, "given neither", id="neither width nor pitch"),
        pytest.param((24.0, 27.0), PlanError, "given both", id="both width and pitch"),
        pytest.param((None, 3.0), MeasureError, "Nothing is left", id="no more than the strip"),
    ],
)
def test_an_alley_has_one_width(width, error, match):
    with pytest.raises(error, match=match):
        alley_wish(width, tree_strip=3.0, in_row_spacing=8.0)


@pytest.mark.parametrize(
    ("wish", "ground", "match"),
    [
        pytest.param(
            StripWish((6.0, 6.0), ("A",)), Ground(), "2 widths .* 1 names", id="a name too few"
        ),
        pytest.param(
            StripWish((6.0, 6.0), ("A", "A")), Ground(), "two bands called A", id="a name twice"
        ),
        pytest.param(
            RowWish(3.0), Ground(bearing=0.0, along="west"), "2 ways", id="two directions"
        ),
        pytest.param(RowWish(3.0, "x" * 90), Ground(), "80", id="a crop with a long name"),
        pytest.param(RowWish(200_000.0), Ground(), "100000", id="a spacing beyond all fields"),
    ],
)
def test_a_wish_that_no_field_can_meet_is_refused_before_any_field(wish, ground, match):
    with pytest.raises(PlanError, match=match) as refusal:
        check_wish(wish, ground)
    assert "\n" not in str(refusal.value)


def test_what_fits_nowhere_is_said():
    with pytest.raises(LayoutError, match="Nothing was laid on home"):
        features(RowWish(200.0))


def test_the_plan_of_a_wish_is_a_plan_that_lays_the_same():
    wish, ground = AlleyWish(24.0, 3.0, 8.0, 2.0), Ground(along="west", headland=6.0, margin=1.0)
    layout = lay_quickly(wish, ground, drawn(100.0, 100.0))
    plan = parse_plan(quick_plan(wish, ground, "home", reach_of(layout.field, ground)))
    again = jobs.lay(jobs.Job(Path("home.toml"), "", plan, layout.field, Drawn()))
    assert np.array_equal(again.trees.xy, layout.trees.xy)
    assert np.array_equal(again.ground.area, layout.ground.area)


def test_the_plan_of_a_wish_begins_with_words_and_names_its_boundary():
    text = quick_plan(
        RowWish(3.0, "vines"), NORTHWARD, 'The "Long"\nField', 100.0, {"boundary": "home.gpkg"}
    )
    assert text.startswith('# Rows on The "Long" Field: ')
    plan = parse_plan(text)
    assert (plan.field.boundary, plan.field.name) == ("home.gpkg", 'The "Long"\nField')
    assert plan.stands[0].sowing[0].crop == "vines"


@pytest.mark.parametrize(
    ("properties", "own"),
    [
        pytest.param({}, None, id="no id"),
        pytest.param({"ID": 7}, "7", id="a column of any case"),
        pytest.param({"id": 1, "Field_ID": "N-12"}, "N-12", id="field_id goes first"),
    ],
)
def test_a_feature_says_which_field_it_is_of(properties, own):
    place = place_of(drawn(60.0, 60.0, **properties), 3)
    assert place == {"field": "home", "field_number": 3, "field_id": own}


def test_a_tally_adds_up_fields():
    """A square of 60 m: 20 rows of 60 m on 0.36 ha."""
    one = tally(lay_quickly(RowWish(3.0), NORTHWARD, drawn(60.0, 60.0)))
    both = one + one
    assert (both.fields, both.rows) == (2, 40)
    assert both.length == pytest.approx(2400.0, abs=0.05)
    assert RowWish(3.0).told(both, METRIC) == "2 fields of 0.720 ha: 40 rows of 2.40 km together."
    # 7,200 m2 / 4,046.86 m2, 2.4 km / 1.609344 km
    assert (
        RowWish(3.0).told(both, IMPERIAL)
        == "2 fields of 1.779 acres: 40 rows of 1.49 miles together."
    )


def test_one_of_each_is_said_in_the_singular():
    total = Tally(1, 10_000.0, 1, 100.0, 1, 1, 1)
    assert StripWish((6.0,)).told(total, METRIC) == "1 field of 1.000 ha: 1 strip."
    assert AlleyWish(24, 3, 8).told(total, METRIC) == "1 field of 1.000 ha: 1 tree in 1 row."


spacings = st.floats(0.5, 20.0).map(lambda value: round(value, 2))


@settings(max_examples=25, deadline=None)
@given(spacing=spacings, bearing=st.integers(0, 359), start=st.floats(-20.0, 20.0))
def test_neighbouring_rows_are_the_spacing_apart_on_the_ellipsoid(spacing, bearing, start):
    """Measured by geodesics from the middle of one row to the line of the next."""
    boundary = drawn(110.0, 75.0)
    ground = Ground(bearing=float(bearing), start=round(start, 2))
    try:
        rows = features(RowWish(spacing), ground, boundary)
    except GeolayoutError:  # none fits
        return
    geod = Geod(ellps="WGS84")
    for one, other in pairwise(rows):
        assert other["properties"]["row"] == one["properties"]["row"] + 1
        mid = metres(one).mean(axis=0)
        line = metres(other)
        along = (line[-1] - line[0]) / np.linalg.norm(line[-1] - line[0])
        foot = line[0] + ((mid - line[0]) @ along) * along
        (lon0, lat0), (lon1, lat1) = FRAME.lonlat(np.array([mid, foot]))
        assert geod.inv(lon0, lat0, lon1, lat1)[2] == pytest.approx(spacing, abs=0.002)


@settings(max_examples=25, deadline=None)
@given(widths=st.lists(spacings, min_size=1, max_size=4), bearing=st.integers(0, 179))
def test_strips_cover_the_field_once(widths, bearing):
    strips = features(StripWish(tuple(widths)), Ground(bearing=float(bearing)), drawn(110.0, 75.0))
    total = sum(property_of(strips, "area_m2"))
    # What is under 5 cm wide is no strip: 110 m of it at most along both sides.
    assert 110.0 * 75.0 - 2 * 0.05 * 134.0 <= total <= 110.0 * 75.0 + 0.5
