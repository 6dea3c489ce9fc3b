"""Names near to one that nobody knows."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.plan.near import near_names


@pytest.mark.parametrize(
    ("name", "known", "sentence"),
    [
        pytest.param("beens", ["beans", "maize"], "Did you mean 'beans'?", id="one near"),
        pytest.param(
            "spacng", ["spacing", "rows"], "Did you mean 'spacing'?", id="a letter left out"
        ),
        pytest.param("oats", ["beans", "maize"], "There are: beans, maize.", id="none near"),
        pytest.param("oats", [], "There are none.", id="none at all"),
        pytest.param("oats", ["rye", "rye"], "There are: rye.", id="each once"),
    ],
)
def test_near_names_are_listed(name, known, sentence):
    assert near_names(name, known) == sentence


@given(name=st.text(min_size=1, max_size=20), known=st.lists(st.text(min_size=1), max_size=6))
def test_it_is_always_one_sentence(name, known):
    sentence = near_names(name, known)
    assert sentence[-1] in ".?"
    assert known or sentence == "There are none."


@given(known=st.lists(st.sampled_from(["alpha", "beta", "gamma", "delta"]), min_size=1))
def test_a_known_name_is_its_own_neighbour(known):
    assert repr(known[0]) in near_names(known[0], known)
