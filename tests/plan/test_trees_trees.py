"""Trees of a band as the plan says them, and what it refuses."""

import pytest
from pydantic import ValidationError

from geolayout.plan.trees.trees import BandTrees, Setback, TreeGap


def trees_of(**keys):
    return BandTrees(**{"in_row_spacing": 5.0, **keys})


def test_a_setback_in_heights_becomes_metres_and_the_greater_distance_holds():
    # 12 m high: half of it is 6 m from the boundary (over 5 m); 1.5 times is 18 m from wires;
    # 0.25 times is 3 m from hedges, where 4 m is said.
    trees = trees_of(
        mature_height=12.0,
        setback={
            "boundary": 5.0,
            "headland": 2.0,
            "kinds": {"hedge": 4.0, "drain": 8.0},
            "mature": {"boundary": 0.5, "overhead line": 1.5, "hedge": 0.25},
        },
    )
    assert trees.distances == Setback(
        boundary=6.0,
        headland=2.0,
        kinds={"drain": 8.0, "hedge": 4.0, "overhead line": 18.0},
    )


@pytest.mark.parametrize(
    ("keys", "rows"),
    [
        pytest.param({}, 1, id="one in the middle"),
        pytest.param({"rows": 3, "row_spacing": 2.0}, 3, id="three"),
        pytest.param({"at": (0.5, 2.5)}, 2, id="two places"),
    ],
)
def test_rows_in_a_band(keys, rows):
    assert trees_of(**keys).rows_in_band == rows


def test_species_are_one_or_several():
    assert trees_of(species="oak").species_names == ("oak",)
    assert trees_of(species=("oak", "lime")).species_names == ("oak", "lime")


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param(
            {"setback": {"kinds": {"hedgerow": 4.0}}}, r"'hedgerow'.*hedge", id="no such kind"
        ),
        pytest.param(
            {"mature_height": 9.0, "setback": {"mature": {"headlands": 1.0}}},
            r"Did you mean 'headland'",
            id="no such place",
        ),
        pytest.param(
            {"setback": {"mature": {"hedge": 1.0}}}, r"no mature_height.*Add", id="no height"
        ),
        pytest.param(
            {"species": ("a", "b"), "pollination": ({"species": "a"}, {"species": "a"})},
            r"names 'a' twice",
            id="pollination said twice",
        ),
        pytest.param(
            {"species": ("a", "b"), "mixing": {"rule": "random", "shares": (1.0, 1.0, 2.0)}},
            r"2 species and 3 shares",
            id="more shares than species",
        ),
        pytest.param(
            {"species": ("a", "b"), "pollination": ({"species": "c"},)},
            r"names 'c'.*not among the species",
            id="a variety that is not planted",
        ),
        pytest.param(
            {"species": ("a", "b"), "pollination": ({"species": "a", "needs": ("c",)},)},
            r"names 'c'",
            id="a pollinator that is not planted",
        ),
        pytest.param(
            {"thinning": ({"year": 9.0, "keep_every": 2}, {"year": 5.0, "keep_every": 2})},
            r"Years grow",
            id="thinnings out of order",
        ),
    ],
)
def test_trees_that_contradict_themselves_are_refused(keys, match):
    with pytest.raises(ValidationError, match=match):
        trees_of(**keys)


def test_a_gap_has_a_place_and_a_width():
    gap = TreeGap(at=(10.0, 52.0), width=12.0)
    assert (gap.at, gap.width) == ((10.0, 52.0), 12.0)
