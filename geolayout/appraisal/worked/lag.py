"""
How far a record runs ahead of the work, told from where passes begin and end.

Driven one way, a pass that begins 2 m late and ends 2 m late may lie 2 m off or be recorded 2 m
ahead. Driven the other way too, the two part: an offset changes its sign with the way, a lag does
not.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geolayout.appraisal.worked.places import Run
from geolayout.appraisal.worked.planned import PlannedWork

__all__ = ["Lag", "lag_of"]

MOST = 15.0
"""A pass that begins or ends farther off was not driven in one go, and tells nothing. [m]"""


@dataclass(frozen=True, slots=True)
class Lag:
    """
    How far passes lie ahead in the direction of driving.

    Attributes
    ----------
    ahead_m : float
        Recorded ahead of the plan in the direction of driving; behind it where negative. [m]
    along_m : float
        Moved in the guide's direction, whichever way it was driven. [m]
    passes : int
        Passes that tell it.
    """

    ahead_m: float
    along_m: float
    passes: int


def lag_of(planned: PlannedWork, runs: Sequence[Run]) -> Lag | None:
    """
    Return how far a record runs ahead; None where whole passes were not driven both ways.

    Parameters
    ----------
    planned : PlannedWork
        The operation as planned.
    runs : sequence of Run
        Its passes as driven.
    """
    sides: dict[bool, list[float]] = {True: [], False: []}
    for run in (one for one in runs if one.passed >= 0):
        pieces = planned.lines[planned.which == run.passed]
        middle = shapely.Point(run.xy[len(run.xy) // 2])
        line = pieces[int(np.argmin(shapely.distance(pieces, middle)))]
        (x0, y0), (x1, y1) = shapely.get_coordinates(line)[[0, -1]].tolist()
        way = np.array([x1 - x0, y1 - y0])
        if not way.any():
            continue  # a round ends where it begins
        way = way / np.hypot(*way)
        first, last = run.xy[[0, -1]]
        forward = bool((last - first) @ way > 0.0)
        near, far = (first, last) if forward else (last, first)
        moved = ((near - [x0, y0]) @ way, (far - [x1, y1]) @ way)
        if max(map(abs, moved)) <= MOST:
            sides[forward].append(float(np.mean(moved)))
    if not (sides[True] and sides[False]):
        return None
    ahead, back = float(np.median(sides[True])), float(np.median(sides[False]))
    count = len(sides[True]) + len(sides[False])
    return Lag((ahead - back) / 2.0, (ahead + back) / 2.0, count)
