"""
Filling and tipping: where a hopper or tank runs out, and how often and how far it is carted.

A machine goes to fill, or to tip, at the end of the last piece before the one that it could not
finish. A piece that takes more than a full hopper is stopped in; what is lacking then is carted
from where it ends.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["RunOut", "Trip", "run_outs", "trips"]

Floats = NDArray[np.float64]

CRUMB = 1e-9
"""A rest of a load below this share is none. [-]"""


@dataclass(frozen=True, slots=True)
class RunOut:
    """
    Where a machine that is only filled when it is empty runs out, or is full.

    Attributes
    ----------
    piece : int
        Which piece, in the order driven.
    along : float
        How far into it. [m]
    """

    piece: int
    along: float


@dataclass(frozen=True, slots=True)
class Trip:
    """
    A trip to fill or to tip.

    Attributes
    ----------
    after : int
        The piece that it goes from the end of, in the order driven; -1 before the first.
    loads : int
        How many loads it takes there; above 1 where the next piece takes more than one.
    """

    after: int
    loads: int


def run_outs(length: Floats, per_metre: Floats, holds: float) -> tuple[RunOut, ...]:
    """
    Return where loads end, if each is driven to its last.

    Parameters
    ----------
    length : ndarray, shape (n,)
        Of the pieces, in the order driven. [m]
    per_metre : ndarray, shape (n,)
        What a metre of each takes. [kg/m or l/m]
    holds : float
        A full load. [kg or l]

    Returns
    -------
    run_outs : tuple of RunOut

    Examples
    --------
    >>> run_outs(np.array([100.0, 100.0, 100.0]), np.full(3, 2.0), 450.0)
    (RunOut(piece=2, along=25.0),)
    """
    taken = np.concatenate([[0.0], np.cumsum(length * per_metre)])
    ends = np.arange(1, int((taken[-1] / holds) * (1.0 - CRUMB)) + 1) * holds
    piece = np.searchsorted(taken, ends, side="left") - 1
    along = (ends - taken[piece]) / per_metre[piece]
    return tuple(RunOut(int(i), float(s)) for i, s in zip(piece, along, strict=True))


def trips(need: Floats, holds: float) -> tuple[Trip, ...]:
    """
    Return the trips between pieces, the first load not counted: the machine comes full, or empty.

    Parameters
    ----------
    need : ndarray, shape (n,)
        What each piece takes, in the order driven. [kg or l]
    holds : float
        A full load. [kg or l]

    Returns
    -------
    trips : tuple of Trip

    Examples
    --------
    >>> trips(np.array([200.0, 200.0, 200.0]), 450.0)
    (Trip(after=1, loads=1),)
    """
    left, found = holds, []
    for i, one in enumerate(need.tolist()):
        if one > left * (1.0 + CRUMB):
            loads = int(np.ceil(one / holds * (1.0 - CRUMB)))
            found.append(Trip(i - 1, loads if i else loads - 1))  # it comes with the first
            left = holds * loads
        left -= one
    return tuple(found)
