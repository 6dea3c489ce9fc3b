"""Headland sown first, or last: what the drill drives over it in turning."""

from math import pi

import pytest
import shapely
from strategies import field_of, laid, plan_of

from geolayout.appraisal.driving.headland_order import headland_order_cautions, turned_on_headland
from geolayout.appraisal.driving.season import driving_of

PLAN = """
[headland]
where = "ends"
width = 12.0
stand = "{stand}"
worked = "{worked}"
[[stand]]
name = "pulse"
sowing = [ {{ crop = "field beans", spacing = 0.5, operation = "drill" }} ]
[[stand]]
name = "sward"
sowing = [ {{ crop = "grass", place = "broadcast", rate = {{ kg_per_ha = 25 }} }} ]
[[pattern]]
name = "whole"
bands = [ {{ name = "A", width = "rest", stand = "pulse" }} ]
[[machine]]
name = "drill"
working_width = 12.0
turning_radius = 6.0
{tyres}
[[operation]]
name = "drill"
machine = "drill"
over = "block"
order = "up and back"
"""


def drilled(worked, stand="pulse", tyres="", passes=4):
    """Lay out passes of 12 m northwards, between two headlands of 12 m."""
    land = shapely.box(0, 0, 12 * passes, 240)
    plan = plan_of(PLAN.format(worked=worked, stand=stand, tyres=tyres),
                   guide='bearing = 0.0\nfrom = "west"')  # fmt: skip
    return laid(field_of(land), plan)


def test_headland_sown_first_is_turned_on():
    layout = drilled("first", tyres="tyre_width = 0.5")
    (caution,) = headland_order_cautions(layout)
    assert (caution.key, caution.severity) == ("headland-sown-first", "warning")
    # three half circles of 6 m, and the way from the last round to the first row
    (driving,) = driving_of(layout)
    expected = 3 * pi * 6 + driving.orders[0].turn_length[0]
    assert caution.value == pytest.approx(expected, rel=1e-3)
    # two tracks of 0.5 m are a square metre a metre
    assert f"{caution.value:.0f} m are driven over sown ground, {caution.value:.0f} m2 under" in (
        caution.sentence
    )


def test_headland_sown_last_is_turned_on_as_a_seedbed():
    layout = drilled("last")
    (caution,) = headland_order_cautions(layout)
    assert (caution.key, caution.severity) == ("headland-sown-last", "note")
    assert caution.value == pytest.approx(3 * pi * 6, rel=1e-3)
    assert "under wheels" not in caution.sentence
    (driving,) = driving_of(layout)
    assert turned_on_headland(layout, driving, "first") == 0.0


def test_one_pass_has_no_turn_to_tell():
    assert headland_order_cautions(drilled("last", passes=1)) == []


def test_a_headland_that_the_drill_does_not_sow_is_not_told():
    assert headland_order_cautions(drilled("first", stand="sward")) == []
