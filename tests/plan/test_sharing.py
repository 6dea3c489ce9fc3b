"""Strips between baselines: all alike within 10 %, or cut and said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.plan.parse import parse_plan
from geolayout.plan.section.section import cut_section
from geolayout.plan.sharing import contour_section


def pattern_of(keys=""):
    text = f"""
schema = 1
[[pattern]]
name = "level"
bands = [ {{ name = "B", width = 12.0, stand = "none" }} ]
{keys}
"""
    return parse_plan(text).patterns[0]


def widths(section):
    return [round(cut.t1 - cut.t0, 6) for cut in section.cuts if cut.grows]


def test_a_narrow_last_strip_is_shared_out():
    # 64 m: five strips of 12 m and 4 m over; 64 / 5 = 12.8 m, 6.7 % wider
    assert widths(contour_section(pattern_of(), (0.0, 64.0), 1)) == [12.8] * 5


def test_where_it_would_widen_them_too_much_it_stays():
    # 34 m: two strips and 10 m over; 17 m would be 42 % wider
    assert widths(contour_section(pattern_of(), (0.0, 34.0), 1)) == [12.0, 12.0, 10.0]


def test_strips_that_stay_unlike_are_said():
    found = contour_section(pattern_of(), (0.0, 34.0), 1)
    (said,) = [given for given in found.gave_way if "not alike" in given.what]
    assert "stays 10.00 m where 12.00 m are written" in said.what
    assert said.amount == pytest.approx(2.0)


@pytest.mark.parametrize(
    "far", [pytest.param(64.0, id="shared out"), pytest.param(35.0, id="nearly whole")]
)
def test_strips_that_are_alike_are_not_said_to_differ(far):
    found = contour_section(pattern_of(), (0.0, far), 1)
    assert not any("not alike" in given.what for given in found.gave_way)


def test_a_last_strip_that_is_nearly_whole_stays():
    # 11 m of 12 are within 10 %
    assert widths(contour_section(pattern_of(), (0.0, 35.0), 1)) == [12.0, 12.0, 11.0]


def test_another_remainder_stands():
    kept = pattern_of('remainder = "headland"')
    assert widths(contour_section(kept, (0.0, 64.0), 1)) == widths(
        cut_section(kept, (0.0, 64.0), 1)
    )


@given(span=st.floats(12.0, 400.0))
def test_no_strip_is_ever_more_than_10_percent_wider(span):
    # Handbook: CTIC, row-crop strips within 10 % of the width of the others.
    found = widths(contour_section(pattern_of(), (0.0, span), 1))
    assert max(found) <= 13.2 + 1e-6
    assert sum(found) == pytest.approx(span, abs=1e-4)
    if span > 12.0 * 10 + 1.2:  # from ten strips on everything can be shared out
        assert min(found) >= 10.8 - 1e-6
