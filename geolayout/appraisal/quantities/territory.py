"""
Half-gap territory: whose ground it is if the gap between two stands is shared by halves.

A band's ground ends at its edge, wherever its outer rows stand. Yields are often divided by the
other measure, from the middle of one gap to the middle of the next::

        A                    A | edge      B         B
        |                    | |           |         |
        |                    |<-- gap ---->|         |
                                   | middle of the gap: here A's territory ends
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from geolayout.appraisal.growing import areas_by_cut
from geolayout.layout.build import Layout
from geolayout.layout.guides.follow import strip_area

__all__ = ["Border", "Territory", "borders", "territories"]

ROUNDING = 1e-9
"""A border that moves by less has not moved. [m]"""


@dataclass(frozen=True, slots=True)
class Border:
    """
    Borders of one kind between neighbouring bands with different stands.

    Attributes
    ----------
    block, stand, other : str
        Whose border it is; the stands in alphabetical order.
    count : int
        How many there are.
    gap_m : float
        Between the outermost rows, the most frequent to the millimetre. [m]
    row_to_edge_m, other_row_to_edge_m : float
        From the band's edge to each of the two rows, at such a border. [m]
    """

    block: str
    stand: str
    other: str
    count: int
    gap_m: float
    row_to_edge_m: float
    other_row_to_edge_m: float


@dataclass(frozen=True, slots=True)
class Territory:
    """
    A stand's ground, by its bands and by half gaps.

    Attributes
    ----------
    stand : str
        The stand.
    crops : tuple of str
        What grows in it.
    ground_m2 : float
        Ground of its bands. [m2]
    territory_m2 : float
        The same with each border moved to the middle of the gap between the rows. [m2]
    difference_percent : float
        Territory less ground, in hundredths of the ground. [%]
    """

    stand: str
    crops: tuple[str, ...]
    ground_m2: float
    territory_m2: float
    difference_percent: float


@dataclass(frozen=True, slots=True)
class _Meeting:
    """Two neighbouring cuts with rows and different stands: the edge and the outermost rows."""

    block: int
    near: str
    far: str
    edge: float
    last: float
    first: float

    @property
    def middle(self) -> float:
        """Middle of the gap between the rows. [m]"""
        return (self.last + self.first) / 2


def _meetings(layout: Layout) -> Iterator[_Meeting]:
    """Return every border between two stands that both stand in rows."""
    rows = layout.rows
    for b, block in enumerate(layout.blocks):
        mine = rows.block == b
        outer: dict[int, tuple[float, float]] = {}
        for c in np.unique(rows.cut[mine]):
            t = rows.t[mine & (rows.cut == c)]
            outer[int(c)] = (float(t.min()), float(t.max()))
        for c in range(len(block.section.cuts) - 1):
            near, far = block.stands[c], block.stands[c + 1]
            if near is None or far is None or near.name == far.name:
                continue
            if c in outer and c + 1 in outer:
                edge = block.section.cuts[c].t1
                yield _Meeting(b, near.name, far.name, edge, outer[c][1], outer[c + 1][0])


def borders(layout: Layout) -> tuple[Border, ...]:
    """
    Measure the gaps between different stands, equal ones told once.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    borders : tuple of Border
        Per block and pair of stands.
    """
    found: dict[tuple[str, str, str], list[tuple[float, float, float]]] = defaultdict(list)
    for meeting in _meetings(layout):
        to_last, to_first = meeting.edge - meeting.last, meeting.first - meeting.edge
        near, far = (meeting.near, to_last), (meeting.far, to_first)
        (stand, one), (other, two) = sorted([near, far])
        block = layout.blocks[meeting.block].name
        found[block, stand, other].append((round(one + two, 3), round(one, 3), round(two, 3)))
    return tuple(
        Border(*names, len(gaps), *max(sorted(set(gaps)), key=gaps.count))
        for names, gaps in found.items()
    )


def territories(layout: Layout) -> tuple[Territory, ...]:
    """
    Compare each stand's ground with its territory by half gaps.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    territories : tuple of Territory
        Stands that border on another; none where no two stands meet in rows.
    """
    moved: dict[str, float] = defaultdict(float)
    for meeting in _meetings(layout):
        gained = _gained(layout, meeting)
        moved[meeting.near] += gained
        moved[meeting.far] -= gained
    ground = _stand_ground(layout)
    return tuple(
        _territory(layout, name, ground[name], ground[name] + gained)
        for name, gained in moved.items()
        if ground[name] > 0.0
    )


def _gained(layout: Layout, meeting: _Meeting) -> float:
    """Return the ground that the near stand gains where the border moves to the middle. [m2]"""
    block = layout.blocks[meeting.block]
    low, high = sorted((meeting.edge, meeting.middle))
    if high - low < ROUNDING:
        return 0.0
    area = strip_area(block.guides, block.crop_land, (low, high))
    return area if meeting.middle > meeting.edge else -area


def _stand_ground(layout: Layout) -> dict[str, float]:
    """Return the band ground of each stand. [m2]"""
    ground: dict[str, float] = defaultdict(float)
    for b, block in enumerate(layout.blocks):
        for stand, area in zip(block.stands, areas_by_cut(layout, b), strict=True):
            if stand is not None:
                ground[stand.name] += float(area)
    return ground


def _territory(layout: Layout, name: str, ground: float, territory: float) -> Territory:
    """Return one stand's comparison."""
    stand = layout.plan.stand(name)
    crops = tuple(sowing.crop for sowing in stand.sowing) if stand is not None else ()
    return Territory(name, crops, ground, territory, 100.0 * (territory - ground) / ground)
