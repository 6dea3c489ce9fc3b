"""The closed list of kinds of feature."""

import pytest

from geolayout.land.kinds import KINDS, MEASURED_FROM


def test_every_kind_is_filed_under_its_own_name():
    assert all(kind.name == name for name, kind in KINDS.items())


def test_the_list_holds_the_21_kinds_of_the_rules():
    assert len(KINDS) == 21
    assert len(MEASURED_FROM) == 4


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
