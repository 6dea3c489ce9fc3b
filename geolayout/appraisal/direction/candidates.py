"""
Which bearings to look at, and which of them are different ways to lay a field.

Every 0.1 degree, every edge, and where an edge turns from side to end; then every 0.01 degree round
the best. Along an edge of the land counts jump, and no step would hit it.

For convex land the number of passes is least along an edge of it. Between two bearings along
edges the same two corners are the outermost, and the width between them is their distance times
the cosine of an angle: concave, so that it is least at one of the two bearings. The passes are
that width over the working width, rounded up, and so is their least number there. Land that is
not convex has the width of its hull.
"""

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.direction.hours import Hours
from geolayout.appraisal.direction.landmarks import long_bearings
from geolayout.appraisal.direction.look import Look, look_at
from geolayout.appraisal.direction.rings import Rings
from geolayout.appraisal.direction.site import Site
from geolayout.layout.headlands.edges import ANGLE_SLACK
from geolayout.layout.headlands.sides import SIDE_REACH
from geolayout.plan.value import COMPASS_DEGREES

__all__ = [
    "APART",
    "SAME",
    "distinct",
    "every_bearing",
    "facing",
    "look_everywhere",
    "nearby",
]

STEP = 0.1
"""Between bearings at first. [degrees]"""

FINE = 0.01
"""Between bearings round the best. [degrees]"""

BEST = 40
"""Bearings that are looked round, at least. Our own choice. [-]"""

ROUND = 8_000
"""
Bearings that are looked round times pieces. On little land one turn less is a large share of the
hours, and it may be saved over a few hundredths of a degree that no other bearing tells of: there
nearly all are looked round. Our own choice. [-]
"""

MOST_EDGES = 600
"""Of more edges only the longest are bearings of their own. [-]"""

HAIRS = (-1e-6, 1e-6)
"""On either side of where an edge turns from side to end. [degrees]"""

APART = 5.0
"""Bearings nearer than this are one way to lay a field. [degrees]"""

SAME = 5e-4
"""Costs that differ by less are one: a person would rather follow the hedge. Our own choice. [-]"""

ALONG = 1e-7
"""A bearing this near to an edge's is along it. [degrees]"""

Floats = NDArray[np.float64]


def every_bearing(rings: Rings, steep: float, step: float = STEP) -> Floats:
    """
    Return the bearings to look at: evenly spread, and those at which counts jump.

    Parameters
    ----------
    rings : Rings
        The land.
    steep : float
        Angle from which an edge counts as an end. [degrees]
    step : float
        Between the even ones. [degrees]

    Returns
    -------
    bearings : ndarray, shape (m,)
        Rising, at least 0 and under 180. [degrees]
    """
    even = np.arange(round(180.0 / step)) * step
    edges = rings.bearings(MOST_EDGES)
    turns = [edges + sign * (steep - ANGLE_SLACK + hair) for sign in (1, -1) for hair in HAIRS]
    return np.unique(np.concatenate([even, edges, *turns]) % 180.0 % 180.0)


def facing(bearings: Floats, side: str | None) -> Floats:
    """
    Turn bearings so that bands are counted from a side, and leave out those that end on it.

    Parameters
    ----------
    bearings : ndarray, shape (m,)
        Under 180. [degrees]
    side : str or None
        Compass word.

    Returns
    -------
    bearings : ndarray
        Under 360, rising; t grows to their right. [degrees]

    Examples
    --------
    >>> facing(np.array([0.0, 90.0]), "east").tolist()
    [180.0]
    """
    if side is None:
        return bearings
    off = np.abs((COMPASS_DEGREES[side] + 90.0 - bearings + 180.0) % 360.0 - 180.0)
    right, left = bearings[off <= SIDE_REACH], bearings[off >= 180.0 - SIDE_REACH]
    return np.sort(np.concatenate([right, left + 180.0]))


def look_everywhere(site: Site, side: str | None = None) -> Look:
    """
    Look at every bearing of a block, and more closely round the best.

    Parameters
    ----------
    site : Site
        The block.
    side : str or None
        Side that bands are counted from.

    Returns
    -------
    look : Look
        Bearings rising.
    """
    first = look_at(site, facing(every_bearing(site.rings, site.ends.steep), side))
    pieces = max(1, int(first.pieces[first.best]))
    best = first.bearings[np.argsort(first.cost, kind="stable")[: max(BEST, ROUND // pieces)]]
    steps = np.arange(1, round(STEP / FINE)) * FINE
    # on the grid of the fine step, so that a sweep at that step finds nothing nearby
    round_best = (np.floor(best / STEP) * STEP)[:, None] + np.concatenate([steps - STEP, steps])
    fine = np.setdiff1d(np.round(round_best.ravel(), 2) % 180.0, first.bearings)
    return _merged(first, look_at(site, facing(fine, side)))


def distinct(look: Look, rings: Rings, most: int, apart: float = APART) -> list[int]:
    """
    Return the best bearings that are different ways to lay a field, the best first.

    Parameters
    ----------
    look : Look
        Bearings and their cost.
    rings : Rings
        The land; of bearings that cost the same, one along its longest edge is taken.
    most : int
        How many at most.
    apart : float
        How far from each other, at least. [degrees]

    Returns
    -------
    places : list of int
        Each is the best within half of `apart` on both sides; of equal ones the first.
    """
    chosen: list[int] = []
    for i in np.argsort(look.cost, kind="stable").tolist():
        if len(chosen) == most:
            break
        near = _off(look.bearings, look.bearings[i]) <= apart / 2.0
        if look.cost[i] > look.cost[near].min():
            continue
        place = _along_an_edge(look, rings, near & (look.cost <= look.cost[i] * (1.0 + SAME)), i)
        if all(_off(look.bearings, look.bearings[j])[place] >= apart for j in chosen):
            chosen.append(place)
    return chosen


def nearby(look: Look, rings: Rings, place: int, apart: float = APART) -> list[int]:
    """
    Return bearings near one that are worth laying out too: formulas are not the true headland.

    Parameters
    ----------
    look : Look
        Bearings and their cost.
    rings : Rings
        The land.
    place : int
        Which bearing.
    apart : float
        Within half of this on both sides. [degrees]

    Returns
    -------
    places : list of int
        The best of every degree, and those along the longest edge and the nearest long one.
    """
    turn = (look.bearings - look.bearings[place] + 90.0) % 180.0 - 90.0
    near = np.abs(turn) <= apart / 2.0
    slots = np.floor(turn + 0.5)
    found = [_best_of(look, near & (slots == slot)) for slot in np.unique(slots[near])]
    edges = long_bearings(rings)
    edge = edges[np.argmin(_off(edges, look.bearings[place]))]
    nearest = int(np.argmin(np.where(near, _off(look.bearings, edge), np.inf)))
    return list(dict.fromkeys([*found, _along_an_edge(look, rings, near, place), nearest]))


def _best_of(look: Look, chosen: NDArray[np.bool_]) -> int:
    """Return the place of the least cost among some bearings."""
    return int(np.argmin(np.where(chosen, look.cost, np.inf)))


def _along_an_edge(look: Look, rings: Rings, as_good: NDArray[np.bool_], best: int) -> int:
    """Return the place of a bearing along the longest edge among those as good, else the best."""
    edges = np.degrees(np.arctan2(*rings.way.T)) % 180.0
    places = np.flatnonzero(as_good)
    off = np.abs((look.bearings[places][:, None] - edges + 90.0) % 180.0 - 90.0)
    length = np.where(off <= ALONG, np.hypot(*rings.way.T), 0.0).max(axis=1)
    return int(places[np.argmax(length)]) if length.any() else best


def _off(bearings: Floats, one: float) -> Floats:
    """Return by how much lines of each bearing turn from those of one. [degrees]"""
    return np.abs((bearings - one + 90.0) % 180.0 - 90.0)


def _merged(one: Look, other: Look) -> Look:
    """Return two looks as one, bearings rising."""
    order = np.argsort(np.concatenate([one.bearings, other.bearings]), kind="stable")

    def both(a: Floats, b: Floats) -> Floats:
        return np.concatenate([a, b])[order]

    hours = Hours(*map(both, _columns(one.hours), _columns(other.hours)))
    names = [name for name in Look.__slots__ if name != "hours"]
    columns = {name: both(getattr(one, name), getattr(other, name)) for name in names}
    return Look(hours=hours, **columns)


def _columns(hours: Hours[Floats]) -> tuple[Floats, ...]:
    """Return the columns of hours, in order."""
    return (
        hours.least,
        hours.usual,
        hours.most,
        hours.working,
        hours.turning,
        hours.headland,
    )
