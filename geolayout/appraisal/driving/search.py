"""
The search for a shorter order: parts turned round or moved, then kicks, by stated counts.

A piece is driven from its one end or from its other: end ``2 i`` is where piece i begins and
``2 i + 1`` where it stops. A *route* is the ends at which the pieces are entered, in order; a piece
entered at end e is left at ``e ^ 1``. What it costs to drive from end to end is the same both ways,
so a part of a route that is driven backwards costs as much inside, and only its two links change.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["ASIDE", "Links", "shorter", "total"]

Floats = NDArray[np.float64]
Route = NDArray[np.int64]

LONGEST_MOVED = 3
"""Pieces that are moved together. Our own choice."""

GAIN = 1e-6
"""A gain below this is none. [m]"""

GRID = 0.01
"""Costs are counted in these, so that rounding of lon/lat never changes an order. [m]"""

ASIDE = 0.00317
"""Keeps round figures, such as half a working width, off the edges of that grid. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class Links:
    """
    What it costs to drive from one end to another.

    Attributes
    ----------
    cost : ndarray, shape (2 n + 2, 2 n + 2)
        Between ends; the last two rows are where the machine comes in and where it goes out. [m]
    """

    cost: Floats

    @classmethod
    def of(cls, between: Floats, way_in: Floats, way_out: Floats) -> "Links":
        """Join costs between ends, shape (2 n, 2 n), with those in and out, shape (2 n,). [m]"""
        n = len(between)
        cost = np.zeros((n + 2, n + 2))
        cost[:n, :n] = between
        cost[n, :n] = cost[:n, n] = way_in
        cost[n + 1, :n] = cost[:n, n + 1] = way_out
        return cls(np.round((cost + ASIDE) / GRID) * GRID)

    @property
    def pieces(self) -> int:
        """How many pieces there are."""
        return len(self.cost) // 2 - 1


def total(route: Route, links: Links) -> float:
    """Return what a route costs, way in and way out included. [m]"""
    left, entered = _joints(route, links)
    return float(links.cost[left, entered].sum())


def shorter(route: Route, links: Links, *, kicks: int, seed: int = 0) -> Route:
    """
    Return a route that costs no more, and usually less.

    Parameters
    ----------
    route : ndarray of int, shape (n,)
        Where each piece is entered, in order.
    links : Links
        What driving between ends costs.
    kicks : int
        How often the route is shaken and mended again; a shake that does not pay is taken back.
    seed : int, default 0
        Of the shakes: the same seed gives the same route.

    Returns
    -------
    route : ndarray of int, shape (n,)
    """
    best = _mended(np.array(route, dtype=np.int64), links, range(len(route)))
    least = total(best, links)
    rng = np.random.default_rng(seed)
    for _ in range(kicks if len(route) > 2 else 0):
        shaken, touched = _shaken(best, rng)
        found = _mended(shaken, links, touched)
        cost = total(found, links)
        if cost < least - GAIN:
            best, least = found, cost
    return best


def _joints(route: Route, links: Links) -> tuple[Route, Route]:
    """Return where each link begins and where it ends."""
    n = 2 * links.pieces
    return np.concatenate([[n], route ^ 1]), np.concatenate([route, [n + 1]])


def _shaken(route: Route, rng: np.random.Generator) -> tuple[Route, list[int]]:
    """Return a route with two neighbouring parts swapped, and the pieces beside the cuts."""
    a, b, c = np.sort(rng.choice(len(route) + 1, 3, replace=False))
    shaken = np.concatenate([route[:a], route[b:c], route[a:b], route[c:]])
    cuts = {a, a + c - b, c}
    near = {k for cut in cuts for k in (cut - 1, cut) if 0 <= k < len(route)}
    return shaken, [int(shaken[k]) >> 1 for k in sorted(near)]


def _mended(route: Route, links: Links, pieces: Iterable[int]) -> Route:
    """Return a route after every gain that turning or moving a part brings, looking at pieces."""
    waiting = deque(pieces)
    queued = set(waiting)
    while waiting:
        piece = waiting.popleft()
        queued.discard(piece)
        found = _mended_at(route, links, int(np.flatnonzero(route >> 1 == piece)[0]))
        if found is None:
            continue
        changed = (route != found).nonzero()[0]
        route = found
        ends = (changed[0] - 1, changed[0], changed[-1], changed[-1] + 1)
        for k in ends:
            other = int(route[min(max(k, 0), len(route) - 1)]) >> 1
            if other not in queued:
                waiting.append(other)
                queued.add(other)
        if piece not in queued:
            waiting.append(piece)
            queued.add(piece)
    return route


def _mended_at(route: Route, links: Links, at: int) -> Route | None:
    """Return the route after the best change at one place; None where there is no gain."""
    left, entered = _joints(route, links)
    turned = _best_turn(route, links.cost, (left, entered), at)
    moved = _best_move(route, links.cost, (left, entered), at)
    gain, found = min((turned, moved), key=lambda one: one[0])
    return found if gain < -GAIN else None


def _best_turn(
    route: Route, cost: Floats, joints: tuple[Route, Route], at: int
) -> tuple[float, Route]:
    """Return the least change of cost when a part that begins or stops at a place is turned."""
    left, entered = joints
    last = np.arange(at, len(route))
    begins = (
        cost[left[at], left[last + 1]]
        + cost[entered[at], entered[last + 1]]
        - cost[left[at], entered[at]]
        - cost[left[last + 1], entered[last + 1]]
    )
    first = np.arange(at + 1)
    stops = (
        cost[left[first], left[at + 1]]
        + cost[entered[first], entered[at + 1]]
        - cost[left[first], entered[first]]
        - cost[left[at + 1], entered[at + 1]]
    )
    j, i = int(np.argmin(begins)), int(np.argmin(stops))
    a, b = (at, at + j) if begins[j] <= stops[i] else (i, at)
    return float(min(begins[j], stops[i])), _with_turned(route, a, b)


def _with_turned(route: Route, first: int, last: int) -> Route:
    """Return a route with a part driven backwards."""
    found = route.copy()
    found[first : last + 1] = found[first : last + 1][::-1] ^ 1
    return found


def _best_move(
    route: Route, cost: Floats, joints: tuple[Route, Route], at: int
) -> tuple[float, Route]:
    """Return the least change of cost when a short part that begins at a place is moved."""
    left, entered = joints
    best, found = 0.0, route
    for size in range(1, min(LONGEST_MOVED, len(route) - at) + 1):
        after = at + size
        freed = cost[left[at], entered[after]] - cost[left[at], entered[at]]
        freed = freed - cost[left[after], entered[after]]
        into = np.concatenate([np.arange(at), np.arange(after + 1, len(route) + 1)])
        there = cost[left[into], entered[into]]
        straight = cost[left[into], entered[at]] + cost[left[after], entered[into]] - there
        turned = cost[left[into], left[after]] + cost[entered[at], entered[into]] - there
        for change, backwards in ((straight, False), (turned, True)):
            if len(into) and freed + change.min() < best:
                best = float(freed + change.min())
                found = _with_moved(route, (at, after), int(into[change.argmin()]), backwards)
    return best, found


def _with_moved(route: Route, part: tuple[int, int], into: int, backwards: bool) -> Route:
    """Return a route with a part put before another place."""
    at, after = part
    moved = route[at:after][::-1] ^ 1 if backwards else route[at:after]
    rest = np.concatenate([route[:at], route[after:]])
    place = into if into < at else into - (after - at)
    return np.concatenate([rest[:place], moved, rest[place:]])
