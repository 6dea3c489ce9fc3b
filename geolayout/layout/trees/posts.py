"""
Trees along pieces of rows, set like fence posts.

Their number is that of the piece with its slack, so that rounding makes or loses none; where they
stand is reckoned from the true ends.

```
    from start   |--first--o----o----o----o----o---rest---|
    centred      |--first-+rest/2-o----o----o----o----o-rest/2-+-last--|
    equalised    |--first--o-----o-----o-----o-----o--last--|
    aligned      |   o    o    o    o    o    o |     abreast of the trees of the other rows
```
"""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.shapes.scan import Chords
from geolayout.plan.slack import EDGE_SLACK
from geolayout.plan.trees.trees import BandTrees, SetOut

__all__ = ["PostRule", "clear_of_last", "posts", "without_gaps"]

Floats: TypeAlias = NDArray[np.float64]
Indices: TypeAlias = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class PostRule:
    """
    How posts are set out.

    Attributes
    ----------
    step : float
        Between posts, at least. [m]
    first, last : float
        From the start to the first post, and from the last to the end, at least. [m]
    set_out : str
        As in `BandTrees`.
    """

    step: float
    first: float
    last: float
    set_out: SetOut = "from start"

    @classmethod
    def of(cls, trees: BandTrees) -> "PostRule":
        """Return the rule of the trees of a band."""
        return cls(trees.in_row_spacing, trees.first_distance, trees.last_distance, trees.set_out)


def posts(
    true: Chords, wide: Chords, rule: PostRule, moved: NDArray[np.bool_]
) -> tuple[Indices, Floats]:
    """
    Set posts along stretches of lines.

    Parameters
    ----------
    true, wide : Chords
        Stretches, without and with slack, equally many. [m]
    rule : PostRule
        How they are set out.
    moved : ndarray of bool, shape (n,)
        Stretches whose posts are moved by half a step, those of a staggered row.

    Returns
    -------
    stretch : ndarray of int, shape (m,)
        The stretch of each post.
    s : ndarray, shape (m,)
        Where it stands. [m]

    Examples
    --------
    >>> line = Chords(np.array([0]), np.array([0.0]), np.array([60.0]))
    >>> posts(line, line, PostRule(4.0, 0.0, 0.0), np.array([False]))[1].size
    16
    """
    count, start, step = _SETS[rule.set_out](true, wide, rule, moved)
    stretch = np.repeat(np.arange(len(count)), count)
    order = np.arange(len(stretch)) - np.repeat(np.cumsum(count) - count, count)
    return stretch, start[stretch] + order * step[stretch]


def _from_start(
    true: Chords, wide: Chords, rule: PostRule, moved: NDArray[np.bool_]
) -> tuple[Indices, Floats, Floats]:
    """Set them from the true start, moved back where the last would stand beyond the slack."""
    first = rule.first + np.where(moved, rule.step / 2, 0.0)
    count = _count(wide.s1 - wide.s0 - first - rule.last, rule.step)
    reach = true.s0 + first + (count - 1) * rule.step + rule.last
    start = true.s0 + first - np.maximum(reach - wide.s1, 0.0)
    return count, start, np.full(len(count), rule.step)


def _centred(
    true: Chords, wide: Chords, rule: PostRule, moved: NDArray[np.bool_]
) -> tuple[Indices, Floats, Floats]:
    """Leave over as much at the end as at the start; a staggered row has a post less."""
    count = _count(wide.s1 - wide.s0 - rule.first - rule.last, rule.step)
    room = true.s1 - true.s0 - rule.first - rule.last
    spare = (room - (count - 1) * rule.step) / 2
    start = true.s0 + rule.first + spare + np.where(moved, rule.step / 2, 0.0)
    return _less_one(count, moved), start, np.full(len(count), rule.step)


def _equalised(
    true: Chords, wide: Chords, rule: PostRule, moved: NDArray[np.bool_]
) -> tuple[Indices, Floats, Floats]:
    """Stretch the step until the last has its distance; a staggered row has a post less."""
    count = _count(wide.s1 - wide.s0 - rule.first - rule.last, rule.step)
    room = true.s1 - true.s0 - rule.first - rule.last
    step = np.where(count > 1, room / np.maximum(count - 1, 1), rule.step)
    start = true.s0 + rule.first + np.where(moved, step / 2, 0.0)
    return _less_one(count, moved), start, step


def _aligned(
    true: Chords,  # noqa: ARG001  (every way of setting out is asked alike)
    wide: Chords,
    rule: PostRule,
    moved: NDArray[np.bool_],
) -> tuple[Indices, Floats, Floats]:
    """Take the marks, a step apart from the anchor on, that lie far enough from both ends."""
    phase = np.where(moved, rule.step / 2, 0.0)
    low = np.ceil((wide.s0 + rule.first - phase) / rule.step)
    high = np.floor((wide.s1 - rule.last - phase) / rule.step)
    count = np.maximum(high - low + 1, 0).astype(np.int64)
    return count, phase + low * rule.step, np.full(len(count), rule.step)


_SETS = {
    "from start": _from_start,
    "centred": _centred,
    "equalised": _equalised,
    "aligned": _aligned,
}


def _count(room: Floats, step: float) -> Indices:
    """Return how many posts have room, one more than steps."""
    return np.maximum(np.floor(room / step).astype(np.int64) + 1, 0)


def _less_one(count: Indices, moved: NDArray[np.bool_]) -> Indices:
    """Return the numbers, one less on moved stretches."""
    return np.maximum(count - moved, 0)


def without_gaps(
    true: Chords, wide: Chords, gaps: tuple[Floats, Floats]
) -> tuple[Chords, Chords, Indices]:
    """
    Cut a gap out of stretches.

    Parameters
    ----------
    true, wide : Chords
        Stretches, without and with slack, equally many. [m]
    gaps : tuple of two ndarrays, shape (n,)
        Where the gap begins and ends on each stretch. [m]

    Returns
    -------
    true, wide : Chords
        What is left, equally many, in order.
    source : ndarray of int
        The stretch that each was part of.
    """
    low, high = gaps
    parts = []
    for chords, slack in ((true, 0.0), (wide, EDGE_SLACK)):
        s0 = np.stack([chords.s0, np.maximum(chords.s0, high - slack)], axis=1).ravel()
        s1 = np.stack([np.minimum(chords.s1, low + slack), chords.s1], axis=1).ravel()
        parts.append((s0, s1))
    # A stretch that the gap misses would be left twice, or its other half reversed.
    keep = (parts[0][1] > parts[0][0]) & (parts[1][1] > parts[1][0])
    source = np.repeat(np.arange(len(true.line)), 2)[keep]
    line = true.line[source]
    one, two = (Chords(line, s0[keep], s1[keep]) for s0, s1 in parts)
    return one, two, source


def clear_of_last(line: Indices, piece: Indices, s: Floats, step: float) -> NDArray[np.bool_]:
    """
    Drop posts that stand too near the last one kept on their line, across a gap.

    Parameters
    ----------
    line, piece : ndarray of int, shape (n,)
        Line and piece of each post, never falling.
    s : ndarray, shape (n,)
        Where it stands. [m]
    step : float
        Least distance. [m]

    Returns
    -------
    keep : ndarray of bool, shape (n,)
    """
    keep = np.ones(len(s), dtype=bool)
    for i in np.flatnonzero((line[1:] == line[:-1]) & (piece[1:] != piece[:-1])) + 1:
        j, last = i, i - 1
        while not keep[last]:
            last -= 1
        while j < len(s) and piece[j] == piece[i] and s[j] < s[last] + step - EDGE_SLACK:
            keep[j] = False
            j += 1
    return keep
