"""Where wheels run, and what a sowing leaves out for them."""

import numpy as np
import pytest
from appraisal_layouts import close, layout_of, worked_by
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.fit.wheelings import (
    pass_centres,
    straddle_room,
    wheel_ground,
)
from geolayout.appraisal.growing import sown
from geolayout.plan.machines import Machine
from geolayout.plan.section.tracks import tracks_beside

SPRAYER = "working_width = 12.0\ntrack_width = 1.8\ntyre_width = 0.5"


def sprayed(keys=SPRAYER, *, skip='skip = ["spray"]'):
    """Broadcast 60 m in beds of 6 m, sprayed 12 m at a time across the block."""
    stand = (
        f'[[stand]]\nname = "s"\nsowing = [ {{ crop = "clover", place = "broadcast", {skip} }} ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "s" } ]'
    )
    return layout_of(stand, worked_by("sprayer", keys, "block", "spray"))


def test_passes_have_their_centres_half_a_width_in():
    # 60 m in passes of 12 m.
    centres = pass_centres(sprayed(), 0, 0)
    assert centres - centres[0] == close([0.0, 12.0, 24.0, 36.0, 48.0])


def test_each_pass_has_two_tracks():
    machine = Machine(name="sprayer", working_width=12.0, track_width=1.8)
    tracks = tracks_beside(np.array([6.0, 18.0]), machine)
    assert sorted(tracks.tolist()) == pytest.approx([5.1, 6.9, 17.1, 18.9])


def test_a_machine_that_says_no_track_width_has_no_tracks():
    assert len(tracks_beside(np.array([6.0]), Machine(name="m", working_width=12.0))) == 0


def test_ground_left_out_is_tracks_times_tyre_times_length():
    # 5 passes x 2 tracks x 0.5 m x 120 m.
    layout = sprayed()
    assert wheel_ground(layout, list(sown(layout))) == close(5 * 2 * 0.5 * 120)


def test_a_sowing_that_skips_nothing_leaves_nothing_out():
    layout = sprayed(skip="harvested = false")
    assert wheel_ground(layout, list(sown(layout))) == 0.0


@given(track=st.floats(1.2, 3.2), spacing=st.floats(0.2, 1.0))
@example(track=1.8, spacing=0.75)
@example(track=2.25, spacing=0.75)
def test_room_is_the_best_that_any_place_of_the_pass_gives(track, spacing):
    """Tried out over one spacing: both wheels against rows at whole spacings."""
    left = np.linspace(0.0, spacing, 2001)
    wheels = np.stack([left, left + track]) % spacing
    tried = np.minimum(wheels, spacing - wheels).min(axis=0).max()
    assert straddle_room(track, spacing) == pytest.approx(tried, abs=spacing / 1000)
