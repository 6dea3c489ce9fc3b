"""The search against an exact order by dynamic programming, and what it may never do."""

from itertools import pairwise, permutations, product

import numpy as np
import pytest
from exact_orders import exact_cost
from hypothesis import given, settings
from hypothesis import strategies as st

from geolayout.appraisal.driving.search import Links, shorter, total


def links_of(seed: int, pieces: int) -> Links:
    """Return links between ends strewn over a square kilometre. Invented."""
    rng = np.random.default_rng(seed)
    ends = rng.uniform(0.0, 1000.0, (2 * pieces, 2))
    gate = rng.uniform(0.0, 1000.0, 2)
    between = np.hypot(*(ends[:, None] - ends[None]).transpose(2, 0, 1))
    way = np.hypot(*(ends - gate).T)
    return Links.of(between, way, way)


def comb_links(pieces: int, spacing: float, wide: float) -> Links:
    """Return links between level passes side by side, dear where the step is narrow. Invented."""
    t = np.repeat(np.arange(pieces) * spacing, 2)
    s = np.tile([0.0, 400.0], pieces)
    step = np.abs(t[:, None] - t[None])
    same = s[:, None] == s[None]
    turn = np.where(step < wide, 60.0 - step, 20.0 + step - wide)
    between = np.where(same, turn, 440.0 + step)
    return Links.of(between, np.zeros(2 * pieces), np.zeros(2 * pieces))


def plain(links: Links) -> np.ndarray:
    """Return up and back."""
    return np.array([2 * i + i % 2 for i in range(links.pieces)])


def test_the_exact_order_is_the_best_of_all():
    links = links_of(3, 4)
    every = [
        total(np.array([2 * p + o for p, o in zip(order, ways, strict=True)]), links)
        for order in permutations(range(4))
        for ways in product((0, 1), repeat=4)
    ]
    assert exact_cost(links) == pytest.approx(min(every), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_strewn_pieces_come_within_a_twentieth_of_the_exact_order(seed):
    links = links_of(seed, 9)
    found = shorter(plain(links), links, kicks=60)
    assert total(found, links) <= 1.05 * exact_cost(links)


@pytest.mark.parametrize("pieces", [4, 7, 9, 10])
def test_passes_side_by_side_come_within_a_twentieth_of_the_exact_order(pieces):
    links = comb_links(pieces, 6.0, 13.0)
    found = shorter(plain(links), links, kicks=60)
    assert total(found, links) <= 1.05 * exact_cost(links)


@given(seed=st.integers(0, 10_000), pieces=st.integers(1, 14), kicks=st.integers(0, 5))
@settings(deadline=None, max_examples=40)
def test_a_search_drives_every_piece_once_and_costs_no_more(seed, pieces, kicks):
    links = links_of(seed, pieces)
    start = plain(links)
    found = shorter(start, links, kicks=kicks, seed=seed)
    assert sorted(found >> 1) == list(range(pieces))
    assert total(found, links) <= total(start, links) + 1e-9


def test_the_same_seed_gives_the_same_route():
    links = links_of(5, 30)
    one, other = (shorter(plain(links), links, kicks=20, seed=4) for _ in range(2))
    assert np.array_equal(one, other)


def test_links_of_a_route_add_up_to_its_cost():
    links = links_of(8, 6)
    route = plain(links).tolist()
    # way in from row 12, five links from where each piece is left, way out to row 13
    ways = [(12, route[0]), *((a ^ 1, b) for a, b in pairwise(route)), (route[-1] ^ 1, 13)]
    assert len(ways) == 7
    assert sum(links.cost[way] for way in ways) == pytest.approx(total(np.array(route), links))


def test_two_pieces_on_paper():
    # ends at 0, 10 and 30, 20 on a line; the gate at 0: in 0, on from 10 to 20, out from 30 to 0
    ends = np.array([0.0, 10.0, 30.0, 20.0])
    links = Links.of(np.abs(ends[:, None] - ends), ends, ends)
    found = shorter(np.array([2, 0]), links, kicks=0)
    assert total(found, links) == pytest.approx(40.0)
