"""Ground worked twice and missed, against triangles on paper."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from strategies import field_of, laid, plan_of

from geolayout.appraisal.driving.doubled import doubled_ground, slant_overlap

WHOLE = """
[[pattern]]
name = "whole"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
"""
WORK = """
[[machine]]
name = "sprayer"
working_width = {width}
{sections}
[[operation]]
name = "spray"
machine = "sprayer"
over = "block"
"""


def sprayed(land, width=24.0, sections=None):
    """Lay passes northwards over all of some land, without headland."""
    parts = f"sections = {sections}" if sections else ""
    work = WORK.format(width=width, sections=parts)
    return laid(field_of(land), plan_of(WHOLE, work, guide='bearing = 0.0\nfrom = "west"'))


def slanting(passes, width, angle):
    """Return land whose one end is cut at an angle to passes that run north, the other square."""
    wide = passes * width
    rise = wide / np.tan(np.radians(angle))
    return shapely.Polygon([(0, 0), (wide, 0), (wide, 400), (0, 400 + rise)])


@pytest.mark.parametrize("angle", [30.0, 45.0, 70.0])
@pytest.mark.parametrize("sections", [None, 8])
def test_slanting_ends_come_to_the_closed_form(angle, sections):
    found = doubled_ground(sprayed(slanting(5, 24.0, angle), 24.0, sections), 0, 0)
    # five passes, one slanting end each
    whole = 5 * slant_overlap(24.0, angle)
    assert found.twice == pytest.approx(whole, rel=2e-3)
    if sections is None:
        assert found.twice_by_sections is None
    else:
        assert found.twice_by_sections == pytest.approx(whole / sections, rel=2e-3)
    # lifted where the middle crosses the line: a triangle of half the width on each side
    assert found.midway_twice == pytest.approx(whole / 4, rel=2e-3)
    assert found.midway_missed == pytest.approx(whole / 4, rel=2e-3)


def test_the_last_pass_that_moves_inward_works_ground_again():
    # 60 m are two passes of 24 m and 12 m; the third lies over 12 m of the second, 100 m long
    found = doubled_ground(sprayed(shapely.box(0, 0, 60, 100), 24.0, 8), 0, 0)
    assert found.twice == pytest.approx(12.0 * 100.0, rel=1e-3)
    # four sections of 3 m lie over worked ground and are shut off
    assert found.twice_by_sections == pytest.approx(0.0, abs=1.0)
    assert found.midway_missed == pytest.approx(0.0, abs=1.0)


def test_square_ends_leave_nothing():
    found = doubled_ground(sprayed(shapely.box(0, 0, 72, 150), 24.0, 4), 0, 0)
    assert found.twice == pytest.approx(0.0, abs=0.5)
    assert found.midway_missed == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize(
    ("width", "angle", "sections", "area"),
    [
        # 24 x 24 / 2 at 45 degrees
        pytest.param(24.0, 45.0, 1, 288.0, id="24 m at 45 degrees"),
        pytest.param(24.0, 45.0, 8, 36.0, id="in eight sections of 3 m"),
        # 6 x 6 / 2 x tan 30
        pytest.param(6.0, 60.0, 1, 10.392, id="6 m at 60 degrees"),
        pytest.param(6.0, 90.0, 1, 0.0, id="square"),
    ],
)
def test_closed_form_on_paper(width, angle, sections, area):
    assert slant_overlap(width, angle, sections) == pytest.approx(area, abs=1e-3)


@given(
    angle=st.floats(25.0, 90.0),
    sections=st.integers(2, 12),
    width=st.floats(3.0, 30.0),
    across=st.floats(40.0, 150.0),
)
@example(angle=90.0, sections=2, width=24.0, across=100.0)
@settings(deadline=None, max_examples=20)
def test_sections_never_work_more_ground_twice(angle, sections, width, across):
    land = slanting(1, across, angle)
    found = doubled_ground(sprayed(land, width, sections), 0, 0)
    assert found.twice_by_sections <= found.twice + 1e-6
    assert found.midway_twice <= found.twice + 1e-6
    assert found.midway_missed >= 0.0
