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

from geolayout.layout.overlay import common, joined, without
from geolayout.layout.polygons import polygon_parts

__all__ = ["Least", "partition", "smoothed"]

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
    zones = partition(classes, land)
    for _ in range(SWEEPS if least.width > 0.0 else 0):
        zones = _grown(*_opened(zones, least.width), zones, land)
    return _without_small(zones, land, least)


def partition(classes: Sequence[BaseGeometry], land: BaseGeometry) -> tuple[BaseGeometry, ...]:
    """
    Make a partition of the land of classes; what none has comes last.

    Of ground that two have, the one named first keeps it.
    """
    zones: list[BaseGeometry] = []
    for area in classes:
        mine = common(land, area)
        zones.append(without(mine, joined(zones)))
    return (*zones, without(land, joined(zones)))


def _opened(
    zones: Sequence[BaseGeometry], width: float
) -> tuple[list[BaseGeometry], NDArray[np.object_]]:
    """Return of each zone what circles of a width reach, and all the bits that none does."""
    half = NEARLY * width / 2.0
    cores, bits = [], []
    for zone in zones:
        inner = shapely.buffer(zone, -half, quad_segs=SEGMENTS)
        core = common(zone, shapely.buffer(inner, half, quad_segs=SEGMENTS))
        cores.append(core)
        bits.append(polygon_parts(without(zone, core)))
    return cores, np.concatenate(bits)


def _grown(
    cores: Sequence[BaseGeometry],
    bits: NDArray[np.object_],
    before: Sequence[BaseGeometry],
    land: BaseGeometry,
) -> tuple[BaseGeometry, ...]:
    """Give every bit to the zone along which most of its edge lies, from the outside in."""
    grown = list(cores)
    while len(bits):
        edges = np.stack([_beside(bits, zone) for zone in grown])
        reached = edges.max(axis=0) > 0.0
        if not reached.any():
            break
        best = _most(edges)
        for k, zone in enumerate(grown):
            mine = bits[reached & (best == k)]
            grown[k] = joined([zone, *mine]) if len(mine) else zone
        bits = bits[~reached]
    for bit in bits:  # land too narrow for any circle: it keeps the class that has most of it
        k = int(np.argmax([shapely.intersection(bit, zone).area for zone in before]))
        grown[k] = joined([grown[k], bit])
    return _whole(grown, land)


def _most(edges: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the class with most of the edge of each bit, shape (n,); of equal ones the lowest."""
    lower_first = 1.0 - EQUAL * np.arange(len(edges))
    return np.asarray(np.argmax(edges * lower_first[:, np.newaxis], axis=0), dtype=np.intp)


def _beside(bits: NDArray[np.object_], zone: BaseGeometry) -> NDArray[np.float64]:
    """Return how much of a zone lies right beside each bit, shape (n,). [m2]"""
    if zone.is_empty:
        return np.zeros(len(bits))
    shapely.prepare(zone)
    near = np.asarray(shapely.buffer(bits, TOUCH, quad_segs=1), dtype=object)
    found = np.zeros(len(bits))
    meet = shapely.intersects(zone, near)
    found[meet] = shapely.area(shapely.intersection(near[meet], zone))
    return found


def _whole(zones: Sequence[BaseGeometry], land: BaseGeometry) -> tuple[BaseGeometry, ...]:
    """Make a partition of zones that fit but for hairs; the largest takes the hairs."""
    largest = int(np.argmax([zone.area for zone in zones]))
    done: list[BaseGeometry] = [shapely.Polygon() for _ in zones]
    for k, zone in enumerate(zones):
        if k != largest:
            done[k] = without(common(land, zone), joined(done))
    done[largest] = _solid(without(land, joined(done)))
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
        kept[neighbour] = joined([kept[neighbour], part])


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
        beside = np.array([_beside(every[i : i + 1], zone)[0] for zone in zones])
        beside[owner[i]] = 0.0
        if beside.max() > 0.0:
            return every[i], int(owner[i]), int(_most(beside[:, np.newaxis])[0])
    return None
