"""One thing is told as one, several and none as many."""

import pytest

from geolayout.handover.words.counting import counted


@pytest.mark.parametrize(
    ("count", "words"),
    [
        pytest.param(0, "0 passes", id="none"),
        pytest.param(1, "1 pass", id="one"),
        pytest.param(21, "21 passes", id="many that end in one"),
    ],
)
def test_a_number_of_things_is_told_in_words(count, words):
    assert counted(count, "pass", "passes") == words
