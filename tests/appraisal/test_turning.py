"""The headland a layout needs for the turns of its machines."""

import pytest
from appraisal_layouts import (
    HEADLAND,
    LAND,
    MACHINES,
    STANDS,
    feature_in,
    layout_of,
    of_key,
    one_stand,
    the_one,
)
from shapely import Polygon, box

MAIZE = '{ crop = "maize", spacing = 0.75, operation = "work" }'


ALL = ("north", "east", "south", "west")


def field(
    *, headland, keys="working_width = 6.0\nturning_radius = 6.5", more="", width="6.0", **place
):
    machine = f'[[machine]]\nname = "planter"\n{keys}'
    work = '[[operation]]\nname = "work"\nmachine = "planter"\nover = "band"'
    land = f'[headland]\nwhere = "ends"\nwidth = {headland}\n{more}' if headland else ""
    return layout_of(one_stand(MAIZE, width), machine, work, land, **place)


def test_a_narrow_headland_names_all_three_figures_and_the_first_step_that_fits():
    caution = the_one(field(headland=13.2), "headland-too-narrow")
    assert caution.code == "W09"
    assert caution.value == pytest.approx(18.37, abs=0.01)
    assert caution.threshold == 13.2
    for words in ("18.4 m", "13.1 m", "13.0 m on 9.5 m", "every second pass is the first"):
        assert words in caution.sentence


@pytest.mark.parametrize(
    ("headland", "words"),
    [
        pytest.param(10.0, "every third pass is the first that fits", id="18 m is two radii"),
        pytest.param(9.0, "no step fits", id="less than radius and half the implement"),
        pytest.param(0.0, "there is no headland", id="no headland"),
    ],
)
def test_which_step_fits(headland, words):
    assert words in the_one(field(headland=headland), "headland-too-narrow").sentence


def test_a_headland_that_holds_the_neighbouring_turn_is_left_in_peace():
    assert of_key(field(headland=18.4), "headland-too-narrow") == []


def test_strips_of_two_crops_are_two_strips_apart():
    # Maize in every second strip of 6 m: the neighbouring pass is 12 m on and takes 13.1 m.
    bands = (
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "maize" },'
        ' { name = "B", width = 6.0, stand = "beans" } ]'
    )
    machines = MACHINES.replace(
        "working_width = 6.0\n", "working_width = 6.0\nturning_radius = 6.5\n"
    )
    caution = the_one(layout_of(STANDS, bands, machines, HEADLAND), "headland-too-narrow")
    assert caution.value == pytest.approx(13.07, abs=0.01)


def test_two_operations_of_one_machine_are_one_line():
    keys = "working_width = 6.0\nturning_radius = 6.5"
    machine = f'[[machine]]\nname = "tractor"\n{keys}'
    work = "\n".join(
        f'[[operation]]\nname = "{name}"\nmachine = "tractor"' for name in ("work", "hoe")
    )
    land = '[headland]\nwhere = "ends"\nwidth = 12.0'
    caution = the_one(
        layout_of(one_stand(MAIZE, "6.0"), machine, work, land), "headland-too-narrow"
    )
    assert "work and hoe" in caution.sentence
    assert caution.count == 2


def test_a_machine_without_a_radius_is_said_and_not_guessed():
    layout = field(headland=12.0, keys="working_width = 6.0")
    assert of_key(layout, "headland-too-narrow") == []
    assert "planter" in the_one(layout, "turning-radius-not-given").sentence


# Edge by edge


def edges(**widths):
    """Edges of the headland with widths of their own."""
    entries = ", ".join(f'{{ side = "{side}", width = {width} }}' for side, width in widths.items())
    return f"edge = [ {entries} ]"


def test_the_edge_that_is_too_narrow_is_named():
    caution = the_one(field(headland=18.4, more=edges(north=6.0)), "headland-too-narrow")
    assert "the headland is 6.0 m on the north edge, so no step fits" in caution.sentence
    assert caution.remedy.startswith("Widen it there to 18.4 m, or turn in three points")
    assert caution.threshold == 6.0


def test_an_edge_without_headland_is_named_beside_a_narrow_one():
    caution = the_one(field(headland=12.0, more=edges(south=0.0)), "headland-too-narrow")
    assert "the headland is 12.0 m on the north edge, with none on the south edge" in (
        caution.sentence
    )
    bare = the_one(field(headland=18.4, more=edges(south=0.0)), "headland-too-narrow")
    assert "there is no headland on the south edge" in bare.sentence


def test_edges_at_which_no_pass_ends_are_left_out():
    assert of_key(field(headland=18.4, more=edges(east=2.0)), "headland-too-narrow") == []


def test_the_three_point_turn_stands_beside_the_omega():
    # R + w/2 = 9.5 m; pi 6.5 + 13 - 6 = 27.4 m driven, the omega 40.0 m
    remedy = the_one(field(headland=13.2), "headland-too-narrow").remedy
    assert "turn in three points (9.5 m, 27 m driven instead of 40 m)" in remedy
    assert "a trailed implement may not follow" in remedy
    assert "(omega)" in the_one(field(headland=13.2), "headland-too-narrow").sentence


def test_wide_passes_turn_in_a_u_and_need_no_three_points():
    keys = "working_width = 15.0\nturning_radius = 6.5"
    caution = the_one(field(headland=10.0, keys=keys, width="15.0"), "headland-too-narrow")
    # R + 15 / 2 = 14 m
    assert caution.value == pytest.approx(14.0)
    assert "takes 14.0 m (U)" in caution.sentence
    assert "three points" not in caution.remedy


SLANT = Polygon([(0, 0), (60, 0), (60, 140), (0, 120)])
"""Its north edge rises by 20 m in 60: passes north meet it at atan(60 / 20) = 71.57 degrees."""


def test_passes_that_meet_an_edge_aslant_need_what_the_closed_form_says():
    # d = 6 / tan 71.57 = 2; D = sqrt(19^2 + 2^2) = 19.105; sqrt(169 - 91.25) = 8.818
    # (6 / 0.94868 + 13 x 0.94868) / 19.105 = 0.97658; 8.818 x 0.97658 + 6.5 = 15.111
    # half an implement, and as much times cos 71.57 driven on: 3 x 1.31623 = 3.949
    caution = the_one(field(headland=18.4, land=SLANT), "headland-too-narrow")
    assert caution.value == pytest.approx(19.060, abs=1e-3)
    assert "passes meet the north edge at 72 degrees" in caution.sentence
    assert of_key(field(headland=19.1, land=SLANT), "headland-too-narrow") == []


@pytest.mark.parametrize("round_it", [True, False], ids=["turned at", "driven round"])
def test_obstacles_with_a_headland_are_held_against_the_turn_too(round_it):
    shed = feature_in(LAND, "building", box(20, 50, 40, 70))
    wide = edges(**dict.fromkeys(ALL[::2], 19.0))
    more = wide + ("\nround_obstacles = true" if round_it else "")
    layout = field(headland=12.0, more=more, features=[shed])
    if round_it:
        sentence = the_one(layout, "headland-too-narrow").sentence
        assert "the headland is 12.0 m on obstacles" in sentence
    else:
        assert of_key(layout, "headland-too-narrow") == []
