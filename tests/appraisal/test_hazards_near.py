"""What lies inside distances that the plan keeps, looked for by distance."""

from dataclasses import replace

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
from shapely import LineString

from geolayout.appraisal.hazards.near import headland_within, near_cautions
from geolayout.land.features import KeepClear

POND = shapely.box(25, 55, 35, 65)
DITCH = LineString([(-10, 40), (70, 40)])


def with_keep_clear(layout, **distances):
    """Return the layout as if the plan had asked for other distances after it was laid."""
    features = tuple(
        replace(feature, keep_clear=KeepClear(**distances)) for feature in layout.field.features
    )
    return replace(layout, field=replace(layout.field, features=features))


@pytest.fixture(scope="module")
def beside_pond():
    return strips(HEADLAND, features=[feature_in(LAND, "pond", POND, "top of bank", all=4.0)])


def test_nothing_is_laid_inside_what_is_kept(beside_pond):
    assert of_key(beside_pond, "inside-kept-ground") == []


def test_what_would_be_laid_inside_is_found(beside_pond):
    # Kept by 6 m and laid for 4 m: rows, ground reach 2 m into it.
    found = of_key(with_keep_clear(beside_pond, all=6.0), "inside-kept-ground")
    assert [caution.unit for caution in found] == ["m", "m2"]
    assert {caution.severity for caution in found} == {"hazard"}
    assert {caution.hazard for caution in found} == {"water"}
    assert {caution.code for caution in found} == {"W16"}
    # The ring of 4 to 6 m round 10 x 10 m: 4 x 10 x 2 + pi (36 - 16) = 142.8 m2.
    assert found[1].value == pytest.approx(142.8, rel=0.02)


def test_trees_have_a_distance_of_their_own():
    # A hedge along the west edge; the first tree row 25.5 m from it.
    hedge = feature_in(
        LAND, "hedge", LineString([(0, 0), (0, 120)]), "centre line", all=0.0, trees=10.0
    )
    layout = layout_of(GRASS, ALLEYS, features=[hedge])
    assert of_key(layout, "inside-kept-ground") == []
    found = the_one(with_keep_clear(layout, trees=26.0), "inside-kept-ground")
    assert (found.unit, found.count) == ("trees", 40)
    assert found.hazard == "hedge"


def test_a_line_that_reaches_into_kept_ground_is_a_warning(beside_pond):
    caution = the_one(beside_pond, "pass-into-kept-ground")
    assert caution.severity == "warning"
    assert "4 m kept from the pond 'invented'" in caution.sentence


def test_a_line_over_the_water_itself_is_a_hazard():
    # A pond as wide as two strips is parted round; one of 3 m inside a strip of 6 m is driven over.
    narrow = shapely.box(1.5, 55, 4.5, 65)
    caution = the_one(
        strips(features=[feature_in(LAND, "pond", narrow, all=0.0)]), "pass-into-kept-ground"
    )
    assert (caution.severity, caution.hazard) == ("hazard", "water")
    assert caution.value == pytest.approx(10.0, abs=0.1)
    assert "over the pond 'invented' itself" in caution.sentence


def test_a_drain_can_be_driven_over():
    drain = feature_in(LAND, "drain", DITCH, "centre line", all=0.0)
    assert of_key(strips(features=[drain]), "pass-into-kept-ground") == []


def test_headland_on_ground_where_nobody_turns():
    # A ditch along the south edge, 1 m to the bank, 2 m kept, 8 m without turning: the headland of
    # 10 m begins 3 m from the line and shares 9 - 3 = 6 m x 60 m.
    ditch = feature_in(
        LAND,
        "ditch",
        LineString([(-30, 0), (90, 0)]),
        "top of bank",
        half_width=1.0,
        all=2.0,
        turning=8.0,
    )
    caution = the_one(strips(HEADLAND, features=[ditch]), "turning-on-kept-ground")
    assert (caution.code, caution.severity) == ("W28", "warning")
    assert caution.value == close(360.0)
    assert "8 m from the ditch" in caution.sentence


@pytest.mark.parametrize(
    "distances",
    [
        pytest.param({"all": 2.0}, id="no distance for turning"),
        pytest.param({"all": 4.0, "turning": 3.0}, id="nothing grows there either"),
    ],
)
def test_a_headland_that_keeps_off_is_left_in_peace(distances):
    edge = LineString([(-30, 0), (90, 0)])
    ditch = feature_in(LAND, "ditch", edge, "top of bank", half_width=1.0, **distances)
    assert of_key(strips(HEADLAND, features=[ditch]), "turning-on-kept-ground") == []


def test_headland_that_only_touches_a_zone_is_not_inside_it():
    layout = strips(HEADLAND)
    west, south, _, _ = layout.blocks[0].headland.bounds
    along_the_edge = shapely.box(west - 5.0, south, west, south + 10.0)
    from_the_corner = LineString([(west, south), (west - 5.0, south - 5.0)])
    over = shapely.box(west - 5.0, south, west + 2.0, south + 10.0)
    assert layout.blocks[0].headland.touches(along_the_edge)
    assert layout.blocks[0].headland.touches(from_the_corner)
    assert headland_within(layout, along_the_edge).is_empty
    assert headland_within(layout, from_the_corner).is_empty
    assert headland_within(layout, over).area == close(2.0 * 10)


def beside_the_east(distance, kind="watercourse", **kept):
    west = LineString([(60 + distance, -30), (60 + distance, 150)])
    return feature_in(LAND, kind, west, "top of bank", half_width=1.0, **kept)


def test_water_beside_a_field_without_headland_shares_no_turning_ground():
    # 3 m off, 1 m to the bank, 0.5 m kept: no pass ends there, and nothing may be said.
    water = beside_the_east(3.0, turning=0.5)
    assert of_key(strips(features=[water]), "turning-on-kept-ground") == []
    assert of_key(layout_of(GRASS, ALLEYS, features=[water]), "turning-on-kept-ground") == []


def test_ends_of_passes_where_nobody_turns():
    # 15 passes end at the south edge, 2 m from the bank of a ditch that lies 3 m off.
    ditch = feature_in(
        LAND, "ditch", LineString([(-30, -3), (90, -3)]), "top of bank", half_width=1.0, turning=4.0
    )
    caution = the_one(strips(features=[ditch]), "turning-on-kept-ground")
    assert caution.sentence.startswith("Ends of passes lie within the 4 m from the ditch")
    assert (caution.value, caution.unit) == (15.0, "ends of passes")


def test_a_tree_strip_where_nobody_turns():
    # The tree strip of 24 to 27 m; the water at 20 m, 1 m to the bank, 5 m of it: 2 m x 120 m.
    water = feature_in(
        LAND,
        "watercourse",
        LineString([(20, -30), (20, 150)]),
        "top of bank",
        half_width=1.0,
        turning=5.0,
    )
    caution = the_one(layout_of(GRASS, ALLEYS, features=[water]), "turning-on-kept-ground")
    assert caution.sentence.startswith("Tree strips lie within the 5 m from the watercourse")
    # The anchor's nine decimals leave 0.1 mm, along 120 m.
    assert caution.value == pytest.approx(2.0 * 120, abs=1e-4 * 120)


def test_without_features_nothing_is_near():
    assert near_cautions(strips()) == []


def test_several_features_of_a_kind_are_driven_into_in_one_sentence():
    poles = [
        feature_in(LAND, "pole", shapely.Point(12.0 * i + 3.5, 50.0), all=1.0) for i in range(3)
    ]
    caution = the_one(strips(features=poles), "pass-into-kept-ground")
    assert "3 features of kind pole" in caution.sentence
    assert caution.count >= 3
