"""
Zones that a machine can follow: none narrower than a pass, none smaller than is worth a change.

A map has spikes, slivers and single cells. Each class is opened first: what no circle of a pass's
width reaches is taken off. The bits go to the class along which most of their edge lies, bit by bit
from the outside in; then whole zones that are too small or too narrow go the same way. Land that
the map does not cover takes part as a class of its own, so that its narrow bits close too.

    before  aaaabaaabb      after  aaaaaaabbb
            aaaabaabbb             aaaaaaabbb
            aaaaaaabab             aaaaaaabbb
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.shapes.overlay import added, common, joined, without
from geolayout.layout.shapes.polygons import polygon_parts, subdivided

__all__ = ["Least", "partition", "smoothed", "smoothed_partition"]

TOUCH = 0.05
"""How far beside a bit its neighbours are looked for. [m]"""

SEGMENTS = 8
"""Straight pieces for a quarter of a circle: half a per cent off the round at most. [-]"""

NEARLY = 0.99
"""A zone exactly as wide as a pass is wide enough, whatever rounding and segments say. [-]"""

EQUAL = 1e-4
"""Share by which two edges differ that are as long: a cell has many such, and rounding must not
decide. [-]"""

HAIR_AREA = 1e-6
"""A part below this is rounding between two overlays. [m2]"""

ROUGHLY = 0.98
"""A circle of straight pieces is a little smaller than a round one. [-]"""

SWEEPS = 2
"""How often classes are opened; bits given away may leave new ones. [-]"""


@dataclass(frozen=True, slots=True)
class Least:
    """
    The least a zone may be.

    Attributes
    ----------
    width : float
        A circle of this width fits into it; with 0 the map stays as it is. [m]
    area : float
        [m2]
    """

    width: float
    area: float


def smoothed(
    classes: Sequence[BaseGeometry], land: BaseGeometry, least: Least
) -> tuple[BaseGeometry, ...]:
    """
    Smooth a map's classes.

    Parameters
    ----------
    classes : sequence of Polygon or MultiPolygon
        Ground of every class; may leave ground of the land over, and overlap by hairs. [m]
    land : Polygon or MultiPolygon
        The field, on the grid of overlays. [m]
    least : Least
        The least a zone may be.

    Returns
    -------
    zones : tuple of Polygon or MultiPolygon
        One a class, and what no class has as the last: a partition of the land.
    """
    return smoothed_partition(partition(classes, land), land, least)


def smoothed_partition(
    zones: Sequence[BaseGeometry], land: BaseGeometry, least: Least
) -> tuple[BaseGeometry, ...]:
    """Smooth classes that are a partition of the land already, what none has as the last."""
    found = tuple(zones)
    for _ in range(SWEEPS if least.width > 0.0 else 0):
        found = _grown(*_opened(found, least.width), found, land)
    return _without_small(found, land, least)


def partition(classes: Sequence[BaseGeometry], land: BaseGeometry) -> tuple[BaseGeometry, ...]:
    """
    Make a partition of the land of classes; what none has comes last.

    Of ground that two have, the one named first keeps it.
    """
    zones: list[BaseGeometry] = []
    left = land
    for area in classes:
        zones.append(common(left, area))
        left = without(left, area)
    return (*zones, left)


@dataclass(frozen=True, slots=True, eq=False)
class _Bits:
    """What circles do not reach: polygons, and the zone that each was part of."""

    shapes: NDArray[np.object_]
    zone: NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.shapes)


def _opened(zones: Sequence[BaseGeometry], width: float) -> tuple[list[BaseGeometry], _Bits]:
    """Return of each zone what circles of a width reach, and all the bits that none does."""
    half = NEARLY * width / 2.0
    cores, bits = [], []
    for zone in zones:
        parts = polygon_parts(zone)
        roomy = _roomy(parts, half)
        wide = shapely.MultiPolygon(list(parts[roomy]))
        inner = shapely.buffer(wide, -half, quad_segs=SEGMENTS)
        core = common(wide, shapely.buffer(inner, half, quad_segs=SEGMENTS))
        cores.append(core)
        bits.append(np.concatenate([parts[~roomy], polygon_parts(without(wide, core))]))
    owner = np.repeat(np.arange(len(zones)), [len(some) for some in bits])
    return cores, _Bits(np.concatenate(bits), owner)


def _roomy(parts: NDArray[np.object_], half: float) -> NDArray[np.bool_]:
    """Tell into which parts a circle might go: most bits of a map are smaller."""
    low_x, low_y, high_x, high_y = shapely.bounds(parts).T
    across = np.minimum(high_x - low_x, high_y - low_y)
    room = shapely.area(parts) >= ROUGHLY * np.pi * half**2
    return np.asarray(room & (across >= ROUGHLY * 2.0 * half))


def _grown(
    cores: Sequence[BaseGeometry],
    bits: _Bits,
    before: Sequence[BaseGeometry],
    land: BaseGeometry,
) -> tuple[BaseGeometry, ...]:
    """Give every bit to the zone along which most of its edge lies, from the outside in."""
    ground = [subdivided(polygon_parts(core)) for core in cores]
    given = np.full(len(bits), -1, dtype=np.intp)
    while (left := np.flatnonzero(given < 0)).size:
        near = _near(bits.shapes[left])
        edges = np.stack([_beside(near, pieces) for pieces in ground])
        reached = edges.max(axis=0) > 0.0
        if not reached.any():
            break
        given[left[reached]] = _most(edges)[reached]
        for k, pieces in enumerate(ground):
            mine = left[reached & (given[left] == k)]
            ground[k] = np.concatenate([pieces, bits.shapes[mine]])
    for i in np.flatnonzero(given < 0).tolist():  # too narrow for any circle: most of it decides
        given[i] = np.argmax([shapely.intersection(bits.shapes[i], one).area for one in before])
    return _whole([_with_bits(core, bits, given == k) for k, core in enumerate(cores)], land)


def _with_bits(zone: BaseGeometry, bits: _Bits, mine: NDArray[np.bool_]) -> BaseGeometry:
    """
    Return a zone with some bits.

    Bits of one zone touch at points at most, so that those of each zone are one sound shape: a
    few overlays of two shapes each, where a union of hundreds took most of the time.
    """
    for k in np.unique(bits.zone[mine]).tolist():
        zone = added(zone, shapely.MultiPolygon(list(bits.shapes[mine & (bits.zone == k)])))
    return zone


def _most(edges: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the class with most of the edge of each bit, shape (n,); of equal ones the lowest."""
    lower_first = 1.0 - EQUAL * np.arange(len(edges))
    return np.asarray(np.argmax(edges * lower_first[:, np.newaxis], axis=0), dtype=np.intp)


def _near(bits: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return bits with what lies right beside them."""
    return np.asarray(shapely.buffer(bits, TOUCH, quad_segs=1), dtype=object)


def _beside(near: NDArray[np.object_], pieces: NDArray[np.object_]) -> NDArray[np.float64]:
    """Return how much of a zone, in pieces, lies right beside each bit, shape (n,). [m2]"""
    if not len(pieces):
        return np.zeros(len(near))
    bit, piece = shapely.STRtree(pieces).query(near, predicate="intersects")
    shared = shapely.area(shapely.intersection(near[bit], pieces[piece]))
    return np.asarray(np.bincount(bit, shared, minlength=len(near)), dtype=np.float64)


def _whole(zones: Sequence[BaseGeometry], land: BaseGeometry) -> tuple[BaseGeometry, ...]:
    """Make a partition of zones that fit but for hairs; the largest takes the hairs."""
    largest = int(np.argmax([zone.area for zone in zones]))
    others = [zone for k, zone in enumerate(zones) if k != largest]
    *done, left = partition(others, land)
    done.insert(largest, _solid(left))
    return tuple(done)


def _solid(zone: BaseGeometry) -> BaseGeometry:
    """Leave out hairs between edges that two overlays have put side by side."""
    parts = polygon_parts(zone)
    return joined(list(parts[shapely.area(parts) > HAIR_AREA]))


def _without_small(
    zones: Sequence[BaseGeometry], land: BaseGeometry, least: Least
) -> tuple[BaseGeometry, ...]:
    """Give zones that are too small or too narrow to a neighbour, the smallest first."""
    kept = list(zones)
    while True:
        found = _smallest(kept, least)
        if found is None:
            return _whole(kept, land)
        part, mine, neighbour = found
        kept[mine] = without(kept[mine], part)
        kept[neighbour] = added(kept[neighbour], part)


def _smallest(zones: Sequence[BaseGeometry], least: Least) -> tuple[BaseGeometry, int, int] | None:
    """Return the smallest part that has to go, whose it is and whose it will be; None if none."""
    parts = [polygon_parts(zone) for zone in zones]
    owner = np.repeat(np.arange(len(zones)), [len(some) for some in parts])
    every = np.concatenate(parts)
    thin = shapely.is_empty(
        shapely.buffer(every, -NEARLY * least.width / 2.0, quad_segs=2 * SEGMENTS)
    )
    bad = thin | (shapely.area(every) < NEARLY * least.area)
    for i in np.argsort(shapely.area(every), kind="stable"):
        if not bad[i]:
            continue
        near = _near(every[i : i + 1])
        beside = np.array([_beside(near, some)[0] for some in parts])
        beside[owner[i]] = 0.0
        if beside.max() > 0.0:
            return every[i], int(owner[i]), int(_most(beside[:, np.newaxis])[0])
    return None
