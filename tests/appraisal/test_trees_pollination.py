"""Pollinators within reach, by tape and by the days of flower. Varieties are invented."""

import pytest
from appraisal_layouts import GRASS, layout_of

from geolayout.appraisal.trees.pollination import pollination_cautions, pollination_figures

EARLY, LATE = "[[4, 10], [4, 25]]", "[[5, 1], [5, 20]]"


def orchard(mixing, *told):
    """One row of 120 m, 5 m apart, the first at 2.5 m: 24 trees of A and B."""
    return layout_of(
        GRASS,
        f"""
[[pattern]]
name = "p"
bands = [
  {{ name = "C", width = 28.0, stand = "grass" }},
  {{ name = "T", width = 4.0, trees = {{ in_row_spacing = 5.0, species = ["A", "B"], \
mixing = {{ {mixing} }}, pollination = [ {", ".join(told)} ] }} }},
  {{ name = "D", width = "rest", stand = "grass" }},
]
""",
    )


def needs_b(flowers="", reach=""):
    return f'{{ species = "A", needs = ["B"] {flowers} {reach} }}'


def test_every_eighth_tree_is_a_pollinator_and_the_first_stand_too_far():
    # B on positions 8, 16, 24: A on 1 stands 7 x 5 = 35 m off, beyond 15 m: positions 1, 2, 3, 4
    # (35, 30, 25, 20 m), 5 is 15 m off and within; 12 lies 4 x 5 = 20 m from 8 and 16, and so
    # does 20: 4 + 2 = 6 beyond.
    (one,) = pollination_figures(orchard('rule = "every", every = 8', needs_b()))
    assert (one.species, one.trees, one.pollinators) == ("A", 21, ("B",))
    assert one.farthest_m == pytest.approx(35.0, abs=1e-3)
    assert one.beyond == 6
    # A and B stand by turns: nobody is farther than one step
    (one,) = pollination_figures(orchard('rule = "sequence"', needs_b()))
    assert one.beyond == 0
    assert one.farthest_m == pytest.approx(5.0, abs=1e-3)


def test_reach_of_its_own():
    (one,) = pollination_figures(orchard('rule = "every", every = 8', needs_b("", ", reach = 35")))
    assert (one.reach_m, one.beyond) == (35.0, 0)


@pytest.mark.parametrize(
    ("flower", "serving", "days", "keys"),
    [
        pytest.param(EARLY, ("B",), 16, [], id="together"),
        pytest.param(LATE, (), 0, ["pollinator-out-of-reach"], id="at another time"),
        pytest.param(None, ("B",), None, ["flower-not-given"], id="nobody knows"),
    ],
)
def test_flowers_together(flower, serving, days, keys):
    other = [] if flower is None else [f'{{ species = "B", flowers = {flower} }}']
    layout = orchard('rule = "sequence"', needs_b(f", flowers = {EARLY}"), *other)
    (one,) = pollination_figures(layout)
    assert one.pollinators == serving
    assert one.days_together == (("B", days),)
    assert [caution.key for caution in pollination_cautions(layout)] == keys


def test_the_caution_names_the_trees_and_the_farthest():
    layout = orchard('rule = "every", every = 8', needs_b(f", flowers = {EARLY}"))
    beyond, unknown = pollination_cautions(layout)
    assert "6 of 21 trees of A have no pollinator within 15 m" in beyond.sentence
    assert "35.0 m" in beyond.sentence
    assert (beyond.value, beyond.threshold) == (pytest.approx(35.0, abs=1e-3), 15.0)
    assert unknown.severity == "note"


def test_without_needs_nothing_is_said():
    assert pollination_figures(orchard('rule = "sequence"')) == ()
