"""
Where water gathers on its way down: flow lines over a terrain.

Hollows are filled to their lowest rim, so that water finds its way out of each. Every cell then
gives its water to the steepest of its eight neighbours. Where enough ground lies above a cell, it
is part of a flow line. Rain, soil and drains are not known here: a line says where water would
run over bare ground, and not how much.
"""

import heapq
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from geolayout.land.terrain.terrain import Terrain

__all__ = ["FlowLine", "Hollow", "flow_lines", "hollows", "upslope"]

LEAST_UPSLOPE = 0.25
"""Ground above a place from which on water is taken to run in a line. Our own choice; soil and
rain decide. [ha]"""

MOST_CELLS = 250_000
"""A larger grid is averaged before water is led over it. [-]"""

RISE = 1e-6
"""By how much a filled hollow falls towards its rim, from cell to cell. [m]"""

STEPS = np.array([(-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1)])

Floats = NDArray[np.float64]
Places = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class FlowLine:
    """
    One line along which water runs.

    Attributes
    ----------
    line : LineString
        From above to below, in the field's frame. [m]
    upslope : float
        Ground whose water passes its lower end. [ha]
    """

    line: LineString
    upslope: float


def flow_lines(
    terrain: Terrain, land: BaseGeometry, least: float = LEAST_UPSLOPE
) -> tuple[FlowLine, ...]:
    """
    Find the flow lines that touch some land.

    Parameters
    ----------
    terrain : Terrain
        Heights, over the land and round it.
    land : Polygon or MultiPolygon
        The land. [m]
    least : float
        Ground above a place from which on it counts. [ha]

    Returns
    -------
    lines : tuple of FlowLine
        The largest first; each begins at a spring, or where it joins no other, and ends where it
        joins a larger one or leaves the grid.
    """
    coarse = _coarsened(terrain)
    down, area = upslope(coarse)
    wet = area >= least
    lines = []
    for chain in _chains(wet, down, area):
        if len(chain) < 2:  # water that gathers only where it leaves the grid
            continue
        line = LineString(_frame_of(coarse, np.array(chain)))
        if shapely.intersects(line, land):
            lines.append(FlowLine(line, float(area.ravel()[chain[-1]])))
    return tuple(sorted(lines, key=lambda one: -one.upslope))


@dataclass(frozen=True, slots=True, eq=False)
class Hollow:
    """
    Ground from which nothing runs off until it is full to its lowest rim.

    Attributes
    ----------
    ground : Polygon or MultiPolygon
        Cells that lie below the rim by more than the depth asked for, in the field's frame. [m]
    depth : float
        Of its deepest cell below the rim. [m]
    deepest : tuple of float
        Where that is. [m]
    """

    ground: BaseGeometry
    depth: float
    deepest: tuple[float, float]


def hollows(terrain: Terrain, land: BaseGeometry, depth: float) -> tuple[Hollow, ...]:
    """
    Find the hollows that touch some land.

    Parameters
    ----------
    terrain : Terrain
        Heights, over the land and round it; a hollow that is open beyond them is none.
    land : Polygon or MultiPolygon
        The land. [m]
    depth : float
        Cells that lie less below the rim are left out. [m]

    Returns
    -------
    found : tuple of Hollow
        The deepest first.
    """
    coarse = _coarsened(terrain)
    filled, _ = _filled(coarse.heights)
    below = np.where(np.isfinite(coarse.heights), filled - coarse.heights, 0.0)
    deep = np.flatnonzero(below > depth)
    if not len(deep):
        return ()
    cells = _cells_of(coarse, deep)
    parts = shapely.get_parts(shapely.union_all(shapely.buffer(cells, coarse.cell * 1e-3)))
    middles = shapely.points(_frame_of(coarse, deep))
    found = []
    for part in parts[shapely.intersects(parts, land)]:
        inside = deep[shapely.contains(part, middles)]
        worst = int(inside[np.argmax(below.flat[inside])])
        x, y = _frame_of(coarse, np.array([worst]))[0].tolist()
        found.append(Hollow(part, float(below.flat[worst]), (x, y)))
    return tuple(sorted(found, key=lambda one: -one.depth))


def _cells_of(terrain: Terrain, places: Places) -> NDArray[np.object_]:
    """Return cells as squares in the frame. [m]"""
    rows, columns = np.divmod(places, terrain.heights.shape[1])
    corners = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
    at = np.stack([columns, rows], axis=1)[:, None] + corners - terrain.to_cells[:, 2]
    squares = shapely.polygons(at @ np.linalg.inv(terrain.to_cells[:, :2]).T)
    return np.asarray(squares, dtype=object)


def upslope(terrain: Terrain) -> tuple[Places, Floats]:
    """
    Return where each cell's water goes, and the ground above it.

    Parameters
    ----------
    terrain : Terrain
        Heights.

    Returns
    -------
    down : ndarray of int, shape (rows x columns,)
        Place of the cell below, in rows one after the other; -1 at the rim and where no height
        is known.
    area : ndarray of float, shape (rows, columns)
        Ground whose water passes the cell, its own included. [ha]

    References
    ----------
    Hollows: the queue of cells by height that R. Barnes, C. Lehman and D. Mulla describe in 2014
    (Computers & Geosciences 62). Directions: the eight-neighbour rule of J. F. O'Callaghan and
    D. M. Mark, 1984. Both from memory; checked here on shapes whose answer is plain.
    """
    heights = terrain.heights
    filled, order = _filled(heights)
    down = _steepest(filled, terrain)
    cell_area = abs(np.linalg.det(np.linalg.inv(terrain.to_cells[:, :2]))) / 1e4
    area = np.where(np.isfinite(heights), cell_area, 0.0).ravel()
    for place in order[::-1].tolist():  # from the highest down
        below = down[place]
        if below >= 0:
            area[below] += area[place]
    return down, area.reshape(heights.shape)


def _filled(heights: Floats) -> tuple[Floats, Places]:
    """Return heights with hollows filled, falling to their rims, and cells from the lowest up."""
    rows, columns = heights.shape
    known = np.isfinite(heights)
    filled = np.where(known, heights, np.inf)
    done = ~known
    queue: list[tuple[float, int]] = []
    for place in np.flatnonzero(_on_rim(known)).tolist():
        heapq.heappush(queue, (float(filled.flat[place]), place))
        done.flat[place] = True
    order = []
    steps = STEPS.tolist()
    while queue:
        height, place = heapq.heappop(queue)
        order.append(place)
        row, column = divmod(place, columns)
        for across, along in steps:
            r, c = row + across, column + along
            if 0 <= r < rows and 0 <= c < columns and not done[r, c]:
                done[r, c] = True
                filled[r, c] = max(filled[r, c], height + RISE)
                heapq.heappush(queue, (float(filled[r, c]), r * columns + c))
    return filled, np.array(order, dtype=np.int64)


def _on_rim(known: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the known cells beside the edge of the grid or beside an unknown cell."""
    inner = np.zeros_like(known)
    inner[1:-1, 1:-1] = True
    for across, along in STEPS.tolist():
        inner[1:-1, 1:-1] &= known[
            1 + across : known.shape[0] - 1 + across, 1 + along : known.shape[1] - 1 + along
        ]
    return known & ~inner


def _steepest(filled: Floats, terrain: Terrain) -> Places:
    """Return the place of the neighbour that each cell falls to most steeply, -1 for none."""
    rows, columns = filled.shape
    to_frame = np.linalg.inv(terrain.to_cells[:, :2])
    best = np.zeros(filled.shape)
    down = np.full(filled.shape, -1, dtype=np.int64)
    padded = np.pad(filled, 1, constant_values=np.inf)
    places = np.arange(rows * columns).reshape(rows, columns)
    for across, along in STEPS.tolist():
        near = padded[1 + across : 1 + across + rows, 1 + along : 1 + along + columns]
        way = float(np.hypot(*(to_frame @ np.array([along, across], dtype=np.float64))))
        both = np.isfinite(near) & np.isfinite(filled)
        fall = np.subtract(filled, near, out=np.zeros_like(filled), where=both) / way
        better = fall > best
        best[better] = fall[better]
        down[better] = (places + across * columns + along)[better]
    return down.ravel()


def _chains(wet: NDArray[np.bool_], down: Places, area: Floats) -> list[list[int]]:
    """Return wet cells in chains down the water, each ending in a cell of a larger one."""
    flat, size = wet.ravel(), area.ravel()
    heads = np.flatnonzero(flat)
    fed = np.zeros(len(flat), dtype=bool)
    targets = down[heads]
    fed[targets[targets >= 0]] = True
    used = np.zeros(len(flat), dtype=bool)
    springs = heads[~fed[heads]]
    lengths = {int(spring): _to_the_end(int(spring), down) for spring in springs}
    chains = []
    for spring in sorted(lengths, key=lambda place: -lengths[place]):
        chain, place = [], spring
        while place >= 0:
            chain.append(place)
            if used[place]:
                break
            used[place] = True
            place = int(down[place])
        chains.append(chain)
    return sorted(chains, key=lambda chain: -size[chain[-1]])


def _to_the_end(place: int, down: Places) -> int:
    """Return how many cells lie below one."""
    count = 0
    while place >= 0:
        place, count = int(down[place]), count + 1
    return count


def _frame_of(terrain: Terrain, places: Places) -> Floats:
    """Return the frame's x, y of cells, shape (n, 2). [m]"""
    rows, columns = np.divmod(places, terrain.heights.shape[1])
    off = np.stack([columns, rows], axis=1) - terrain.to_cells[:, 2]
    return np.asarray(off @ np.linalg.inv(terrain.to_cells[:, :2]).T)


def _coarsened(terrain: Terrain) -> Terrain:
    """Return a terrain of few enough cells, each the mean of those it covers."""
    factor = int(np.ceil(np.sqrt(terrain.heights.size / MOST_CELLS)))
    if factor <= 1:
        return terrain
    rows, columns = (side // factor * factor for side in terrain.heights.shape)
    blocks = terrain.heights[:rows, :columns].reshape(rows // factor, factor, -1, factor)
    to_cells = terrain.to_cells / factor
    to_cells[:, 2] -= (factor - 1) / (2 * factor)
    return Terrain(blocks.mean(axis=(1, 3)), to_cells, terrain.source)
