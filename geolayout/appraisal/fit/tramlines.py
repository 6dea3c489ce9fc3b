"""
Where tramlines fall within strips: in the middle of one crop, or on a border with a wheel in each.

A boom drives every W metres and strips repeat every P. Seen modulo P, each tramline is a place on
a ring of borders; shifting strips against tramlines turns the ring. Turned by x, some tramline
lies on a border exactly where x is the distance of a tramline from a border, so the best x is the
middle of the widest gap between these distances, and half that gap is the least distance that any
tramline keeps from any border.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.works import Work, supposed_operations, work_of
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.section.passes import place_passes
from geolayout.plan.section.profile import Profile
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["BestPhase", "Tramlines", "best_phase", "tramlines_of"]

SAME = 1e-6
"""Places nearer than this to each other are one. [m]"""


@dataclass(frozen=True, slots=True)
class BestPhase:
    """
    How strips lie best against tramlines.

    Attributes
    ----------
    move : float
        How far strips begin farther from the near side, while the tramlines stay; 0 where they lie
        best as they are. [m]
    room : float
        From a tramline to the nearest border, at least. [m]
    """

    move: float
    room: float


@dataclass(frozen=True, slots=True, eq=False)
class Tramlines:
    """
    The tramlines of one operation that goes across strips.

    Attributes
    ----------
    operation : Operation
        The operation.
    machine : Machine
        Its machine.
    places : ndarray, shape (n,)
        Middle of each pass, from the anchor. [m]
    room : ndarray, shape (n,)
        From each to the nearest border of two stands. [m]
    best : BestPhase or None
        How they would lie best; None between trees, where they begin anew in each alley.
    repeats : bool
        Whether strips repeat, so that it is they that would move; else the tramlines would.
    """

    operation: Operation
    machine: Machine
    places: NDArray[np.float64]
    room: NDArray[np.float64]
    best: BestPhase | None
    repeats: bool

    @property
    def needed(self) -> float:
        """Room that keeps both wheels in one crop; the middle of the pass alone if not said. [m]"""
        return ((self.machine.track_width or 0.0) + (self.machine.tyre_width or 0.0)) / 2

    @property
    def on_border(self) -> NDArray[np.bool_]:
        """Which passes run on a border, a wheel on each side of it."""
        return self.room < max(self.needed, ACROSS_SLACK)


def best_phase(widths: Sequence[float], boom: float, count: int, offset: float = 0.0) -> BestPhase:
    """
    Lay strips against tramlines so that every tramline keeps most room from every border.

    Parameters
    ----------
    widths : sequence of float
        Strips of one repeat, a border at the end of each. [m]
    boom : float
        Between tramlines. [m]
    count : int
        How many tramlines there are.
    offset : float, default 0
        From where strips begin to the first pass's edge; its tramline is half a boom on. [m]

    Returns
    -------
    phase : BestPhase

    Examples
    --------
    >>> best_phase([6.0, 6.0], 24.0, 10)
    BestPhase(move=3.0, room=3.0)
    """
    ends = np.cumsum(np.asarray(widths, dtype=np.float64))
    repeat = float(ends[-1])
    lines = (offset + boom / 2 + boom * np.arange(count)) % repeat
    return _widest(np.ravel((lines[:, None] - ends[None, :]) % repeat), repeat)


def tramlines_of(profile: Profile, shift: float = 0.0) -> list[Tramlines]:
    """
    Return the tramlines of every sprayer and spreader that goes across strips of several stands.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    shift : float, default 0
        How far the season moved it from the anchor. [m]

    Returns
    -------
    tramlines : list of Tramlines
        By operation, those that are supposed last.
    """
    borders = _borders(profile)
    if not len(borders):
        return []
    operations = (*profile.plan.operations, *supposed_operations(profile.plan))
    plan = profile.plan.model_copy(update={"operations": operations})
    passes = place_passes(plan, profile.pattern, profile.section, profile.stands, shift)
    found = []
    for i, operation in enumerate(operations):
        across = work_of(plan, operation) in (Work.SPRAY, Work.SPREAD)
        mine = passes.of(i)
        if not across or operation.over == "band" or not len(mine.t0):
            continue
        places = (mine.reach0 + mine.reach1) / 2
        room = np.abs(places[:, None] - borders[None, :]).min(axis=1)
        machine = plan.machine(operation.machine)
        best, repeats = None, _repeats(profile)
        if repeats:
            best = _best_move(profile, machine, operation.offset, len(places))
        elif not profile.pattern.has_trees:
            best = _best_offset(borders, machine.working_width, shift + operation.offset)
        found.append(Tramlines(operation, machine, places, room, best, repeats))
    return found


def _borders(profile: Profile) -> NDArray[np.float64]:
    """Return where two stands meet, near side first. [m]"""
    cuts, stands = profile.section.cuts, profile.stands
    pairs = pairwise(stands)
    differ = [
        a is not None and b is not None and a.name != b.name and cuts[i].grows
        for i, (a, b) in enumerate(pairs)
    ]
    return np.array([cut.t1 for cut, here in zip(cuts, differ, strict=False) if here])


def _repeats(profile: Profile) -> bool:
    """Whether the strips of a section are one repeat after the other, and nothing stands fast."""
    pattern = profile.pattern
    return not (pattern.laid_once or pattern.has_trees or pattern.repeats is not None)


def _best_move(profile: Profile, machine: Machine, offset: float, count: int) -> BestPhase | None:
    """Return how the strips of a repeating pattern lie best against a boom."""
    widths = [float(band.width) for band in profile.pattern.bands if band.width != "rest"]
    return best_phase(widths, machine.working_width, count, offset) if len(widths) > 1 else None


def _best_offset(borders: NDArray[np.float64], boom: float, offset: float) -> BestPhase:
    """Return how far tramlines would move on to lie best against borders that stay."""
    first = borders - (offset + boom / 2)
    return _widest(np.asarray(first % boom), boom)


def _widest(hits: NDArray[np.float64], around: float) -> BestPhase:
    """Return the middle of the widest gap between places on a ring."""
    hits = np.unique(np.round(hits, 9))
    if len(hits) > 1 and around - hits[-1] + hits[0] < SAME:
        hits = hits[:-1]
    gaps = np.diff(np.append(hits, hits[0] + around))
    widest = gaps >= gaps.max() - SAME
    turns = np.round((hits + gaps / 2)[widest] % around, 6) % around
    return BestPhase(float(turns.min()), round(float(gaps.max() / 2), 6))
