"""Lines that go out and come back, cut off; all else left as drawn."""

import time

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from geolayout.land.boundary.spikes import without_spikes
from geolayout.land.frames.frame import Frame

FRAME = Frame(10.0, 52.0)
SQUARE = [(0, 0), (100, 0), (100, 100), (0, 100)]


def ground(*corners, holes=()):
    """Draw a polygon in metres around 10 east, 52 north, and give it in degrees."""
    return FRAME.to_geographic(Polygon(corners, holes))


def in_metres(tips):
    return FRAME.metres(np.array(tips).reshape(-1, 2)).round(2).tolist()


@pytest.mark.parametrize(
    ("corners", "tips"),
    [
        pytest.param(
            [(0, 0), (100, 0), (150, 0), (100, 0), (100, 100), (0, 100)],
            [[150, 0]],
            id="outward: the tip goes, and its foot is there once",
        ),
        pytest.param(
            [(0, 0), (50, 0), (50, 40), (50, 0), (100, 0), (100, 100), (0, 100)],
            [[50, 40]],
            id="inward, as a slit",
        ),
        pytest.param(
            [(0, 0), (100, 0), (120, 0), (150, 0), (120, 0), (100, 0), (100, 100), (0, 100)],
            [[150, 0], [120, 0]],
            id="corners on its way are bared and go too",
        ),
        pytest.param(
            [(150, 0), (100, 0), (100, 100), (0, 100), (0, 0), (100, 0)],
            [[150, 0]],
            id="the ring starts at its tip",
        ),
    ],
)
def test_a_spike_is_cut_off_and_its_tip_told(corners, tips):
    trimmed, cut = without_spikes(ground(*corners))
    assert in_metres(cut) == tips
    assert FRAME.to_local(trimmed).symmetric_difference(Polygon(SQUARE)).area < 0.01


@pytest.mark.parametrize(
    ("width", "tips"),
    [
        pytest.param(0.0008, [[0, 150]], id="under 1 mm wide encloses nothing"),
        pytest.param(0.0012, [], id="over 1 mm wide is land"),
    ],
)
def test_the_width_at_which_a_spike_ends(width, tips):
    # The line goes out 50 m to the north, from a foot `width` off the line it comes back on: the
    # meridian, which is straight in degrees as in metres. A parallel bows 0.5 mm on this length.
    drawn = ground((0, 0), (100, 0), (100, 100), (width, 100), (0, 150))
    trimmed, cut = without_spikes(drawn)
    assert in_metres(cut) == tips
    assert (trimmed is drawn) == (not tips)


def test_a_polygon_without_a_spike_comes_back_itself():
    drawn = ground(*SQUARE, holes=[[(10, 10), (20, 10), (20, 20), (10, 20)]])
    trimmed, cut = without_spikes(drawn)
    assert trimmed is drawn
    assert cut == []


def test_a_hole_loses_its_spike_and_keeps_its_ground():
    hole = [(10, 10), (20, 10), (40, 10), (20, 10), (20, 20), (10, 20)]
    trimmed, cut = without_spikes(ground(*SQUARE, holes=[hole]))
    assert in_metres(cut) == [[40, 10]]
    # 100 x 100 less 10 x 10.
    assert FRAME.to_local(trimmed).area == pytest.approx(9900, abs=0.01)


def test_a_hole_that_is_all_spike_is_dropped():
    trimmed, cut = without_spikes(ground(*SQUARE, holes=[[(10, 10), (40, 10), (20, 10)]]))
    assert len(cut) >= 1
    assert len(trimmed.interiors) == 0


def test_an_outer_ring_that_is_all_spike_stays_as_drawn():
    drawn = ground((0, 0), (100, 0), (50, 0))
    trimmed, cut = without_spikes(drawn)
    assert trimmed is drawn
    assert cut


@given(start=st.integers(0, 5), turned=st.booleans(), reach=st.integers(1, 500))
def test_start_and_winding_of_the_ring_change_no_ground(start, turned, reach):
    corners = [(0, 0), (100, 0), (100 + reach, 0), (100, 0), (100, 100), (0, 100)]
    corners = corners[start:] + corners[:start]
    trimmed, cut = without_spikes(ground(*(corners[::-1] if turned else corners)))
    assert in_metres(cut) == [[100 + reach, 0]]
    assert shapely.symmetric_difference(FRAME.to_local(trimmed), Polygon(SQUARE)).area < 0.01


def test_a_line_of_10_000_corners_out_and_back_goes_in_a_moment():
    """Each tip bares the next; the time must grow with the corners, not with their square."""
    out = [(x / 10, 0) for x in range(1000, 11_000)]
    drawn = ground((0, 0), *out, *out[-2::-1], (100, 100), (0, 100))
    begin = time.process_time()
    trimmed, tips = without_spikes(drawn)
    assert time.process_time() - begin < 3.0
    assert len(tips) == 9_999
    assert FRAME.to_local(trimmed).symmetric_difference(Polygon(SQUARE)).area < 0.01


def test_a_line_that_goes_to_and_fro_between_two_corners_goes_in_a_moment():
    drawn = ground(*[(0, 0), (100, 0)] * 5000, (100, 100), (0, 100))
    trimmed, tips = without_spikes(drawn)
    assert tips
    assert FRAME.to_local(trimmed).symmetric_difference(Polygon(SQUARE)).area < 0.01
