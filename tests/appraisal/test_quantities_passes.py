"""Passes counted and measured, what lies beyond the edge, what is worked twice."""

import shapely
from appraisal_layouts import HEADLAND, NORTH, close, layout_of, one_stand, strips, worked_by

from geolayout.appraisal.quantities.passes import operation_figures


def test_passes_are_counted_and_measured_by_operation():
    # Planter 6 m: one pass in each of 5 strips of 100 m. Drill 3 m: two in each of 5.
    plant, drill = operation_figures(strips(HEADLAND))
    assert (plant.passes, plant.length_m) == (5, close(500.0))
    assert (drill.passes, drill.length_m) == (10, close(1000.0))
    assert plant.worked_twice_m2 == drill.worked_twice_m2 == 0.0


def test_a_last_pass_moved_inward_works_ground_twice():
    # 7 m with a 3 m drill: 3 passes, the last over 1 m of fresh ground and 2 m of old. 60 m hold
    # 8 bands of 7 m and one of 4 m, whose last pass repeats 2 m too: 9 x 2 x 120 m.
    layout = layout_of(
        one_stand('{ crop = "c", spacing = 0.25, operation = "work" }', "7.0"),
        worked_by("drill", "working_width = 3.0"),
    )
    (work,) = operation_figures(layout)
    assert work.passes == 8 * 3 + 2
    assert work.worked_twice_m2 == close(9 * 2 * 120)


def test_a_band_cut_on_the_near_side_is_worked_twice_from_its_other_edge():
    # Bands of 7 m from 4 m on: the near band of 4 m is worked from its whole edge, 3 m and then
    # 1 m fresh and 2 m again; eight bands of 7 m as above.
    layout = layout_of(
        one_stand('{ crop = "c", spacing = 0.25, operation = "work" }', "7.0"),
        worked_by("drill", "working_width = 3.0"),
        guide=f"{NORTH}\nstart = 4.0",
    )
    (work,) = operation_figures(layout)
    assert work.worked_twice_m2 == close(9 * 2 * 120)


def test_a_machine_wider_than_its_band_works_the_neighbour_twice_only_where_it_works_it():
    # 2 m bands, the first worked by a 3 m machine: it reaches 0.5 m into ground it does not work.
    pattern = (
        '[[stand]]\nname = "a"\nsowing = [ { crop = "a", spacing = 0.5, operation = "work" } ]\n'
        '[[stand]]\nname = "b"\nsowing = [ { crop = "b", spacing = 0.5 } ]\n'
        '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 2.0, stand = "a" },'
        ' { name = "B", width = 2.0, stand = "b" } ]'
    )
    (work,) = operation_figures(layout_of(pattern, worked_by("drill", "working_width = 3.0")))
    assert (work.passes, work.worked_twice_m2) == (15, 0.0)


def test_a_slanting_end_leaves_part_of_the_line_beyond_the_edge():
    # The north edge falls 1 m a metre from 120 m in the west; a 6 m pass reaches the west edge of
    # its strip, 3 m beyond the land under its centre: 10 passes x 3 m.
    land = shapely.Polygon([(0, 0), (60, 0), (60, 60), (0, 120)])
    plant, _ = operation_figures(strips(land=land))
    assert plant.beyond_edge_m == close(5 * 3.0)
    assert plant.length_m == close(sum(120 - 12 * k for k in range(5)))


def test_an_operation_without_passes_is_listed():
    idle = worked_by("roller", "working_width = 6.0", operation="roll")
    seeded = (
        idle
        + "\n"
        + '[[stand]]\nname = "rye"\nsowing = [{crop = "rye", spacing = 0.25, operation = "roll"}]'
    )
    *_, roll = operation_figures(strips(seeded))
    assert (roll.operation, roll.passes, roll.length_m) == ("roll", 0, 0.0)
