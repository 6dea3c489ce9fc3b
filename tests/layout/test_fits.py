"""When nothing fits: the refusal names headland, width across, and a headland that would do."""

import re

import pytest
from shapely import box
from strategies import ALLEYS, STRIPS, field_of, laid, plan_of, refused

from geolayout.errors import LayoutError

SMALL = box(0, 0, 30, 20)


def ends(width, where="ends"):
    return f'[headland]\nwhere = "{where}"\nwidth = {width}'


def refusal(land, *parts, guide='near_edge = "south"'):
    error = refused(laid, field_of(land), plan_of(*parts, guide=guide))
    assert isinstance(error, LayoutError)
    return error


def test_headlands_that_meet_in_the_middle():
    # 30 m long, 2 x 15.2 m of headland: nothing between. 2 x 15 m would still leave nothing.
    error = refusal(SMALL, STRIPS, ends(15.2))
    assert "the headland takes 15.2 m (ends)" in error.found
    assert "20.0 m across the rows" in error.found
    assert "up to 14.9 m" in error.remedy


def test_a_headland_all_round_that_covers_the_field():
    # 20 m across: 9.9 m all round leave 0.2 m across, enough for a cut strip of 5 cm
    error = refusal(SMALL, STRIPS, ends(10.5, "all round"))
    assert "10.5 m (all round)" in error.found
    assert "up to 9.9 m" in error.remedy


def test_the_headland_that_is_named_leaves_room_for_the_band_that_must_close():
    # Alleys begin and close with C, at least 12 m: 20 m across, (20 - 12) / 2 = 4 m all round.
    # A tree band of 3 m alone is no layout.
    error = refusal(SMALL, ALLEYS, ends(6.0, "all round"))
    assert "up to 4.0 m" in error.remedy
    assert laid(field_of(SMALL), plan_of(ALLEYS, ends(4.0, "all round"))).ground.bands == 1


def test_where_no_headland_would_help_it_says_so():
    error = refusal(box(0, 0, 60, 8), ALLEYS, ends(6.0))
    assert "Even without headland there is no room" in error.remedy


def test_without_a_headland_the_width_is_to_blame():
    error = refusal(box(0, 0, 60, 8), ALLEYS)
    assert "8.0 m across the rows" in error.found
    assert "headland" not in error.found


@pytest.mark.parametrize("part", ["found", "why", "remedy"])
def test_every_part_is_one_sentence(part):
    for error in (refusal(SMALL, STRIPS, ends(15.2)), refusal(box(0, 0, 60, 8), ALLEYS)):
        assert re.fullmatch(r"[A-Z].*\.", getattr(error, part))


def test_a_block_is_refused_by_its_own_land():
    parts = """
[[block]]
name = "north"
part = { side = "north", width = 5.0 }
pattern = "strips"
[[block]]
name = "south"
rest = true
pattern = "strips"
"""
    # Each of two blocks is lost to a headland of 12 m all round a field 20 m across.
    error = refusal(SMALL, STRIPS, parts, ends(12.0, "all round"))
    assert "5.0 m across" in error.found
