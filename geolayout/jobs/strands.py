"""Places of a record parted into strands: what a machine drove at work in one go."""

import itertools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.worked.done import Strand
from geolayout.land.frames.frame import Frame

__all__ = ["Recorded", "strand_in", "strands_of"]

GAP = 5.0
"""Places farther apart than this, and than three usual steps, were not driven in one go. [m]"""

STEPS = 3.0
"""Usual steps beyond which there is a gap. Our own choice. [-]"""

DEGREE = 111_320.0
"""Length of a degree of latitude, to find gaps by. [m]"""


@dataclass(frozen=True, slots=True, eq=False)
class Recorded:
    """
    Places in order; every column has one entry a place.

    Attributes
    ----------
    lonlat : ndarray, shape (n, 2)
        Longitude first. [degrees]
    rate, seconds, width : ndarray of float
        Not a number where nothing was recorded. [any, s, m]
    product, run : ndarray of str
        What was put out; what the file parts its places by. "" where there is none.
    working : ndarray of bool
        Whether the machine was at work.
    is_line : bool, default False
        Whether the first and the last place are where work began and ended.
    """

    lonlat: NDArray[np.float64]
    rate: NDArray[np.float64]
    seconds: NDArray[np.float64]
    width: NDArray[np.float64]
    product: NDArray[np.object_]
    run: NDArray[np.object_]
    working: NDArray[np.bool_]
    is_line: bool = False

    def __len__(self) -> int:
        """Return the number of places."""
        return len(self.lonlat)

    def taken(self, which: NDArray[np.int64]) -> "Recorded":
        """Return some of the places."""
        return replace(
            self,
            lonlat=self.lonlat[which],
            rate=self.rate[which],
            seconds=self.seconds[which],
            width=self.width[which],
            product=self.product[which],
            run=self.run[which],
            working=self.working[which],
        )


def strands_of(recorded: Recorded) -> tuple[list[Recorded], list[str]]:
    """
    Part places into strands.

    A strand ends where the machine stops working, where width, product or the file's own pass
    changes, and where the next place is farther off than 5 m and three usual steps.

    Parameters
    ----------
    recorded : Recorded
        Places in the order of the file.

    Returns
    -------
    strands : list of Recorded
        Of two places at least.
    notes : list of str
        What was put in order, and what was left out.
    """
    notes = []
    times = recorded.seconds
    if np.isfinite(times).all() and (np.diff(times) < 0.0).any():
        recorded = recorded.taken(np.argsort(times, kind="stable"))
        notes.append("The places were not in the order of their times and were put in it.")
    breaks = np.flatnonzero(_breaks(recorded)) + 1
    bounds = [0, *breaks.tolist(), len(recorded)]
    found, lone = [], 0
    for a, b in itertools.pairwise(bounds):
        if not recorded.working[a]:
            continue
        if b - a < 2:
            lone += 1
            continue
        found.append(recorded.taken(np.arange(a, b)))
    if lone:
        notes.append(f"{lone} places stand alone, with no other in reach, and were left out.")
    return found, notes


def _breaks(recorded: Recorded) -> NDArray[np.bool_]:
    """Whether a strand ends behind each place but the last."""
    width = np.nan_to_num(recorded.width, nan=-1.0)
    found = (np.diff(width) != 0.0) | (np.diff(recorded.working.astype(int)) != 0)
    found |= recorded.product[1:] != recorded.product[:-1]
    found |= recorded.run[1:] != recorded.run[:-1]
    step = _steps(recorded.lonlat)
    usual = float(np.median(step[step > 0.0])) if (step > 0.0).any() else 0.0
    return np.asarray(found | (step > max(GAP, STEPS * usual)), dtype=bool)


def _steps(lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the length of each step, well enough to see a gap. [m]"""
    step = np.diff(lonlat, axis=0) * DEGREE
    east = step[:, 0] * np.cos(np.radians(lonlat[:-1, 1]))
    return np.asarray(np.hypot(east, step[:, 1]))


def strand_in(frame: Frame, recorded: Recorded, width: float) -> Strand:
    """
    Return a strand in a field's frame.

    Parameters
    ----------
    frame : Frame
        Of the field.
    recorded : Recorded
        Places of one strand.
    width : float
        Where none was recorded. [m]
    """
    xy = frame.metres(recorded.lonlat)
    step = np.hypot(*np.diff(xy, axis=0).T)
    half = 0.0 if recorded.is_line else float(np.median(step)) / 2.0
    own = float(recorded.width[0])
    return Strand(
        xy,
        own if np.isfinite(own) else width,
        recorded.rate,
        recorded.seconds,
        str(recorded.product[0]),
        half,
    )
