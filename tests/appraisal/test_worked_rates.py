"""What was put out against what was to be. All invented."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from appraisal_layouts import HEADLAND, strips
from work_records import as_planned

from geolayout.appraisal.worked.done import WorkDone, WorkedArea
from geolayout.appraisal.worked.rates import PlannedRate, compare_rates

# Five strips of maize, 6 m x 100 m = 0.06 ha, 80,000 plants/ha: 4,800 plants each.
LAYOUT = strips(HEADLAND)
MAIZE = dict.fromkeys(np.flatnonzero(LAYOUT.ground.stand == "maize").tolist(), 80000.0)
PLANNED = (PlannedRate("maize", "plants/ha", MAIZE),)


def recorded(rate, **changes):
    """Return the passes of the planter with a rate."""
    work = as_planned(LAYOUT, "plant", rate=rate, **changes)
    return replace(work, strands=tuple(replace(one, product="maize") for one in work.strands))


def close(value):
    """To the anchor's nine decimals."""
    return pytest.approx(value, rel=1e-4, abs=0.5)


def test_what_was_put_out_as_planned():
    rates = compare_rates(LAYOUT, PLANNED, recorded(80000.0))
    assert [(one.band, one.number) for one in rates.strips] == [("A", n) for n in (1, 3, 5, 7, 9)]
    assert [one.planned for one in rates.strips] == close([4800.0] * 5)
    assert [one.put_out for one in rates.strips] == close([4800.0] * 5)
    assert [one.mean_rate for one in rates.strips] == close([80000.0] * 5)
    assert rates.beside["maize"] == close(0.0)
    assert rates.unrated_m2 == 0.0


def test_a_rate_set_too_low_on_half_of_a_pass():
    # First half of the first pass at 70,000: mean 75,000, 4,500 of 4,800 plants.
    work = recorded(80000.0)
    first = work.strands[0]
    low = np.where(np.arange(len(first.xy)) < len(first.xy) // 2, 70000.0, 80000.0)
    one = compare_rates(
        LAYOUT, PLANNED, WorkDone((replace(first, rate=low), *work.strands[1:]))
    ).strips[0]
    assert one.mean_rate == close(75000.0)
    assert (one.least_rate, one.most_rate) == (70000.0, 80000.0)
    assert one.put_out == close(4500.0)


def test_a_pass_a_hand_off_puts_seed_beside_and_makes_no_strip_of_it():
    # 10 cm x 100 m x 80,000/ha = 80 plants a pass beside; the headland and beans are no strips.
    rates = compare_rates(LAYOUT, PLANNED, recorded(80000.0, right=0.1))
    assert {one.band for one in rates.strips} == {"A"}
    assert rates.beside["maize"] == close(5 * 80.0)


def test_maize_in_the_beans_is_a_strip_where_none_was_to_go():
    work = recorded(80000.0)
    stray = replace(work.strands[0], xy=work.strands[0].xy + np.array([6.0, 0.0]))
    strips_found = compare_rates(LAYOUT, PLANNED, WorkDone((stray,))).strips
    (wrong,) = [one for one in strips_found if one.planned == 0.0]
    assert (wrong.band, wrong.number, wrong.planned_rate) == ("B", 2, 0.0)
    assert wrong.put_out == close(4800.0)
    # Strips that nothing went to are listed with what was to go there.
    assert [one.mean_rate for one in strips_found if one.band == "A"] == [None] * 5


def test_areas_with_a_rate():
    lines = LAYOUT.passes.lines.geometry[LAYOUT.passes.operation == 0]
    shapes = shapely.buffer(lines, 3.0, cap_style="flat")
    work = WorkDone(areas=tuple(WorkedArea(one, 78000.0, "maize") for one in shapes))
    rates = compare_rates(LAYOUT, PLANNED, work)
    assert [one.mean_rate for one in rates.strips] == close([78000.0] * 5)


def test_ground_without_a_rate_is_counted_and_not_guessed():
    rates = compare_rates(LAYOUT, PLANNED, recorded(np.nan))
    assert rates.unrated_m2 == close(3000.0)
    assert {one.mean_rate for one in rates.strips} == {None}
