"""Wheel tracks across the section. Widths are invented; the sums are written out."""

import numpy as np
import pytest

from geolayout.plan.parse import parse_plan
from geolayout.plan.section.passes import place_passes
from geolayout.plan.section.rows import place_rows
from geolayout.plan.section.section import cut_section
from geolayout.plan.section.tracks import sown_places, track_places

PLAN = """
schema = 1
[guide]
bearing = 0.0
[[stand]]
name = "wheat"
sowing = [{{ crop = "wheat", spacing = 0.25, skip = ["spray"] }}]
[[pattern]]
name = "all"
bands = [{{ name = "A", width = 12.0, stand = "wheat" }}]
[[machine]]
name = "sprayer"
working_width = 12.0
track_width = {track}
tyre_width = {tyre}
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""


def across(track, tyre, far=12.0):
    plan = parse_plan(PLAN.format(track=track, tyre=tyre))
    pattern = plan.pattern()
    section = cut_section(pattern, (0.0, far))
    stands = [plan.stand("wheat")] * len(section.cuts)
    passes = place_passes(plan, pattern, section, stands, 0.0)
    return plan, stands, place_rows(section.cuts, stands), passes


def test_tracks_lie_half_a_track_each_side_of_the_pass():
    plan, _, _, passes = across(1.8, 0.4)
    # one pass of 12 m, centre 6.0: tracks at 6.0 - 0.9 and 6.0 + 0.9
    assert track_places(plan, 0, passes) == pytest.approx([5.1, 6.9])


def test_rows_under_a_tyre_are_left_out():
    plan, stands, rows, passes = across(1.8, 0.4)
    sown = sown_places(plan, stands, rows, passes)
    # rows at 0.125 + 0.25 k. Tyre 4.9 to 5.3 m covers 5.125 only (4.875 and 5.375 lie outside);
    # tyre 6.7 to 7.1 m covers 6.875 only (6.625 and 7.125 lie outside).
    assert rows.t[~sown] == pytest.approx([5.125, 6.875])


def test_a_row_at_the_tyres_edge_stays():
    plan, stands, rows, passes = across(1.75, 0.5)
    # tracks at 5.125 and 6.875; tyre edges at 4.875 and 5.375, where rows stand: they stay
    left_out = rows.t[~sown_places(plan, stands, rows, passes)]
    assert left_out == pytest.approx([5.125, 6.875])


def test_every_pass_leaves_its_tracks():
    plan, stands, rows, passes = across(1.8, 0.4, far=24.0)
    left_out = rows.t[~sown_places(plan, stands, rows, passes)]
    assert left_out == pytest.approx([5.125, 6.875, 17.125, 18.875])


def test_a_machine_without_track_width_has_no_tracks():
    text = PLAN.format(track=1.8, tyre=0.4).replace(', skip = ["spray"]', "")
    text = text.replace("track_width = 1.8\ntyre_width = 0.4\n", "")
    plan = parse_plan(text)
    section = cut_section(plan.pattern(), (0.0, 12.0))
    stands = [plan.stand("wheat")]
    passes = place_passes(plan, plan.pattern(), section, stands, 0.0)
    rows = place_rows(section.cuts, stands)
    assert len(track_places(plan, 0, passes)) == 0
    assert np.all(sown_places(plan, stands, rows, passes))
