"""Widths held against what is asked of them, ranked."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.appraisal.fit.widths import Asked, Demand, width_choices


def passes(who, step, **more):
    return Demand(Asked.PASSES, who, step, 0.05, **more)


def fitting(demands, wish):
    return sorted(c.width for c in width_choices(demands, wish) if not c.misfits)


def test_common_multiples_come_out():
    # 3 m and 4.5 m: 9 and 18 m, up to three times the wish.
    assert fitting([passes("drill", 3.0), passes("roll", 4.5)], 8.0) == [9.0, 18.0]


def test_multiples_within_the_limits_of_the_warnings_count():
    # 8 rows of 0.762 m are 6.096 m, a 3.05 m drill twice is 6.10 m: 4 mm apart.
    rows = Demand(Asked.ROWS, "maize", 0.762, 0.00762)
    assert 6.096 in fitting([rows, passes("drill", 3.05)], 6.0)


def test_every_second_multiple_brings_a_machine_back():
    ranked = width_choices([passes("drill", 3.0, far_side=False)], 9.0)
    assert [c.width for c in ranked[:4]] == [6.0, 12.0, 18.0, 24.0]
    odd = next(c for c in ranked if c.width == 9.0)
    assert [demand.who for demand in odd.odd] == ["drill"]


@pytest.mark.parametrize(
    ("demand", "width", "steps", "over", "fits"),
    [
        # 7 m with a 3 m drill: 3 passes, 2 m worked twice; 2.333 m a pass fits
        pytest.param(passes("drill", 3.0), 7.0, 3, 2.0, 7 / 3, id="2 m worked twice"),
        # 6 m at 0.70 m: 8 rows are 5.6 m and leave 0.4 m; 0.75 m apart fill it
        pytest.param(Demand(Asked.ROWS, "maize", 0.7, 0.007), 6.0, 8, -0.4, 0.75, id="0.4 m left"),
        # 5 m under a 6 m header: 1 m beyond
        pytest.param(Demand(Asked.HEADERS, "cut", 6.0, 0.1), 5.0, 1, 1.0, 5.0, id="1 m beyond"),
    ],
)
def test_what_a_width_misses_and_what_would_have_to_change(demand, width, steps, over, fits):
    wish = next(c for c in width_choices([demand], width) if c.width == width)
    (misfit,) = wish.misfits
    assert (misfit.steps, misfit.over) == (steps, pytest.approx(over))
    assert misfit.step_that_fits == pytest.approx(fits)
    assert misfit.share == pytest.approx(abs(over) / width)
    assert wish.cost == pytest.approx(misfit.share)


@given(
    steps=st.lists(st.integers(2, 24), min_size=1, max_size=4, unique=True),
    wish=st.integers(4, 60),
)
@example(steps=[6, 9], wish=16)
def test_what_fits_is_what_divides(steps, wish):
    """In quarters of a metre, against whole numbers: a width fits that each step divides."""
    demands = [passes(str(step), step / 4) for step in steps]
    widest = min(120.0, max(3 * wish / 4, 2 * max(steps) / 4))
    divided = [w / 4 for w in range(1, int(widest * 4) + 1) if all(w % s == 0 for s in steps)]
    assert fitting(demands, wish / 4) == divided


@given(
    steps=st.lists(st.floats(0.5, 9.0), min_size=1, max_size=4, unique=True),
    wish=st.floats(2.0, 30.0),
)
def test_misses_come_after_fits_and_the_wish_is_always_told(steps, wish):
    ranked = width_choices([passes(str(step), step) for step in steps], wish)
    missed = [len(choice.misfits) for choice in ranked]
    assert missed == sorted(missed)
    assert any(abs(choice.width - wish) < 1e-3 for choice in ranked)
    for choice in ranked:
        for misfit in choice.misfits:
            total = misfit.steps * misfit.demand.step - misfit.over
            assert total == pytest.approx(choice.width, abs=1e-4)
            assert abs(misfit.over) > 0.05
