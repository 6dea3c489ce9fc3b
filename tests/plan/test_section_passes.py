"""Passes across the section: everything worked once, from the right edge, in the right phase."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.plan.grows import season_shift, stand_on
from geolayout.plan.parse import parse_plan
from geolayout.plan.section.passes import PassPlaces, place_passes, strips_across, worked_cuts
from geolayout.plan.section.section import cut_section, shifted
from geolayout.plan.slack import ACROSS_SLACK

PLAN = """
schema = 1
[[stand]]
name = "maize"
sowing = [ {{ crop = "maize", spacing = 0.75, operation = "plant" }} ]
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", spacing = 0.25 }} ]
[[machine]]
name = "machine"
working_width = {width}
[[operation]]
name = "{name}"
machine = "machine"
over = "{over}"
{more}
[[pattern]]
name = "p"
{pattern}
"""
STRIPS = (
    'bands = [ { name = "A", width = 6.0, stand = "maize" },'
    ' { name = "B", width = 6.0, stand = "beans" } ]'
)
ALLEYS = (
    'bands = [ { name = "A", width = 24.0, stand = "beans", min_width = 12.0 },'
    ' { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 5.0 } } ]\n'
    'close_with = "A"'
)
PLANT = '[[operation]]\nname = "plant"\nmachine = "machine"\n'


def placed(pattern: str, span: tuple[float, float], width: float, over: str, **said) -> PassPlaces:
    """Place the first operation, which no sowing names unless `name` says so."""
    name, shift = said.get("name", "spray"), said.get("shift", 0.0)
    more = f"offset = {said['offset']}\n" if "offset" in said else ""
    more += said.get("more", "")
    more += "" if name == "plant" else PLANT
    text = PLAN.format(width=width, over=over, name=name, more=more, pattern=pattern)
    plan = parse_plan(text)
    section = shifted(cut_section(plan.pattern(), (span[0] - shift, span[1] - shift)), shift)
    stands = [stand_on(plan, None, "", plan.pattern(), cut) for cut in section.cuts]
    return first_of(place_passes(plan, plan.pattern(), section, stands, shift))


def first_of(places: PassPlaces) -> PassPlaces:
    columns = ("operation", "number", "cut", "t0", "t1", "reach0", "reach1")
    mine = places.operation == 0
    return PassPlaces(*(getattr(places, column)[mine] for column in columns))


def fresh(places: PassPlaces) -> list[tuple[float, float]]:
    return list(zip(places.t0.tolist(), places.t1.tolist(), strict=True))


def centres(places: PassPlaces) -> list[float]:
    return ((places.reach0 + places.reach1) / 2).tolist()


# ---- strips across a piece of ground


@pytest.mark.parametrize(
    ("across", "width", "expected"),
    [
        pytest.param(12.0, 6.0, [(0, 6, 0, 6), (6, 12, 6, 12)], id="two passes fill it"),
        # 14 = 6 + 6 + 2: the third moves in to 8 ... 14 and works 4 m twice
        pytest.param(
            14.0, 6.0, [(0, 6, 0, 6), (6, 12, 6, 12), (12, 14, 8, 14)], id="the last moves inward"
        ),
        pytest.param(4.0, 6.0, [(0, 4, -1, 5)], id="narrower than the machine: in the middle"),
        pytest.param(12.04, 6.0, [(0, 6, 0, 6), (6, 12.04, 6.04, 12.04)], id="4 cm more, no pass"),
    ],
)
def test_passes_across_by_hand(across, width, expected):
    strips = [(s.t0, s.t1, s.reach0, s.reach1) for s in strips_across(0.0, across, width)]
    np.testing.assert_allclose(strips, expected, atol=1e-9)


grounds = st.integers(1, 2000).map(lambda n: n / 10)
machines = st.sampled_from([1.5, 3.0, 4.5, 6.0, 7.5, 9.0, 12.0, 24.0, 36.0])


@given(near=st.floats(-50.0, 50.0), across=grounds, width=machines)
@example(near=0.0, across=14.0, width=6.0)
def test_passes_cover_ground_once_and_reach_no_further(near, across, width):
    far = near + across
    strips = strips_across(near, far, width)
    assert (strips[0].t0, strips[-1].t1) == (near, far)
    assert all(a.t1 == pytest.approx(b.t0, abs=1e-9) for a, b in pairwise(strips))
    for strip in strips:
        assert strip.reach1 - strip.reach0 == pytest.approx(width)
        assert strip.t1 - strip.t0 <= width + ACROSS_SLACK + 1e-9
        if across >= width:
            assert strip.reach0 >= near - 1e-9
            assert strip.reach1 <= far + 1e-9


@given(count=st.integers(1, 40), width=machines, noise=st.floats(-0.03, 0.03))
def test_three_centimetres_change_no_number_of_passes(count, width, noise):
    assert len(strips_across(0.0, count * width + noise, width)) == count


# ---- over a band


def test_passes_over_bands_know_their_band():
    places = placed(STRIPS, (0.0, 24.0), 3.0, "band", name="plant")
    # A at 0 and 12 grow maize: two passes of 3 m each
    assert fresh(places) == [(0, 3), (3, 6), (12, 15), (15, 18)]
    assert places.cut.tolist() == [0, 0, 2, 2]
    assert places.number.tolist() == [1, 2, 3, 4]


def test_a_band_cut_at_the_near_side_is_worked_from_its_uncut_edge():
    """A cut to 4 m by the near edge: the full pass lies at its far edge, at 2 to 6 m."""
    places = placed(STRIPS, (2.0, 6.0), 3.0, "band", name="plant")
    assert fresh(places) == [(2, 3), (3, 6)]
    assert places.reach0.tolist() == [2, 3]


def test_a_band_cut_at_the_far_side_is_worked_from_its_near_edge():
    places = placed(STRIPS, (0.0, 16.0), 3.0, "band", name="plant")
    assert fresh(places) == [(0, 3), (3, 6), (12, 15), (15, 16)]
    assert places.reach0[-1] == 13.0


# ---- over a repeat


def test_a_planter_straddles_bands():
    """3 + 6 + 3 rows: a 9 m pass begins 2.25 m before each repeat of 4.5 + 4.5 m."""
    pattern = STRIPS.replace("6.0", "4.5").replace(
        '"beans"', '"maize"'
    )  # both bands are planted at once
    places = placed(pattern, (0.0, 40.0), 9.0, "pattern", name="plant", offset=-2.25)
    np.testing.assert_allclose(
        fresh(places), [(-2.25 + 9 * k, 6.75 + 9 * k) for k in range(5)], atol=1e-9
    )


def test_a_planter_of_twelve_rows_builds_strips_of_six():
    """
    Rows of 30 in, 12 to a pass of 9.144 m, bands of 4.572 m, passes from half a band before.

    The 3 + 6 + 3 rows are from a farm press article of 2011 (see published_L9.toml); that the
    rows are 30 in apart is our assumption.
    """
    pattern = STRIPS.replace("6.0", "4.572").replace('"beans"', '"maize"')
    places = placed(pattern, (0.0, 36.576), 9.144, "pattern", name="plant", offset=-2.286)
    rows = 0.381 + 0.762 * np.arange(6)
    for k in range(4):
        bands = np.concatenate([rows, 4.572 + rows]) + 9.144 * k
        first = places.t0[k]
        # its rows: 3 of the band before, 6 of A, 3 of B
        own = first + 0.381 + 0.762 * np.arange(12)
        np.testing.assert_allclose(own[3:], bands[:9], atol=1e-9)


@pytest.mark.parametrize("offset", [-30.0, -2.0, 0.0, 5.0, 30.0])
def test_an_offset_of_any_length_leaves_no_repeat_unworked(offset):
    places = placed(STRIPS, (0.0, 36.0), 12.0, "pattern", offset=offset)
    assert fresh(places)[0][0] <= 0
    assert fresh(places)[-1][1] >= 36
    assert all(a[1] == pytest.approx(b[0]) for a, b in pairwise(fresh(places)))


def test_the_rest_behind_the_repeats_is_worked_too():
    pattern = STRIPS + '\nrepeats = 1\nrest = "beans"'
    places = placed(pattern, (0.0, 60.0), 12.0, "pattern")
    assert fresh(places) == [(0, 12), (12, 24), (24, 36), (36, 48), (48, 60)]


# ---- over the block


def test_passes_over_the_block_begin_at_the_anchor():
    assert centres(placed(STRIPS, (0.0, 72.0), 24.0, "block")) == [12, 36, 60]


def test_a_boom_from_the_edge_runs_on_borders_and_an_offset_takes_it_off_them():
    """
    Strips of 6 m from the edge: tramlines at 12, 36 and 60 m lie on borders (12 = 2 x 6).

    With the passes 3 m further on they lie at 15, 39 and 63 m, in the middle of a strip.
    """
    borders = 6.0 * np.arange(13)
    on_borders = np.array(centres(placed(STRIPS, (0.0, 72.0), 24.0, "block")))
    assert np.abs(np.subtract.outer(on_borders, borders)).min(axis=1).max() == 0
    within = placed(STRIPS, (0.0, 75.0), 24.0, "block", offset=3.0)
    assert fresh(within) == [(0, 3), (3, 27), (27, 51), (51, 75)]
    assert centres(within)[1:] == [15, 39, 63]
    assert np.abs(np.subtract.outer(np.array(centres(within)[1:]), borders)).min() == 3


def test_an_offset_before_the_anchor_sets_the_phase_too():
    """From -3 m: the first pass works 0 to 21 m and its centre is at 9 m."""
    places = placed(STRIPS, (0.0, 69.0), 24.0, "block", offset=-3.0)
    assert fresh(places) == [(0, 21), (21, 45), (45, 69)]
    assert centres(places) == [9, 33, 57]


@pytest.mark.parametrize("near", [0.0, 0.4, -0.4], ids=lambda near: f"the land begins at {near} m")
def test_a_moved_edge_moves_no_pass(near):
    places = placed(STRIPS, (near, 72.0), 24.0, "block")
    assert centres(places)[-3:] == [12, 36, 60]


def test_passes_move_with_a_season_that_shifts_the_bands():
    places = placed(STRIPS, (0.0, 75.0), 24.0, "block", shift=3.0)
    assert centres(places)[1:] == [15, 39, 63]


def test_passes_over_the_block_begin_anew_after_every_tree_band():
    """24 + 3 + 24 + 3 + 24: the alleys begin at 0, 27 and 54 m."""
    places = placed(ALLEYS, (0.0, 78.0), 12.0, "block")
    assert fresh(places) == [(0, 12), (12, 24), (27, 39), (39, 51), (54, 66), (66, 78)]


def test_land_narrower_than_the_boom_gets_one_pass_in_its_middle_whatever_the_offset():
    places = placed(STRIPS, (0.0, 20.0), 24.0, "block", offset=5.0)
    assert fresh(places) == [(0, 20)]
    assert centres(places) == [10]


def test_the_last_pass_at_the_far_edge_moves_inward():
    """From 3 m: 3 ... 27, then 27 ... 30 with the boom moved in to 6 ... 30."""
    places = placed(STRIPS, (0.0, 30.0), 24.0, "block", offset=3.0)
    assert fresh(places) == [(0, 3), (3, 27), (27, 30)]
    assert places.reach0.tolist() == [0, 3, 6]


@given(
    near=st.integers(-40, 0),
    length=st.floats(1.0, 200.0),
    width=machines,
    offset=st.floats(-60.0, 60.0),
)
@example(near=0, length=30.04, width=24.0, offset=30.0)
def test_passes_over_the_block_cover_it_once_and_stay_in_phase(near, length, width, offset):
    far = near + length
    places = placed(STRIPS, (float(near), far), width, "block", offset=offset)
    strips = fresh(places)
    assert strips[0][0] == pytest.approx(near, abs=1e-9)
    assert strips[-1][1] == pytest.approx(far, abs=1e-9)
    assert all(a[1] == pytest.approx(b[0], abs=1e-9) for a, b in pairwise(strips))
    for (t0, t1), reach0 in zip(strips[1:-1], places.reach0[1:-1], strict=True):
        assert t1 - t0 == pytest.approx(width)
        assert reach0 == pytest.approx(t0)
        steps = (t0 - offset) / width
        assert steps == pytest.approx(round(steps), abs=1e-6)


# ---- which cuts


@pytest.mark.parametrize(
    ("name", "more", "expected"),
    [
        pytest.param("plant", "", [0], id="a sowing names it: bands with that sowing"),
        pytest.param("spray", PLANT, [0, 1], id="no sowing names it: all that grows"),
        pytest.param("spray", 'stands = ["beans"]\n' + PLANT, [1], id="it names its stands"),
    ],
)
def test_an_operation_works_its_bands(name, more, expected):
    text = PLAN.format(width=6.0, over="band", name=name, more=more, pattern=STRIPS)
    plan = parse_plan(text)
    section = cut_section(plan.pattern(), (0.0, 12.0))
    stands = [stand_on(plan, None, "", plan.pattern(), cut) for cut in section.cuts]
    assert worked_cuts(plan, plan.operations[0], section, stands) == expected


def test_a_rotation_takes_the_planter_to_the_other_bands():
    text = PLAN.format(width=6.0, over="band", name="plant", more="", pattern=STRIPS)
    plan = parse_plan(text + '[[season]]\nyear = 2028\ngrows = { A = "beans", B = "maize" }')
    season = plan.season(2028)
    section = cut_section(plan.pattern(), (0.0, 12.0))
    stands = [stand_on(plan, season, "", plan.pattern(), cut) for cut in section.cuts]
    assert season_shift(plan.pattern(), season) == 0
    assert worked_cuts(plan, plan.operations[0], section, stands) == [1]


def test_no_operations_no_passes():
    text = PLAN.format(width=6.0, over="band", name="x", more=PLANT, pattern=STRIPS)
    plan = parse_plan(text).model_copy(update={"operations": ()})
    section = cut_section(plan.pattern(), (0.0, 12.0))
    places = place_passes(plan, plan.pattern(), section, [None, None], 0.0)
    assert len(places.t0) == len(places.number) == 0
