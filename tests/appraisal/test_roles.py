"""What an operation does, told by its sowing, its header, its boom or its name."""

import pytest
from appraisal_layouts import strips, worked_by

from geolayout.appraisal.roles import Role, role_of


@pytest.mark.parametrize(
    ("keys", "operation", "role"),
    [
        pytest.param("header = { width = 6.0 }", "cut", Role.HARVESTS, id="a header"),
        pytest.param('kind = "combine"', "cut", Role.HARVESTS, id="a combine"),
        pytest.param("", "harvest", Role.HARVESTS, id="the operation's name"),
        pytest.param("sections = 8", "treat", Role.SPRAYS, id="sections"),
        pytest.param('kind = "disc spreader"', "top dress", Role.SPRAYS, id="a spreader"),
        pytest.param('kind = "hoe"', "hoe", Role.TENDS, id="anything else"),
    ],
)
def test_role_by_machine(keys, operation, role):
    layout = strips(worked_by("it", f"working_width = 6.0\n{keys}", operation=operation))
    assert role_of(layout.plan, layout.plan.operation(operation)) is role


def test_what_a_sowing_names_sows():
    plan = strips().plan
    assert {role_of(plan, operation) for operation in plan.operations} == {Role.SOWS}
