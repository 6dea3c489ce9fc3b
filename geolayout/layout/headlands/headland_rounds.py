"""
Rounds of the operations that work a headland: closed ones all round, open runs along its ends.

An operation drives them where it sows a sowing of what grows on the headland, or lists that stand.
Its machine needs a turning radius: without one no rounds are laid, and the summary says so.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import isnan

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geolayout.layout.blocks.block import Block
from geolayout.layout.guides.offsets import land_beside, shrunk
from geolayout.layout.headlands.edges import Coordinates, EdgeRun
from geolayout.layout.headlands.headland import land_along
from geolayout.layout.headlands.rounds import (
    NEARER,
    Track,
    about,
    round_distances,
    rounded_core,
    tracks,
)
from geolayout.layout.headlands.trackparts import (
    SHORTEST,
    SPECK,
    TOUCH,
    clipped,
    past_obstacles,
    reaching,
)
from geolayout.layout.resolve import measured_land
from geolayout.layout.shapes.lines import Lines, frozen, whole_numbers
from geolayout.layout.shapes.overlay import common, joined, without
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.ground import Headland
from geolayout.plan.plan import Plan

__all__ = ["HeadlandOf", "Rounds", "headlands_of", "lay_rounds", "works_headland"]


@dataclass(frozen=True, slots=True, eq=False)
class Rounds:
    """
    Pieces of the rounds that machines drive on headlands; every column has one entry a piece.

    Attributes
    ----------
    lines : Lines
        Where the machine's centre goes, edge on the right: anticlockwise round the field,
        clockwise round an obstacle. [m]
    block, operation : ndarray of int
        Index of the block, -1 where several share the headland, and of the operation.
    number, piece : ndarray of int
        Number of the round, 1 for the outermost, and piece of it, from 1.
    closed : ndarray of bool
        Whether the piece ends where it starts.
    obstacle : ndarray of int
        Number of the obstacle that it goes round; 0 along the outer edge.
    width, t, radius : ndarray of float
        Working width, distance of the centre from the edge, turning radius. [m]
    beyond_edge : ndarray of float
        Length of the line beyond land that can be driven on. [m]
    worked : ndarray of str
        "first" or "last": before or after the rows.
    """

    lines: Lines
    block: NDArray[np.int32]
    operation: NDArray[np.int32]
    number: NDArray[np.int32]
    piece: NDArray[np.int32]
    closed: NDArray[np.bool_]
    obstacle: NDArray[np.int32]
    width: NDArray[np.float64]
    t: NDArray[np.float64]
    radius: NDArray[np.float64]
    beyond_edge: NDArray[np.float64]
    worked: NDArray[np.object_]

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.lines)


@dataclass(frozen=True, slots=True, eq=False)
class HeadlandOf:
    """
    One headland, and what it was measured from.

    Attributes
    ----------
    plan : plan.ground.Headland
        As the plan has it.
    width : float
        Where no edge has another. [m]
    land : Polygon or MultiPolygon
        Whose edges it was measured from. [m]
    blocks : tuple of (int, Block)
        The blocks that have a part of it, by their index in the layout.
    """

    plan: Headland
    width: float
    land: BaseGeometry
    blocks: tuple[tuple[int, Block], ...]


@dataclass(frozen=True, slots=True)
class _Driven:
    """A piece of a round."""

    line: LineString
    closed: bool
    block: int
    operation: int
    number: int
    obstacle: int
    width: float
    t: float
    radius: float
    worked: str


@dataclass(frozen=True, slots=True)
class _Way:
    """How one operation drives."""

    operation: int
    width: float
    radius: float


def works_headland(plan: Plan, stand: str) -> list[int]:
    """Return the operations that work a headland which grows a stand, in the plan's order."""
    grown = plan.stand(stand) if stand else None
    if grown is None:
        return []
    sown = {sowing.operation for sowing in grown.sowing}
    every = enumerate(plan.operations)
    return [i for i, one in every if one.name in sown or stand in one.stands]


def headlands_of(
    plan: Plan,
    shapes: Sequence[BlockPlan | None],
    lands: Sequence[BaseGeometry],
    blocks: Sequence[Sequence[Block]],
    drivable: BaseGeometry,
) -> tuple[HeadlandOf, ...]:
    """
    Return every headland of a layout: a block's own, or the plan's on the blocks that have none.

    Parameters
    ----------
    plan : Plan
        The plan.
    shapes : sequence of plan.ground.Block or None
        Blocks as the plan has them, None where the field is one.
    lands : sequence of Polygon or MultiPolygon
        The land of each. [m]
    blocks : sequence of sequences of Block
        What each was parted into, in the order of the layout.
    drivable : Polygon or MultiPolygon
        Land of the whole field that can be driven on. [m]
    """
    groups: dict[str, list[tuple[int, Block]]] = {}
    from_land: dict[str, tuple[Headland, BaseGeometry]] = {}
    index = 0
    for shape, land, parts in zip(shapes, lands, blocks, strict=True):
        own = shape.headland if shape is not None else None
        key = shape.name if shape is not None and own is not None else ""
        from_land[key] = (own or plan.headland, measured_land(shape, (drivable, land)))
        groups.setdefault(key, []).extend(enumerate(parts, index))
        index += len(parts)
    return tuple(
        HeadlandOf(
            from_land[key][0],
            plan.headland_width(from_land[key][0]),
            from_land[key][1],
            tuple(parts),
        )
        for key, parts in groups.items()
    )


def lay_rounds(plan: Plan, headlands: Sequence[HeadlandOf], drivable: BaseGeometry) -> Rounds:
    """
    Lay the rounds of every operation that works a headland.

    Parameters
    ----------
    plan : Plan
        The plan.
    headlands : sequence of HeadlandOf
        Every headland of the layout.
    drivable : Polygon or MultiPolygon
        Land of the whole field that can be driven on. [m]

    Returns
    -------
    rounds : Rounds
        By operation, headland, obstacle, number; pieces from west to east by their first point.

    Notes
    -----
    All round, rounds go along the whole outer edge of the land that the headland was measured
    from, where it has the same width everywhere, and else as far as there is headland. Along ends
    each run of edges has its own, which reach the farthest ground of their strip. An obstacle
    that stands in the way of a round parts it, and has rounds of its own where the headland goes
    round obstacles.
    """
    driven = [
        piece
        for i, way in _ways(plan)
        for headland in headlands
        for piece in _of_headland(plan, headland, way, i)
        if piece.line.length >= SHORTEST
    ]
    return _columns(driven, drivable)


def _ways(plan: Plan) -> Iterator[tuple[int, _Way]]:
    """Return how each operation drives whose machine has a turning radius."""
    for i, operation in enumerate(plan.operations):
        machine = plan.machine(operation.machine)
        if machine.turning_radius is not None:
            yield i, _Way(i, machine.working_width, machine.turning_radius)


def _of_headland(plan: Plan, headland: HeadlandOf, way: _Way, index: int) -> list[_Driven]:
    """Return the rounds of one operation on one headland."""
    grounds = {i: _worked_ground(plan, block, index) for i, block in headland.blocks}
    worked = joined(list(grounds.values()))
    if worked.is_empty or headland.land.is_empty:
        return []
    if headland.plan.where == "all round":
        only = next(iter(grounds)) if len(grounds) == 1 else -1
        whole = joined([block.headland for _, block in headland.blocks])
        uniform = not headland.plan.edges and whole.area - worked.area < SPECK
        ground = None if uniform else worked
        driven = _all_round(headland, way, only, ground)
    else:
        driven = [
            piece
            for i, block in headland.blocks
            for run in block.ends
            for piece in _along(headland, way, i, run, grounds[i])
        ]
    if headland.plan.round_obstacles and headland.width > 0.0:
        driven += _about_obstacles(headland, way, worked)
    return driven


def _worked_ground(plan: Plan, block: Block, operation: int) -> BaseGeometry:
    """Return the part of a block's headland that an operation works."""
    if block.headland.is_empty:
        return Polygon()
    others = [common(block.headland, share.ground) for share in block.shares]
    stands = [share.stand for share in block.shares]
    found = [
        ground
        for stand, ground in zip(stands, others, strict=True)
        if operation in works_headland(plan, stand)
    ]
    if operation in works_headland(plan, block.headland_stand):
        found.append(without(block.headland, joined(others)))
    return joined(found)


def _all_round(
    headland: HeadlandOf, way: _Way, block: int, ground: BaseGeometry | None
) -> list[_Driven]:
    """Return closed rounds along the outer edges, cut to ground if any is given."""
    widths = [one.edges.width.max(initial=0.0) for _, one in headland.blocks if one.edges]
    width = float(max(widths, default=headland.width))
    land, holes = _filled(headland.land), _holes(headland.land)

    def lines(distance: float) -> list[Track]:
        found = tracks(rounded_core(land, distance, way.radius), distance, way.radius)
        if ground is not None:
            found = clipped(found, shapely.buffer(ground, TOUCH))
        return past_obstacles(found, holes, way.width / 2)

    return _numbered(headland, way, (block, 0), width, lines)


def _along(
    headland: HeadlandOf, way: _Way, block: int, run: EdgeRun, ground: BaseGeometry
) -> list[_Driven]:
    """Return open rounds along one run of edges, as far as ground lies in their strip."""
    width = headland.width if isnan(run.width) else run.width
    strip = common(land_along(headland.land, [run], width, corners="mitred"), ground)
    if strip.is_empty:
        return []
    holes = _holes(headland.land)
    beside = _beside(run, width, way.radius)

    def lines(distance: float) -> list[Track]:
        found = tracks(rounded_core(beside, distance, way.radius), distance, way.radius)
        driven = [part for one in found for part in reaching(one, strip, way.width)]
        return past_obstacles(driven, holes, way.width / 2)

    return _numbered(headland, way, (block, 0), width, lines)


def _about_obstacles(headland: HeadlandOf, way: _Way, worked: BaseGeometry) -> list[_Driven]:
    """Return rounds about each obstacle inside the land, as far as there is land."""
    holes = _holes(headland.land)
    block = headland.blocks[0][0] if len(headland.blocks) == 1 else -1
    return [
        piece
        for number, hole in enumerate(shapely.get_parts(holes), 1)
        if shapely.dwithin(hole, worked, TOUCH)
        for piece in _numbered(
            headland,
            way,
            (block, number),
            headland.width,
            partial(_about_one, headland, way, hole, without(holes, hole)),
        )
    ]


def _about_one(
    headland: HeadlandOf, way: _Way, hole: Polygon, others: BaseGeometry, distance: float
) -> list[Track]:
    """Return the tracks about an obstacle, parted at the edge of the land and at other ones."""
    ground = about(hole, 2 * (headland.width + way.radius) + way.width)
    rim = shapely.get_exterior_ring(ground)
    core = rounded_core(ground, distance, way.radius)
    near = [
        track
        for track in tracks(core, distance, way.radius)
        if shapely.distance(track.line, rim) > headland.width + way.radius
    ]
    inside = shrunk(_filled(headland.land), way.width / 2 - NEARER)
    return past_obstacles(clipped(near, inside), others, way.width / 2)


def _numbered(
    headland: HeadlandOf,
    way: _Way,
    place: tuple[int, int],
    width: float,
    lines: Callable[[float], list[Track]],
) -> list[_Driven]:
    """Return the rounds at each distance from an edge; ``place`` is the block and obstacle."""
    return [
        _Driven(
            track.line,
            track.closed,
            place[0],
            way.operation,
            number,
            place[1],
            way.width,
            distance,
            way.radius,
            headland.plan.worked,
        )
        for number, distance in enumerate(round_distances(width, way.width).tolist(), 1)
        for track in lines(distance)
    ]


def _filled(land: BaseGeometry) -> BaseGeometry:
    """Return land without its holes."""
    parts = shapely.get_parts(land)
    return joined(shapely.polygons(shapely.get_exterior_ring(parts)).tolist())


def _holes(land: BaseGeometry) -> BaseGeometry:
    """Return the holes of land."""
    return without(_filled(land), land)


def _beside(run: EdgeRun, width: float, radius: float) -> BaseGeometry:
    """
    Return a wide ground beside a run, whose edge it is, prolonged at both ends.

    Its other edges are so far off that no round along the run is rounded by them.
    """
    path = shapely.get_coordinates(run.line)
    if (path[0] == path[-1]).all():
        return Polygon(path)
    reach = 6 * width + 4 * radius
    thinned = shapely.get_coordinates(run.thinned)
    before, after = _unit(thinned[0] - thinned[1]), _unit(thinned[-1] - thinned[-2])
    longer = np.concatenate([path[:1] + before * reach, path, path[-1:] + after * reach])
    return land_beside(longer, 2 * (width + radius) + 1.0)


def _unit(vector: Coordinates) -> Coordinates:
    """Return a direction."""
    return np.asarray(vector / np.hypot(*vector))


def _columns(driven: Sequence[_Driven], drivable: BaseGeometry) -> Rounds:
    """Return pieces as columns, pieces of one round numbered through."""
    keys = [(one.operation, one.block, one.obstacle, one.number) for one in driven]
    pieces = [keys[:i].count(key) + 1 for i, key in enumerate(keys)]
    xy = [shapely.get_coordinates(one.line) for one in driven]
    counts = np.array([0, *map(len, xy)], dtype=np.int64)
    lines = Lines(frozen(np.concatenate([np.empty((0, 2)), *xy])), frozen(np.cumsum(counts)))

    def numbers(name: str) -> NDArray[np.float64]:
        return np.array([getattr(one, name) for one in driven], dtype=np.float64)

    return Rounds(
        lines,
        whole_numbers(numbers("block")),
        whole_numbers(numbers("operation")),
        whole_numbers(numbers("number")),
        whole_numbers(np.array(pieces, dtype=np.int32)),
        frozen(np.array([one.closed for one in driven], dtype=bool)),
        whole_numbers(numbers("obstacle")),
        frozen(numbers("width")),
        frozen(numbers("t")),
        frozen(numbers("radius")),
        frozen(_beyond(lines, drivable)),
        frozen(np.array([one.worked for one in driven], dtype=object)),
    )


def _beyond(lines: Lines, drivable: BaseGeometry) -> NDArray[np.float64]:
    """Return how much of each line lies beyond land that can be driven on. [m]"""
    if not len(lines):
        return np.empty(0)
    inside = shapely.length(shapely.intersection(lines.geometry, drivable))
    beyond = lines.length - inside
    return np.where(beyond > TOUCH, beyond, 0.0)
