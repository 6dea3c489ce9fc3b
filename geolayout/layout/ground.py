"""
Ground: a partition of the field, every square metre of one kind.

Obstacle comes before keep-clear, keep-clear before margin, margin before headland, headland before
the bands. Land in no block, or given up by a pattern, is left over and says why.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import LayoutError
from geolayout.land.field import Field
from geolayout.layout.blocks.block import Block
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.blocks.splitting import piece_of
from geolayout.layout.guides.guide import Guides
from geolayout.layout.headlands.edge_widths import (
    EdgeWidths,
    HeadlandShare,
    HeadlandWish,
    RingWidths,
    edge_widths,
    land_by_width,
    shares_of,
    told_runs,
    widths_of_rings,
)
from geolayout.layout.headlands.edges import EdgeRun, side_runs
from geolayout.layout.headlands.headland import land_along, round_headland
from geolayout.layout.shapes.cut import cut_land
from geolayout.layout.shapes.lines import frozen, joined_columns, whole_numbers
from geolayout.layout.shapes.necks import cut_at_necks
from geolayout.layout.shapes.overlay import common, joined, on_grid, without
from geolayout.layout.shapes.polygons import polygon_parts
from geolayout.plan.ground import Block as BlockPlan
from geolayout.plan.ground import Margin
from geolayout.plan.plan import Plan
from geolayout.plan.section.section import CutKind

__all__ = [
    "Ground",
    "HeadlandFound",
    "Layers",
    "block_lands",
    "headland_within",
    "join_ground",
    "layers_of",
    "loose_ground",
    "section_ground",
]

CRUMB_AREA = 1e-6
"""Loose ground below this is rounding between two overlays, and no piece. [m2]"""

OVERLAP = 1e-9
"""Share of the field below which two blocks only touch. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class Layers:
    """
    The field before any block: what is taken from it, and what can be driven on.

    Attributes
    ----------
    obstacle, keep_clear, margin, drivable : Polygon or MultiPolygon
        Together they are the field, without overlap. [m]
    """

    obstacle: BaseGeometry
    keep_clear: BaseGeometry
    margin: BaseGeometry
    drivable: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """
    Pieces of ground; every column has one entry a piece.

    Attributes
    ----------
    geometry : ndarray of Polygon
        The pieces. [m]
    kind : ndarray of str
        "obstacle", "keep-clear", "margin", "headland", "tree band", "band" or "left over".
    block, cut : ndarray of int
        Index of the block and of the cut in its section; -1 where there is none.
    number, repeat, piece : ndarray of int
        Number of the band, its repeat, and the piece of it, from 1.
    band, stand, reason : ndarray of str
        Name of the band, what grows there, and why it is not what was written.
    """

    geometry: NDArray[np.object_]
    kind: NDArray[np.object_]
    block: NDArray[np.int32]
    cut: NDArray[np.int32]
    number: NDArray[np.int32]
    repeat: NDArray[np.int32]
    piece: NDArray[np.int32]
    band: NDArray[np.object_]
    stand: NDArray[np.object_]
    reason: NDArray[np.object_]

    def __len__(self) -> int:
        """Return the number of pieces."""
        return len(self.geometry)

    @property
    def area(self) -> NDArray[np.float64]:
        """Area of each piece in the frame, shape (n,). [m2]"""
        return np.asarray(shapely.area(self.geometry))

    @property
    def bands(self) -> int:
        """Number of distinct bands that have ground."""
        grows = np.isin(self.kind, ["band", "tree band"])
        return len(np.unique(np.stack([self.block, self.cut], axis=1)[grows], axis=0))


def layers_of(field: Field, margin: Margin | None) -> Layers:
    """
    Take from the field what no block gets.

    Parameters
    ----------
    field : Field
        The field.
    margin : Margin or None
        The strip along its edge.

    Returns
    -------
    layers : Layers
    """
    land = on_grid(field.land)
    obstacle = common(land, field.obstacles)
    keep_clear = without(common(land, field.kept_clear), obstacle)
    free = without(land, joined([obstacle, keep_clear]))
    strip = common(free, _margin_of(land, margin))
    return Layers(obstacle, keep_clear, strip, without(free, strip))


def _margin_of(land: BaseGeometry, margin: Margin | None) -> BaseGeometry:
    """Return the strip along the outer edges of the field, all round or by sides."""
    if margin is None:
        return shapely.Polygon()
    if margin.width is not None:
        return round_headland(land, margin.width, corners="mitred")
    runs = side_runs(land, frozenset(margin.sides))
    strips = [
        land_along(land, runs[side], width, corners="mitred")
        for side, width in margin.sides.items()
        if width > 0 and runs.get(side)
    ]
    return shapely.union_all(strips)


def block_lands(
    field: Field, plan: Plan, drivable: BaseGeometry, drawn: Drawn
) -> list[BaseGeometry]:
    """
    Return the drivable land of each block; the whole where the plan has none.

    Raises
    ------
    LayoutError
        If two blocks overlap, or a block's land was not read or lies outside the field.
    """
    if not plan.blocks:
        return [drivable]
    given = [_given_land(block, field, drivable, drawn) for block in plan.blocks]
    taken = shapely.union_all([land for land in given if land is not None])
    rest = without(drivable, taken)
    lands = [rest if land is None else land for land in given]
    _check_apart(plan, lands, field.land.area)
    return lands


def _given_land(
    block: BlockPlan, field: Field, drivable: BaseGeometry, drawn: Drawn
) -> BaseGeometry | None:
    """Return the land of a block by file or part; None for the rest."""
    if block.rest:
        return None
    if block.part is not None:
        shape = _part_of(field.land, block.part.side, block.part.width)
    elif block.piece is not None and block.piece.key in drawn.cuts:
        shape = piece_of(block.piece, block.name, field, drawn.cuts[block.piece.key])
    elif block.name in drawn.lands:
        shape = drawn.lands[block.name]
    else:
        raise LayoutError(
            f"Block {block.name} has land in {block.piece.line if block.piece else block.land!r}.",
            "That file was not read.",
            "Lay the plan out from its file.",
        )
    land = common(drivable, shape)
    if land.is_empty:
        raise LayoutError(
            f"Block {block.name} has no land in the field.",
            "Its outline lies beside the field, or on land that is kept clear.",
            "Look at its file and coordinate system.",
        )
    return land


def _part_of(land: BaseGeometry, side: str, width: float) -> BaseGeometry:
    """Return a box that holds the part of the field along one compass side."""
    west, south, east, north = land.bounds
    boxes = {
        "north": (west, north - width, east, north),
        "south": (west, south, east, south + width),
        "east": (east - width, south, east, north),
        "west": (west, south, west + width, north),
    }
    return shapely.box(*boxes[side])


def _check_apart(plan: Plan, lands: Sequence[BaseGeometry], area: float) -> None:
    """Raise if two blocks share ground."""
    for i, land in enumerate(lands):
        for j in range(i):
            shared = shapely.intersection(land, lands[j]).area
            if shared > OVERLAP * area:
                raise LayoutError(
                    f"Blocks {plan.blocks[j].name} and {plan.blocks[i].name} share "
                    f"{shared:.1f} m2.",
                    "Ground belongs to one block.",
                    "Draw them apart, or make one of them rest = true.",
                )


@dataclass(frozen=True, slots=True, eq=False)
class HeadlandFound:
    """
    The headland of some land.

    Attributes
    ----------
    ground : Polygon or MultiPolygon
        All of it. [m]
    ends : tuple of EdgeRun
        The edges taken, as they are told.
    edges : EdgeWidths
        Every edge, with the width along it.
    shares : tuple of HeadlandShare
        Ground of it that grows something else than the rest.
    """

    ground: BaseGeometry
    ends: tuple[EdgeRun, ...]
    edges: EdgeWidths
    shares: tuple[HeadlandShare, ...]


def headland_within(land: BaseGeometry, wish: HeadlandWish, guides: Guides) -> HeadlandFound:
    """
    Return the headland of land.

    Parameters
    ----------
    land : Polygon or MultiPolygon
        Drivable land. [m]
    wish : HeadlandWish
        Where it lies, how wide, and how it goes round corners.
    guides : Guides
        What the rows follow.

    Returns
    -------
    found : HeadlandFound
    """
    rings = widths_of_rings(land, wish, guides.direction)
    edges = edge_widths(land, rings, wish, guides.direction)
    ends = told_runs(rings, wish)
    found = _along_edges(land, rings, ends, wish)
    if wish.headland.round_obstacles and wish.width > 0.0:
        join = "mitre" if wish.headland.corners == "mitred" else "round"
        near = shapely.buffer(_holes(land), wish.width, join_style=join, mitre_limit=5.0)
        found = joined([found, common(land, near)])
    return HeadlandFound(found, ends, edges, shares_of(land, rings, wish, found))


def _along_edges(
    land: BaseGeometry, rings: Sequence[RingWidths], ends: Sequence[EdgeRun], wish: HeadlandWish
) -> BaseGeometry:
    """Return the headland along the outer edges of land."""
    corners = wish.headland.corners
    if wish.is_none or land.is_empty:
        return shapely.Polygon()
    if wish.headland.edges:
        return land_by_width(land, rings, corners)
    if wish.headland.where == "ends":
        return land_along(land, ends, wish.width, corners=corners)
    return round_headland(land, wish.width, corners=corners)


def _holes(land: BaseGeometry) -> BaseGeometry:
    """Return the holes of land as polygons."""
    parts = shapely.get_parts(land)
    rings = shapely.get_rings(parts)
    outer = shapely.get_exterior_ring(parts)
    inner = [shapely.polygons(ring) for ring in rings if ring not in set(outer)]
    return shapely.union_all(inner)


def section_ground(
    block: Block, index: int, narrowest: Callable[[int], float]
) -> tuple[Ground, int]:
    """
    Cut a block's crop land into the ground of its section.

    Parameters
    ----------
    block : Block
        The block.
    index : int
        Its index in the layout.
    narrowest : callable
        Narrowest machine that works a cut, by its index. [m]

    Returns
    -------
    ground : Ground
    necks : int
        Number of necks at which a piece was parted.
    """
    cuts = block.section.cuts
    edges = np.array([cut.t0 for cut in cuts[1:]])
    whole = cut_land(block.crop_land, block.guides, edges)
    pieces, necks = cut_at_necks(whole, block.guides, narrowest)
    inner = shapely.get_coordinates(shapely.point_on_surface(pieces.geometry))
    order = np.lexsort((block.guides.across(inner), block.guides.along(inner), pieces.interval))
    cut_of = pieces.interval[order]
    kinds = [cut.kind.value for cut in cuts]
    stands = [
        block.headland_stand if cut.kind is CutKind.HEADLAND else stand.name if stand else ""
        for cut, stand in zip(cuts, block.stands, strict=True)
    ]
    ground = Ground(
        frozen(pieces.geometry[order]),
        _words(kinds, cut_of),
        whole_numbers(np.full(len(order), index)),
        whole_numbers(cut_of),
        _numbers([cut.number for cut in cuts], cut_of),
        _numbers([cut.repeat for cut in cuts], cut_of),
        whole_numbers(np.arange(len(order)) - np.searchsorted(cut_of, cut_of) + 1),
        _words([cut.band for cut in cuts], cut_of),
        _words(stands, cut_of),
        _words([cut.note for cut in cuts], cut_of),
    )
    return ground, necks


def _words(words: Sequence[str], index: NDArray[np.int64]) -> NDArray[np.object_]:
    """Return a read-only column of words."""
    return frozen(np.array(words, dtype=object)[index])


def _numbers(numbers: Sequence[int], index: NDArray[np.int64]) -> NDArray[np.int32]:
    """Return a read-only column of numbers."""
    return whole_numbers(np.array(numbers)[index])


def loose_ground(
    land: BaseGeometry, kind: str, *, block: int = -1, stand: str = "", reason: str = ""
) -> Ground:
    """Return land that is in no section as pieces of one kind, from west to east."""
    parts = polygon_parts(land)
    parts = parts[shapely.area(parts) > CRUMB_AREA]
    if len(parts):
        inner = shapely.get_coordinates(shapely.point_on_surface(parts))
        parts = parts[np.lexsort((inner[:, 1], inner[:, 0]))]
    count = len(parts)
    zeros = frozen(np.zeros(count, dtype=np.int32))

    def column(value: str) -> NDArray[np.object_]:
        return frozen(np.full(count, value, dtype=object))

    return Ground(
        frozen(np.asarray(shapely.orient_polygons(parts), dtype=object)),
        column(kind),
        frozen(np.full(count, block, dtype=np.int32)),
        frozen(np.full(count, -1, dtype=np.int32)),
        zeros,
        zeros,
        frozen(np.arange(1, count + 1, dtype=np.int32)),
        column(""),
        column(stand),
        column(reason),
    )


def join_ground(several: Sequence[Ground]) -> Ground:
    """Return several parts of a partition as one."""
    return Ground(**joined_columns(several))
