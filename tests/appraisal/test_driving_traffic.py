"""Ground under wheels, against sums on paper."""

import pytest
import shapely
from strategies import field_of, laid, plan_of

from geolayout.appraisal.driving.traffic import wheeled_ground

WHOLE = """
[[pattern]]
name = "whole"
bands = [ { name = "A", width = "rest", stand = "beans" } ]
"""


def machine(name, width, wheels):
    """Return a machine and an operation of its name, over the block."""
    return f"""
[[machine]]
name = "{name}"
working_width = {width}
{wheels}
[[operation]]
name = "{name}"
machine = "{name}"
over = "block"
"""


WHEELS = "track_width = 2.0\ntyre_width = 0.5"


def traffic(*machines):
    """Return the ground under wheels on 72 m by 100 m, passes northwards."""
    field = field_of(shapely.box(0, 0, 72, 100))
    guide = 'bearing = 0.0\nfrom = "west"'
    return wheeled_ground(laid(field, plan_of(WHOLE, *machines, guide=guide)))


def test_tracks_on_paper():
    found = traffic(machine("sprayer", 24.0, WHEELS))
    # three passes of two tracks of 0.5 m are 3 m of 72 m
    assert found.share == pytest.approx(3.0 / 72.0, rel=1e-3)
    assert found.wheeled == pytest.approx(300.0, rel=1e-3)
    assert found.ground == pytest.approx(7200.0, rel=1e-3)


def test_tracks_that_are_shared_count_once():
    # 8 m passes at 4, 12, 20, ... 68; those at 12, 36, 60 lie in the sprayer's tracks
    found = traffic(machine("sprayer", 24.0, WHEELS), machine("drill", 8.0, WHEELS))
    assert dict(found.by_operation)["sprayer"] == pytest.approx(300.0, rel=1e-3)
    assert dict(found.by_operation)["drill"] == pytest.approx(900.0, rel=1e-3)
    assert found.wheeled == pytest.approx(900.0, rel=1e-3)


def test_tracks_beside_each_other_count_both():
    wide = "track_width = 3.0\ntyre_width = 0.5"
    found = traffic(machine("sprayer", 24.0, WHEELS), machine("drill", 8.0, wide))
    assert found.wheeled == pytest.approx(1200.0, rel=1e-3)


def test_machines_that_do_not_say_are_named():
    found = traffic(machine("sprayer", 24.0, WHEELS), machine("roller", 6.0, ""))
    assert found.not_said == ("roller",)
    assert [name for name, _ in found.by_operation] == ["sprayer"]
    assert traffic(machine("roller", 6.0, "")) is None
