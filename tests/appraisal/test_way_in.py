"""From a gateway one is told how far, in which direction, and to which side."""

import pytest
import shapely
from appraisal_layouts import LAND, close, feature_in, strips

from geolayout.appraisal.way_in import gates_of, way_from

SOUTH = shapely.Point(30.0, 0.0)
"""In the middle of the south edge: one comes in northwards. [m]"""


def field(*gates):
    features = [feature_in(LAND, "gateway", gate, "centre line") for gate in gates]
    return strips(features=features).field


@pytest.mark.parametrize(
    ("place", "distance", "bearing", "side"),
    [
        # 30 m east and 40 m north of the gate: 50 m, atan(30 / 40) = 36.87 degrees.
        pytest.param((30.0, -20.0), 50.0, 36.8699, "to the right", id="to the right"),
        pytest.param((-30.0, -20.0), 50.0, 323.1301, "to the left", id="to the left"),
        pytest.param((0.0, 40.0), 100.0, 0.0, "ahead", id="straight in"),
        # 5 m east, 40 m north: 7.1 degrees off, within 20.
        pytest.param((5.0, -20.0), 40.3113, 7.1250, "ahead", id="nearly straight in"),
    ],
)
def test_way_in_by_hand(place, distance, bearing, side):
    """The field is 60 by 120 m about its middle, so the gate is at 0, -60."""
    way = way_from(field(SOUTH), place)
    assert way.distance == close(distance)
    assert way.bearing == pytest.approx(bearing, abs=0.01)
    assert way.side == side


def test_sides_turn_with_the_gate():
    """Through a gate in the north edge one comes in southwards, so east is on the left."""
    way = way_from(field(shapely.Point(30.0, 120.0)), (30.0, 20.0))
    assert way.side == "to the left"


def test_the_nearest_gate_counts_unless_one_is_named():
    land = field(SOUTH, shapely.Point(30.0, 120.0))
    assert way_from(land, (0.0, 50.0)).distance == close(10.0)
    assert way_from(land, (0.0, 50.0), gates_of(land)[0]).distance == close(110.0)


def test_without_a_gate_there_is_no_way_to_tell():
    assert way_from(field(), (0.0, 0.0)) is None
