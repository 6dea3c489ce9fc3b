"""What every bearing comes to on a block: hours, and what else a person may weigh."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.direction.combs import Comb
from geolayout.appraisal.direction.hours import Driven, Hours, hours_of, summed
from geolayout.appraisal.direction.pieces import Tally, end_lengths, tally_passes
from geolayout.appraisal.direction.site import Site
from geolayout.appraisal.direction.tasks import Task
from geolayout.land.terrain.grade import ANNUAL
from geolayout.plan.weigh import Weigh

__all__ = ["Look", "look_at", "steep_shares", "weighed"]

HECTARE = 1e4
"""[m2]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """
    A block at m bearings; every column has one entry a bearing.

    Attributes
    ----------
    bearings : ndarray, shape (m,)
        From the frame's north, rising. [degrees]
    hours : Hours
        Of all operations.
    cost : ndarray, shape (m,)
        The usual hours, and what else was weighed, in hours. [h]
    passes, pieces, turns, short, point : ndarray, shape (m,)
        Of all operations together.
    headland : ndarray, shape (m,)
        [m2]
    double : ndarray, shape (m,)
        Ground worked twice by one operation, all of them together. [m2]
    steep : ndarray, shape (m,)
        Share of the land on which rows are steeper than their limit; 0 without heights. [-]
    """

    bearings: Floats
    hours: Hours[Floats]
    cost: Floats
    passes: Floats
    pieces: Floats
    turns: Floats
    short: Floats
    point: Floats
    headland: Floats
    double: Floats
    steep: Floats

    @property
    def best(self) -> int:
        """Index of the bearing of least cost; of equal ones the first."""
        return int(np.argmin(self.cost))


def look_at(site: Site, bearings: Floats) -> Look:
    """
    Say what every bearing comes to.

    Parameters
    ----------
    site : Site
        The block.
    bearings : ndarray, shape (m,)
        From the frame's north, rising. [degrees]

    Returns
    -------
    look : Look
    """
    headland = _headland(site, bearings)
    tallies: dict[Comb, Tally] = {}
    for task in site.tasks:
        if task.comb not in tallies:
            tallies[task.comb] = tally_passes(site.rings, bearings, task.comb, site.ends)
    mine = [(task, tallies[task.comb]) for task in site.tasks]
    hours = summed([hours_of(task, _driven(task, tally, headland)) for task, tally in mine])
    steep = steep_shares(site.gradient, bearings)

    columns = [[task.part * column for column in tally.columns] for task, tally in mine]
    passes, pieces, _, short, point, _, double = np.sum(columns, axis=0)
    extra = weighed(site.weigh, (short, headland, double), steep * site.rings.area)
    return Look(
        bearings,
        hours,
        hours.usual + extra,
        passes,
        pieces,
        np.sum([_turns(task, tally) for task, tally in mine], axis=0),
        short,
        point,
        headland,
        double,
        steep,
    )


def weighed(weigh: Weigh, figures: tuple[Floats, Floats, Floats], steep: Floats) -> Floats:
    """
    Return what else was weighed beside hours.

    Parameters
    ----------
    weigh : Weigh
        What each thing is worth.
    figures : tuple of ndarray
        Short pieces; headland, and ground worked twice [m2].
    steep : ndarray
        Land on which rows are steeper than their limit. [m2]

    Returns
    -------
    extra : ndarray
        [h]
    """
    short, headland, double = figures
    areas = weigh.headland * headland + weigh.double_worked * double + weigh.steep * steep
    return np.asarray(weigh.short_piece * short + areas / HECTARE)


def steep_shares(gradient: Floats, bearings: Floats) -> Floats:
    """
    Return the share of places at which rows of each bearing are too steep for the soil.

    Parameters
    ----------
    gradient : ndarray, shape (k, 2)
        Rise to the east and the north. [-]
    bearings : ndarray, shape (m,)
        Of the rows. [degrees]

    Returns
    -------
    share : ndarray, shape (m,)
        By the limits for annual rows; 0 where nothing is known. [-]

    Examples
    --------
    >>> steep_shares(np.array([[0.0, 0.05]]), np.array([0.0, 90.0])).tolist()
    [1.0, 0.0]
    """
    if not len(gradient):
        return np.zeros(len(bearings))
    angle = np.radians(bearings)
    grade = 100.0 * (gradient @ np.stack([np.sin(angle), np.cos(angle)]))
    slope = 100.0 * np.hypot(*gradient.T)[:, None]
    return np.asarray(ANNUAL.over(grade, slope).mean(axis=0))


def _headland(site: Site, bearings: Floats) -> Floats:
    """Return the headland at each bearing: what lies there anyway, and the edges taken as ends."""
    if not site.ends.headland:
        return np.full(len(bearings), site.around)
    ends = end_lengths(site.rings, bearings, site.ends.steep) * site.ends.headland
    return np.minimum(site.around + ends, site.around + site.rings.area)


def _turns(task: Task, tally: Tally) -> Floats:
    """Return the turns between the pieces of a task."""
    return np.maximum(task.part * tally.pieces - 1.0, 0.0)


def _driven(task: Task, tally: Tally, headland: Floats) -> Driven[Floats]:
    """Return what one operation drives at each bearing."""
    turns = _turns(task, tally)
    turning = turns * task.turn_length + task.part * tally.slant
    return Driven(task.part * tally.length, turns, turning, task.share * headland)
