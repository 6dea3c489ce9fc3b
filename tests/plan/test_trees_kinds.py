"""Kinds of trees: their rule, their flower, and their thinning."""

import pytest
from pydantic import ValidationError

from geolayout.plan.trees.kinds import Mixing, Pollination, overlap


def variety(first=None, last=None, **keys):
    flowers = None if first is None else (first, last)
    return Pollination(**{"species": "invented", "flowers": flowers, **keys})


@pytest.mark.parametrize(
    ("one", "other", "days"),
    [
        # 20 April to 5 May and 3 to 20 May: the 3rd, 4th and 5th
        pytest.param(((4, 20), (5, 5)), ((5, 3), (5, 20)), 3, id="three days in common"),
        pytest.param(((4, 20), (5, 5)), ((5, 6), (5, 20)), 0, id="a day too late"),
        pytest.param(((4, 20), (5, 5)), ((4, 20), (5, 5)), 16, id="all of 16 days"),
        # 28 December to 3 January and 1 to 10 January
        pytest.param(((12, 28), (1, 3)), ((1, 1), (1, 10)), 3, id="over the turn of the year"),
    ],
)
def test_days_on_which_two_flower_together(one, other, days):
    assert overlap(variety(*one), variety(*other)) == days
    assert overlap(variety(*other), variety(*one)) == days


def test_a_flower_that_nobody_knows_overlaps_with_nothing_and_all():
    assert overlap(variety((4, 20), (5, 5)), variety()) is None


@pytest.mark.parametrize(
    ("make", "match"),
    [
        pytest.param(lambda: Mixing(run=5, rule="sequence"), r"run belongs to", id="run"),
        pytest.param(lambda: Mixing(every=5), r'every belongs to rule = "every"', id="every"),
        pytest.param(lambda: Mixing(shares=(1.0, 2.0)), r"shares belongs to", id="shares"),
        pytest.param(lambda: Mixing(rule="every"), r"without every", id="every n-th, and no n"),
        pytest.param(lambda: variety((4, 31), (5, 5)), r"31. of month 4", id="no such day"),
        pytest.param(lambda: variety(needs=("invented",)), r"own pollen", id="its own pollinator"),
    ],
)
def test_nonsense_about_kinds_is_refused(make, match):
    with pytest.raises(ValidationError, match=match):
        make()
