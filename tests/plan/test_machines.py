"""Machines as the field sees them, and what they do."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.machines import Machine
from geolayout.plan.parse import parse_farm, parse_plan

PLAN = """
schema = 1
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[pattern]]
name = "p"
bands = [ { name = "A", width = 6.0, stand = "maize" } ]
[[machine]]
name = "planter"
working_width = 6.0
[[operation]]
name = "plant"
machine = "planter"
"""


def machine_of(keys: str) -> Machine:
    return parse_farm(f'[[machine]]\nname = "planter"\nworking_width = 6.0\n{keys}').machines[0]


def test_a_machine_needs_a_name_and_a_width():
    machine = machine_of("")
    assert machine.rows is machine.header is machine.track_width is machine.turning_radius is None
    assert not machine.far_side_access


@pytest.mark.parametrize(
    ("keys", "fits"),
    [
        # 7 x 0.75 = 5.25 m from the first row to the last
        pytest.param("rows = 8\nrow_spacing = 0.75", True, id="eight rows in 6 m"),
        # 8 x 0.75 = 6.00 m: half a row stands out each side, and still it is its own width
        pytest.param("rows = 9\nrow_spacing = 0.75", True, id="from edge to edge"),
        # 9 x 0.75 = 6.75 m
        pytest.param("rows = 10\nrow_spacing = 0.75", False, id="ten rows in 6 m"),
        pytest.param("rows = 10", True, id="rows without their spacing"),
    ],
)
def test_rows_stand_inside_the_working_width(keys, fits):
    if fits:
        assert machine_of(keys)
    else:
        with pytest.raises(PlanError, match=r"6\.75 m from first to last, and works 6 m"):
            machine_of(keys)


@pytest.mark.parametrize(
    ("keys", "match"),
    [
        pytest.param(
            "turning_radius = 0", r"turning_radius is 0.*more than 0", id="turns on the spot"
        ),
        pytest.param("speed = -8", r"speed is -8", id="drives backwards"),
        pytest.param("overhang = -0.1", r"overhang is -0\.1.*0 or more", id="an overhang inwards"),
        pytest.param("sections = 0", r"sections is 0.*1 or more", id="no section"),
        pytest.param(
            "header = { rows = 8 }", r"header: width is missing", id="a header of no width"
        ),
    ],
)
def test_figures_that_no_machine_has_are_refused(keys, match):
    with pytest.raises(PlanError, match=match):
        machine_of(keys)


def test_an_operation_works_band_by_band_if_nothing_is_said():
    operation = parse_plan(PLAN).operation("plant")
    assert (operation.over, operation.offset, operation.stands) == ("band", 0.0, ())


@pytest.mark.parametrize("over", ["pattern", "block"])
def test_an_offset_is_from_a_repeat_or_the_anchor(over):
    assert parse_plan(f'{PLAN}over = "{over}"\noffset = -2.25').operation("plant").offset == -2.25


def test_an_offset_within_a_band_is_refused():
    with pytest.raises(PlanError, match=r"band by band with an offset of 2 m.*\"pattern\""):
        parse_plan(f"{PLAN}offset = 2.0")


def test_an_operation_may_name_its_stands():
    assert parse_plan(f'{PLAN}stands = ["maize"]').operation("plant").stands == ("maize",)
