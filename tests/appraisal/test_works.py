"""Which works a plan names, and which a machine of it could do."""

import pytest
from section_profiles import idle, strips, work

from geolayout.appraisal.works import Work, supposed_operations, work_of


def works(*parts):
    plan = strips(*parts).plan
    return {one.name: work_of(plan, one) for one in plan.operations}


@pytest.mark.parametrize(
    ("name", "keys", "told"),
    [
        pytest.param("roll", "working_width = 6.0", Work.ROLL, id="roll"),
        pytest.param("disc spreader", "working_width = 24.0", Work.SPREAD, id="spreader"),
        pytest.param("slurry", "working_width = 12.0", Work.SPREAD, id="slurry"),
        pytest.param("spray", "working_width = 24.0", Work.SPRAY, id="sprayer"),
        pytest.param("tine weeder", "working_width = 6.0", Work.HOE, id="weeder"),
        pytest.param("hose reel", "working_width = 40.0", Work.IRRIGATE, id="reel"),
        pytest.param("combine", "working_width = 6.0", Work.HARVEST, id="combine"),
        pytest.param("cart the harvest", "working_width = 3.0", Work.CART, id="cart first"),
        pytest.param("boom", "working_width = 24.0\nsections = 8", Work.SPRAY, id="sections"),
        pytest.param(
            "it", "working_width = 6.0\nheader = { width = 6.0 }", Work.HARVEST, id="head"
        ),
        pytest.param("it", "working_width = 6.0", Work.OTHER, id="nobody knows"),
    ],
)
def test_words_header_and_sections_tell_the_work(name, keys, told):
    assert works(work(name, keys))[name] is told


def test_what_a_sowing_names_sows():
    assert works() == {"plant": Work.SOW, "drill": Work.SOW}


def test_the_operations_name_goes_before_the_machines():
    plan = strips(
        idle("spreader", "working_width = 24.0"),
        '[[operation]]\nname = "roll in"\nmachine = "spreader"\n',
    ).plan
    assert work_of(plan, plan.operation("roll in")) is Work.ROLL


def test_a_machine_without_an_operation_is_supposed_to_do_its_work():
    plan = strips(
        idle("combine", "working_width = 6.0"),
        idle("sprayer", "working_width = 24.0"),
        idle("auger", "working_width = 3.0"),
    ).plan
    supposed = [(one.name, one.machine, one.over) for one in supposed_operations(plan)]
    assert supposed == [("spray?", "sprayer", "block"), ("harvest?", "combine", "band")]


def test_nothing_is_supposed_of_a_work_that_is_named():
    plan = strips(work("spray", "working_width = 12.0"), idle("sprayer", "working_width = 24.0"))
    assert supposed_operations(plan.plan) == ()


def test_of_two_machines_for_a_work_the_first_is_supposed():
    plan = strips(idle("roller", "working_width = 6.0"), idle("old roll", "working_width = 3.0"))
    assert [one.machine for one in supposed_operations(plan.plan)] == ["roller"]
