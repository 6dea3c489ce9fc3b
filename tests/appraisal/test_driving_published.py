"""Published figures by kind of work. Machines are invented, figures are those of the sources."""

import pytest

from geolayout.appraisal.driving.published import efficiency_of, fuel_of
from geolayout.plan.parse import parse_plan

PLAN = """
schema = 1
[guide]
bearing = 0.0
[[stand]]
name = "beans"
sowing = [ {{ crop = "field beans", spacing = 0.5{sown} }} ]
[[pattern]]
name = "whole"
bands = [ {{ name = "A", width = 6.0, stand = "beans" }} ]
[[machine]]
name = "machine"
kind = "{kind}"
working_width = 6.0
{more}
[[operation]]
name = "work"
machine = "machine"
"""


def work(kind, *, sown=False, more=""):
    """Return a plan of one machine, and its operation."""
    named = ', operation = "work"' if sown else ""
    plan = parse_plan(PLAN.format(kind=kind, sown=named, more=more))
    return plan, plan.operations[0]


@pytest.mark.parametrize(
    ("kind", "sown", "what", "percent"),
    [
        # ASABE D497.7, table 3 (from memory; drill and planter also in our handbook)
        pytest.param("drill", True, "grain drill", (55, 70, 80), id="a drill"),
        pytest.param("planter", True, "row-crop planter", (50, 65, 75), id="a planter"),
        pytest.param("sprayer", False, "boom sprayer", (50, 65, 80), id="a sprayer"),
        pytest.param("spreader", False, "fertiliser spreader", (60, 70, 80), id="a spreader"),
        pytest.param("combine", False, "combine", (65, 70, 80), id="a combine"),
        pytest.param("hoe", False, "row-crop cultivator", (70, 80, 90), id="a hoe"),
    ],
)
def test_efficiency_by_work(kind, sown, what, percent):
    found = efficiency_of(*work(kind, sown=sown))
    assert found.what == what
    told = (found.range.least, found.range.usual, found.range.most)
    assert [100 * one for one in told] == pytest.approx(percent)
    assert "from memory" in found.source


def test_work_of_no_published_figure_has_none():
    assert efficiency_of(*work("roller")) is None
    assert fuel_of(*work("roller")) is None


def test_fuel_of_a_planter_is_published_and_that_of_a_plan_goes_before():
    # University of Missouri Extension G1208, 1993: 0.50 US gallons an acre; Iowa State A3-27: 35 %
    found = fuel_of(*work("planter", sown=True))
    assert found.range.usual == pytest.approx(0.50 * 3.785411784 / 0.40468564224, abs=0.05)
    assert found.range.least == pytest.approx(0.65 * found.range.usual)
    assert "Missouri" in found.source
    stated = fuel_of(*work("planter", sown=True, more="fuel = 6.0"))
    assert stated.range.usual == 6.0
    assert stated.source == "the plan"
