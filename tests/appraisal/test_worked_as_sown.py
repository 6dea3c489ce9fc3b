"""Work done against work planned: closed forms on 60 m by 100 m of crop land. All invented."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from appraisal_layouts import HEADLAND, STANDS, layout_of, strips, worked_by
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from sample_layouts import sample_layout
from work_records import as_planned, operation_of, strand

from geolayout.appraisal.worked.as_sown import compare_work
from geolayout.appraisal.worked.done import WorkDone, WorkedArea, set_back

# Crop land 60 m by 100 m, rows north. "plant": 5 passes of 6 m on maize, the strips of beans
# between. "drill": 10 passes of 3 m on beans, two a strip.
LAYOUT = strips(HEADLAND)
PLANT, DRILL = operation_of(LAYOUT, "plant"), operation_of(LAYOUT, "drill")

# One stand everywhere, sprayed 24 m wide: 60 / 24 = two passes and a half, so the third moves in
# by 12 m and works 12 m x 100 m again.
WHOLE = layout_of(
    STANDS,
    '[[pattern]]\nname = "p"\nbands = [ { name = "A", width = 60.0, stand = "beans" } ]\n',
    worked_by("drill", "working_width = 3.0", operation="drill"),
    worked_by("planter", "working_width = 6.0", operation="plant"),
    worked_by("sprayer", "working_width = 24.0", "block", operation="spray"),
    HEADLAND,
)


def close(value):
    """To a square metre in a million, and to the anchor's nine decimals."""
    return pytest.approx(value, rel=1e-4, abs=0.02)


@pytest.mark.parametrize(
    ("layout", "name", "ground", "passes"),
    [
        pytest.param(LAYOUT, "plant", 3000.0, 5, id="strips of one pass: 5 x 6 m x 100 m"),
        pytest.param(LAYOUT, "drill", 3000.0, 10, id="strips of two passes: 5 x 6 m x 100 m"),
        pytest.param(WHOLE, "spray", 6000.0, 3, id="the last pass works 12 m again, as planned"),
    ],
)
def test_work_as_planned_misses_and_doubles_nothing(layout, name, ground, passes):
    sown = compare_work(layout, operation_of(layout, name), as_planned(layout, name))
    assert sown.planned_m2 == close(ground)
    assert sown.worked_m2 == close(ground)
    assert (sown.missed_m2, sown.doubled_m2) == (close(0.0), close(0.0))
    assert (sown.missed, sown.doubled, sown.wrong) == ((), (), ())
    assert len(sown.passes) == passes
    assert sown.mean_across_m == pytest.approx(0.0, abs=1e-6)
    assert all(one.worst_across_m == pytest.approx(0.0, abs=1e-6) for one in sown.passes)
    assert all(one.worked_m == close(one.planned_m) for one in sown.passes)


@pytest.mark.parametrize("shift", [0.05, 0.10, 0.20, -0.10])
def test_passes_off_line_show_by_how_much_and_which_way(shift):
    # Each of 5 strips misses shift x 100 m on one side; nothing is sown twice, and the sliver in
    # the neighbour is no wrong strip.
    sown = compare_work(LAYOUT, PLANT, as_planned(LAYOUT, "plant", right=shift))
    assert sown.mean_across_m == pytest.approx(shift, abs=1e-6)
    assert [one.mean_across_m for one in sown.passes] == pytest.approx([shift] * 5, abs=1e-6)
    assert [one.worst_across_m for one in sown.passes] == pytest.approx([shift] * 5, abs=1e-6)
    assert sown.missed_m2 == close(5 * abs(shift) * 100.0)
    assert sown.doubled_m2 == close(0.0)
    assert sown.wrong == ()
    assert sown.missed == ()  # narrower than 25 cm: off line, and no gap to sow again


def test_a_pass_twenty_centimetres_off_doubles_on_one_side_and_misses_on_the_other():
    # One pass of a strip of two moved 20 cm to the right, into the other: 0.2 x 100 each.
    work = as_planned(LAYOUT, "drill")
    moved = replace(work.strands[0], xy=work.strands[0].xy + np.array([0.2, 0.0]))
    sown = compare_work(LAYOUT, DRILL, WorkDone((moved, *work.strands[1:])))
    assert sown.doubled_m2 == close(20.0)
    assert sown.missed_m2 == close(20.0)
    assert sown.passes[0].missed_m2 == close(20.0)
    assert sown.passes[1].doubled_m2 == close(20.0)
    assert [one.mean_across_m for one in sown.passes[:2]] == pytest.approx([0.2, 0.0], abs=1e-6)


def test_a_pass_nobody_drove_is_a_gap():
    work = as_planned(LAYOUT, "plant")
    sown = compare_work(LAYOUT, PLANT, WorkDone(work.strands[:2] + work.strands[3:]))
    (gap,) = sown.missed
    assert gap.ground.area == close(600.0)  # 6 m x 100 m
    assert not gap.at_end
    assert sown.passes[2].worked_m == 0.0
    assert sown.passes[2].mean_across_m is None
    assert sown.passes[2].missed_m2 == close(600.0)


def test_a_pass_driven_twice_is_doubled():
    work = as_planned(LAYOUT, "plant")
    sown = compare_work(LAYOUT, PLANT, WorkDone((*work.strands, work.strands[1])))
    (patch,) = sown.doubled
    assert patch.ground.area == close(600.0)
    assert sown.passes[1].doubled_m2 == close(600.0)
    assert sown.passes[1].worked_m == close(200.0)  # 100 m, twice
    assert sown.missed_m2 == close(0.0)


def test_a_strip_sown_by_the_wrong_machine_is_named():
    # A pass of the planter down the first strip of beans, 6 m to 12 m from the west.
    work = as_planned(LAYOUT, "plant")
    stray = replace(work.strands[0], xy=work.strands[0].xy + np.array([6.0, 0.0]))
    sown = compare_work(LAYOUT, PLANT, WorkDone((*work.strands, stray)))
    (wrong,) = sown.wrong
    assert (wrong.band, wrong.number, wrong.stand) == ("B", 2, "beans")
    assert wrong.length_m == close(100.0)
    assert wrong.area_m2 == close(600.0)
    assert sown.missed_m2 == close(0.0)
    assert all(one.mean_across_m == pytest.approx(0.0, abs=1e-6) for one in sown.passes)


def test_a_pass_that_wanders_has_a_drift():
    # From nought at its beginning to 10 cm to the right at its end: mean 5 cm, worst 10 cm.
    work = as_planned(LAYOUT, "plant", both_ways=False)
    first = work.strands[0]
    share = np.linspace(0.0, 1.0, len(first.xy))
    moved = replace(first, xy=first.xy + 0.1 * share[:, None] * [1.0, 0.0])
    one = compare_work(LAYOUT, PLANT, WorkDone((moved, *work.strands[1:]))).passes[0]
    assert one.drift_m == pytest.approx(0.1, abs=1e-4)
    assert one.mean_across_m == pytest.approx(0.05, abs=1e-4)
    assert one.worst_across_m == pytest.approx(0.1, abs=1e-4)


def test_receivers_that_wander_in_a_day_show_a_drift_an_hour():
    # Pass after pass ten minutes later and 1 cm farther to the right: 6 cm an hour.
    work = as_planned(LAYOUT, "plant")
    strands = tuple(
        replace(one, xy=one.xy + np.array([0.01 * k, 0.0]), seconds=np.full(len(one.xy), 600.0 * k))
        for k, one in enumerate(work.strands)
    )
    sown = compare_work(LAYOUT, PLANT, WorkDone(strands))
    assert sown.drift_m_per_hour == pytest.approx(0.06, abs=1e-4)


def test_without_times_there_is_no_drift_an_hour():
    assert compare_work(LAYOUT, PLANT, as_planned(LAYOUT, "plant")).drift_m_per_hour is None


def test_turning_at_the_headland_sows_nothing_twice():
    # All passes as one track, up and down, with half circles of places on the headlands between.
    strands = as_planned(LAYOUT, "drill").strands
    joined = np.concatenate([_with_turn(one.xy) for one in strands])
    sown = compare_work(LAYOUT, DRILL, WorkDone((strand(joined, 3.0, half_step=0.5),)))
    assert sown.doubled_m2 == close(0.0)
    assert sown.missed_m2 == close(0.0)
    assert sown.turning_m > 0.0
    assert sown.mean_across_m == pytest.approx(0.0, abs=1e-6)


def _with_turn(xy):
    """Add a straight way in and out, and three places of a turn to the next pass in the east."""
    way = (xy[-1] - xy[-2]) / np.hypot(*(xy[-1] - xy[-2]))
    turn = xy[-1] + 2.5 * way + np.array([[0.6, 0.0], [1.5, 0.0], [2.4, 0.0]])
    return np.concatenate([xy[:1] - way, xy, xy[-1:] + way, turn])


@pytest.mark.parametrize("ahead", [1.5, -1.0])
def test_a_record_that_runs_ahead_says_so_and_can_be_set_back(ahead):
    work = set_back(as_planned(LAYOUT, "plant"), -ahead)
    sown = compare_work(LAYOUT, PLANT, work)
    assert sown.lag.ahead_m == pytest.approx(ahead, abs=1e-3)
    assert sown.lag.along_m == pytest.approx(0.0, abs=1e-3)
    assert sown.lag.passes == 5
    # What is missed lies at the ends alone: 5 passes, each short of one end.
    assert sown.missed_m2 == close(5 * 6.0 * abs(ahead))
    assert sown.missed_at_ends_m2 == close(sown.missed_m2)
    assert all(patch.at_end for patch in sown.missed)
    mended = compare_work(LAYOUT, PLANT, set_back(work, ahead))
    assert mended.missed_m2 == close(0.0)


def test_passes_driven_one_way_only_do_not_tell_a_lag():
    work = as_planned(LAYOUT, "plant", both_ways=False)
    assert compare_work(LAYOUT, PLANT, work).lag is None


def test_areas_are_judged_as_well():
    # The passes as rectangles, the second 10 cm to the right.
    lines = LAYOUT.passes.lines.geometry[LAYOUT.passes.operation == PLANT]
    shapes = shapely.buffer(lines, 3.0, cap_style="flat")
    shapes[1] = shapely.transform(shapes[1], lambda xy: xy + np.array([0.1, 0.0]))
    work = WorkDone(areas=tuple(WorkedArea(one, np.nan) for one in shapes))
    sown = compare_work(LAYOUT, PLANT, work)
    assert sown.missed_m2 == close(10.0)  # 0.1 m x 100 m
    means = [one.mean_across_m for one in sown.passes]
    assert means == pytest.approx([0.0, 0.1, 0.0, 0.0, 0.0], abs=1e-6)


def test_without_a_record_everything_is_missed():
    sown = compare_work(LAYOUT, PLANT, WorkDone())
    assert sown.missed_m2 == close(3000.0)
    assert len(sown.missed) == 5
    assert sown.mean_across_m is None


def slanting(bearing, width, slant):
    """Give 150 m x 110 m whose north and south edges rise by so much to the east, drilled whole."""
    land = shapely.Polygon([(0, 0), (150, slant), (150, 110 + slant), (0, 110)])
    return layout_of(
        STANDS,
        f'[[pattern]]\nname = "p"\nbands = [ {{ name = "A", width = {width}, stand = "beans" }} ]',
        worked_by("planter", "working_width = 6.0", operation="plant"),
        worked_by("drill", f"working_width = {width}", "block", operation="drill"),
        HEADLAND,
        land=land,
        guide=f"bearing = {bearing:.3f}\nanchor = [10.0, 0.0]",
    )


def left_by_plan(layout, width):
    """Return the ground of bands that no pass of the drill goes over, by its lines alone. [m2]"""
    passes = layout.passes
    mine = passes.operation == operation_of(layout, "drill")
    lines = passes.lines.geometry[mine]
    swaths = shapely.buffer(lines, width / 2, cap_style="flat", join_style="mitre")
    bands = shapely.union_all(layout.ground.geometry[layout.ground.kind == "band"])
    return shapely.difference(bands, shapely.union_all(swaths), grid_size=1e-6).area


def test_ground_too_narrow_for_a_pass_is_missed_by_the_plan_and_told():
    # A sliver of 4.3 m by 4 cm in a corner: under 5 cm across there is no pass.
    layout = slanting(320.0, 3.0, 19.25)
    sown = compare_work(layout, operation_of(layout, "drill"), as_planned(layout, "drill"))
    assert sown.missed_m2 == pytest.approx(left_by_plan(layout, 3.0), abs=0.01)
    assert sown.missed_m2 == pytest.approx(0.153, abs=0.001)
    assert sown.missed == ()


@settings(max_examples=8, deadline=None)
@given(
    bearing=st.floats(0.0, 359.0),
    width=st.sampled_from([3.0, 4.5, 6.0, 12.0]),
    step=st.floats(0.5, 5.0),
    slant=st.floats(0.0, 40.0),
)
@example(bearing=37.0, width=6.0, step=2.0, slant=25.0)
def test_laid_exactly_as_planned_nothing_is_amiss(bearing, width, step, slant):
    layout = slanting(bearing, width, slant)
    assume(left_by_plan(layout, width) < 0.005)  # the sliver above is no work amiss
    sown = compare_work(
        layout, operation_of(layout, "drill"), as_planned(layout, "drill", step=step)
    )
    assert sown.missed_m2 == pytest.approx(0.0, abs=0.01)
    assert sown.doubled_m2 == pytest.approx(0.0, abs=0.01)
    assert sown.wrong == ()
    assert sown.worst_across_m == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("sample", "name"),
    [
        pytest.param("pond_piece", "drill beans", id="past a pond"),
        pytest.param("hive_ground", "drill", id="with keep-clear ground"),
        pytest.param("slough_quarter", "seed", id="wide passes"),
    ],
)
def test_a_sample_worked_as_planned_comes_back_clean(sample, name):
    layout = sample_layout(sample)
    work = as_planned(layout, name, step=2.0)
    sown = compare_work(layout, operation_of(layout, name), work)
    assert sown.missed_m2 == pytest.approx(0.0, abs=0.02)
    assert sown.doubled_m2 == pytest.approx(0.0, abs=0.02)
    assert (sown.missed, sown.doubled, sown.wrong) == ((), (), ())
    assert sown.worst_across_m == pytest.approx(0.0, abs=1e-5)
