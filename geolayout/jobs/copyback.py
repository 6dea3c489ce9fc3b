"""
The same handover in its other files, held against the plan: GeoJSON, GeoPackage and task data.

Each holds the field; each holds lines to drive; task data hold rates too. What one of them has
otherwise than the plan shows as a distance or an area.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.worked.ground import areas_of, merged, outside, shared
from geolayout.appraisal.worked.rates import PER_M2
from geolayout.handover.files.rateground import OperationRates, operation_rates
from geolayout.handover.taskdata.elements import Ids, short
from geolayout.handover.taskdata.folder import FOLDERS
from geolayout.handover.taskdata.guidance import guidance_groups
from geolayout.jobs.taskback import TaskCells, TaskZones, read_task_data
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.sheet import Row
from geolayout.land.frames.lonlat import on_earth
from geolayout.layout.build import Layout
from geolayout.layout.guides.guide import Straight

__all__ = ["CopyBack", "CopyRate", "copies_of"]

PACKAGE = "gis/layout.gpkg"
TASK_FILE = "TASKDATA/TASKDATA.XML"

STEP = 1e-3
"""Rates nearer to each other than this, or than a step of the file, are one. [any]"""


@dataclass(frozen=True, slots=True)
class CopyRate:
    """
    Rates of one product in task data.

    Attributes
    ----------
    task, product, unit : str
        Its task, its name, and the unit of its rates.
    amount, planned : float
        Rate times the ground of the operation, in the file and in the plan; wheel tracks that the
        order leaves out are in both. [plants, seeds, kg or l]
    changed_m2 : float
        Ground to which the file gives another rate than the plan. [m2]
    """

    task: str
    product: str
    unit: str
    amount: float
    planned: float
    changed_m2: float


@dataclass(frozen=True, slots=True)
class CopyBack:
    """
    One more file of a handover.

    Attributes
    ----------
    file : str
        Its name in the folder.
    area_m2, off_m2 : float
        Ground of the field that it holds, and how much of it or of the plan's field lies in one
        of the two only. [m2]
    lines, planned : int
        Lines to drive that it holds, and those that the plan puts into such a file.
    off_m : float
        The farthest point of them from the plan's lines. [m]
    rates : tuple of CopyRate
        Product by product; none in files that hold no rates.
    """

    file: str
    area_m2: float
    off_m2: float
    lines: int
    planned: int
    off_m: float
    rates: tuple[CopyRate, ...]


def copies_of(layout: Layout, folder: Path) -> tuple[CopyBack, ...]:
    """
    Read the other files of a handover.

    Parameters
    ----------
    layout : Layout
        The plan of the folder, laid again.
    folder : Path
        The folder; files that are not there are left out.

    Raises
    ------
    FileError
        If a file cannot be read.
    """
    found = []
    # A layer without a shape is not in a package.
    driven = {"passes": len(layout.passes), "rounds": len(layout.rounds)}
    held = {"field", *(name for name, count in driven.items() if count)}
    if all((folder / f"{name}.geojson").is_file() for name in ("field", "passes")):
        parts = {name: _rows(folder / f"{name}.geojson", None) for name in _LAYERS}
        found.append(_of_layers(layout, "passes.geojson", parts))
    package = folder / PACKAGE
    if package.is_file():
        parts = {name: _rows(package, name) if name in held else [] for name in _LAYERS}
        found.append(_of_layers(layout, PACKAGE, parts))
    found += [
        _of_tasks(layout, name, folder / name / TASK_FILE)
        for name in FOLDERS
        if (folder / name / TASK_FILE).is_file()
    ]
    return tuple(found)


_LAYERS = ("field", "passes", "rounds")


def _rows(path: Path, layer: str | None) -> list[Row]:
    """Return the rows of a layer that have a shape; none where there is no such file."""
    if not path.is_file():
        return []
    return [row for row in on_earth(read_sheet(path, layer)).rows if row.geometry is not None]


def _of_layers(layout: Layout, file: str, parts: dict[str, list[Row]]) -> CopyBack:
    """Return a copy in layers of a map."""
    area, off_m2 = _field(layout, [row.geometry for row in parts["field"]])
    driven = [*parts["passes"], *parts["rounds"]]
    points = [
        (str(row.column("operation")), shapely.get_coordinates(row.geometry)) for row in driven
    ]
    planned = len(layout.passes) + len(layout.rounds)
    return CopyBack(file, area, off_m2, len(points), planned, _off(layout, points), ())


def _of_tasks(layout: Layout, file: str, path: Path) -> CopyBack:
    """Return a copy in task data."""
    area, off_m2 = _field(layout, [row.geometry for row in _rows(path, None)])
    held = read_task_data(path)
    names = {name for name, _ in _leaders(layout)}
    driven = [(name, xy) for name, xy in held.lines if name in names]
    planned = operation_rates(layout)
    rates = [_zone_rate(layout, one, planned) for one in held.zones]
    rates += [_cell_rate(layout, one, planned) for one in held.cells]
    count = len(_leaders(layout))
    return CopyBack(file, area, off_m2, len(driven), count, _off(layout, driven), tuple(rates))


def _field(layout: Layout, shapes: Sequence[BaseGeometry | None]) -> tuple[float, float]:
    """Return the ground of a field as a file has it, and what of it differs. [m2]"""
    frame = layout.field.frame
    ground = merged([areas_of(frame.to_local(one)) for one in shapes if one is not None])
    land = areas_of(frame.to_local(layout.field.boundary))
    differs = outside(ground, land).area + outside(land, ground).area
    return float(ground.area), float(differs)


def _leaders(layout: Layout) -> list[tuple[str, str]]:
    """Return the lines of the operations that task data hold, with the operation of each."""
    return [
        (pattern.get("B", ""), group.operation)
        for group in guidance_groups(layout, Ids())
        if group.operation
        for pattern in group.element.iter("GPN")
    ]


def _off(layout: Layout, driven: Sequence[tuple[str, NDArray[np.float64]]]) -> float:
    """Return how far lines lie from the plan's lines of their operation, at most. [m]"""
    operations = [short(one.name) for one in layout.plan.operations]
    worst = 0.0
    for name, lonlat in driven:
        mine = [i for i, one in enumerate(operations) if name == one or name.startswith(f"{one} ")]
        mine = mine or list(range(len(operations)))
        longest = max(mine, key=lambda i: len(operations[i]))
        xy = layout.field.frame.metres(lonlat)
        worst = max(worst, min(_distances(layout, longest, xy), default=float("inf")))
    return worst


def _distances(layout: Layout, operation: int, xy: NDArray[np.float64]) -> Iterator[float]:
    """Yield how far a line lies from each kind of line that it may be. [m]"""
    passes, rounds = layout.passes, layout.rounds
    mine = passes.operation == operation
    lines = [passes.lines.geometry[mine], rounds.lines.geometry[rounds.operation == operation]]
    drawn = np.concatenate(lines)
    if len(drawn) and len(xy):
        line = shapely.linestrings(xy) if len(xy) > 1 else shapely.Point(xy[0])
        near = drawn[shapely.STRtree(drawn).query_nearest(line, all_matches=True)]
        yield min(float(shapely.distance(shapely.points(xy), one).max()) for one in near)
    for b in np.unique(passes.block[mine]).tolist():
        block = layout.blocks[b]
        if isinstance(block.guides, Straight):  # a line may reach beyond its own pieces
            here = mine & (passes.block == b)
            centres = (passes.reach0[here] + passes.reach1[here]) / 2.0
            across = block.guides.across(xy)
            yield float(np.abs(across[:, None] - centres).max(axis=0).min())


@dataclass(frozen=True, slots=True, eq=False)
class _Planned:
    """One product as planned: each rate with its widened and its true ground."""

    amount: float
    zones: tuple[tuple[float, BaseGeometry, BaseGeometry], ...]

    @property
    def ground(self) -> BaseGeometry:
        """All ground on which it goes."""
        return merged([true for rate, _, true in self.zones if rate])


def _planned(copy: TaskZones | TaskCells, planned: Sequence[OperationRates]) -> _Planned | None:
    """Return what the plan has for a product of a task."""
    for one in sorted(planned, key=lambda one: -len(one.operation)):
        if not copy.task.startswith(short(one.operation)[:12]):
            continue
        for k, product in enumerate(one.products):
            if (short(product.name), product.unit) == (copy.product, copy.unit):
                zones = tuple((zone.rate[k], zone.wide, zone.true) for zone in one.zones)
                ground = sum(rate * float(true.area) for rate, _, true in zones)
                return _Planned(ground * _per_m2(product.unit), zones)
    return None


def _per_m2(unit: str) -> float:
    """Return what a rate of 1 puts out on a square metre."""
    return PER_M2.get(unit, 1e-4)


def _zone_rate(layout: Layout, copy: TaskZones, planned: Sequence[OperationRates]) -> CopyRate:
    """Return a product on drawn zones, held against the plan."""
    to_local = layout.field.frame.to_local
    drawn = [(areas_of(to_local(ground)), rate) for ground, rate in copy.zones]
    wanted = _planned(copy, planned)
    per = _per_m2(copy.unit)
    if wanted is None:
        amount = sum(rate * float(ground.area) for ground, rate in drawn) * per
        changed = sum(float(ground.area) for ground, rate in drawn if rate)
        return CopyRate(copy.task, copy.product, copy.unit, amount, 0.0, changed)
    whole = wanted.ground
    amount = sum(rate * float(shared(ground, whole).area) for ground, rate in drawn if rate) * per
    changed = 0.0
    for rate in {rate for _, rate in drawn} | {rate for rate, _, _ in wanted.zones}:
        if not rate:
            continue
        here = merged([ground for ground, own in drawn if _same(own, rate)])
        there = merged([wide for own, wide, _ in wanted.zones if _same(own, rate)])
        changed = max(changed, float(outside(here, there).area), float(outside(there, here).area))
    return CopyRate(copy.task, copy.product, copy.unit, amount, wanted.amount, changed)


def _cell_rate(layout: Layout, copy: TaskCells, planned: Sequence[OperationRates]) -> CopyRate:
    """Return a product on cells, held against the plan at the middle of each."""
    frame = layout.field.frame
    xy = frame.metres(copy.lonlat)
    middle = copy.lonlat.mean(axis=0)
    corners = frame.metres(np.array([middle, middle + copy.size]))
    cell = float(abs(np.prod(corners[1] - corners[0])))
    wanted = _planned(copy, planned)
    per = _per_m2(copy.unit) * cell
    if wanted is None:
        amount, changed = float(copy.rate.sum()) * per, cell * float((copy.rate > 0.0).sum())
        return CopyRate(copy.task, copy.product, copy.unit, amount, 0.0, changed)
    on_ground = _holds(wanted.ground, xy)
    there = np.zeros(len(xy))
    for rate, wide, _ in wanted.zones:
        there[_holds(wide, xy)] = rate
    differs = ~np.isclose(copy.rate, there, rtol=1e-4, atol=STEP)
    # A middle within a hair of a zone's edge may fall on either side.
    edges = shapely.union_all([shapely.boundary(wide) for _, wide, _ in wanted.zones])
    shapely.prepare(edges)
    differs &= ~shapely.dwithin(shapely.points(xy), edges, 0.01)
    amount = float(copy.rate[on_ground].sum()) * per
    changed = cell * float(differs.sum())
    return CopyRate(copy.task, copy.product, copy.unit, amount, wanted.amount, changed)


def _holds(ground: BaseGeometry, xy: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether each place lies on ground."""
    shapely.prepare(ground)
    return np.asarray(shapely.contains_xy(ground, xy[:, 0], xy[:, 1]))


def _same(one: float, other: float) -> bool:
    """Whether two rates are the same but for the steps of a file."""
    return abs(one - other) <= max(STEP, 1e-4 * abs(other))
