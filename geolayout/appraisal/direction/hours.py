"""
Hours from metres: working, turning and the headland, as a range, for one bearing or for thousands.

hours = length / speed + turns x turn / turning speed + headland / (width x speed)

Filling, waiting, the road and rain are not in them: they do not hang on which way the rows run. The
headland counts for every operation by the share of the crop land that it works, whatever grows
there: no bearing gains by giving more ground away.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.direction.tasks import Task
from geolayout.appraisal.driving.speeds import METRES, TURNING, working_speed

__all__ = ["Driven", "Hours", "hours_of", "summed"]

Floats = NDArray[np.float64]
N = TypeVar("N", float, Floats)


@dataclass(frozen=True, slots=True, eq=False)
class Driven(Generic[N]):
    """
    What one operation drives.

    Attributes
    ----------
    length : float or ndarray
        Working, on the crop land. [m]
    turns : float or ndarray
        Turns, one between two pieces.
    turning : float or ndarray
        In turns, along slanting ends too. [m]
    headland : float or ndarray
        Ground of the headland that it works. [m2]
    """

    length: N
    turns: N
    turning: N
    headland: N


@dataclass(frozen=True, slots=True, eq=False)
class Hours(Generic[N]):
    """
    Hours of work in the field.

    Attributes
    ----------
    least, usual, most : float or ndarray
        [h]
    working : float or ndarray
        Of the usual ones, those worked in the rows. [h]
    turning : float or ndarray
        Those spent in turns. [h]
    headland : float or ndarray
        Those spent on the headland. [h]
    """

    least: N
    usual: N
    most: N
    working: N
    turning: N
    headland: N

    @property
    def efficiency(self) -> N:
        """Share of the hours that work is done in. [-]"""
        return (self.working + self.headland) / self.usual


def hours_of(task: Task, driven: Driven[N]) -> Hours[N]:
    """
    Return the hours of one operation.

    Parameters
    ----------
    task : Task
        The operation and its machine.
    driven : Driven
        What it drives.

    Returns
    -------
    hours : Hours
    """
    speed = working_speed(task.machine)
    around = driven.headland / task.machine.working_width
    rows, headland = driven.length / METRES, around / METRES
    turns = driven.turning / METRES
    return Hours(
        (rows + headland) / speed.fast + turns / TURNING.fast,
        (rows + headland) / speed.usual + turns / TURNING.usual,
        (rows + headland) / speed.slow + turns / TURNING.slow,
        rows / speed.usual,
        turns / TURNING.usual,
        headland / speed.usual,
    )


def summed(several: Sequence[Hours[N]]) -> Hours[N]:
    """Return the hours of several operations as one."""
    columns = [
        (one.least, one.usual, one.most, one.working, one.turning, one.headland) for one in several
    ]
    least, usual, most, working, turning, headland = (
        sum(column[1:], start=column[0]) for column in zip(*columns, strict=True)
    )
    return Hours(least, usual, most, working, turning, headland)
