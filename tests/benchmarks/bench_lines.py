"""Rows as lines, and trees as points, against one shapely call a row and a tree."""

from collections.abc import Iterator

import numpy as np
import shapely
from made_land import blob, field_of, laid
from race import Race, Totals
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from geolayout.layout.build import Layout
from geolayout.layout.rows import Rows, lay_rows
from geolayout.layout.trees.trees import Trees, lay_trees

ROWS_PLAN = """
[[stand]]
name = "crop"
sowing = [ {{ crop = "crop", spacing = {spacing} }} ]
[[pattern]]
name = "all"
bands = [ {{ name = "A", width = "rest", stand = "crop" }} ]
"""

TREES_PLAN = """
[[pattern]]
name = "orchard"
bands = [ { name = "T", width = 12.0, trees = { in_row_spacing = 4.0 } } ]
"""

ALLEYS_PLAN = """
[[pattern]]
name = "alleys"
bands = [
  { name = "C", width = 24.0, stand = "none" },
  { name = "T", width = 3.0, whole = true, trees = { in_row_spacing = 3.0 } },
]
"""

AIMS = {
    (200, 0.75): 80,
    (200, 3): 60,
    (200, 24): 15,
    (2000, 0.75): 250,
    (2000, 3): 120,
    (2000, 24): 30,
}
"""Times the plain way, by vertices and row spacing [m]."""

NO_ROW = 1e-6
"""Clipping leaves points, and lines of next to no length, at corners. [m]"""

HECTARES = 100.0
"""Size of the land. [ha]"""


def races() -> Iterator[Race]:
    """Yield the races of this module."""
    for (vertices, spacing), aim in AIMS.items():
        layout = laid(field_of(blob(HECTARES, vertices)), ROWS_PLAN.format(spacing=spacing))
        yield _rows_race(layout, f"rows, {vertices} vertices, {spacing:g} m apart", aim)
    # Land on which no row ends within the slack of one more tree: a plain count knows no slack.
    land = field_of(blob(HECTARES, 220), 40, seed=1)
    yield _trees_race(laid(land, TREES_PLAN), f"trees, {HECTARES:g} ha, 40 obstacles", 4.0)
    alleys = f"alleys of 24 m, trees 3 m, {HECTARES:g} ha"
    yield _trees_race(laid(land, ALLEYS_PLAN), alleys, 3.0)


def _rows_race(layout: Layout, work: str, aim: float) -> Race:
    block = layout.blocks[0]
    sown = np.ones(len(block.rows.t), dtype=bool)

    def ours() -> Rows:
        return lay_rows(block, 0, sown)

    def plain() -> list[LineString]:
        lines = block.guides.lines(block.rows.t, block.crop_land)
        return [part for line in lines for part in _lines_in(block.crop_land.intersection(line))]

    return Race(work, ours, plain, _rows_totals, _line_totals, aim)


def _lines_in(clipped: BaseGeometry) -> list[LineString]:
    """Return the lines of a clipped row, without the specks where it passes a corner."""
    return [part for part in shapely.get_parts(clipped) if part.length > NO_ROW]


def _rows_totals(rows: Rows) -> Totals:
    return {"pieces": len(rows), "length": float(rows.length.sum())}


def _line_totals(lines: list[LineString]) -> Totals:
    return {"pieces": len(lines), "length": float(sum(line.length for line in lines))}


def _trees_race(layout: Layout, work: str, step: float) -> Race:
    block = layout.blocks[0]
    headland = block.headland

    def ours() -> Trees:
        return lay_trees(block, 0, layout.field, headland)

    def plain() -> list[Point]:
        found = []
        for line in block.guides.lines(block.tree_rows.t, block.crop_land):
            for part in _lines_in(block.crop_land.intersection(line)):
                posts = np.arange(step / 2, part.length - step / 2, step)
                trees = [part.interpolate(along) for along in posts]
                found += [tree for tree in trees if block.crop_land.contains(tree)]
        return found

    return Race(work, ours, plain, lambda trees: {"trees": len(trees)}, _count, 25)


def _count(trees: list[Point]) -> Totals:
    return {"trees": len(trees)}
