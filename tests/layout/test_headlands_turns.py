"""Turns as lines: against closed forms, an independent set of formulas, and drives at random."""

import time

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from geolayout.errors import MeasureError
from geolayout.layout.headlands.turns import WORDS, shortest_turns, three_point_turns
from geolayout.plan.slanting import turn_depth_aslant, turn_length_aslant
from geolayout.plan.turns import turn_depth, turn_length, turn_word

RADIUS = 6.5  # invented
NORTHWARDS = [0.0, 0.0, 0.0]
FEW = settings(max_examples=60, deadline=None)
places = st.tuples(st.floats(-40, 40), st.floats(-40, 40), st.floats(0, 360))


def poses(count, seed):
    """Places within 40 m and any bearings."""
    rng = np.random.default_rng(seed)
    return np.column_stack([rng.uniform(-40, 40, (count, 2)), rng.uniform(0, 360, count)])


def apart(one, other):
    """How far two sets of places and bearings lie apart, bearings in degrees."""
    turn = np.abs((one[:, 2] - other[:, 2] + 180.0) % 360.0 - 180.0)
    return max(np.hypot(*(one - other)[:, :2].T).max(), turn.max())


def steered(start, side, run, steps=4000):
    """Where a machine comes out that is steered part by part, summed in small steps."""
    x, y, heading = start[0], start[1], np.radians(90.0 - start[2])
    for curve, far in zip(side, run, strict=True):
        step = far / steps
        headings = heading + curve / RADIUS * step * (np.arange(steps) + 0.5)
        x, y = x + np.cos(headings).sum() * step, y + np.sin(headings).sum() * step
        heading += curve * far / RADIUS
    return np.array([[x, y, 90.0 - np.degrees(heading)]])


# Square ends: the closed forms


@pytest.mark.parametrize("way", ["forward", "three-point"])
@pytest.mark.parametrize("spacing", [3.0, 6.0, 12.0, 13.0, 20.0])
def test_square_ends_turn_as_the_closed_forms_say(spacing, way):
    turn = {"forward": shortest_turns, "three-point": three_point_turns}[way]
    turns = turn([NORTHWARDS], [[spacing, 0.0, 180.0]], RADIUS)
    assert turns.length[0] == pytest.approx(turn_length(RADIUS, spacing, way), abs=1e-9)
    assert turns.depth([[0.0, 0.0]], [90.0])[0] == pytest.approx(
        turn_depth(RADIUS, spacing, way), abs=1e-9
    )


@pytest.mark.parametrize(
    ("spacing", "words"),
    [(6.0, ("LRL", "RLR")), (12.9, ("LRL", "RLR")), (13.1, ("RSR", "LSL"))],
    ids=["omega", "omega, hardly", "U"],
)
def test_words_to_the_right_and_to_the_left(spacing, words):
    ends = [[spacing, 0.0, 180.0], [-spacing, 0.0, 180.0]]
    turns = shortest_turns([NORTHWARDS] * 2, ends, RADIUS)
    assert tuple(turns.word) == words
    assert (turn_word(RADIUS, spacing) == "U") == (words == ("RSR", "LSL"))


def test_a_three_point_turn_goes_back_what_two_radii_exceed_the_passes():
    turns = three_point_turns([NORTHWARDS], [[6.0, 0.0, 180.0]], RADIUS)
    assert turns.backwards[0] == pytest.approx(2 * RADIUS - 6.0)
    assert turns.word[0] == "three-point"


# Slanting ends: the closed forms of plan/slanting


def slanting_grid():
    """Passes from 0.5 to 30 m apart that meet an edge at 5 to 90 degrees."""
    spacing, angle = (g.ravel() for g in np.meshgrid(np.linspace(0.5, 30, 60), np.arange(5, 91)))
    start = np.zeros((len(angle), 3))
    ahead = spacing / np.tan(np.radians(angle))
    end = np.column_stack([spacing, ahead, np.full(len(angle), 180.0)])
    return spacing, angle.astype(float), start, end


@pytest.mark.parametrize("flipped", [False, True], ids=["next pass longer", "next pass shorter"])
def test_shortest_ways_at_slanting_ends_are_as_deep_and_long_as_the_closed_forms(flipped):
    spacing, angle, start, end = slanting_grid()
    bearing = angle
    if flipped:  # the same edge from its other end: mirrored in the pass
        end, bearing = end * [1, -1, 1], 180.0 - angle
    turns = shortest_turns(start, end, RADIUS)
    length = [turn_length_aslant(RADIUS, *both) for both in zip(spacing, angle, strict=True)]
    depth = [turn_depth_aslant(RADIUS, *both) for both in zip(spacing, angle, strict=True)]
    assert turns.length == pytest.approx(np.array(length), abs=1e-7)
    assert turns.depth(start[:, :2], bearing) == pytest.approx(np.array(depth), abs=1e-9)
    assert set(turns.word) >= {"LRL", "RSR", "RSL" if flipped else "LSR"}


def test_three_point_turns_at_slanting_ends_are_as_the_closed_forms_say():
    spacing, angle, start, end = slanting_grid()
    near = spacing < 2 * RADIUS
    turns = three_point_turns(start[near], end[near], RADIUS)
    pairs = list(zip(spacing[near], angle[near], ["three-point"] * near.sum(), strict=True))
    length = np.array([turn_length_aslant(RADIUS, *pair) for pair in pairs])
    depth = np.array([turn_depth_aslant(RADIUS, *pair) for pair in pairs])
    assert turns.length == pytest.approx(length, abs=1e-9)
    assert turns.depth(start[near, :2], angle[near]) == pytest.approx(depth, abs=1e-9)


# Any two places


@pytest.mark.parametrize("turn", [shortest_turns, three_point_turns])
def test_turns_arrive_where_they_should(turn):
    start, end = poses(2000, 1), poses(2000, 2)
    turns = turn(start, end, RADIUS)
    told = np.isfinite(turns.length)
    assert told.sum() > 1990
    assert apart(turns.end[told], end[told]) < 1e-9


@given(start=places, end=places)
@example(start=(0.0, 0.0, 0.0), end=(6.0, 0.0, 180.0))
@FEW
def test_steering_by_a_turn_part_by_part_arrives(start, end):
    turns = shortest_turns([start], [end], RADIUS)
    came = steered(start, turns.side[0], turns.run[0])
    assert np.hypot(*(came[0] - end)[:2]) < 1e-3
    assert (turns.run >= 0.0).all()


@given(
    start=places,
    word=st.sampled_from(WORDS),
    run=st.tuples(st.floats(0, 40), st.floats(0, 40), st.floats(0, 40)),
)
@FEW
def test_no_drive_of_three_parts_is_shorter(start, word, run):
    side = [{"L": 1.0, "R": -1.0, "S": 0.0}[letter] for letter in word]
    end = steered(start, side, run)
    assert shortest_turns([start], end, RADIUS).length[0] <= sum(run) + 2e-3


def lengths_by_the_book(start, end):
    """
    Shortest lengths by the formulas in which radius, start and end line are normalised.

    A. M. Shkel and V. Lumelsky, Classification of the Dubins set, Robotics and Autonomous Systems
    34 (2001) 179-202, from memory; an independent road: no circle is drawn.
    """
    dx, dy = (end - start)[:, 0], (end - start)[:, 1]
    d, theta = np.hypot(dx, dy) / RADIUS, np.arctan2(dy, dx)
    a, b = (np.radians(90.0 - one[:, 2]) - theta for one in (start, end))
    sa, sb, ca, cb, cab = np.sin(a), np.sin(b), np.cos(a), np.cos(b), np.cos(a - b)
    full = 2 * np.pi
    with np.errstate(invalid="ignore"):
        p = np.sqrt(2 + d**2 - 2 * cab + 2 * d * (sa - sb))
        t = np.arctan2(cb - ca, d + sa - sb)
        lsl = (-a + t) % full + p + (b - t) % full
        p = np.sqrt(2 + d**2 - 2 * cab + 2 * d * (sb - sa))
        t = np.arctan2(ca - cb, d - sa + sb)
        rsr = (a - t) % full + p + (-b + t) % full
        p = np.sqrt(-2 + d**2 + 2 * cab + 2 * d * (sa + sb))
        t = np.arctan2(-ca - cb, d + sa + sb) - np.arctan2(-2.0, p)
        lsr = (-a + t) % full + p + (-b + t) % full
        p = np.sqrt(-2 + d**2 + 2 * cab - 2 * d * (sa + sb))
        t = np.arctan2(ca + cb, d - sa - sb) - np.arctan2(2.0, p)
        rsl = (a - t) % full + p + (b - t) % full
        p = full - np.arccos((6 - d**2 + 2 * cab + 2 * d * (sa - sb)) / 8)
        t = (a - np.arctan2(ca - cb, d - sa + sb) + p / 2) % full
        rlr = t + p % full + (a - b - t + p) % full
        p = full - np.arccos((6 - d**2 + 2 * cab + 2 * d * (sb - sa)) / 8)
        t = (-a + np.arctan2(-ca + cb, d + sa - sb) + p / 2) % full
        lrl = t + p % full + (b - a - t + p) % full
    return np.nanmin(np.stack([lsl, rsr, lsr, rsl, rlr, lrl]), axis=0) * RADIUS


def test_lengths_equal_an_independent_set_of_formulas():
    start, end = poses(5000, 3), poses(5000, 4)
    assert shortest_turns(start, end, RADIUS).length == pytest.approx(
        lengths_by_the_book(start, end), abs=1e-6
    )


@given(start=places, end=places, turn=st.floats(0, 360), east=st.floats(-500, 500))
@FEW
def test_turning_and_moving_both_places_changes_no_length(start, end, turn, east):
    def moved(pose):
        angle = np.radians(turn)
        x = pose[0] * np.cos(angle) + pose[1] * np.sin(angle) + east
        return [[x, pose[1] * np.cos(angle) - pose[0] * np.sin(angle), pose[2] + turn]]

    before = shortest_turns([start], [end], RADIUS).length[0]
    after = shortest_turns(moved(start), moved(end), RADIUS).length[0]
    assert _alike(before, after)


@given(start=places, end=places)
@FEW
def test_a_turn_driven_the_other_way_round_is_as_long(start, end):
    def about(pose):
        return [[pose[0], pose[1], pose[2] + 180.0]]

    before = shortest_turns([start], [end], RADIUS).length[0]
    after = shortest_turns(about(end), about(start), RADIUS).length[0]
    assert _alike(before, after)


def _alike(one, other):
    """Whether lengths are the same, but for a full circle that rounding adds or takes."""
    return min(abs(one - other), abs(abs(one - other) - 2 * np.pi * RADIUS)) < 1e-5


def test_depth_is_that_of_the_points_and_lines_keep_their_steps():
    start, end = poses(500, 5), poses(500, 6)
    turns = shortest_turns(start, end, RADIUS)
    lines = turns.lines
    depth = turns.depth(start[:, :2], start[:, 2])
    along = np.radians(90.0 - start[:, 2])
    normal = np.stack([-np.sin(along), np.cos(along)], axis=1)
    for i in range(len(turns)):
        xy = lines.xy[lines.offsets[i] : lines.offsets[i + 1]]
        seen = ((xy - start[i, :2]) @ normal[i]).max()
        # chords of half a metre lie 0.5^2 / (8 x 6.5) = 4.8 mm inside the arc
        assert -1e-9 <= depth[i] - seen <= 0.0049
    assert lines.length == pytest.approx(turns.length, abs=0.05)
    assert lines.ends(np.arange(500))[:, 1] == pytest.approx(end[:, :2], abs=1e-9)


def test_ten_thousand_turns_take_no_time():
    start, end = poses(10_000, 7), poses(10_000, 8)
    begun = time.perf_counter()
    assert len(shortest_turns(start, end, RADIUS).length) == 10_000
    assert time.perf_counter() - begun < 2.0  # 0.06 s where it was written


@pytest.mark.parametrize("radius", [0.0, -1.0, float("nan"), float("inf")])
def test_a_radius_that_is_none_is_refused(radius):
    with pytest.raises(MeasureError, match="A turn has a radius above 0"):
        shortest_turns([NORTHWARDS], [NORTHWARDS], radius)
