"""Fence posts that a person can count: fixed, centred, stretched, abreast, with gaps."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.layout.shapes.scan import Chords
from geolayout.layout.trees.posts import PostRule, clear_of_last, posts, without_gaps

STRAIGHT = np.array([False])
MOVED = np.array([True])


def chord(s0, s1):
    return Chords(np.array([0]), np.array([s0]), np.array([s1]))


@pytest.mark.parametrize(
    ("length", "step", "first", "last", "count"),
    [
        # floor((L - first - last) / s) + 1
        pytest.param(60.0, 4.0, 0.0, 0.0, 16, id="from end to end: 60 / 4 + 1 = 16"),
        pytest.param(60.0, 4.0, 2.0, 2.0, 15, id="half a step from both ends: 56 / 4 + 1 = 15"),
        pytest.param(59.9, 4.0, 0.0, 0.0, 15, id="a decimetre short: floor(14.98) + 1 = 15"),
        pytest.param(60.0, 4.0, 0.5, 3.0, 15, id="unequal ends: floor(56.5 / 4) + 1 = 15"),
        pytest.param(3.0, 4.0, 2.0, 2.0, 0, id="too short for both ends: none"),
        pytest.param(4.0, 4.0, 2.0, 2.0, 1, id="room for one"),
    ],
)
def test_posts_on_one_piece(length, step, first, last, count):
    piece = chord(10.0, 10.0 + length)
    _, s = posts(piece, piece, PostRule(step, first, last), STRAIGHT)
    assert len(s) == count
    assert s == pytest.approx(10.0 + first + step * np.arange(count))


def test_a_centimetre_of_slack_makes_room_for_the_last_post():
    _, s = posts(chord(0.0, 59.99), chord(-0.01, 60.0), PostRule(4.0, 0.0, 0.0), STRAIGHT)
    assert len(s) == 16
    assert s.min() >= -0.01
    assert s.max() <= 60.0


@given(
    length=st.floats(1.0, 500.0),
    step=st.floats(0.5, 20.0),
    first=st.floats(0.0, 10.0),
    last=st.floats(0.0, 10.0),
)
def test_posts_are_what_walking_the_row_would_count(length, step, first, last):
    piece = chord(0.0, length)
    _, s = posts(piece, piece, PostRule(step, first, last), STRAIGHT)
    walked, at = 0, first
    while at + last <= length + 1e-9 * length:
        walked, at = walked + 1, first + (walked + 1) * step
    edge = (length - first - last) / step
    if abs(edge - round(edge)) > 1e-6:
        assert len(s) == walked


# 61 m, 4 m apart, half a metre at both ends: floor(60 / 4) + 1 = 16 posts, and nothing left over;
# 63 m: 62 m between the ends, 16 posts on 60 m, 2 m left over.
@pytest.mark.parametrize(
    ("length", "set_out", "start", "step"),
    [
        pytest.param(63.0, "from start", 0.5, 4.0, id="fixed: what is left over lies at the end"),
        pytest.param(63.0, "centred", 1.5, 4.0, id="centred: 1 m of it at each end"),
        pytest.param(63.0, "equalised", 0.5, 62.0 / 15, id="equalised: 15 steps of 62 / 15 m"),
        pytest.param(61.0, "centred", 0.5, 4.0, id="nothing left over to centre"),
        pytest.param(61.0, "equalised", 0.5, 4.0, id="nothing left over to stretch"),
    ],
)
def test_what_is_left_over_goes_where_the_rule_says(length, set_out, start, step):
    piece = chord(0.0, length)
    _, s = posts(piece, piece, PostRule(4.0, 0.5, 0.5, set_out), STRAIGHT)
    assert s == pytest.approx(start + step * np.arange(16))


@pytest.mark.parametrize("set_out", ["centred", "equalised"])
def test_a_staggered_row_has_a_post_less_and_stands_between(set_out):
    piece = chord(0.0, 63.0)
    rule = PostRule(4.0, 0.5, 0.5, set_out)
    _, straight = posts(piece, piece, rule, STRAIGHT)
    _, moved = posts(piece, piece, rule, MOVED)
    assert moved == pytest.approx((straight[1:] + straight[:-1]) / 2)


@pytest.mark.parametrize("set_out", ["centred", "equalised"])
def test_one_post_that_has_no_room_to_spread(set_out):
    piece = chord(0.0, 5.0)
    _, s = posts(piece, piece, PostRule(4.0, 2.0, 2.0, set_out), STRAIGHT)
    # centred: 1 m left over, 0.5 m each side; equalised: no second post to stretch to
    assert s == pytest.approx([2.5 if set_out == "centred" else 2.0])


def test_aligned_posts_stand_on_the_marks_of_the_anchor():
    # Marks at 0, 4, 8 ...; 1 m from both ends: of 10 to 30 m those from 11 to 29: 12 ... 28.
    # Of -7 to 12 m those from -6 to 11: -4, 0, 4, 8. Moved by half a step: 14 ... 26.
    both = Chords(np.array([0, 1]), np.array([10.0, -7.0]), np.array([30.0, 12.0]))
    rule = PostRule(4.0, 1.0, 1.0, "aligned")
    stretch, s = posts(both, both, rule, np.array([False, False]))
    assert s[stretch == 0].tolist() == [12.0, 16.0, 20.0, 24.0, 28.0]
    assert s[stretch == 1].tolist() == [-4.0, 0.0, 4.0, 8.0]
    assert posts(chord(10.0, 30.0), chord(10.0, 30.0), rule, MOVED)[1].tolist() == [14, 18, 22, 26]


@given(
    low=st.floats(-300.0, 300.0),
    length=st.floats(0.1, 400.0),
    rule=st.builds(
        PostRule,
        st.floats(0.5, 20.0),
        st.floats(0.0, 10.0),
        st.floats(0.0, 10.0),
        st.sampled_from(["from start", "centred", "equalised", "aligned"]),
    ),
    moved=st.booleans(),
)
def test_posts_keep_their_distances_by_every_rule(low, length, rule, moved):
    true, wide = chord(low, low + length), chord(low - 0.01, low + length + 0.01)
    _, s = posts(true, wide, rule, np.array([moved]))
    assert np.all(s >= low + rule.first - 0.011)
    assert np.all(s <= low + length - rule.last + 0.011)
    assert np.all(np.diff(s) >= rule.step - 0.021)


@pytest.mark.parametrize(
    ("gap", "left"),
    [
        pytest.param((40.0, 52.0), [(0.0, 40.0), (52.0, 100.0)], id="within the stretch"),
        pytest.param((-5.0, 10.0), [(10.0, 100.0)], id="over its start"),
        pytest.param((95.0, 110.0), [(0.0, 95.0)], id="over its end"),
        pytest.param((120.0, 130.0), [(0.0, 100.0)], id="beyond it"),
        pytest.param((-1.0, 101.0), [], id="over all of it"),
    ],
)
def test_a_gap_is_cut_out_of_a_stretch(gap, left):
    true, wide = chord(0.0, 100.0), chord(-0.01, 100.01)
    low, high = (np.array([value]) for value in gap)
    one, two, source = without_gaps(true, wide, (low, high))
    assert list(zip(one.s0.tolist(), one.s1.tolist(), strict=True)) == left
    assert source.tolist() == [0] * len(left)
    # the slack of counting goes on into the gap, 1 cm each side
    assert np.all(two.s0 <= one.s0 - 0.0099)
    assert np.all(two.s1 >= one.s1 + 0.0099)


def test_across_a_gap_posts_are_dropped_until_one_is_far_enough():
    # 0 4 8 | 9.5 13.5 17.5 on one line: 9.5 is 1.5 m off; 13.5 is 5.5 m off 8 and stays
    line, piece = np.zeros(6, dtype=int), np.array([0, 0, 0, 1, 1, 1])
    s = np.array([0.0, 4.0, 8.0, 9.5, 13.5, 17.5])
    assert clear_of_last(line, piece, s, 4.0).tolist() == [True, True, True, False, True, True]
