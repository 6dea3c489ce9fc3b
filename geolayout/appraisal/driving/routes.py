"""
Routes over one block: by a rule, lobe after lobe, each from its best corner, or by a list.

Lobes are also cut in two where the machine comes in, so that it can work towards both sides from a
gateway in the middle. Of the rules the one with the least way between pieces is taken; the search
goes on from there. What it finds is a list to read, so it is driven only where the plan asks for
the shortest way; what it would save is told all the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.driving.lobes import Lobe, Spans, lobes, one_lobe
from geolayout.appraisal.driving.patterns import Rule, rules, sequence
from geolayout.appraisal.driving.search import Links, shorter, total
from geolayout.plan.machines import DriveOrder

__all__ = ["Routed", "best_route", "route_by_rule"]

KICKS = 40
"""How often the search shakes a route. Our own choice: more found less than 1 %."""

MOST_KICKED = 4_000
"""Kicks times pieces: a search stays within what a person waits for. Our own choice."""

WORTH_A_LIST = 0.04
"""Share of the cost that a list must save over a rule to be worth reading. Our own. [-]"""

Route = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Routed:
    """
    A route, and what it is held against.

    Attributes
    ----------
    route : ndarray of int, shape (n,)
        The end at which each piece is entered, in order.
    rule : Rule or None
        The rule it follows; None for a list.
    lobes : int
        Lobes that it drives one after the other; 0 for a list.
    usual : ndarray of int, shape (n,)
        The best route up and back.
    best_rule : Rule
        The rule that costs least.
    by_rule : ndarray of int, shape (n,)
        The route that follows it.
    by_list : ndarray of int, shape (n,)
        The shortest route found; that of the rule where no list saves enough to be worth reading.
    """

    route: Route
    rule: Rule | None
    lobes: int
    usual: Route
    best_rule: Rule
    by_rule: Route
    by_list: Route


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """A lobe driven from one of its corners, and what it costs inside."""

    route: Route
    cost: float


def best_route(spans: Spans, links: Links, *, widest: int, wish: DriveOrder = "shortest") -> Routed:
    """
    Return the route that is wished: by the rule that costs least, or a list that saves enough.

    Parameters
    ----------
    spans : Spans
        Pieces of the passes.
    links : Links
        What driving between their ends costs.
    widest : int
        The widest step of a rule.
    wish : {"shortest", "rule", "up and back"}
        What the plan asks for.

    Returns
    -------
    routed : Routed
    """
    parts = lobes(spans)
    split = [parts] if len(parts) == 1 else [one_lobe(spans), parts]
    tried = rules(1 if wish == "up and back" else widest)
    cut = [] if wish == "up and back" else [_cut_at_way_in(parts, links)]
    found = [(rule, of, route_by_rule(rule, of, links)) for rule in tried for of in [*split, *cut]]
    cost = [total(route, links) for _, _, route in found]
    best = int(np.argmin(np.round(cost, 3)))
    plain = int(np.argmin(cost[: len(split)]))
    rule, of, route = found[best]
    listed = _worth_reading(route, links)
    beside = (found[plain][2], rule, route, listed)
    if wish == "shortest" and listed is not route:
        return Routed(listed, None, 0, *beside)
    return Routed(route, rule, len(of), *beside)


def _worth_reading(route: Route, links: Links) -> Route:
    """Return the shortest route found from one; that one where too little is saved."""
    kicks = min(KICKS, MOST_KICKED // links.pieces)
    searched = shorter(route, links, kicks=kicks)
    saves = total(searched, links) < (1.0 - WORTH_A_LIST) * total(route, links)
    return searched if saves else route


def _cut_at_way_in(parts: Sequence[Lobe], links: Links) -> tuple[Lobe, ...]:
    """Return lobes, those cut in two that the way in leads into the middle of."""
    gate = links.cost[2 * links.pieces]
    found: list[Lobe] = []
    for lobe in parts:
        near = [min(gate[2 * i + end] for i in one for end in (0, 1)) for one in lobe]
        cut = int(np.argmin(near))
        found += [part for part in (lobe[:cut], lobe[cut:]) if part]
    return tuple(found)


def route_by_rule(rule: Rule, parts: Sequence[Lobe], links: Links) -> Route:
    """
    Return the route of a rule over lobes, the nearest lobe next, each from its best corner.

    Parameters
    ----------
    rule : Rule
        The rule.
    parts : sequence of lobes
        Passes of each, and the pieces of each pass.
    links : Links
        What driving between ends costs.

    Returns
    -------
    route : ndarray of int, shape (n,)
    """
    waiting = [_ways(rule, lobe, links) for lobe in parts]
    at, last = 2 * links.pieces, 2 * links.pieces + 1
    driven: list[Route] = []
    while waiting:
        out = last if len(waiting) == 1 else None
        lobe, way = _next(waiting, links, at, out)
        driven.append(waiting.pop(lobe)[way].route)
        at = int(driven[-1][-1]) ^ 1
    return np.concatenate(driven)


def _next(
    waiting: Sequence[Sequence[_Way]], links: Links, at: int, out: int | None
) -> tuple[int, int]:
    """Return which lobe to drive next, and from which corner; the way out counts for the last."""
    best, found = np.inf, (0, 0)
    for i, ways in enumerate(waiting):
        least = min(way.cost for way in ways)
        for k, way in enumerate(ways):
            cost = links.cost[at, way.route[0]] + way.cost - least
            if out is not None:
                cost += links.cost[way.route[-1] ^ 1, out]
            if cost < best - 1e-6:
                best, found = cost, (i, k)
    return found


def _ways(rule: Rule, lobe: Lobe, links: Links) -> list[_Way]:
    """Return a lobe driven by a rule from each of its corners."""
    order = sequence(rule, len(lobe))
    ways = []
    for passes in (lobe, lobe[::-1]):
        for first in (0, 1):
            route = _alternately([passes[k] for k in order], first)
            inside = links.cost[route[:-1] ^ 1, route[1:]].sum()
            ways.append(_Way(route, float(inside)))
    return ways


def _alternately(passes: Sequence[tuple[int, ...]], first: int) -> Route:
    """Return passes driven out and back in turn, beginning forward (0) or backward (1)."""
    route: list[int] = []
    for k, pieces in enumerate(passes):
        backward = (k + first) % 2
        route += [2 * i + backward for i in (reversed(pieces) if backward else pieces)]
    return np.array(route, dtype=np.int64)
