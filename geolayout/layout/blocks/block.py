"""A block: land with its own guide, and everything that its section says before ground is cut."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.layout.guides.guide import Guides
from geolayout.layout.guides.parallel import Parallel
from geolayout.layout.headlands.edge_widths import EdgeWidths, HeadlandShare
from geolayout.layout.headlands.edges import EdgeRun
from geolayout.plan.guide import Guide
from geolayout.plan.pattern import Pattern
from geolayout.plan.section.rows import RowPlaces, TreeRowPlaces
from geolayout.plan.section.section import Section
from geolayout.plan.stand import Stand

__all__ = ["Block"]


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """
    Land with its own guide.

    Attributes
    ----------
    name : str
        Its name, "" where the whole field is one.
    land : Polygon or MultiPolygon
        What can be driven on: no obstacle, nothing kept clear, no margin. [m]
    headland : Polygon or MultiPolygon
        The part of the land kept for turning. [m]
    crop_land : Polygon or MultiPolygon
        The part of the land that carries the section. [m]
    ends : tuple of EdgeRun
        The edges taken as ends, where the headland is at the ends.
    guides : Guides
        Its family of lines.
    pattern : Pattern
        Its pattern.
    section : Section
        The pattern laid across the crop land, as the season has it.
    stands : tuple of Stand or None
        What grows on each cut of the section.
    rows : RowPlaces
        Where rows stand across the section.
    tree_rows : TreeRowPlaces
        Where tree rows stand across the section.
    headland_stand : str
        What grows on the headland, "" where nothing was said.
    guide : plan.guide.Guide
        The resolved guide that its lines come from.
    part_of : str
        Name of the plan's block that it is, or is a part of; "" where the plan has none.
    crossed_by : str
        Operation that works ground of another block across here; such a block has no ground.
    tier : int
        Its number along the rows; 0 where its block has no tiers.
    edges : EdgeWidths, optional
        The edges that its headland was measured from, each with the width along it.
    shares : tuple of HeadlandShare
        Ground of its headland that grows something else than `headland_stand`.
    """

    name: str
    land: BaseGeometry
    headland: BaseGeometry
    crop_land: BaseGeometry
    ends: tuple[EdgeRun, ...]
    guides: Guides
    pattern: Pattern
    section: Section
    stands: tuple[Stand | None, ...]
    rows: RowPlaces
    tree_rows: TreeRowPlaces
    headland_stand: str
    guide: Guide
    part_of: str
    crossed_by: str = ""
    tier: int = 0
    edges: EdgeWidths | None = None
    shares: tuple[HeadlandShare, ...] = ()

    @property
    def line_name(self) -> str:
        """Name of what has its lines: its own, or that of the block it is a tier of."""
        return self.part_of if self.tier else self.name

    @property
    def leads(self) -> bool:
        """Whether it stands for its lines: no later tier, and no second way over another block."""
        return self.tier <= 1 and not self.crossed_by

    @property
    def anchor(self) -> tuple[float, float]:
        """The point that t is counted from; of bent lines, where the land begins along it. [m]"""
        s = 0.0
        if isinstance(self.guides, Parallel) and not self.land.is_empty:
            s = float(shapely.get_coordinates(self.guides.turn(self.land))[:, 1].min())
        x, y = self.guides.from_turned(np.array([0.0, s])).tolist()
        return x, y

    @property
    def bearing(self) -> float:
        """Direction of the rows at the anchor, clockwise from frame north. [degrees]"""
        return float(self.guides.direction(np.array([self.anchor]))[0])
