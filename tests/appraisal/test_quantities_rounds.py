"""Figures of headland rounds: what they cover, miss, and cover twice, on 200 m by 100 m."""

from math import pi

import pytest
from shapely import box
from strategies import field_of, laid, plan_of

from geolayout.appraisal.plan_notes import plan_cautions
from geolayout.appraisal.quantities.rounds import round_figures

PATTERN = '[[pattern]]\nname = "one"\nbands = [ { name = "A", width = 6.0, stand = "maize" } ]'
DRILL = """
[[machine]]
name = "drill"
working_width = 6.0
{radius}
[[operation]]
name = "drill grass"
machine = "drill"
stands = ["grass"]
[headland]
where = "all round"
width = {width}
stand = "grass"
"""


def layout_of(width, radius):
    plan = plan_of(PATTERN, DRILL.format(radius=radius, width=width))
    return laid(field_of(box(0, 0, 200, 100)), plan)


def figures_of(width=6.0, radius="turning_radius = 6.5"):
    return round_figures(layout_of(width, radius))


def test_one_round_misses_its_corners():
    # 4 (1 - pi / 4) (6.5 + 3)^2 = 77.47 of 200 x 100 - 188 x 88 = 3,456 m2
    (one,) = figures_of()
    assert (one.rounds, one.pieces, one.closed) == (1, 1, 1)
    assert one.headland_m2 == pytest.approx(3456, abs=0.5)
    assert one.missed_m2 == pytest.approx(4 * (1 - pi / 4) * 9.5**2, rel=2e-3)
    assert one.missed_percent == pytest.approx(100 * 77.47 / 3456, rel=2e-3)
    assert one.worked_twice_m2 == pytest.approx(0.0, abs=0.1)


def test_inside_its_corners_a_round_covers_crop_land():
    # The inner edge of the swath has R - 3 = 3.5 m at a corner of 90 degrees that lies at 6 m, so
    # it cuts (1 - pi / 4) 3.5^2 at each off the crop land's corner.
    (one,) = figures_of()
    assert one.off_headland_m2 == pytest.approx(4 * (1 - pi / 4) * 3.5**2, abs=0.2)


def test_a_last_round_that_moves_outwards_works_ground_twice():
    # 9 m: rounds at 3 and 6 m share what lies between 3 m from the edge, with corners of R + 3,
    # and 6 m from it, with corners of R - 3: 18,236 - (4 - pi) 9.5^2 - 16,544 + (4 - pi) 3.5^2
    (one,) = figures_of(9.0)
    ring = 194 * 94 - 188 * 88 - (4 - pi) * (9.5**2 - 3.5**2)
    assert one.rounds == 2
    assert one.worked_twice_m2 == pytest.approx(ring, abs=0.5)


def test_a_machine_without_a_turning_radius_is_told_and_has_no_rounds():
    (one,) = figures_of(radius="")
    assert (one.turning_radius_m, one.rounds, one.worked) == (None, 0, "")
    assert one.missed_m2 == pytest.approx(one.headland_m2)


@pytest.mark.parametrize(
    ("radius", "told"),
    [
        pytest.param("turning_radius = 6.5", False, id="it drives rounds and has something to do"),
        pytest.param("", True, id="no round and no pass"),
    ],
)
def test_an_operation_that_only_drives_rounds_is_not_idle(radius, told):
    keys = [one.key for one in plan_cautions(layout_of(6.0, radius))]
    assert ("operation-without-passes" in keys) == told
