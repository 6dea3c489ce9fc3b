"""
Lobes: parts of a block whose passes lie side by side without a gap.

A field in the form of a horseshoe is driven arm by arm. Pieces of neighbouring passes that lie
beside one another, and beside no other, belong to one lobe; where a pass falls into two, as at a
pond, new lobes begin:

     _________
    | 1  | 2  |     passes run up; the second lobe has two short pieces a pass
    |    |____|
    |    |pond|
    |    | 3  |
    |____|____|
"""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Lobe", "Spans", "lobes", "one_lobe"]

TOUCH = 1.0
"""Pieces lie beside one another if they share more of their length than this. Our own. [m]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Lobe = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """
    Pieces of passes, as spans along them.

    Attributes
    ----------
    number : ndarray of int, shape (n,)
        Pass of each piece, growing across the land.
    s0, s1 : ndarray, shape (n,)
        Where it begins and stops. [m]
    """

    number: Whole
    s0: Floats
    s1: Floats

    @property
    def passes(self) -> list[list[int]]:
        """The pieces of each pass, in the order of the passes, and along each."""
        found: dict[int, list[int]] = defaultdict(list)
        for i in np.lexsort((self.s0, self.number)).tolist():
            found[int(self.number[i])].append(i)
        return [found[number] for number in sorted(found)]


def one_lobe(spans: Spans) -> tuple[Lobe, ...]:
    """Return all passes as one lobe, the pieces of each driven one after the other."""
    return (tuple(tuple(pieces) for pieces in spans.passes),)


def lobes(spans: Spans) -> tuple[Lobe, ...]:
    """
    Return the lobes, in the order in which they are met across the land.

    Parameters
    ----------
    spans : Spans
        Pieces of the passes.

    Returns
    -------
    lobes : tuple of lobes
        Each a tuple of passes, each pass a tuple of the one piece that it has there.

    Examples
    --------
    >>> spans = Spans(np.array([1, 2, 2]), np.array([0.0, 0.0, 60.0]), np.array([99.0, 40.0, 99.0]))
    >>> lobes(spans)
    (((0,),), ((1,),), ((2,),))
    """
    found: list[list[int]] = []
    last: dict[int, list[int]] = {}
    for pieces in spans.passes:
        now: dict[int, list[int]] = {}
        for i in pieces:
            beside = [j for j in last if _side_by_side(spans, i, j)]
            rivals = [k for k in pieces if beside and _side_by_side(spans, k, beside[0])]
            if len(beside) == 1 and len(rivals) == 1:
                lobe = last[beside[0]]
            else:
                lobe = []
                found.append(lobe)
            lobe.append(i)
            now[i] = lobe
        last = now
    return tuple(tuple((i,) for i in lobe) for lobe in found)


def _side_by_side(spans: Spans, one: int, other: int) -> bool:
    """Whether two pieces share some of their length."""
    shared = min(spans.s1[one], spans.s1[other]) - max(spans.s0[one], spans.s0[other])
    return bool(shared > TOUCH)
