"""
A layout as tables: one row a piece, in plain words, as GeoDataFrames of pandas' family.

Every table is made afresh, so whatever is done to it changes no layout. Geometry is in the field's
frame, in metres; `on_wgs84` brings a table to longitude and latitude.
"""

from collections.abc import Callable, Sequence
from typing import Any

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from geolayout.appraisal.slope.rows import row_grades
from geolayout.handover.files.drivecolumns import drive_columns, round_columns, turn_columns
from geolayout.handover.files.vertices import lonlat_areas, lonlat_lines
from geolayout.land.frames.frame import Frame
from geolayout.layout.build import Layout
from geolayout.plan.section.section import Cut
from geolayout.plan.stand import Stand

__all__ = [
    "crops_of",
    "edges_table",
    "ground_table",
    "guidance_table",
    "headland_table",
    "on_wgs84",
    "pass_title",
    "passes_table",
    "round_title",
    "rounds_table",
    "rows_table",
    "trees_table",
    "turns_table",
]

LENGTH_DECIMALS = 3
"""Lengths and areas of a table, to the millimetre and to a thousandth of a square metre."""

GRADE_DECIMALS = 2
"""Of grades in percent."""


def ground_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the ground of a layout, every square metre of the field once.

    Parameters
    ----------
    layout : Layout
        A layout.

    Returns
    -------
    table : GeoDataFrame
        Columns `kind`, `block`, `band`, `number`, `repeat`, `piece`, `stand`, `crops`, `reason`,
        `area_m2` [m2] and polygons in the frame. [m]
    """
    ground = layout.ground
    columns = {
        "kind": ground.kind,
        "block": _block_names(layout, ground.block),
        "band": ground.band,
        "number": ground.number,
        "repeat": ground.repeat,
        "piece": ground.piece,
        "stand": ground.stand,
        "crops": _looked_up((ground.stand,), lambda name: crops_of(layout.plan.stand(name))),
        "reason": ground.reason,
        "area_m2": np.round(ground.area, LENGTH_DECIMALS),
    }
    return _table(layout, columns, ground.geometry)


def headland_table(layout: Layout) -> gpd.GeoDataFrame:
    """Return the part of `ground_table` that is headland, numbered anew."""
    ground = ground_table(layout)
    return _renumbered(ground[ground["kind"] == "headland"].drop(columns=["kind", "band"]))


def edges_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the edges that were taken as ends of the rows, or that have a headland of their own.

    Returns
    -------
    table : GeoDataFrame
        Columns `block`, `side`, `length_m` and `width_m` (of the headland along it) [m],
        `meets_rows_at` [degrees] and lines in the frame, land on their left. [m]
    """
    runs = [(block.name, run) for block in layout.blocks for run in block.ends]
    columns = {
        "block": _words([name for name, _ in runs]),
        "side": _words([run.side for _, run in runs]),
        "length_m": np.round(np.array([run.length for _, run in runs], dtype=float), 2),
        "width_m": np.round(np.array([run.width for _, run in runs], dtype=float), 2),
        "meets_rows_at": np.round(np.array([run.angle for _, run in runs], dtype=float), 1),
    }
    return _table(layout, columns, _words([run.line for _, run in runs]))


def rows_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the pieces of the crop rows.

    Returns
    -------
    table : GeoDataFrame
        Columns `block`, `band`, `number`, `stand`, `crop`, `sowing`, `row`, `piece`, `counted`
        (False under a metre), `from_anchor_m` and `length_m` [m], and lines in the frame. [m]
        With heights, `grade_percent` (mean), `steepest_percent` and `over_grade_percent` (share of
        its length over the limit) too. [%]
    """
    rows = layout.rows
    at_sowing = (rows.block, rows.cut, rows.sowing)
    columns = {
        "block": _block_names(layout, rows.block),
        "band": _looked_up((rows.block, rows.cut), lambda b, c: _cut(layout, b, c).band),
        "number": rows.number,
        "stand": _looked_up((rows.block, rows.cut), lambda b, c: _stand(layout, b, c).name),
        "crop": _looked_up(at_sowing, lambda b, c, s: _stand(layout, b, c).sowing[s].crop),
        "sowing": _looked_up(at_sowing, lambda b, c, s: _stand(layout, b, c).sowing[s].label),
        "row": rows.row,
        "piece": rows.piece,
        "counted": rows.counts,
        "from_anchor_m": np.round(rows.t, LENGTH_DECIMALS + 1),
        "length_m": np.round(rows.length, LENGTH_DECIMALS),
        **_grade_columns(layout),
    }
    return _table(layout, columns, rows.lines.geometry)


def _grade_columns(layout: Layout) -> dict[str, NDArray[np.float64]]:
    """Return how rows lie on the slope, where heights are known at all. [%]"""
    grades = row_grades(layout)
    if grades is None:
        return {}
    return {
        "grade_percent": np.round(grades.mean, GRADE_DECIMALS),
        "steepest_percent": np.round(grades.steepest, GRADE_DECIMALS),
        "over_grade_percent": np.round(grades.over, GRADE_DECIMALS),
    }


def trees_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the trees.

    Returns
    -------
    table : GeoDataFrame
        Columns `block`, `band`, `number`, `row`, `position`, `species` and points in the frame. [m]
    """
    trees = layout.trees
    columns = {
        "block": _block_names(layout, trees.block),
        "band": _looked_up((trees.block, trees.cut), lambda b, c: _cut(layout, b, c).band),
        "number": trees.number,
        "row": trees.row,
        "position": trees.position,
        "species": _looked_up(
            (trees.block, trees.cut, trees.species), lambda b, c, s: _species(layout, b, c)[s]
        ),
    }
    return _table(layout, columns, shapely.points(trees.xy))


def passes_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the pieces of the passes, as far as their lines reach.

    Returns
    -------
    table : GeoDataFrame
        Columns `block`, `operation`, `machine`, `pass`, `piece`, `number` (of the band, 0 where a
        pass may work several), `band`, `width_m`, `works_from_m` and `works_to_m` from the anchor,
        `length_m`, `beyond_edge_m` [m], `drive_order` (from 1 within an operation), `driven`
        ("forward" or "backward" along the line), `terminal_line` (counted from the first, see
        `steps_of`), `turn_before` and `turn_before_m` [m], and lines in the frame, in the guide's
        direction. [m]
    """
    passes, operations = layout.passes, layout.plan.operations
    at_cut = (passes.block, passes.cut)
    columns = {
        "block": _block_names(layout, passes.block),
        "operation": _looked_up((passes.operation,), lambda i: operations[i].name),
        "machine": _looked_up((passes.operation,), lambda i: operations[i].machine),
        "pass": passes.number,
        "piece": passes.piece,
        "number": _looked_up(
            at_cut, lambda b, c: _cut(layout, b, c).number if c >= 0 else 0
        ).astype(np.int64),
        "band": _looked_up(at_cut, lambda b, c: _cut(layout, b, c).band if c >= 0 else ""),
        "width_m": np.round(passes.reach1 - passes.reach0, LENGTH_DECIMALS),
        "works_from_m": np.round(passes.t0, LENGTH_DECIMALS),
        "works_to_m": np.round(passes.t1, LENGTH_DECIMALS),
        "length_m": np.round(passes.lines.length, LENGTH_DECIMALS),
        "beyond_edge_m": np.round(passes.beyond_edge, LENGTH_DECIMALS),
        **drive_columns(layout),
    }
    return _table(layout, columns, passes.lines.geometry)


def turns_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the turns between pieces of passes and of rounds, in the order driven.

    Returns
    -------
    table : GeoDataFrame
        Columns `block`, `operation`, `on` ("rows" or "rounds"), `after` (the piece's
        `drive_order` among these), `turn` (U, omega, three-point, straight on, round the headland,
        over to the next round, round a corner), `fits` (whether the headland holds it; among
        rounds, whether its line stays on the land), `length_m`, `beyond_edge_m` [m], and lines in
        the frame, of the machine's centre. [m]
    """
    columns, lines = turn_columns(layout)
    return _table(layout, columns, lines.geometry)


def rounds_table(layout: Layout) -> gpd.GeoDataFrame:
    """
    Return the pieces of the rounds on headlands.

    Returns
    -------
    table : GeoDataFrame
        Columns `block` ("" where several share the headland), `operation`, `machine`, `round` (1
        for the outermost), `piece`, `closed`, `round_obstacle` (its number, 0 along the edge),
        `worked` ("first" or "last"), `width_m`, `from_edge_m` (of the centre), `radius_m`,
        `length_m`, `beyond_edge_m` [m], `drive_order` (from 1 within an operation's rounds),
        `driven` ("forward" or "backward" along the line), `turn_before` and `turn_before_m` [m],
        and lines in the frame, edge on the right. [m]
    """
    rounds, operations = layout.rounds, layout.plan.operations
    columns = {
        "block": _block_names(layout, rounds.block),
        "operation": _looked_up((rounds.operation,), lambda i: operations[i].name),
        "machine": _looked_up((rounds.operation,), lambda i: operations[i].machine),
        "round": rounds.number,
        "piece": rounds.piece,
        "closed": rounds.closed,
        "round_obstacle": rounds.obstacle,
        "worked": rounds.worked,
        "width_m": np.round(rounds.width, LENGTH_DECIMALS),
        "from_edge_m": np.round(rounds.t, LENGTH_DECIMALS),
        "radius_m": np.round(rounds.radius, LENGTH_DECIMALS),
        "length_m": np.round(rounds.lines.length, LENGTH_DECIMALS),
        "beyond_edge_m": np.round(rounds.beyond_edge, LENGTH_DECIMALS),
        **round_columns(layout),
    }
    return _table(layout, columns, rounds.lines.geometry)


def guidance_table(layout: Layout, operation: int) -> gpd.GeoDataFrame:
    """
    Return the lines of one operation for a terminal: passes from A to B, then headland rounds.

    Parameters
    ----------
    layout : Layout
        A layout.
    operation : int
        Index into the plan's operations.

    Returns
    -------
    table : GeoDataFrame
        Columns `NAME`, `TYPE`, `WIDTH_M` [m], `SEQ`, `BEYOND_M` [m], and lines on WGS 84. [degrees]

    Notes
    -----
    A terminal drives straight from A to B, so no vertex is added between them. A round is of type
    "round" where it is closed and "curve" where it is open, and has vertices along its arcs.
    """
    straight, curved = _pass_guidance(layout, operation), _round_guidance(layout, operation)
    columns = {name: np.concatenate([straight[0][name], curved[0][name]]) for name in straight[0]}
    lines = np.concatenate([straight[1], curved[1]])
    return _framed(columns, lines, CRS.from_epsg(4326))


def _pass_guidance(
    layout: Layout, operation: int
) -> tuple[dict[str, NDArray[Any]], NDArray[np.object_]]:
    """Return the columns and lines of an operation's passes. [degrees]"""
    passes = layout.passes
    mine = np.flatnonzero(passes.operation == operation)
    name = layout.plan.operations[operation].name
    titles = [pass_title(layout, name, int(i)) for i in mine]
    columns = {
        "NAME": _words(titles),
        "TYPE": np.full(len(mine), "A-B", dtype=object),
        "WIDTH_M": np.round((passes.reach1 - passes.reach0)[mine], LENGTH_DECIMALS),
        "SEQ": passes.number[mine],
        "BEYOND_M": np.round(passes.beyond_edge[mine], LENGTH_DECIMALS),
    }
    return columns, np.asarray(layout.field.frame.to_geographic(passes.lines.geometry[mine]))


def _round_guidance(
    layout: Layout, operation: int
) -> tuple[dict[str, NDArray[Any]], NDArray[np.object_]]:
    """Return the columns and lines of an operation's rounds. [degrees]"""
    rounds = layout.rounds
    mine = np.flatnonzero(rounds.operation == operation)
    name = layout.plan.operations[operation].name
    columns: dict[str, NDArray[Any]] = {
        "NAME": _words([round_title(layout, name, int(i)) for i in mine]),
        "TYPE": _words(["round" if closed else "curve" for closed in rounds.closed[mine].tolist()]),
        "WIDTH_M": np.round(rounds.width[mine], LENGTH_DECIMALS),
        "SEQ": rounds.number[mine],
        "BEYOND_M": np.round(rounds.beyond_edge[mine], LENGTH_DECIMALS),
    }
    return columns, lonlat_lines(rounds.lines.geometry[mine], layout.field.frame)


def round_title(layout: Layout, operation: str, i: int) -> str:
    """Return what the paper and the terminal both call a piece of a round."""
    rounds = layout.rounds
    block = layout.blocks[rounds.block[i]].name if rounds.block[i] >= 0 else ""
    about = f" about obstacle {rounds.obstacle[i]}" if rounds.obstacle[i] else ""
    piece = f".{rounds.piece[i]}" if rounds.piece[i] > 1 else ""
    return f"{block + ' ' if block else ''}{operation} round {rounds.number[i]}{piece}{about}"


def pass_title(layout: Layout, operation: str, i: int) -> str:
    """Return what the paper and the terminal both call a piece of a pass."""
    passes = layout.passes
    block = layout.blocks[int(passes.block[i])]
    piece = f".{passes.piece[i]}" if passes.piece[i] > 1 else ""
    said = "" if block.crossed_by else operation  # the name of a second way has it already
    return f"{' '.join(filter(None, [block.name, said]))} {passes.number[i]}{piece}"


def on_wgs84(table: gpd.GeoDataFrame, frame: Frame) -> gpd.GeoDataFrame:
    """
    Bring a table from the frame to longitude and latitude.

    Parameters
    ----------
    table : GeoDataFrame
        Of this module, all points, all lines or all areas. [m]
    frame : Frame
        Of its field.

    Returns
    -------
    table : GeoDataFrame
        The same rows on WGS 84, with vertices added where a line would bow more than 1 mm, alike
        on edges that two areas share. [degrees]
    """
    shapes = np.asarray(table.geometry.array, dtype=object)
    kinds = set(shapely.get_type_id(shapes).tolist())
    if kinds <= {int(shapely.GeometryType.POLYGON), int(shapely.GeometryType.MULTIPOLYGON)}:
        moved = lonlat_areas(shapes, frame)
    elif kinds <= {int(shapely.GeometryType.LINESTRING)}:
        moved = lonlat_lines(shapes, frame)
    else:
        moved = frame.to_geographic(shapes)
    columns = {name: table[name].to_numpy() for name in table.columns if name != "geometry"}
    return _framed(columns, moved, CRS.from_epsg(4326))


def crops_of(stand: Stand | None) -> str:
    """Return the crops of a stand in one line, "" where it is bare."""
    crops = [sowing.crop for sowing in stand.sowing] if stand is not None else []
    return " + ".join(dict.fromkeys(crops))


def _table(
    layout: Layout, columns: dict[str, NDArray[Any]], shapes: NDArray[np.object_]
) -> gpd.GeoDataFrame:
    """Return columns and shapes in the frame as a table."""
    return _framed(columns, shapes, CRS.from_user_input(layout.field.frame.definition))


def _framed(
    columns: dict[str, NDArray[Any]], shapes: NDArray[np.object_], crs: CRS
) -> gpd.GeoDataFrame:
    """Return columns and shapes as a table whose index, the ids of a file, counts from 1."""
    own = {name: np.array(column) for name, column in columns.items()}
    return _renumbered(gpd.GeoDataFrame(own, geometry=np.array(shapes, dtype=object), crs=crs))


def _renumbered(table: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    """Return the table with rows counted from 1."""
    table = table.reset_index(drop=True)
    table.index = table.index + 1
    table.index.name = "id"
    return table


def _words(words: Sequence[object]) -> NDArray[np.object_]:
    """Return a column of objects, of the right shape even where there is none."""
    column = np.empty(len(words), dtype=object)
    column[:] = words
    return column


def _looked_up(
    keys: tuple[NDArray[Any], ...], answer: Callable[..., object]
) -> NDArray[np.object_]:
    """Return the answer for each row of keys, asking once for equal rows."""
    asked: dict[tuple[Any, ...], object] = {}
    rows = list(zip(*(key.tolist() for key in keys), strict=True))
    for row in rows:
        if row not in asked:
            asked[row] = answer(*row)
    return _words([asked[row] for row in rows])


def _block_names(layout: Layout, block: NDArray[np.int32]) -> NDArray[np.object_]:
    """Return the name of each row's block, "" where it is in none."""
    return _looked_up((block,), lambda i: layout.blocks[i].name if i >= 0 else "")


def _cut(layout: Layout, block: int, cut: int) -> Cut:
    """Return a cut of a block's section."""
    return layout.blocks[block].section.cuts[cut]


def _stand(layout: Layout, block: int, cut: int) -> Stand:
    """Return what grows on a cut that has rows."""
    stand = layout.blocks[block].stands[cut]
    if stand is None:  # rows stand in stands
        message = f"cut {cut} of block {block} has rows and no stand"
        raise RuntimeError(message)
    return stand


def _species(layout: Layout, block: int, cut: int) -> tuple[str, ...]:
    """Return the species of the trees on a cut."""
    place = layout.blocks[block]
    trees = place.pattern.bands[place.section.cuts[cut].index].trees
    species = trees.species if trees is not None else ()
    return (species,) if isinstance(species, str) else species
