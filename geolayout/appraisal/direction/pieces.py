"""
Every piece that a machine drives, at every bearing at once.

A piece is known by the two edges it ends on. Where rows meet an edge at the angle a, a headland of
width h takes h / sin(a) of each; a pass of width w reaches w / 2 / tan(a) past its centre line to
work the last of its strip; and the next pass ends d / tan(a) farther on, d being the distance to
it. The two last are no longer than the edge itself. Angles are those of the thinned boundary.

With the land on the left of every edge, a line enters it where t rises along the edge and leaves
it where t falls. Most lines enter once: they need no sorting.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.direction.combs import Comb, Teeth
from geolayout.appraisal.direction.rings import Rings
from geolayout.appraisal.direction.sweep import Turned, chunks, places, spans, turned
from geolayout.layout.headlands.edges import ANGLE_SLACK

__all__ = ["Ends", "Tally", "end_lengths", "tally_passes"]

LEAST_PIECE = 1.0
"""Pieces under this are listed in a layout and counted nowhere. [m]"""

ALONG = 1e-9
"""An edge that goes less across the rows runs along them, and no row ends on it. [m]"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Ends:
    """
    What happens where a piece ends.

    Attributes
    ----------
    headland : float
        Width of the headland at the ends; 0 where none is measured from them. [m]
    steep : float
        Angle from which an edge counts as an end. [degrees]
    short : float
        Pieces under this are short. [m]
    """

    headland: float
    steep: float
    short: float


@dataclass(frozen=True, slots=True, eq=False)
class Tally:
    """
    What the passes of one comb come to, at each of m bearings.

    Attributes
    ----------
    passes, pieces : ndarray, shape (m,)
        Passes across the land, and the pieces driven, without what headlands take whole.
    length : ndarray, shape (m,)
        Of the pieces, as far as the machine reaches to work its strip. [m]
    short, point : ndarray, shape (m,)
        Pieces that are short, and those that run out on a side instead of an end.
    slant : ndarray, shape (m,)
        Drive along slanting ends to the next pass, over all turns. [m]
    double : ndarray, shape (m,)
        Ground worked twice: at slanting ends and where the last pass moved inward. [m2]
    """

    passes: Floats
    pieces: Floats
    length: Floats
    short: Floats
    point: Floats
    slant: Floats
    double: Floats

    @property
    def columns(self) -> tuple[Floats, ...]:
        """All of them, in order."""
        return (
            self.passes,
            self.pieces,
            self.length,
            self.short,
            self.point,
            self.slant,
            self.double,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """What every edge asks of a piece that ends on it, by edge x bearing, flat."""

    take: Floats
    reach: Floats
    slant: Floats
    side: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class _Crossings:
    """Lines that enter land, or leave it: the line, the edge x bearing, and where."""

    line: Whole
    cell: Whole
    s: Floats


def tally_passes(rings: Rings, bearings: Floats, comb: Comb, ends: Ends) -> Tally:
    """
    Find every piece that a machine drives at every bearing, and sum them up.

    Parameters
    ----------
    rings : Rings
        The land.
    bearings : ndarray, shape (m,)
        Of the passes, from the frame's north. [degrees]
    comb : Comb
        Passes across a repeat.
    ends : Ends
        What happens where a piece ends.

    Returns
    -------
    tally : Tally
    """
    low, high = spans(rings, bearings)
    lines = int(np.max(high - low, initial=0.0) / comb.period) + 1
    some = chunks(bearings, max(len(rings), lines))
    parts = [_tallied(turned(rings, own), comb, ends).columns for own in some]
    return Tally(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def end_lengths(rings: Rings, bearings: Floats, steep: float) -> Floats:
    """
    Return how much boundary a headland at the ends is measured from, at each bearing.

    Parameters
    ----------
    rings : Rings
        The land.
    bearings : ndarray, shape (m,)
        Of the rows. [degrees]
    steep : float
        Angle from which an edge counts as an end. [degrees]

    Returns
    -------
    length : ndarray, shape (m,)
        [m]
    """
    length = np.where(rings.headed, rings.lengths, 0.0)
    found = [length @ ~_sides(turned(rings, own), steep) for own in chunks(bearings, len(rings))]
    return np.concatenate(found)


def _sides(land: Turned, steep: float) -> NDArray[np.bool_]:
    """Return which edges are sides and no ends, shape (n, m)."""
    way = land.rings.way
    along = np.abs(way @ land.forward)
    least = np.cos(np.radians(max(steep - ANGLE_SLACK, 0.0)))
    return np.asarray(along > least * np.hypot(*way.T)[:, None])


def _tallied(land: Turned, comb: Comb, ends: Ends) -> Tally:
    """Return the tally at some bearings."""
    edges = _edges(land, comb, ends)
    teeth = comb.teeth(*land.span)
    sums = [_sums(*_pieces(land, one), edges, (one, comb.width, ends.short)) for one in teeth]
    passes = np.sum([one.count for one in teeth], axis=0)
    return Tally(passes, *np.sum(sums, axis=0))


def _edges(land: Turned, comb: Comb, ends: Ends) -> _Edges:
    """Return what every edge asks of a piece that ends on it."""
    way = land.rings.way
    forward = land.forward
    across = np.abs(way @ np.stack([forward[1], -forward[0]]))
    along = np.abs(way @ forward)
    side = _sides(land, ends.steep)
    across = np.maximum(across, ALONG)
    cot = along / across
    width = np.where(land.rings.headed, ends.headland, 0.0)[:, None]
    # 1 / sin(a), and nothing for a side
    take = np.where(side, 0.0, width * (np.hypot(*way.T)[:, None] / across))
    return _Edges(
        take.ravel(),
        np.minimum(comb.width / 2.0 * cot, along).ravel(),
        np.minimum(comb.spacing * cot, along).ravel(),
        side.ravel(),
    )


def _pieces(land: Turned, teeth: Teeth) -> tuple[Whole, Whole, Whole, Floats]:
    """Return line, edges entered and left by (edge x bearing), and length, of every piece."""
    enter, leave = _crossings(land, teeth)
    size = int(np.max(teeth.count, initial=0.0)) * land.t.shape[1]
    if not len(enter.line):
        none = np.empty(0, dtype=np.int64)
        return none, none, none, np.empty(0)
    times = np.bincount(enter.line, minlength=size)
    one = np.flatnonzero(times == 1)
    first, last = np.zeros(size, np.int64), np.zeros(size, np.int64)
    first[enter.line] = np.arange(len(enter.line))
    last[leave.line] = np.arange(len(leave.line))
    several = [_sorted(crossings, times) for crossings in (enter, leave)]
    i = np.concatenate([first[one], several[0]])
    j = np.concatenate([last[one], several[1]])
    return enter.line[i], enter.cell[i], leave.cell[j], leave.s[j] - enter.s[i]


def _sorted(crossings: _Crossings, times: Whole) -> Whole:
    """Return the crossings of lines that enter land several times, by line and place."""
    many = np.flatnonzero(times[crossings.line] > 1)
    return many[np.lexsort((crossings.s[many], crossings.line[many]))]


def _crossings(land: Turned, teeth: Teeth) -> tuple[_Crossings, _Crossings]:
    """Return where lines enter and leave the land."""
    a, b = land.rings.first, land.rings.last
    k = places(land.t, teeth).astype(np.int64)
    ka, kb = k[a].ravel(), k[b].ravel()
    cell = np.flatnonzero(ka != kb)
    low, hits = np.minimum(ka, kb)[cell], np.abs(kb - ka)[cell]
    edge = np.repeat(cell, hits)
    line = np.arange(len(edge)) + np.repeat(low - np.cumsum(hits) + hits, hits)
    beyond = (land.t > teeth.last) & (teeth.count > 0.0)
    on_last = np.flatnonzero((beyond[a] != beyond[b]).ravel())
    count = land.t.shape[1]
    t = np.concatenate(
        [teeth.start[edge % count] + line * teeth.period, teeth.last[on_last % count]]
    )
    final = teeth.count.astype(np.int64)[on_last % count] - 1
    edge, line = np.concatenate([edge, on_last]), np.concatenate([line, final])
    s = land.s[a].ravel()[edge] + (t - land.t[a].ravel()[edge]) * land.slope.ravel()[edge]
    line = line * count + edge % count
    rises = (land.run.ravel() > 0.0)[edge]
    return tuple(_Crossings(line[own], edge[own], s[own]) for own in (rises, ~rises))  # type: ignore[return-value]


def _sums(
    line: Whole,
    entered: Whole,
    left: Whole,
    length: Floats,
    edges: _Edges,
    how: tuple[Teeth, float, float],
) -> Floats:
    """Return pieces, length, short, point, slant and double-worked ground, shape (6, m)."""
    teeth, width, short = how
    count = len(teeth.count)
    length = length - edges.take[entered] - edges.take[left]
    kept = length > LEAST_PIECE
    at, length, entered, left = line[kept] % count, length[kept], entered[kept], left[kept]
    reach = edges.reach[entered] + edges.reach[left]
    slant = (edges.slant[entered] + edges.slant[left]) / 2.0
    overlap = np.full(len(at), teeth.overlap)
    final = line[kept] // count == teeth.count[at] - 1.0
    overlap[final] += teeth.moved[at[final]]
    columns = (
        np.ones(len(at)),
        length + reach,
        length < short,
        edges.side[entered] | edges.side[left],
        slant,
        width * reach + overlap * length,
    )
    return np.stack([np.bincount(at, column, minlength=count) for column in columns])
