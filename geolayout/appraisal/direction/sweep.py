"""
Every bearing at once: lines, pieces and their length, over edges x bearings in numpy.

A line at t crosses an edge where t lies in the edge's half-open range, as in `layout/shapes/scan`.
So an edge crosses as many lines of a comb as lie between the places of its two corners,

    crossings = |k(b) - k(a)|,    k(t) = ceil((t - start) / period),

and half of all crossings are pieces. Along an edge the places s where it crosses those lines rise
evenly, so that their sum is their number times the middle one; and with the land on the left of
every edge

    length = |sum over edges (k(b) - k(a)) * s(middle line)|.

No line is cut and nothing is sorted.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.direction.combs import Comb, Teeth
from geolayout.appraisal.direction.rings import Rings

__all__ = ["Counts", "Turned", "chunks", "count_rows", "places", "spans", "turned"]

CHUNK = 60_000
"""Edges x bearings, or lines x bearings, in one go, so that arrays stay in the cache. [-]"""

SHEER = 1e-9
"""An edge that goes no further across than this runs along the lines. [m]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Counts:
    """
    Lines across land, at each of m bearings.

    Attributes
    ----------
    lines, pieces : ndarray, shape (m,)
        Lines across the land's width, and the pieces that land and holes cut them into; whole.
    length : ndarray, shape (m,)
        Of all pieces. [m]
    """

    lines: Floats
    pieces: Floats
    length: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """
    Land at m bearings.

    Attributes
    ----------
    rings : Rings
        The land.
    forward : ndarray, shape (2, m)
        In which s grows, east and north.
    t, s : ndarray, shape (v, m)
        Corners across and along. [m]
    """

    rings: Rings
    forward: Floats
    t: Floats
    s: Floats

    @property
    def run(self) -> Floats:
        """How far each edge goes across, shape (n, m). [m]"""
        return np.asarray(self.t[self.rings.last] - self.t[self.rings.first])

    @property
    def rise(self) -> Floats:
        """How far each edge goes along, shape (n, m). [m]"""
        return np.asarray(self.s[self.rings.last] - self.s[self.rings.first])

    @property
    def slope(self) -> Floats:
        """How far each edge goes along for a metre across, shape (n, m); 0 where `SHEER`."""
        run = self.run
        return np.divide(self.rise, run, out=np.zeros_like(run), where=np.abs(run) > SHEER)

    @property
    def span(self) -> tuple[Floats, Floats]:
        """Least and greatest t, shape (m,) each. [m]"""
        return self.t.min(axis=0), self.t.max(axis=0)


def turned(rings: Rings, bearings: Floats) -> Turned:
    """Turn land to bearings from the frame's north, x = t and y = s. [degrees]"""
    angle = np.radians(bearings)
    forward = np.stack([np.sin(angle), np.cos(angle)])
    sideways = np.stack([forward[1], -forward[0]])
    return Turned(rings, forward, rings.xy @ sideways, rings.xy @ forward)


def spans(rings: Rings, bearings: Floats) -> tuple[Floats, Floats]:
    """Return the least and the greatest t of land at each bearing, shape (m,). [m]"""
    return turned(rings, bearings).span


def count_rows(rings: Rings, bearings: Floats, comb: Comb) -> Counts:
    """
    Count the lines of a comb, the pieces and their length, at every bearing.

    Parameters
    ----------
    rings : Rings
        The land.
    bearings : ndarray, shape (m,)
        Of the lines, from the frame's north. [degrees]
    comb : Comb
        Lines across a repeat.

    Returns
    -------
    counts : Counts

    Examples
    --------
    >>> import shapely
    >>> from geolayout.appraisal.direction.combs import even_comb
    >>> from geolayout.appraisal.direction.rings import rings_of
    >>> field = rings_of(shapely.box(0, 0, 200, 100))
    >>> found = count_rows(field, np.array([0.0, 90.0]), even_comb(10.0))
    >>> found.lines.tolist(), found.length.round(6).tolist()
    ([20.0, 10.0], [2000.0, 2000.0])
    """
    parts = [_counted(turned(rings, some), comb) for some in chunks(bearings, len(rings))]
    return Counts(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def chunks(bearings: Floats, each: int) -> Iterator[Floats]:
    """Give bearings in chunks of a handy size, where each needs arrays of some size."""
    size = max(1, CHUNK // max(each, 1))
    for begin in range(0, len(bearings), size):
        yield bearings[begin : begin + size]


def places(t: Floats, teeth: Teeth) -> Floats:
    """Return which line of the teeth, but the last, is the first at or beyond each t."""
    k = np.ceil((t - teeth.start) / teeth.period)
    return np.clip(k, 0.0, np.maximum(teeth.count - 1.0, 0.0), out=k)


def _counted(land: Turned, comb: Comb) -> tuple[Floats, Floats, Floats]:
    """Return lines, pieces and length at some bearings."""
    lines, pieces, length = np.zeros((3, land.t.shape[1]))
    slope, a, b = land.slope, land.rings.first, land.rings.last
    begin = land.s[a] - land.t[a] * slope  # s of the edge's line where t is 0
    for teeth in comb.teeth(*land.span):
        k, last = places(land.t, teeth), (land.t > teeth.last) & (teeth.count > 0.0)
        crossed = k[b] - k[a]
        on_last = last[b].astype(np.float64) - last[a]
        middle = teeth.start + (teeth.period / 2.0) * (k[a] + k[b] - 1.0)
        lines += teeth.count
        pieces += (np.abs(crossed) + np.abs(on_last)).sum(axis=0) / 2.0
        along = crossed * (begin + middle * slope) + on_last * (begin + teeth.last * slope)
        length += np.abs(along.sum(axis=0))
    return lines, pieces, length
