"""
Work as a machine recorded it: strands of places that belong together, and areas.

A strand is what was driven in one go. Each of its places stands for the stretch from half way back
to its neighbour to half way on to the next one, so that a place a second covers the whole pass.
"""

from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.worked.ground import areas_of

__all__ = [
    "Strand",
    "WorkDone",
    "WorkedArea",
    "halves",
    "headings",
    "moving",
    "set_back",
    "spread",
    "swath",
]

STANDING = 0.05
"""A place nearer than this to the one before is the machine standing still. [m]"""

THIN = 1e-3
"""What is driven may be drawn with fewer corners by this much: below any receiver. [m]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Strand:
    """
    What was driven at work in one go.

    Attributes
    ----------
    xy : ndarray, shape (n, 2)
        Places of the middle of the machine, in order, two at least. [m]
    width : float
        Of what it worked. [m]
    rate : ndarray, shape (n,)
        At each place; not a number where nobody recorded it.
    seconds : ndarray, shape (n,)
        Since any moment; not a number where nobody recorded it. [s]
    product : str, default ""
        What was put out; "" where nobody said.
    half_step : float, default 0
        How far work goes on before the first and behind the last place. [m]
    """

    xy: Floats
    width: float
    rate: Floats
    seconds: Floats
    product: str = ""
    half_step: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class WorkedArea:
    """
    An area recorded as worked once.

    Attributes
    ----------
    ground : Polygon or MultiPolygon
        The area. [m]
    rate : float
        On it; not a number where nobody recorded it.
    product : str, default ""
        What was put out; "" where nobody said.
    """

    ground: BaseGeometry
    rate: float
    product: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class WorkDone:
    """
    A returned file, in the field's frame.

    Attributes
    ----------
    strands : tuple of Strand
        What was recorded as places or lines.
    areas : tuple of WorkedArea
        What was recorded as areas.
    """

    strands: tuple[Strand, ...] = ()
    areas: tuple[WorkedArea, ...] = field(default=())

    def __len__(self) -> int:
        """Return the number of strands and areas."""
        return len(self.strands) + len(self.areas)


def moving(strand: Strand) -> Strand:
    """Return a strand without the places at which the machine stood still."""
    kept = [0]
    xy = strand.xy
    for i in range(1, len(xy)):
        if np.hypot(*(xy[i] - xy[kept[-1]])) > STANDING:
            kept.append(i)
    if len(kept) == len(xy):
        return strand
    return replace(strand, xy=xy[kept], rate=strand.rate[kept], seconds=strand.seconds[kept])


def spread(strand: Strand, step: float) -> Strand:
    """
    Return a strand with a place every few metres at least, each with the rate of the nearest.

    Parameters
    ----------
    strand : Strand
        Lines have a vertex at each end only.
    step : float
        The farthest from place to place. [m]
    """
    strand = moving(strand)
    if len(strand.xy) < 2:
        return strand
    length = np.hypot(*np.diff(strand.xy, axis=0).T)
    counts = np.maximum(np.ceil(length / step - 1e-9), 1.0).astype(np.int64)
    leg = np.repeat(np.arange(len(length)), counts)
    share = np.arange(len(leg)) - np.repeat(np.cumsum(counts) - counts, counts)
    at = np.append(leg + share / counts[leg], len(length))
    old = np.arange(len(strand.xy))
    xy = np.stack([np.interp(at, old, strand.xy[:, k]) for k in (0, 1)], axis=1)
    nearest = np.floor(at + 0.5).astype(np.int64)
    seconds = np.interp(at, old, strand.seconds)
    return replace(strand, xy=xy, rate=strand.rate[nearest], seconds=seconds)


def halves(strand: Strand) -> tuple[Floats, Floats]:
    """Return how far each place's stretch goes back and on, each of shape (n,). [m]"""
    between = np.hypot(*np.diff(strand.xy, axis=0).T) / 2.0
    end = np.full(1, strand.half_step)
    return np.concatenate([end, between]), np.concatenate([between, end])


def headings(strand: Strand) -> Floats:
    """Return the direction driven at each place as unit vectors, shape (n, 2)."""
    legs = np.diff(strand.xy, axis=0)
    legs = legs / np.hypot(legs[:, 0], legs[:, 1])[:, None]
    both = np.concatenate([legs[:1], legs]) + np.concatenate([legs, legs[-1:]])
    long = np.hypot(both[:, 0], both[:, 1])
    back = long < 1e-9  # turned on the spot: the way it came
    both[back] = np.concatenate([legs[:1], legs])[back]
    return np.asarray(both / np.hypot(both[:, 0], both[:, 1])[:, None])


def set_back(work: WorkDone, ahead: float) -> WorkDone:
    """
    Return work moved against the direction of driving.

    Parameters
    ----------
    work : WorkDone
        As recorded. Areas have no direction and stay.
    ahead : float
        How far the places recorded lie ahead of what was worked: the antenna in front of the
        coulters, or seed that falls late. [m]
    """
    return replace(work, strands=tuple(_set_back(one, ahead) for one in work.strands))


def _set_back(strand: Strand, ahead: float) -> Strand:
    """Return a strand whose places lie farther back on its own way."""
    strand = moving(strand)
    if len(strand.xy) < 2 or ahead == 0.0:
        return strand
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(strand.xy, axis=0).T))])
    first, last = (abs(ahead) * _unit(strand.xy[i] - strand.xy[j]) for i, j in ((0, 1), (-1, -2)))
    longer = np.concatenate([[strand.xy[0] + first], strand.xy, [strand.xy[-1] + last]])
    at = np.concatenate([[-abs(ahead)], way, [way[-1] + abs(ahead)]])
    xy = np.stack([np.interp(way - ahead, at, longer[:, k]) for k in (0, 1)], axis=1)
    return replace(strand, xy=xy)


def _unit(vector: Floats) -> Floats:
    """Return a vector of length 1."""
    return np.asarray(vector / np.hypot(*vector))


def swath(xy: Floats, width: float) -> BaseGeometry:
    """Return the ground that a machine works along a way. [m]"""
    line = shapely.simplify(shapely.linestrings(xy), THIN)
    return areas_of(
        shapely.buffer(line, width / 2.0, cap_style="flat", join_style="mitre", mitre_limit=2.0)
    )
