"""The least cost of all orders, by dynamic programming: what searches are judged by."""

import numpy as np

from geolayout.appraisal.driving.search import Links


def exact_cost(links: Links) -> float:
    """Return the least cost of all orders (Held and Karp: sets of pieces by last end)."""
    n, cost = links.pieces, links.cost
    left = np.arange(2 * n) ^ 1
    best = np.full((1 << n, 2 * n), np.inf)  # set driven, and the end its last was entered at
    for e in range(2 * n):
        best[1 << (e >> 1), e] = cost[2 * n, e]
    for driven in range(1, 1 << n):
        cheapest = (best[driven][:, None] + cost[left, : 2 * n]).min(axis=0)
        for e in range(2 * n):
            if not driven >> (e >> 1) & 1:
                key = driven | 1 << (e >> 1)
                best[key, e] = min(best[key, e], cheapest[e])
    return float((best[-1] + cost[left, 2 * n + 1]).min())
