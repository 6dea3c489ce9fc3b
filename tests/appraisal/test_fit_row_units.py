"""Rows counted under machines."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.fit.row_units import (
    HeaderFit,
    gathers,
    guess_gap,
    header_fit,
    off_coulters,
    rows_of_header,
    straddles,
    straddling_tracks,
)
from geolayout.appraisal.fit.wheelings import straddle_room
from geolayout.plan.machines import Header, Machine


@pytest.mark.parametrize(
    ("width", "spacing", "rows", "whole"),
    [
        # yard arithmetic [geo]: 5.4 m against 8 rows of 0.75 m is 7.2 rows
        pytest.param(5.4, 0.75, 7.2, False, id="5.4 m is 7.2 rows of 0.75 m"),
        # yard arithmetic [geo]: 5.4 m against 9 of 10 rows at 0.60 m fits
        pytest.param(5.4, 0.60, 9.0, True, id="5.4 m is 9 rows of 0.60 m"),
    ],
)
def test_rows_of_a_header(width, spacing, rows, whole):
    assert rows_of_header(width, spacing) == pytest.approx(rows)
    assert header_fit(width, spacing, 10).whole is whole


@pytest.mark.parametrize(
    ("width", "spacing", "rows", "passes", "last"),
    [
        # yard arithmetic [geo]: 9 of 10 rows in the first pass, 1 in the second
        pytest.param(5.4, 0.60, 10, 2, 1, id="9 of 10 rows, then 1"),
        # 7 whole rows of the 7.2, so 8 rows take two passes and the last has 1
        pytest.param(5.4, 0.75, 8, 2, 1, id="7 of 8 rows, then 1"),
        pytest.param(6.0, 0.75, 8, 1, 8, id="all 8 at once"),
        pytest.param(6.0, 0.75, 16, 2, 8, id="8 and 8"),
        pytest.param(0.5, 0.75, 2, 2, 1, id="narrower than a row takes a row a pass"),
    ],
)
def test_passes_of_a_header(width, spacing, rows, passes, last):
    fit = header_fit(width, spacing, rows)
    assert (fit.passes, fit.last) == (passes, last)


@given(width=st.floats(1.0, 15.0), spacing=st.floats(0.1, 1.0), rows=st.integers(1, 60))
def test_passes_of_a_header_gather_every_row_once(width, spacing, rows):
    fit = header_fit(width, spacing, rows)
    a_pass = round(fit.rows_a_pass) if fit.whole else int(fit.rows_a_pass)
    assert (fit.passes - 1) * max(a_pass, 1) + fit.last == rows
    assert 1 <= fit.last <= max(a_pass, 1)


def test_a_header_not_bound_to_rows_takes_any():
    assert gathers(Header(width=5.4), 0.125)
    assert not gathers(Header(width=5.4), 0.75)
    assert not gathers(Header(width=6.0, rows=8), 0.25)


def test_a_fit_says_rows_and_passes():
    assert header_fit(6.0, 0.75, 8) == HeaderFit(8.0, True, 1, 8)


@pytest.mark.parametrize(
    ("spacing", "step", "off"),
    [
        pytest.param(0.25, 0.125, 0.0, id="every second coulter"),
        pytest.param(0.60, 0.75, 0.15, id="0.60 m in 0.75 m"),
        pytest.param(0.15, 0.125, 0.025, id="0.15 m in 0.125 m"),
        pytest.param(0.05, 0.125, 0.075, id="closer than the coulters"),
    ],
)
def test_rows_off_their_coulters(spacing, step, off):
    assert off_coulters(spacing, step) == pytest.approx(off)


def test_a_guess_row_is_what_the_width_leaves():
    # 6.15 m less 7 gaps of 0.75 m
    planter = Machine(name="p", working_width=6.15, rows=8, row_spacing=0.75)
    assert guess_gap(planter) == pytest.approx(0.90)
    assert guess_gap(Machine(name="s", working_width=24.0)) is None


@pytest.mark.parametrize(
    ("track", "fits"),
    [
        # yard arithmetic [geo]: 1.8 m straddles no 0.75 m rows, 1.5 or 2.25 m does
        pytest.param(1.8, False, id="1.8 m"),
        pytest.param(1.5, True, id="1.5 m"),
        pytest.param(2.25, True, id="2.25 m"),
    ],
)
def test_tracks_over_rows_of_0_75_m(track, fits):
    assert straddles(track, 0.75) is fits


@given(gaps=st.integers(1, 6), spacing=st.floats(0.4, 1.0))
def test_a_track_that_straddles_does_so_where_its_pass_is_said_to_run(gaps, spacing):
    (track, where), (_, other) = straddling_tracks((gaps + 0.5) * spacing, spacing)
    middle = 0.0 if where == "on a row" else spacing / 2  # a row stands at 0
    off = (middle + track / 2) % spacing
    assert off == pytest.approx(spacing / 2)
    assert straddle_room(track, spacing) == pytest.approx(spacing / 2)
    assert {where, other} == {"on a row", "between two rows"}
