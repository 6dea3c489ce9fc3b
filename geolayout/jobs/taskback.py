"""What a returned TASKDATA folder holds: lines to drive, and rates on drawn zones or cells."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import Element  # built by a guarded parser only

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.files.xml import parse_xml

__all__ = ["TaskCells", "TaskData", "TaskZones", "read_task_data"]

GUIDANCE = "5"
"""Type of a line to drive along."""

OUTER = "1"
"""Type of a line that is the outer ring of an area."""

OF_RATES = "2"
"""Type of a grid that holds rates; type 1 holds codes of zones."""

GRID_NAME = re.compile(r"GRD\d{5}", re.ASCII)
"""Names of grids in ISO 11783-10; a path is none."""

MOST_CELLS = 20_000_000
"""Cells of a grid that are read. Our own choice. [-]"""


@dataclass(frozen=True, slots=True, eq=False)
class TaskZones:
    """
    One product of one task on drawn zones.

    Attributes
    ----------
    task, product, unit : str
        What the task and the product are called, and the unit that the terminal shows.
    zones : tuple of (geometry, float)
        Areas on WGS 84 with their rates, those of nought too where they are drawn. [degrees, unit]
    """

    task: str
    product: str
    unit: str
    zones: tuple[tuple[BaseGeometry, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class TaskCells:
    """
    One product of one task on cells.

    Attributes
    ----------
    task, product, unit : str
        As of zones.
    lonlat : ndarray, shape (n, 2)
        Middles of the cells. [degrees]
    rate : ndarray, shape (n,)
        On each. [unit]
    size : tuple of (float, float)
        Of a cell, east and north. [degrees]
    """

    task: str
    product: str
    unit: str
    lonlat: NDArray[np.float64]
    rate: NDArray[np.float64]
    size: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class TaskData:
    """
    A TASKDATA folder.

    Attributes
    ----------
    lines : tuple of (str, ndarray)
        Lines to drive by name, each with its points. [degrees]
    zones : tuple of TaskZones
        Rates on drawn zones.
    cells : tuple of TaskCells
        Rates on cells.
    """

    lines: tuple[tuple[str, NDArray[np.float64]], ...]
    zones: tuple[TaskZones, ...]
    cells: tuple[TaskCells, ...]


@dataclass(frozen=True, slots=True)
class _Names:
    """What ids of the file stand for: products by name, units with what a step is worth."""

    products: Mapping[str | None, str]
    units: Mapping[str | None, tuple[str, float]]

    def rates_of(self, zone: Element) -> dict[str, tuple[str, float]]:
        """Return each product of a zone with its unit and rate."""
        found = {}
        for value in zone.findall("PDV"):
            unit, step = self.units.get(value.get("E"), ("", 1.0))
            name = self.products.get(value.get("C"), value.get("C") or "")
            found[name] = (unit, _number(value, "B") * step)
        return found


def read_task_data(path: Path) -> TaskData:
    """
    Read the lines and rates of a TASKDATA.XML; grids are looked for beside it.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    FileError
        If it is no task data, a figure in it is none, or a grid is missing or too short.
    """
    root = parse_xml(path.name, path.read_bytes(), roots=("ISO11783_TaskData",))
    names = _Names(
        {one.get("A"): one.get("B", "") for one in root.iter("PDT")},
        {one.get("A"): (one.get("E", ""), _number(one, "C")) for one in root.iter("VPN")},
    )
    lines = tuple(
        (line.get("B", ""), _points(line)) for line in root.iter("LSG") if line.get("A") == GUIDANCE
    )
    zones, cells = [], []
    for task in root.iter("TSK"):
        zones += list(_zones(task, names))
        cells += [one for grid in task.findall("GRD") for one in _cells(task, grid, names, path)]
    return TaskData(lines, tuple(zones), tuple(cells))


def _zones(task: Element, names: _Names) -> Iterator[TaskZones]:
    """Yield the products of a task that is drawn."""
    drawn: dict[tuple[str, str], list[tuple[BaseGeometry, float]]] = {}
    for zone in task.findall("TZN"):
        ground = [_area(area) for area in zone.findall("PLN")]
        for product, (unit, rate) in names.rates_of(zone).items():
            mine = drawn.setdefault((product, unit), [])
            mine += [(one, rate) for one in ground]
    if task.find("GRD") is None:
        for (product, unit), mine in drawn.items():
            yield TaskZones(task.get("B", ""), product, unit, tuple(mine))


def _area(area: Element) -> BaseGeometry:
    """Return a drawn area. [degrees]"""
    rings = [(ring.get("A"), _points(ring)) for ring in area.findall("LSG")]
    outer = [xy for kind, xy in rings if kind == OUTER and len(xy) > 2]
    inner = [xy for kind, xy in rings if kind != OUTER and len(xy) > 2]
    if not outer:
        return shapely.Polygon()
    shell = shapely.union_all([shapely.make_valid(shapely.Polygon(xy)) for xy in outer])
    holes = [shapely.make_valid(shapely.Polygon(xy)) for xy in inner]
    return shapely.difference(shell, shapely.union_all(holes)) if holes else shell


def _cells(task: Element, grid: Element, names: _Names, path: Path) -> Iterator[TaskCells]:
    """Yield the products of a task on cells."""
    columns, rows = int(_number(grid, "E")), int(_number(grid, "F"))
    by_code = {zone.get("A"): names.rates_of(zone) for zone in task.findall("TZN")}
    listed = by_code.get(grid.get("J") or "0", {})
    each = 4 * len(listed) if grid.get("I") == OF_RATES else 1
    # Before any cell is made: a file may name as many as it likes.
    name = grid.get("G", "")
    beside = path.parent / f"{name}.bin" if GRID_NAME.fullmatch(name) else path.parent / "GRD.bin"
    content = _content(beside, columns * rows, each)
    size = _number(grid, "D"), _number(grid, "C")
    west, south = _number(grid, "B"), _number(grid, "A")
    lon = west + size[0] * (np.arange(columns) + 0.5)
    lat = south + size[1] * (np.arange(rows) + 0.5)
    lonlat = np.stack([part.ravel() for part in np.meshgrid(lon, lat)], axis=1)
    for k, (product, (unit, _)) in enumerate(listed.items()):
        if grid.get("I") == OF_RATES:
            raw = np.frombuffer(content, dtype="<i4", count=len(lonlat) * len(listed))
            rate = raw.reshape(-1, len(listed))[:, k] * _step(task, names, product)
        else:
            table = {int(c or 0): told.get(product, ("", 0.0))[1] for c, told in by_code.items()}
            codes = np.frombuffer(content, dtype=np.uint8, count=len(lonlat))
            rate = np.array([table.get(code, 0.0) for code in range(256)])[codes]
        yield TaskCells(task.get("B", ""), product, unit, lonlat, rate, size)


def _step(task: Element, names: _Names, product: str) -> float:
    """Return what a step of a product's rate is worth. [unit]"""
    for value in task.iter("PDV"):
        if names.products.get(value.get("C")) == product:
            return names.units.get(value.get("E"), ("", 1.0))[1]
    return 1.0


def _content(path: Path, cells: int, each: int) -> bytes:
    """Return the bytes of a grid of so many cells, with so many bytes each."""
    if not 0 < cells <= MOST_CELLS or not path.is_file():
        found = "is not there" if 0 < cells <= MOST_CELLS else f"is to hold {cells:,} cells"
        raise FileError(
            f"{path.name} {found}.",
            "The rates of a task lie in it.",
            "Copy the whole folder TASKDATA.",
        )
    content = path.read_bytes()
    if len(content) < cells * each:
        raise FileError(
            f"{path.name} has {len(content):,} bytes for {cells:,} cells.",
            "It was cut short.",
            "Copy the whole folder TASKDATA again.",
        )
    return content


def _points(line: Element) -> NDArray[np.float64]:
    """Return the points of a line, longitude first. [degrees]"""
    found = [(_number(point, "D"), _number(point, "C")) for point in line.findall("PNT")]
    return np.array(found, dtype=np.float64).reshape(-1, 2)


def _number(one: Element, key: str) -> float:
    """Return an attribute as a figure."""
    try:
        value = float(one.get(key, ""))
    except ValueError:
        value = float("nan")
    if np.isfinite(value):
        return value
    raise FileError(
        f"{one.tag} has {key}={one.get(key, '')[:20]!r} in the task data.",
        "It must be a number.",
        "Export the task data again.",
    )
