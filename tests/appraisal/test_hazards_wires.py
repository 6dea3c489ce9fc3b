"""
Overhead lines: turning, trees and gateways near them.

Printed conductor heights (5.2 m for 11 kV, 7 m for 275 kV, 7.3 m for 400 kV) are the lowest of a
class of line and never a distance to keep; they are left out of the code and of the tests.
"""

import numpy as np
import pytest
import shapely
from appraisal_layouts import (
    ALLEYS,
    GRASS,
    HEADLAND,
    LAND,
    close,
    feature_in,
    layout_of,
    of_key,
    strips,
    the_one,
)
from shapely import LineString, Point

from geolayout.appraisal.hazards.near import distance_from

ALONG_SOUTH = LineString([(-10, 5), (70, 5)])
ACROSS = LineString([(-10, 60), (70, 60)])


def line(where, *, half_width=0.0, measured_from="centre line", **kept):
    return feature_in(LAND, "overhead line", where, measured_from, half_width=half_width, **kept)


def test_a_line_over_the_headland_is_a_hazard_to_acknowledge():
    caution = the_one(strips(HEADLAND, features=[line(ALONG_SOUTH)]), "turning-near-wires")
    assert (caution.code, caution.severity, caution.hazard) == ("W30", "hazard", "overhead line")
    # Its 60 m over the headland.
    assert (caution.value, caution.unit) == (close(60.0), "m")
    assert "under the overhead line" in caution.sentence
    assert "operator" in caution.remedy


def test_a_line_over_the_crop_alone_has_no_turns_under_it():
    assert of_key(strips(HEADLAND, features=[line(ACROSS)]), "turning-near-wires") == []


def test_the_distance_for_turning_counts_from_the_outer_wire():
    # The line 18 m from the south edge, 1.5 m to the outer wire, 10 m kept: the headland, 10 m
    # wide, is reached from 6.5 m on: 3.5 m x 60 m.
    wires = LineString([(-30, 18), (90, 18)])
    kept = line(wires, half_width=1.5, measured_from="outer wire", turning=10.0)
    caution = the_one(strips(HEADLAND, features=[kept]), "turning-near-wires")
    assert caution.value == close(3.5 * 60)
    assert "within 10 m" in caution.sentence


def test_without_headland_the_ends_of_passes_are_turning_ground():
    assert of_key(strips(features=[line(ACROSS, turning=10.0)]), "turning-near-wires") == []
    # 10 bands of 6 m: 5 passes of the planter and 10 of the drill end at the south edge, 3 m off.
    south = LineString([(-30, -3), (90, -3)])
    caution = the_one(strips(features=[line(south, turning=5.0)]), "turning-near-wires")
    assert (caution.value, caution.unit) == (15.0, "ends of passes")
    # No distance said: within 10 m all the same, for the turn goes beyond the end.
    assert (
        "within 10 m of" in the_one(strips(features=[line(south)]), "turning-near-wires").sentence
    )
    assert of_key(strips(features=[line(south, turning=2.0)]), "turning-near-wires") == []


def test_wires_that_only_touch_the_headland_are_not_over_it():
    # The headland is the southern 10 m; a line at its upper edge or outside it is not above it.
    for north in (10.0 + 1e-6, -1e-6):
        beside = line(LineString([(-30, north), (90, north)]))
        assert of_key(strips(HEADLAND, features=[beside]), "turning-near-wires") == []


def test_outer_wires_hang_over_the_headland_where_the_middle_does_not():
    # The middle 11 m from the south edge, wires 1.5 m to each side: 0.5 m of the 10 m, 60 m long.
    wires = line(LineString([(-30, 11), (90, 11)]), half_width=1.5, measured_from="outer wire")
    caution = the_one(strips(HEADLAND, features=[wires]), "turning-near-wires")
    assert caution.value == close(0.5 * 60)
    assert "under the overhead line" in caution.sentence


def trees_beside(distance, **kept):
    # The first tree row of ALLEYS stands 25.5 m from the west edge, 14 m high when grown.
    wires = LineString([(25.5 - distance, -50), (25.5 - distance, 170)])
    return layout_of(GRASS, ALLEYS, features=[line(wires, **kept)])


def test_trees_that_can_fall_near_a_line():
    # 18 m from the line, 14 m high, 5 m kept: 18 < 19. The next row is 45 m off.
    caution = the_one(trees_beside(18.0, trees=5.0), "trees-near-wires")
    assert (caution.code, caution.severity, caution.count) == ("W30", "hazard", 40)
    assert caution.value == close(18.0)
    assert caution.threshold == 19.0
    assert "grown to 14 m" in caution.sentence


def test_trees_beyond_their_height_and_the_distance_are_left_in_peace():
    assert of_key(trees_beside(19.5, trees=5.0), "trees-near-wires") == []


UNKNOWN = ALLEYS.replace(", mature_height = 14.0", "")


def test_a_height_that_was_not_given_is_said():
    # The tree row 25.5 m from the west edge, the line 15.5: 10 m apart, 4 m kept. A tree above
    # 6 m can fall to within 4 m. The next row is 37 m off, nearer than 50 + 4 m: 80 trees.
    wires = line(LineString([(15.5, -50), (15.5, 170)]), trees=4.0)
    layout = layout_of(GRASS, UNKNOWN, features=[wires])
    caution = the_one(layout, "tree-height-not-given")
    assert (caution.code, caution.severity, caution.hazard) == ("W30", "hazard", "overhead line")
    assert (caution.value, caution.count) == (close(10.0), 80)
    assert "grown above 6.0 m and fallen" in caution.sentence
    assert "come within 4 m of" in caution.sentence
    assert "mature_height" in caution.remedy
    assert of_key(layout, "trees-near-wires") == []


def test_trees_of_unknown_height_far_from_wires_are_not_asked_for_it():
    # 25.5 + 24.4 m west of the first row, 49.9 m; then 50.1 m.
    for west, fires in ((-24.4, True), (-24.6, False)):
        wires = line(LineString([(west, -50), (west, 170)]))
        layout = layout_of(GRASS, UNKNOWN, features=[wires])
        assert bool(of_key(layout, "tree-height-not-given")) is fires


def test_what_is_kept_for_everything_is_kept_from_fallen_trees_too():
    # 18 m from the line, 14 m high: 18 < 14 + 5, whether kept for trees or for everything.
    assert the_one(trees_beside(18.0, all=5.0), "trees-near-wires").threshold == 19.0
    reach = the_one(trees_beside(13.0), "trees-near-wires")
    assert "can reach the overhead line" in reach.sentence


@pytest.mark.parametrize(
    ("away", "kept", "fires"),
    [
        # Welsh Farmer, Dangers of overhead power lines, restating HSE: 10 m beside the line
        pytest.param(9.9, {}, True, id="under 10 m"),
        pytest.param(10.1, {}, False, id="over 10 m"),
        pytest.param(12.0, {"turning": 15.0}, True, id="the plan keeps 15 m"),
        pytest.param(7.0, {"turning": 6.0}, True, id="6 m for turning say nothing of a gate"),
        pytest.param(12.0, {"all": 13.0}, True, id="the plan keeps 13 m for everything"),
    ],
)
def test_a_gateway_near_a_line(away, kept, fires):
    gate = feature_in(LAND, "gateway", Point(30, 60 - away))
    found = of_key(strips(features=[gate, line(ACROSS, **kept)]), "gateway-near-wires")
    assert bool(found) is fires
    if fires:
        assert found[0].value == close(away)
        assert found[0].severity == "hazard"


def test_distance_counts_from_where_the_feature_is_measured():
    layout = strips(features=[line(ACROSS, half_width=1.5, measured_from="outer wire")])
    (feature,) = layout.field.features
    points = np.array(shapely.points([(0.0, 0.0), (0.0, 10.0)]), dtype=object)
    assert distance_from(feature, points) == close([0.0, 8.5])


def test_a_height_missing_beside_several_wires_is_said_once_where_there_is_least_room():
    # Trees at 25.5 and 52.5 m from the west: 4.5 m from the line at 30 m, 7.5 m from the pole's.
    unknown = ALLEYS.replace(", mature_height = 14.0", "")
    near = line(LineString([(30, -10), (30, 130)]))
    pole = feature_in(LAND, "pole", Point(18, 60), all=0.0)
    caution = the_one(layout_of(GRASS, unknown, features=[pole, near]), "tree-height-not-given")
    assert caution.value == close(4.5)
    assert caution.sentence.endswith("It is missing beside the pole 'invented' too.")


def test_room_and_not_distance_says_where_that_is():
    # 7.5 m from the line less 6 m kept leaves 1.5 m; the pole, 4.5 m off, keeps nothing.
    unknown = ALLEYS.replace(", mature_height = 14.0", "")
    kept = line(LineString([(18, -10), (18, 130)]), trees=6.0)
    pole = feature_in(LAND, "pole", Point(30, 60), all=0.0)
    caution = the_one(layout_of(GRASS, unknown, features=[pole, kept]), "tree-height-not-given")
    assert caution.value == close(7.5)
    assert "grown above 1.5 m" in caution.sentence
