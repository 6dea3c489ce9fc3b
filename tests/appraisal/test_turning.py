"""The headland a layout needs for the turns of its machines."""

import pytest
from appraisal_layouts import HEADLAND, MACHINES, STANDS, layout_of, of_key, one_stand, the_one

MAIZE = '{ crop = "maize", spacing = 0.75, operation = "work" }'


def field(*, headland, keys="working_width = 6.0\nturning_radius = 6.5"):
    machine = f'[[machine]]\nname = "planter"\n{keys}'
    work = '[[operation]]\nname = "work"\nmachine = "planter"\nover = "band"'
    land = f'[headland]\nwhere = "ends"\nwidth = {headland}' if headland else ""
    return layout_of(one_stand(MAIZE, "6.0"), machine, work, land)


def test_a_narrow_headland_names_all_three_figures_and_the_first_step_that_fits():
    caution = the_one(field(headland=13.2), "headland-too-narrow")
    assert caution.code == "W09"
    assert caution.value == pytest.approx(18.37, abs=0.01)
    assert caution.threshold == 13.2
    for words in ("18.4 m", "13.1 m", "13.0 m on 9.5 m", "every second pass is the first"):
        assert words in caution.sentence


@pytest.mark.parametrize(
    ("headland", "words"),
    [
        pytest.param(10.0, "every third pass is the first that fits", id="18 m is two radii"),
        pytest.param(9.0, "no step fits", id="less than radius and half the implement"),
        pytest.param(0.0, "there is no headland", id="no headland"),
    ],
)
def test_which_step_fits(headland, words):
    assert words in the_one(field(headland=headland), "headland-too-narrow").sentence


def test_a_headland_that_holds_the_neighbouring_turn_is_left_in_peace():
    assert of_key(field(headland=18.4), "headland-too-narrow") == []


def test_strips_of_two_crops_are_two_strips_apart():
    # Maize in every second strip of 6 m: the neighbouring pass is 12 m on and takes 13.1 m.
    bands = (
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 6.0, stand = "maize" },'
        ' { name = "B", width = 6.0, stand = "beans" } ]'
    )
    machines = MACHINES.replace(
        "working_width = 6.0\n", "working_width = 6.0\nturning_radius = 6.5\n"
    )
    caution = the_one(layout_of(STANDS, bands, machines, HEADLAND), "headland-too-narrow")
    assert caution.value == pytest.approx(13.07, abs=0.01)


def test_two_operations_of_one_machine_are_one_line():
    keys = "working_width = 6.0\nturning_radius = 6.5"
    machine = f'[[machine]]\nname = "tractor"\n{keys}'
    work = "\n".join(
        f'[[operation]]\nname = "{name}"\nmachine = "tractor"' for name in ("work", "hoe")
    )
    land = '[headland]\nwhere = "ends"\nwidth = 12.0'
    caution = the_one(
        layout_of(one_stand(MAIZE, "6.0"), machine, work, land), "headland-too-narrow"
    )
    assert "work and hoe" in caution.sentence
    assert caution.count == 2


def test_a_machine_without_a_radius_is_said_and_not_guessed():
    layout = field(headland=12.0, keys="working_width = 6.0")
    assert of_key(layout, "headland-too-narrow") == []
    assert "planter" in the_one(layout, "turning-radius-not-given").sentence
