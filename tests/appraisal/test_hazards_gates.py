"""Ways in: machines in transport held against gateways, bridges and culverts."""

from dataclasses import replace

import pytest
from appraisal_layouts import LAND, feature_in, of_key, strips, the_one
from shapely import Point

WIDE = """
[[machine]]
name = "sprayer"
working_width = 24.0
transport_width = 3.9
[[machine]]
name = "combine"
working_width = 6.0
transport_width = 3.5
"""


def way(kind="gateway", width=0.0, room=0.0):
    drawn = feature_in(LAND, kind, Point(30, 0), "centre line")
    return replace(drawn, width=width, room=room)


@pytest.mark.parametrize("kind", ["gateway", "bridge", "culvert"])
def test_a_machine_wider_than_the_way_is_a_warning(kind):
    caution = the_one(strips(WIDE, features=[way(kind, 3.6)]), "gateway-too-narrow")
    assert caution.severity == "warning"
    assert "is 3.6 m wide: too narrow in transport for sprayer (3.9 m)." in caution.sentence
    assert (caution.value, caution.threshold, caution.unit) == (3.9, 3.6, "m")
    assert caution.place is not None


def test_the_room_wanted_is_taken_off():
    # 4.0 - 0.4 = 3.6 m for the sprayer of 3.9 m; the combine of 3.5 m goes through.
    caution = the_one(strips(WIDE, features=[way(width=4.0, room=0.4)]), "gateway-too-narrow")
    assert caution.threshold == pytest.approx(3.6)
    assert "less 0.4 m of room" in caution.sentence
    assert "combine" not in caution.sentence


def test_no_room_is_assumed():
    assert of_key(strips(WIDE, features=[way(width=3.9)]), "gateway-too-narrow") == []


def test_every_machine_that_is_too_wide_is_named():
    caution = the_one(strips(WIDE, features=[way(width=3.0)]), "gateway-too-narrow")
    assert "sprayer (3.9 m) and combine (3.5 m)" in caution.sentence
    assert caution.count == 2


def test_a_way_without_a_width_is_a_note():
    caution = the_one(strips(WIDE, features=[way(), way("bridge")]), "gateway-width-not-given")
    assert (caution.severity, caution.count) == ("note", 2)
    assert "was not looked at" in caution.sentence


def test_machines_without_a_width_are_a_note_once():
    layout = strips(features=[way(width=3.0), way(width=4.0)])
    caution = the_one(layout, "transport-width-not-given")
    assert "planter and drill" in caution.sentence


def test_without_a_way_in_nothing_is_said():
    layout = strips(WIDE)
    for key in ("gateway-too-narrow", "gateway-width-not-given", "transport-width-not-given"):
        assert of_key(layout, key) == []
