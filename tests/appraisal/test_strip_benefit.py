"""Strips wider than those in which neighbours help each other."""

import pytest
from appraisal_layouts import ALLEYS, GRASS, MACHINES, STANDS, layout_of, of_key, strips

from geolayout.appraisal.strip_benefit import benefit_cautions


def pattern(width, other="beans"):
    return f"""
[[pattern]]
name = "strips"
bands = [
  {{ name = "A", width = {width}, stand = "maize" }},
  {{ name = "B", width = {width}, stand = "{other}" }},
]
"""


@pytest.mark.parametrize(
    ("width", "count"),
    [
        pytest.param(3.0, 0, id="as wide as most trials"),
        pytest.param(3.75, 16, id="60 m hold 16 strips of 3.75 m"),
    ],
)
def test_strips_over_three_metres_are_noted_once(width, count):
    found = benefit_cautions(layout_of(STANDS, MACHINES, pattern(width)))
    assert [one.count for one in found] == ([count] if count else [])
    if count:
        assert (found[0].severity, found[0].code) == ("note", "W32")
        assert found[0].value == pytest.approx(width, abs=1e-3)
        assert "16 strips are wider than 3 m, the widest 3.75 m" in found[0].sentence


def test_one_crop_has_no_neighbour_and_an_alley_is_no_strip():
    assert benefit_cautions(layout_of(STANDS, MACHINES, pattern(6.0, "maize"))) == []
    assert benefit_cautions(layout_of(GRASS, ALLEYS)) == []


def test_it_is_among_the_cautions():
    assert len(of_key(strips(), "strips-wider-than-benefit")) == 1
