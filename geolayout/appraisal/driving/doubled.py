"""
Ground worked twice, or missed, where passes end aslant or lie closer than the machine is wide.

A pass that works every piece of its strip reaches past a slanting end until its last corner is
done, and works a triangle of the headland beside it. Sections that shut off one by one each stop
at their own place; the triangle falls into as many small ones::

            /                    w^2 / (2 tan phi) with one section,
      _____/                     w^2 / (2 n tan phi) with n
     |    /|
     |   /#|   worked twice      A machine that is lifted where its middle crosses the line
     |__/##|                     leaves a quarter of that, and misses as much on the other side.
     | / phi
"""

from dataclasses import dataclass
from math import radians, tan

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.layout.build import Layout
from geolayout.layout.guides.follow import chords_inside, reaches_along
from geolayout.layout.guides.guide import Guides
from geolayout.layout.guides.rings import Rings
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["NOTHING", "Doubled", "doubled_ground", "slant_overlap"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Doubled:
    """
    Ground that one operation works too often or not at all.

    Attributes
    ----------
    own : float
        Ground that is its to work. [m2]
    twice : float
        Worked beyond its own ground, if the whole width works: on the headland, over the edge, or
        a second time beside a pass that moved inward. [m2]
    twice_by_sections : float or None
        The same with its sections shut off one by one; None where it has none. [m2]
    midway_twice, midway_missed : float
        If it is lifted where its middle crosses the end: beyond, and left unworked. [m2]
    """

    own: float
    twice: float
    twice_by_sections: float | None
    midway_twice: float
    midway_missed: float

    def __add__(self, other: "Doubled") -> "Doubled":
        """Add that of another block."""
        both = (self.twice_by_sections, other.twice_by_sections)
        sections = None if None in both else sum(one or 0.0 for one in both)
        return Doubled(
            self.own + other.own,
            self.twice + other.twice,
            sections,
            self.midway_twice + other.midway_twice,
            self.midway_missed + other.midway_missed,
        )


NOTHING = Doubled(0.0, 0.0, 0.0, 0.0, 0.0)
"""What an operation works too often that has no passes."""


@dataclass(frozen=True, slots=True, eq=False)
class _Strips:
    """Strips of passes in a block: the width worked, and the fresh ground in it."""

    reach0: Floats
    reach1: Floats
    t0: Floats
    t1: Floats


def slant_overlap(working_width: float, angle: float, sections: int = 1) -> float:
    """
    Return the ground worked twice at one slanting end of one pass.

    Parameters
    ----------
    working_width : float
        [m]
    angle : float
        Between pass and edge, above 0 to 90. [degrees]
    sections : int, default 1
        Parts of the width that shut off one by one.

    Returns
    -------
    area : float
        [m2]

    Examples
    --------
    >>> [round(slant_overlap(24.0, 45.0, n), 1) for n in (1, 8)]
    [288.0, 36.0]
    """
    return working_width**2 / (2.0 * sections * tan(radians(angle)))


def doubled_ground(layout: Layout, block: int, operation: int) -> Doubled:
    """
    Return the ground that an operation works too often or misses on a block.

    Parameters
    ----------
    layout : Layout
        The layout.
    block, operation : int
        Index of each.

    Returns
    -------
    doubled : Doubled
        Nothing twice where passes go round: they have no ends.
    """
    passes, of = layout.passes, layout.blocks[block]
    sections = layout.plan.machine(layout.plan.operations[operation].machine).sections
    mine = (passes.block == block) & (passes.operation == operation)
    if isinstance(of.guides, Rings) or not mine.any():
        own = (passes.t1 - passes.t0)[mine] @ passes.lines.length[mine]
        return Doubled(float(own), 0.0, None if sections is None else 0.0, 0.0, 0.0)
    columns = np.stack([passes.reach0, passes.reach1, passes.t0, passes.t1], axis=1)[mine]
    strips = _Strips(*np.unique(np.round(columns, 6), axis=0).T)
    land = of.crop_land
    fresh = float(_areas(of.guides, land, strips.t0, strips.t1).sum())
    covered, worked = _midway(of.guides, land, strips)
    by_sections = None
    if sections is not None:
        by_sections = _worked(of.guides, land, _in_sections(strips, sections)) - fresh
    return Doubled(
        fresh,
        max(_worked(of.guides, land, strips) - fresh, 0.0),
        None if by_sections is None else max(by_sections, 0.0),
        max(worked - covered, 0.0),
        max(fresh - covered, 0.0),
    )


def _in_sections(strips: _Strips, sections: int) -> _Strips:
    """Return strips cut into sections; those over worked ground alone are shut off."""
    share = np.arange(sections + 1) / sections
    edges = strips.reach0[:, None] + (strips.reach1 - strips.reach0)[:, None] * share
    low, high = edges[:, :-1].ravel(), edges[:, 1:].ravel()
    t0 = np.maximum(low, np.repeat(strips.t0, sections))
    t1 = np.minimum(high, np.repeat(strips.t1, sections))
    on = t1 - t0 > ACROSS_SLACK
    return _Strips(low[on], high[on], t0[on], t1[on])


def _worked(guides: Guides, land: BaseGeometry, strips: _Strips) -> float:
    """Return the ground under strips that reach past their last corner. [m2]"""
    which, s0, s1 = reaches_along(guides, land, strips.t0, strips.t1)
    middle = (strips.reach0[which] + strips.reach1[which]) / 2.0
    length = guides.run(middle, s1) - guides.run(middle, s0)
    return float(np.sum(length * (strips.reach1 - strips.reach0)[which]))


def _areas(guides: Guides, land: BaseGeometry, t0: Floats, t1: Floats) -> Floats:
    """Return the land in each strip. [m2]"""
    turned = guides.turn(land)
    _, low, _, high = turned.bounds
    strips = zip(t0.tolist(), t1.tolist(), strict=True)
    return np.array([guides.area(_clip(turned, a, low - 1.0, b, high + 1.0)) for a, b in strips])


def _midway(guides: Guides, land: BaseGeometry, strips: _Strips) -> tuple[float, float]:
    """Return fresh ground covered, and ground worked, if the middle of a pass decides. [m2]"""
    middle = (strips.reach0 + strips.reach1) / 2.0
    which, s0, s1 = _chords_within(guides, land, strips, middle)
    length = guides.run(middle[which], s1) - guides.run(middle[which], s0)
    turned = guides.turn(land)
    covered = [
        guides.area(_clip(turned, strips.t0[i], low, strips.t1[i], high))
        for i, low, high in zip(which.tolist(), s0.tolist(), s1.tolist(), strict=True)
    ]
    return float(np.sum(covered)), float(np.sum(length * (strips.reach1 - strips.reach0)[which]))


def _chords_within(
    guides: Guides, land: BaseGeometry, strips: _Strips, middle: Floats
) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Return where the middle of each pass runs on land, no farther than the pass goes."""
    order = np.argsort(middle, kind="stable")
    chords = chords_inside(guides, land, middle[order])
    of = order[chords.line]
    which, begin, stop = reaches_along(guides, land, strips.t0, strips.t1)
    found = [
        (int(i), max(low, float(chords.s0[k])), min(high, float(chords.s1[k])))
        for i, low, high in zip(which, begin.tolist(), stop.tolist(), strict=True)
        for k in np.flatnonzero(of == i)
    ]
    columns = np.array([one for one in found if one[2] > one[1]]).reshape(-1, 3)
    return columns[:, 0].astype(np.int64), columns[:, 1], columns[:, 2]


def _clip(land: BaseGeometry, t0: float, s0: float, t1: float, s1: float) -> BaseGeometry:
    """Return turned land within a rectangle."""
    clipped: BaseGeometry = shapely.clip_by_rect(land, t0, s0, t1, s1)
    return clipped
