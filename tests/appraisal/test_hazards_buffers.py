"""Turns that fall on strips beside water, margins and tree strips, with sums on paper."""

import pytest
from appraisal_layouts import LAND, close, feature_in, layout_of, of_key, one_stand, the_one
from appraisal_layouts import worked_by as machine_for
from shapely import LineString, box

KEY = "turn-on-buffer"
MAIZE = '{ crop = "maize", spacing = 0.75, operation = "work" }'
PLANTER = machine_for("planter", "working_width = 6.0\nturning_radius = 6.5")
NEED = 18.3741  # sqrt(4 x 6.5^2 - 9.5^2) + 6.5 + 3, the omega of 6 m passes and half the implement
SOUTH = LineString([(-30, 0), (90, 0)])
TREES = (
    f'[[stand]]\nname = "crop"\nsowing = [ {MAIZE} ]\n'
    '[[pattern]]\nname = "alleys"\nclose_with = "C"\nbands = [\n'
    '  { name = "C", width = 24.0, stand = "crop" },\n'
    '  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 5.0 } },\n]'
)


def ends(width, more=""):
    return f'[headland]\nwhere = "ends"\nwidth = {width}\n{more}'


def field(*parts, **place):
    return layout_of(one_stand(MAIZE, "6.0"), PLANTER, *parts, **place)


def ditch(distance):
    return feature_in(LAND, "ditch", SOUTH, "top of bank", half_width=1.0, all=distance)


def test_what_a_narrow_headland_lacks_falls_on_the_strip_beside_a_ditch():
    # The headland is measured from 1 + 6 = 7 m. It lacks 18.37 - 10 = 8.37 m, and there are 7 m.
    caution = the_one(field(ends(10.0), features=[ditch(6.0)]), KEY)
    assert (caution.code, caution.severity) == ("W28", "warning")
    assert caution.value == pytest.approx(7.0 * 60, rel=1e-3)
    for words in ("along 60 m", "10.0 m", "planter takes 18.4 m", "strip kept beside the ditch"):
        assert words in caution.sentence
    assert 'edge = [ { side = "south", width = 18.4 } ]' in caution.remedy
    assert "filter strip is no turning headland" in caution.remedy


def test_only_what_is_lacking_falls_on_it():
    # 18.37 - 16 = 2.37 m x 60 m
    caution = the_one(field(ends(16.0), features=[ditch(6.0)]), KEY)
    assert caution.value == close((NEED - 16.0) * 60)


POND = box(12, 50, 48, 70)


def pond(distance):
    return feature_in(LAND, "pond", POND, "top of bank", all=distance)


def test_passes_that_end_at_the_strip_round_a_pond_are_told():
    # The strip lies from 8 to 52 m across, so passes of 6 m centred at 15, 21 ... 45 m end at it
    # from both sides, 6 x 2; those at 9 and 51 m have ground beside it and go on.
    caution = the_one(field(ends(18.4), features=[pond(4.0)]), KEY)
    assert caution.value == 12
    assert "end 12 times at the strip kept beside the pond" in caution.sentence
    assert "round_obstacles = true" in caution.remedy


def test_a_headland_round_the_pond_that_holds_the_turn_settles_it():
    more = "round_obstacles = true"
    assert of_key(field(ends(18.4, more), features=[pond(4.0)]), KEY) == []
    caution = the_one(field(ends(15.0, more), features=[pond(4.0)]), KEY)
    assert "where the headland is 15.0 m" in caution.sentence
    assert caution.remedy.startswith("Widen the headland to 18.4 m")


def test_a_pond_without_a_strip_is_turned_at_like_any_obstacle():
    assert of_key(field(ends(18.4), features=[pond(0.0)]), KEY) == []


def test_without_a_headland_there_is_none_to_be_too_narrow():
    caution = the_one(field(features=[ditch(6.0)]), KEY)
    assert "where there is no headland" in caution.sentence


@pytest.mark.parametrize(
    ("headland", "features"),
    [
        pytest.param(ends(18.4), [ditch(6.0)], id="the headland holds the turn"),
        pytest.param(
            ends(10.0, 'edge = [ { side = "south", width = 18.4 } ]'),
            [ditch(6.0)],
            id="the edge beside it does",
        ),
        pytest.param(ends(10.0), [], id="nothing lies beside it"),
        pytest.param(
            ends(10.0),
            [
                feature_in(
                    LAND,
                    "ditch",
                    LineString([(0, -30), (0, 150)]),
                    "top of bank",
                    half_width=1.0,
                    all=6.0,
                )
            ],
            id="rows run beside it",
        ),
        pytest.param(
            ends(10.0),
            [feature_in(LAND, "fence", SOUTH, "centre line", half_width=0.5)],
            id="fence",
        ),
    ],
)
def test_where_no_turn_falls_on_a_strip_nothing_is_said(headland, features):
    assert of_key(field(headland, features=features), KEY) == []


def test_a_filter_strip_is_no_turning_headland():
    # A strip of 5 m along the south edge; 18.37 - 16 = 2.37 m of the turn fall on it.
    strip = feature_in(LAND, "filter strip", box(0, 0, 60, 5))
    caution = the_one(field(ends(16.0), features=[strip]), KEY)
    assert caution.value == close((NEED - 16.0) * 60)
    assert "falls on the filter strip" in caution.sentence
    assert "Filter Strip, Code 393" in caution.source


def test_a_margin_is_a_note():
    # 3 m all round leave 54 m; both ends lack 8.37 m: 2 x 3 x 54
    caution = the_one(field(ends(10.0), "[margin]\nwidth = 3.0\nstand = 'crop'"), KEY)
    assert caution.severity == "note"
    assert caution.value == pytest.approx(2 * 3.0 * 54, rel=1e-3)
    assert "may be driven on" in caution.remedy


def test_tree_strips_that_end_with_the_rows_lie_where_a_turn_inside_is_made():
    # Passes end at both edges without headland: 18.37 m of each strip at both ends.
    layout = layout_of(TREES, PLANTER)
    strips = layout.ground.area[layout.ground.kind == "tree band"].sum() / 120
    caution = the_one(layout, KEY)
    assert strips > 0.0
    assert caution.value == pytest.approx(2 * NEED * strips, rel=1e-3)
    assert "would be turned on the tree strips" in caution.sentence


def test_a_machine_without_a_radius_takes_a_working_width():
    drill = machine_for("drill", "working_width = 4.0")
    layout = layout_of(one_stand(MAIZE, "4.0"), drill, ends(2.0), features=[ditch(6.0)])
    # 4 - 2 = 2 m x 60 m
    assert the_one(layout, KEY).value == close(2.0 * 60)
