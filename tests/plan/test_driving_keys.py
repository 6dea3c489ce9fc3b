"""Keys of machines and operations that only driving asks for."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.parse import parse_plan

PLAN = """
schema = 1
[guide]
bearing = 0.0
[[feature]]
kind = "gateway"
name = "south gate"
at = [10.0, 52.0]
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", spacing = 0.5, operation = "drill" }} ]
[[pattern]]
name = "whole"
bands = [ {{ name = "A", width = 6.0, stand = "beans" }} ]
[[machine]]
name = "drill"
working_width = 3.0
{machine}
[[operation]]
name = "drill"
machine = "drill"
{operation}
"""


def plan(machine="", operation=""):
    """Parse a plan of one drill and one operation."""
    return parse_plan(PLAN.format(machine=machine, operation=operation))


def test_an_operation_says_how_it_drives_and_what_it_holds():
    found = plan("tank = 900.0\nfuel = 4.5", 'gateway = "south gate"\norder = "up and back"')
    assert found.machines[0].tank == 900.0
    assert found.machines[0].fuel == 4.5
    assert found.operations[0].gateway == "south gate"
    assert found.operations[0].order == "up and back"
    assert plan().operations[0].order == "rule"


@pytest.mark.parametrize(
    ("machine", "operation", "match"),
    [
        pytest.param("", 'gateway = "north gate"', "north gate", id="a gate that is not there"),
        pytest.param("", 'order = "quickest"', "order", id="an order that nobody knows"),
        pytest.param("", "kg_per_ha = 0.0", "kg_per_ha", id="nothing spread"),
        pytest.param("tank = -1.0", "", "tank", id="a tank of less than nothing"),
        pytest.param("fuel = 0.0", "", "fuel", id="no fuel"),
    ],
)
def test_what_cannot_be_is_refused(machine, operation, match):
    with pytest.raises(PlanError, match=match):
        plan(machine, operation)
