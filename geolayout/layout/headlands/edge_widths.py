"""
Which width of headland lies along which edge of the land.

Each edge of the thinned outer rings has one width. First the headland says: none, along the ends,
or all round. Then its entries by edge, the first that names an edge. Where edges of two widths
meet, ground that is within either's width is headland::

    ______________________
    |  north, 24 m       |     a convex corner: the wider strip runs on to the next edge
    |....................|     a reflex corner between two: the narrower goes round it, as it
    |west |              |     would round a corner inside one run, the wider is cut flat
    | 6 m |              |

An entry by a point takes the edge nearest to it, and the edges that go on from there with a turn
of less than 30 degrees at each corner: what a driver would call that hedge.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.frames.frame import Frame
from geolayout.layout.headlands.edges import (
    ANGLE_SLACK,
    SIDES,
    TOUCH,
    Coordinates,
    Direction,
    EdgeRun,
    Land,
    ThinnedRing,
    angles_with,
    canonical_ring,
    edge_run,
    facing,
    settled_ends,
    stretches,
    thinned_corners,
    thinned_rings,
)
from geolayout.layout.headlands.headland import land_along
from geolayout.layout.shapes.overlay import common, joined, without
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.ground import Headland, HeadlandEdge
from geolayout.plan.plan import Plan

__all__ = [
    "OBSTACLE",
    "EdgeWidths",
    "HeadlandShare",
    "HeadlandWish",
    "RingWidths",
    "check_edges",
    "edge_widths",
    "headland_wish",
    "land_by_width",
    "shares_of",
    "told_runs",
    "widths_of_rings",
]

REACH: Final = 50.0  # a point farther from every edge names none; our own choice [m]
GOES_ON: Final = 30.0  # an edge goes on over a corner that turns by less; our own choice [degrees]
OBSTACLE: Final = "obstacle"
NO_ENTRY: Final = -1


@dataclass(frozen=True, slots=True)
class HeadlandWish:
    """
    A headland of the plan, its figures in metres of the frame.

    Attributes
    ----------
    headland : Headland
        As the plan has it.
    width : float
        Its width where no edge has another. [m]
    places : tuple of (float, float) or None
        The point of each entry by edge; None of one by side. [m]
    """

    headland: Headland
    width: float
    places: tuple[tuple[float, float] | None, ...] = ()

    @property
    def is_none(self) -> bool:
        """Whether no land is kept at all."""
        return self.headland.where == "none" and not self.headland.edges

    @property
    def base_stand(self) -> str:
        """What grows where no entry says otherwise; "" for nothing."""
        return self.headland.stand or ""

    def stand_of(self, entry: int) -> str:
        """Return what grows along the edges of an entry."""
        return self.headland.edges[entry].stand or self.base_stand

    def scaled(self, share: float) -> "HeadlandWish":
        """Return the same headland with all its widths at a share of what they are."""
        edges = tuple(
            edge.model_copy(update={"width": edge.width * share}) for edge in self.headland.edges
        )
        narrower = self.headland.model_copy(update={"edges": edges})
        return replace(self, headland=narrower, width=self.width * share)


def headland_wish(plan: Plan, block: BlockPlan | None, frame: Frame) -> HeadlandWish:
    """
    Return the headland that a block of the plan has, its own or the plan's.

    Parameters
    ----------
    plan : Plan
        The plan.
    block : plan.ground.Block or None
        The block, None where the field is one.
    frame : Frame
        The field's frame.
    """
    headland = (block.headland if block is not None else None) or plan.headland
    places = tuple(_place(edge, frame) for edge in headland.edges)
    return HeadlandWish(headland, plan.headland_width(headland), places)


def _place(edge: HeadlandEdge, frame: Frame) -> tuple[float, float] | None:
    """Return the point of an entry in the frame. [m]"""
    if edge.near is None:
        return None
    x, y = frame.metres(np.array([edge.near]))[0].tolist()
    return x, y


@dataclass(frozen=True, slots=True, eq=False)
class EdgeWidths:
    """
    Edges of thinned rings, each with the width of the headland along it.

    Attributes
    ----------
    start, end : ndarray of float, shape (n, 2)
        Corners of each edge, the land on its left. [m]
    width : ndarray of float, shape (n,)
        Of the headland along it; 0 for none. [m]
    angle : ndarray of float, shape (n,)
        Between the edge and the rows at its middle, 0 to 90. [degrees]
    is_end : ndarray of bool, shape (n,)
        Whether rows end there.
    side : ndarray of str, shape (n,)
        Compass side that it faces, or "obstacle".
    """

    start: Coordinates
    end: Coordinates
    width: NDArray[np.float64]
    angle: NDArray[np.float64]
    is_end: NDArray[np.bool_]
    side: NDArray[np.object_]


@dataclass(frozen=True, slots=True, eq=False)
class RingWidths:
    """One outer ring, and the width, angle, class and entry of each of its thinned edges."""

    ring: ThinnedRing
    width: NDArray[np.float64]
    angle: NDArray[np.float64]
    is_end: NDArray[np.bool_]
    entry: NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class HeadlandShare:
    """
    Ground of a headland that grows something else than the rest of it.

    Attributes
    ----------
    stand : str
        What grows there, "" for nothing.
    ground : Polygon or MultiPolygon
        [m]
    """

    stand: str
    ground: BaseGeometry


def widths_of_rings(land: Land, wish: HeadlandWish, direction: Direction) -> list[RingWidths]:
    """
    Return the width of the headland along each edge of the outer rings of land.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land that the headland is measured in. [m]
    wish : HeadlandWish
        The headland.
    direction : callable
        Bearing of the rows at points of shape (n, 2). [degrees]

    Returns
    -------
    rings : list of RingWidths
    """
    rings = thinned_rings(land)
    entries = _entries(rings, wish)
    return [
        _ring_widths(ring, entry, wish, direction)
        for ring, entry in zip(rings, entries, strict=True)
    ]


def _ring_widths(
    ring: ThinnedRing, entry: NDArray[np.intp], wish: HeadlandWish, direction: Direction
) -> RingWidths:
    """Return the widths along one ring: the headland's own, then those of its entries."""
    headland = wish.headland
    angle = angles_with(ring, direction)
    is_end = settled_ends(angle >= headland.steep - ANGLE_SLACK, ring, wish.width)
    kept = {"none": np.zeros(len(angle), bool), "ends": is_end, "all round": np.ones_like(is_end)}
    own = np.where(kept[headland.where], wish.width, 0.0)
    by_entry = np.array([*(edge.width for edge in headland.edges), 0.0])
    return RingWidths(ring, np.where(entry == NO_ENTRY, own, by_entry[entry]), angle, is_end, entry)


def _entries(rings: Sequence[ThinnedRing], wish: HeadlandWish) -> list[NDArray[np.intp]]:
    """Return the first entry that names each edge, -1 where none does, ring by ring."""
    entries = [np.full(len(ring.edges), NO_ENTRY, dtype=np.intp) for ring in rings]
    for i, (edge, place) in enumerate(zip(wish.headland.edges, wish.places, strict=True)):
        named = _named(rings, edge, place)
        for entry, own in zip(entries, named, strict=True):
            entry[own & (entry == NO_ENTRY)] = i
    return entries


def _named(
    rings: Sequence[ThinnedRing], edge: HeadlandEdge, place: tuple[float, float] | None
) -> list[NDArray[np.bool_]]:
    """Return which edges of each ring an entry names."""
    if place is None:
        number = SIDES.index(edge.side or "")
        return [facing(ring.edges) == number for ring in rings]
    away = [_away(ring, place) for ring in rings]
    least = min((float(own.min()) for own in away), default=np.inf)
    named = [np.zeros(len(own), dtype=bool) for own in away]
    if least <= REACH:
        nearest = next(i for i, own in enumerate(away) if own.min() <= least + TOUCH)
        first = int(np.argmax(away[nearest] <= least + TOUCH))
        named[nearest] = _goes_on(rings[nearest], first)
    return named


def _away(ring: ThinnedRing, place: tuple[float, float]) -> NDArray[np.float64]:
    """Return how far each edge of a ring lies from a point. [m]"""
    corners = ring.xy[ring.kept]
    lines = shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1))
    return np.asarray(shapely.distance(lines, shapely.Point(place)), dtype=np.float64)


def _goes_on(ring: ThinnedRing, first: int) -> NDArray[np.bool_]:
    """Return the edges that go on from one, both ways, over corners that turn little."""
    count = len(ring.edges)
    on = np.abs(ring.turns) < GOES_ON - ANGLE_SLACK  # at the start of each edge
    named = np.zeros(count, dtype=bool)
    named[first] = True
    for step in (1, -1):
        at = first
        for _ in range(count):
            corner = (at + 1) % count if step == 1 else at
            if not on[corner]:
                break
            at = (at + step) % count
            named[at] = True
    return named


def check_edges(land: Land, wish: HeadlandWish) -> None:
    """
    Refuse an entry by edge that names no edge of the land.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land that the headland is measured in. [m]
    wish : HeadlandWish
        The headland.

    Raises
    ------
    LayoutError
        If a point is farther than 50 m from every edge, or no edge faces a side.
    """
    rings = thinned_rings(land)
    for edge, place in zip(wish.headland.edges, wish.places, strict=True):
        if any(own.any() for own in _named(rings, edge, place)):
            continue
        if place is None:
            raise LayoutError(
                f"No edge of the land faces {edge.side}, and the headland has a width there.",
                "An edge faces the side to which it points within 45 degrees.",
                "Name another side, or a point beside the edge as near.",
            )
        off = min((float(_away(ring, place).min()) for ring in rings), default=np.inf)
        raise LayoutError(
            f"{edge.label.capitalize()} is named by a point {off:.0f} m away from every edge.",
            f"A point names the edge beside it, within {REACH:g} m.",
            "Look at its longitude and latitude, in that order, or give side instead.",
        )


def land_by_width(land: Land, rings: Sequence[RingWidths], corners: str) -> BaseGeometry:
    """
    Return the land within its own width of each edge.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land whose rings they are. [m]
    rings : sequence of RingWidths
        Its outer rings.
    corners : {"mitred", "rounded"}
        What the inner edge does at reflex corners.

    Returns
    -------
    headland : Polygon or MultiPolygon

    Notes
    -----
    For each width that there is, the land that far from all edges with this width or a greater
    one; so the narrower headland goes round a corner between two.
    """
    every = np.concatenate([np.empty(0), *(one.width for one in rings)])
    found = [
        land_along(land, _runs(rings, wider), width, corners=corners)
        for width in np.unique(every[every > 0.0]).tolist()
        for wider in [[one.width >= width for one in rings]]
    ]
    return joined(found) if found else shapely.Polygon()


def _runs(rings: Sequence[RingWidths], chosen: Sequence[NDArray[np.bool_]]) -> list[EdgeRun]:
    """Return the runs of chosen edges of each ring."""
    return [
        edge_run(one.ring, first, last, one.angle)
        for one, own in zip(rings, chosen, strict=True)
        for first, last in stretches(own)
    ]


def told_runs(rings: Sequence[RingWidths], wish: HeadlandWish) -> tuple[EdgeRun, ...]:
    """
    Return the edges that have headland, as they are told.

    Without entries these are the ends, where it lies at the ends; with entries every run of one
    width, which is then told with it.
    """
    if not wish.headland.edges:
        if wish.headland.where != "ends":
            return ()
        ends = _runs(rings, [one.is_end for one in rings])
        return tuple(replace(run, width=wish.width) for run in ends)
    told: list[EdgeRun] = []
    for one in rings:
        keys = np.stack([one.entry, one.width], axis=1)
        for entry, width in np.unique(keys[one.width > 0.0], axis=0).tolist():
            chosen = (one.entry == entry) & (one.width == width)
            told += [replace(run, width=width, told=True) for run in _runs([one], [chosen])]
    return tuple(told)


def shares_of(
    land: Land, rings: Sequence[RingWidths], wish: HeadlandWish, found: BaseGeometry
) -> tuple[HeadlandShare, ...]:
    """
    Return the ground of a headland that grows something else than the rest of it.

    Ground within two entries' widths is the first one's. Ground round a reflex corner, in no
    strip, is that of the first entry it touches.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land that the headland is measured in. [m]
    rings : sequence of RingWidths
        Its outer rings.
    wish : HeadlandWish
        The headland.
    found : Polygon or MultiPolygon
        Its ground. [m]

    Returns
    -------
    shares : tuple of HeadlandShare
        Apart from each other; what they leave grows the headland's own stand.
    """
    count = len(wish.headland.edges)
    if all(wish.stand_of(entry) == wish.base_stand for entry in range(count)):
        return ()
    strips = [common(found, _strip(land, rings, wish, entry)) for entry in range(count)]
    own = _strip(land, rings, wish, NO_ENTRY)
    corners = shapely.get_parts(without(found, joined([own, *strips])))
    taken: BaseGeometry = shapely.Polygon()
    by_stand: dict[str, list[BaseGeometry]] = {}
    for entry, strip in enumerate(strips):
        touched = np.asarray(shapely.dwithin(corners, strip, TOUCH), dtype=bool)
        whole = joined([strip, *corners[touched].tolist()])
        by_stand.setdefault(wish.stand_of(entry), []).append(without(whole, taken))
        taken, corners = joined([taken, whole]), corners[~touched]
    by_stand.pop(wish.base_stand, None)
    grounds = {stand: joined(parts) for stand, parts in by_stand.items()}
    return tuple(
        HeadlandShare(stand, ground) for stand, ground in grounds.items() if not ground.is_empty
    )


def _strip(land: Land, rings: Sequence[RingWidths], wish: HeadlandWish, entry: int) -> BaseGeometry:
    """Return the land within the width of the edges of one entry, or of none."""
    width = wish.width if entry == NO_ENTRY else wish.headland.edges[entry].width
    chosen = [(one.entry == entry) & (one.width > 0.0) for one in rings]
    return land_along(land, _runs(rings, chosen), width, corners=wish.headland.corners)


def edge_widths(
    land: Land, rings: Sequence[RingWidths], wish: HeadlandWish, direction: Direction
) -> EdgeWidths:
    """
    Return all edges of land with their widths in one table.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        The land. [m]
    rings : sequence of RingWidths
        Its outer rings.
    wish : HeadlandWish
        The headland; obstacles inside the land are in the table where it goes round them.
    direction : callable
        Bearing of the rows at points of shape (n, 2). [degrees]

    Returns
    -------
    edges : EdgeWidths
    """
    round_them = wish.headland.round_obstacles and wish.width > 0.0
    tables = [_table(one, None) for one in rings]
    for xy in _hole_rings(land) if round_them else []:
        ring = ThinnedRing(xy, thinned_corners(xy))
        angle = angles_with(ring, direction)
        steep = angle >= wish.headland.steep - ANGLE_SLACK
        width = np.full(len(angle), wish.width)
        none = np.full(len(angle), NO_ENTRY, dtype=np.intp)
        tables.append(_table(RingWidths(ring, width, angle, steep, none), OBSTACLE))
    return _joined_tables(tables)


def _hole_rings(land: Land) -> list[Coordinates]:
    """Return the rings of the holes of land."""
    parts = shapely.get_parts(land)
    return [canonical_ring(ring) for part in parts for ring in part.interiors]


def _table(one: RingWidths, side: str | None) -> EdgeWidths:
    """Return the table of one ring."""
    corners, edges = one.ring.xy[one.ring.kept], one.ring.edges
    sides = np.array(SIDES, dtype=object)[facing(edges)]
    if side is not None:
        sides[:] = side
    return EdgeWidths(corners[:-1], corners[1:], one.width, one.angle, one.is_end, sides)


def _joined_tables(tables: Sequence[EdgeWidths]) -> EdgeWidths:
    """Return several tables as one."""
    none = np.empty(0)
    return EdgeWidths(
        np.concatenate([np.empty((0, 2)), *(one.start for one in tables)]),
        np.concatenate([np.empty((0, 2)), *(one.end for one in tables)]),
        np.concatenate([none, *(one.width for one in tables)]),
        np.concatenate([none, *(one.angle for one in tables)]),
        np.concatenate([none.astype(bool), *(one.is_end for one in tables)]),
        np.concatenate([none.astype(object), *(one.side for one in tables)]),
    )
