"""Where tramlines fall within strips, and how they lie best."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from section_profiles import BEANS, MAIZE, SOWN, bands, idle, profile, strips, work

from geolayout.appraisal.fit.tramlines import best_phase, tramlines_of

SPRAYER = "working_width = 24.0\ntrack_width = 1.8\ntyre_width = 0.4"


def spraying(*parts, keys=SPRAYER, more="", span=(0.0, 72.0)):
    (found,) = tramlines_of(strips(work("spray", keys, "block", more), *parts, span=span))
    return found


def test_strips_of_6_m_from_the_edge_put_every_tramline_on_a_border():
    # yard arithmetic [geo]: strips of 6 m from the edge, tramlines at 12, 36, 60 m
    found = spraying()
    assert found.places.tolist() == pytest.approx([12.0, 36.0, 60.0])
    assert found.room.tolist() == pytest.approx([0.0, 0.0, 0.0])
    assert found.on_border.tolist() == [True, True, True]


def test_a_first_strip_of_3_m_puts_every_tramline_mid_strip_in_one_crop():
    # yard arithmetic [geo]: a first strip of 3 m; 12, 36, 60 m are 9, 33, 57 m from the anchor,
    # and strips run 6 to 12, 30 to 36, 54 to 60 m: all beans
    found = spraying(more="offset = -3.0", span=(-3.0, 69.0))
    assert (found.places + 3.0).tolist() == pytest.approx([12.0, 36.0, 60.0])
    assert found.room.tolist() == pytest.approx([3.0, 3.0, 3.0])
    assert not found.on_border.any()


def test_what_is_advised_is_what_helps():
    """Move strips as told, take it from the offset, and each tramline has the room told."""
    best = spraying().best
    assert (best.move, best.room) == (3.0, 3.0)
    moved = spraying(more=f"offset = {-best.move}", span=(-best.move, 72.0 - best.move))
    assert moved.room.min() == pytest.approx(best.room)
    assert moved.best.move == 0.0


@pytest.mark.parametrize(
    ("widths", "boom", "move", "room"),
    [
        # borders 0, 6 mod 12; tramlines 12 + 24 k lie on 0: turned by 3 m they are 3 m off
        pytest.param([6.0, 6.0], 24.0, 3.0, 3.0, id="6 and 6 m under 24 m"),
        # repeat 24, tramlines on 12, a border: 6 m either way
        pytest.param([12.0, 12.0], 24.0, 6.0, 6.0, id="12 and 12 m under 24 m"),
        # repeat 9, 24 is 6 past 18: tramlines on 3, 0, 6; borders 3, 9: every 3 m, so 1.5 m
        pytest.param([3.0, 6.0], 24.0, 1.5, 1.5, id="3 and 6 m under 24 m"),
        # repeat 24, tramlines on 12, borders 6 and 24: 12 m in a strip of 18, its middle is 15
        pytest.param([6.0, 18.0], 24.0, 21.0, 9.0, id="6 and 18 m under 24 m"),
    ],
)
def test_best_phases_on_paper(widths, boom, move, room):
    found = best_phase(widths, boom, 20)
    assert (found.move, found.room) == (pytest.approx(move), pytest.approx(room))


@given(
    halves=st.lists(st.integers(2, 36), min_size=2, max_size=4),
    boom=st.sampled_from([12.0, 18.0, 24.0, 27.0, 36.0]),
    count=st.integers(1, 30),
    offset=st.integers(-40, 40).map(lambda halves: halves / 2),
)
@example(halves=[12, 12], boom=24.0, count=3, offset=0.0)
def test_no_other_phase_gives_more_room(halves, boom, count, offset):
    """Against every quarter of a metre, tried one by one."""
    widths = [half / 2 for half in halves]
    repeat, ends = sum(widths), np.cumsum(widths)
    lines = offset + boom / 2 + boom * np.arange(count)

    def room(move):
        place = (lines[:, None] - move - ends[None, :]) % repeat
        return np.minimum(place, repeat - place).min()

    best = best_phase(widths, boom, count, offset)
    tried = max(room(move) for move in np.arange(0.0, repeat, 0.25))
    assert best.room >= tried - 1e-6
    assert room(best.move) == pytest.approx(best.room, abs=1e-5)
    assert 0.0 <= best.move < repeat


def test_a_wheel_on_the_border_counts_though_the_middle_is_beside_it():
    # Offset 1 m: the middle is 1 m from the border, a wheel reaches 0.9 + 0.2 m.
    found = spraying(more="offset = -1.0", span=(-1.0, 71.0))
    assert found.room.tolist() == pytest.approx([1.0, 1.0, 1.0])
    assert found.on_border.all()
    narrow = spraying(keys="working_width = 24.0", more="offset = -1.0", span=(-1.0, 71.0))
    assert not narrow.on_border.any()


def test_a_machine_that_no_operation_names_has_tramlines_too():
    (found,) = tramlines_of(strips(idle("sprayer", SPRAYER)))
    assert found.operation.name == "spray?"


def test_one_crop_has_no_borders_and_bands_of_their_own_no_tramlines():
    one = profile(MAIZE, bands(6.0), work("spray", SPRAYER, "block"), SOWN, BEANS)
    assert tramlines_of(one) == []
    assert tramlines_of(strips(work("spray", SPRAYER))) == []


def test_strips_that_stay_are_told_the_offset_instead():
    # A trial's plots, or strips laid twice only: borders 6, 12, 18, tramlines at 12 + 24 k.
    plan = [MAIZE, BEANS, bands(6.0, 6.0, more="repeats = 2"), SOWN]
    (found,) = tramlines_of(profile(*plan, work("spray", SPRAYER, "block"), span=(0.0, 72.0)))
    assert not found.repeats
    moved = (12.0 + found.best.move) % 24.0
    assert min(abs(moved - border) for border in (6.0, 12.0, 18.0, 30.0)) >= found.best.room - 1e-6


def test_alleys_begin_anew_and_are_told_no_move():
    alleys = (
        '[[pattern]]\nname = "a"\nbands = [ { name = "A", width = 6.0, stand = "maize" },'
        ' { name = "B", width = 6.0, stand = "beans" },'
        ' { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 8.0 } } ]'
    )
    (found,) = tramlines_of(
        profile(MAIZE, BEANS, alleys, SOWN, work("spray", "working_width = 12.0", "block"))
    )
    assert found.best is None
    assert found.room.tolist() == pytest.approx([0.0, 0.0, 0.0, 0.0])
