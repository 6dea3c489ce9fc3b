"""The closed list of kinds of feature."""

import pytest

from geolayout.land.kinds import KINDS, MEASURED_FROM, PASSED_THROUGH, STANDING


def test_every_kind_is_filed_under_its_own_name():
    assert all(kind.name == name for name, kind in KINDS.items())


def test_the_list_holds_what_a_walk_round_a_farm_meets():
    assert len(KINDS) == 42
    assert len(MEASURED_FROM) == 4


def test_ways_in_and_places_to_stand_are_kinds():
    assert set(PASSED_THROUGH) | set(STANDING) <= set(KINDS)
    assert not any(KINDS[name].occupies for name in PASSED_THROUGH)


def test_whoever_is_usually_asked_watches_over_something_protected():
    asked = [kind for kind in KINDS.values() if kind.asked]
    assert {"overhead line", "buried pipe", "right of way", "watercourse"} <= {
        kind.name for kind in asked
    }
    assert all(kind.protected for kind in asked)


@pytest.mark.parametrize(
    "name",
    ["watercourse", "overhead line", "buried pipe", "buried cable", "right of way", "hedge"],
)
def test_kinds_with_a_law_or_a_danger_behind_them_are_protected(name):
    assert KINDS[name].protected


@pytest.mark.parametrize("name", ["overhead line", "buried pipe", "drain", "gateway"])
def test_what_can_be_sown_over_does_not_occupy_ground(name):
    assert not KINDS[name].occupies


def test_no_one_can_change_the_list():
    with pytest.raises(TypeError):
        KINDS["moat"] = KINDS["ditch"]
