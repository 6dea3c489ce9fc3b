"""Patterns drive every pass once, and keep their step."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.patterns import Rule, rules, sequence

KINDS = st.sampled_from(["up and back", "runs", "lands", "out and home"])


@given(kind=KINDS, step=st.integers(2, 9), passes=st.integers(0, 80))
def test_every_pass_is_driven_once(kind, step, passes):
    assert sorted(sequence(Rule(kind, step), passes)) == list(range(passes))


@pytest.mark.parametrize(
    ("rule", "passes", "order"),
    [
        pytest.param(Rule("up and back", 1), 4, (0, 1, 2, 3), id="up and back"),
        pytest.param(Rule("runs", 2), 6, (0, 2, 4, 5, 3, 1), id="every second out, others back"),
        pytest.param(Rule("runs", 3), 7, (0, 3, 6, 4, 1, 2, 5), id="three runs"),
        pytest.param(Rule("lands", 3), 6, (0, 3, 1, 4, 2, 5), id="one land of six"),
        # the second land begins with its far half: 5 to 9 is four on, and no step is under two
        pytest.param(
            Rule("lands", 3), 12, (0, 3, 1, 4, 2, 5, 9, 6, 10, 7, 11, 8), id="two lands of six"
        ),
        pytest.param(Rule("lands", 3), 9, (0, 3, 1, 4, 2, 5, 6, 8, 7), id="a land cut short"),
        pytest.param(
            Rule("out and home", 3),
            13,
            (0, 3, 6, 9, 12, 10, 7, 11, 8, 4, 1, 5, 2),
            id="every third out, home over the others",
        ),
        pytest.param(Rule("runs", 5), 3, (0, 1, 2), id="fewer passes than the step"),
    ],
)
def test_orders_on_paper(rule, passes, order):
    assert sequence(rule, passes) == order


@given(step=st.integers(2, 8), lands=st.integers(1, 6))
def test_whole_lands_never_take_a_step_under_one_less(step, lands):
    order = sequence(Rule("lands", step), 2 * step * lands)
    steps = [abs(b - a) for a, b in pairwise(order)]
    assert min(steps) == step - 1
    assert max(steps) <= step + 1


@given(step=st.integers(2, 8), passes=st.integers(2, 60))
def test_runs_take_a_narrow_step_only_between_runs(step, passes):
    order = sequence(Rule("runs", step), passes)
    narrow = [abs(b - a) for a, b in pairwise(order) if abs(b - a) < step]
    assert len(narrow) <= step - 1


def test_the_plainest_rule_comes_first():
    assert rules(3) == (
        Rule("up and back", 1),
        Rule("runs", 2),
        Rule("lands", 2),
        Rule("runs", 3),
        Rule("lands", 3),
        Rule("out and home", 3),
    )
