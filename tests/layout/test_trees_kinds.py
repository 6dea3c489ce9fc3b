"""Species by rule, as a planter would count them along the row."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.layout.trees.kinds import parts_of, species_of
from geolayout.plan.trees.trees import BandTrees

# Invented: three rows of seven trees.
ROW = np.repeat([0, 1, 2], 7)
POSITION = np.tile(np.arange(1, 8), 3)


def kinds_of(species, **mixing):
    trees = BandTrees(in_row_spacing=5.0, species=tuple(species), mixing=mixing)
    letters = np.array(trees.species_names)[species_of(trees, ROW, POSITION)]
    return ["".join(letters[row == ROW]) for row in range(3)]


@pytest.mark.parametrize(
    ("species", "mixing", "rows"),
    [
        pytest.param("ab", {}, ["aaaaaaa", "bbbbbbb", "aaaaaaa"], id="runs of whole rows"),
        pytest.param(
            "ab",
            {"run": 5},
            ["aaaaabb", "bbbaaaa", "abbbbba"],
            id="runs of five go on in the next row",
        ),
        pytest.param(
            "abc",
            {"rule": "sequence"},
            ["abcabca", "bcabcab", "cabcabc"],
            id="a sequence begins one further in each row",
        ),
        pytest.param(
            "ab",
            {"rule": "every", "every": 3},
            ["aabaaba", "aabaaba", "aabaaba"],
            id="every third is the other one",
        ),
        pytest.param(
            "abc",
            {"rule": "every", "every": 3},
            ["aabaaca", "aacaaba", "aabaaca"],
            id="every third is another one, in turn",
        ),
        pytest.param("a", {}, ["aaaaaaa"] * 3, id="one species"),
    ],
)
def test_species_take_turns_by_their_rule(species, mixing, rows):
    assert kinds_of(species, **mixing) == rows


def test_a_shuffle_holds_its_shares_and_its_seed():
    # 21 trees, two parts and one: 14 and 7
    first = kinds_of("ab", rule="random", shares=(2.0, 1.0), seed=4)
    assert Counter("".join(first)) == {"a": 14, "b": 7}
    assert first == kinds_of("ab", rule="random", shares=(2.0, 1.0), seed=4)
    assert first != kinds_of("ab", rule="random", shares=(2.0, 1.0), seed=5)
    assert first == ["bababab", "baaabaa", "aabaaaa"]  # written down once, stands for ever


@given(
    total=st.integers(0, 5000),
    shares=st.lists(st.floats(0.01, 100.0), min_size=2, max_size=6).map(tuple),
)
def test_parts_add_up_and_lie_within_one_of_their_share(total, shares):
    parts = parts_of(total, shares)
    assert sum(parts) == total
    exact = total * np.array(shares) / sum(shares)
    assert np.all(np.abs(parts - exact) < 1.0 + 1e-9)
