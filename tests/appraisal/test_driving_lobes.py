"""Lobes of pieces, on land that a reader can draw."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.driving.lobes import Spans, lobes, one_lobe


def spans(*pieces):
    """Return spans from (pass, from, to)."""
    number, s0, s1 = zip(*pieces, strict=True)
    return Spans(np.array(number), np.array(s0, dtype=float), np.array(s1, dtype=float))


@pytest.mark.parametrize(
    ("pieces", "expected"),
    [
        pytest.param([(0, 0, 9), (1, 0, 9), (2, 0, 9)], [[0, 1, 2]], id="a plain field"),
        pytest.param(
            [(0, 0, 99), (1, 0, 40), (1, 60, 99), (2, 0, 40), (2, 60, 99)],
            [[0], [1, 3], [2, 4]],
            id="two arms after the foot",
        ),
        pytest.param(
            [(0, 0, 99), (1, 0, 40), (1, 60, 99), (2, 0, 99)],
            [[0], [1], [2], [3]],
            id="a pond in the middle",
        ),
        pytest.param([(0, 0, 40), (1, 60, 99)], [[0], [1]], id="corner to corner"),
        pytest.param([(0, 0, 40), (1, 39.5, 99)], [[0], [1]], id="half a metre shared"),
        pytest.param([(5, 0, 9), (9, 0, 9)], [[0, 1]], id="bands between are no gap"),
    ],
)
def test_lobes_on_paper(pieces, expected):
    assert [[p[0] for p in lobe] for lobe in lobes(spans(*pieces))] == expected


def test_one_lobe_holds_every_pass_with_all_its_pieces():
    assert one_lobe(spans((1, 60, 99), (0, 0, 99), (1, 0, 40))) == (((1,), (2, 0)),)


@given(
    st.lists(
        st.tuples(st.integers(0, 6), st.integers(0, 90), st.integers(5, 40)),
        min_size=1,
        max_size=15,
    )
)
def test_every_piece_is_in_one_lobe(pieces):
    found = lobes(spans(*[(n, s, s + size) for n, s, size in pieces]))
    assert sorted(i for lobe in found for one in lobe for i in one) == list(range(len(pieces)))
