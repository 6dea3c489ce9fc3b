"""
Rasters of a layout: the rate on every cell, and what ground it is.

Cloud Optimized GeoTIFF in metres of a map grid. A cell takes what lies under its middle: the true
ground, not the ground widened for a terminal, so that sums over cells are those of the summary but
for the cells that an edge crosses.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.rateground import OperationRates
from geolayout.land.frames.mapgrid import MapGrid
from geolayout.layout.build import Layout

__all__ = [
    "CELL",
    "MOST_CELLS",
    "CellGrid",
    "cells_of",
    "classes_bytes",
    "cog_bytes",
    "rates_bytes",
]

CELL = 0.5
"""Side of a cell, if the field is not too large. Our own choice. [m]"""

MOST_CELLS = 4_000_000
"""Cells of a raster; a larger field has larger cells. [-]"""

MOST_OF_A_BYTE = 256

NO_CLASS = 0
"""Outside the field."""

NO_RATE = -1.0
"""Outside the field."""


@dataclass(frozen=True, slots=True)
class CellGrid:
    """
    Cells of a raster.

    Attributes
    ----------
    grid : MapGrid
        Map grid of their edges.
    west, north : float
        Where the first cell begins, whole cells from the grid's own origin. [m]
    cell : float
        Side of a cell. [m]
    rows, columns : int
        How many there are.
    """

    grid: MapGrid
    west: float
    north: float
    cell: float
    rows: int
    columns: int


def cells_of(layout: Layout, grid: MapGrid, *, cell: float = CELL) -> CellGrid:
    """
    Return the cells that cover a field.

    Parameters
    ----------
    layout : Layout
        A layout.
    grid : MapGrid
        Map grid.
    cell : float, default 0.5
        Side of a cell; doubled until there are no more than ``MOST_CELLS``. [m]
    """
    (land,) = _on_grid(layout, [layout.field.land], grid)
    west, south, east, north = land.bounds
    while (east - west) * (north - south) > MOST_CELLS * cell**2:
        cell *= 2.0
    west, north = floor(west / cell) * cell, ceil(north / cell) * cell
    rows, columns = ceil((north - south) / cell), ceil((east - west) / cell)
    return CellGrid(grid, west, north, cell, rows, columns)


def rates_bytes(layout: Layout, rates: Sequence[OperationRates], cells: CellGrid) -> bytes:
    """
    Return a raster with a band for each product of each operation.

    Parameters
    ----------
    layout : Layout
        A layout.
    rates : sequence of OperationRates
        Its rates, one or more.
    cells : CellGrid
        Cells.

    Returns
    -------
    content : bytes
        32-bit numbers; -1, no data, outside the field. The band's description says operation and
        product, its unit the unit of the rate.
    """
    bands, names, units = [], [], []
    for one in rates:
        codes = _burnt(layout, [zone.true for zone in one.zones], cells)
        for k, product in enumerate(one.products):
            values = np.array([NO_RATE, *(zone.rate[k] for zone in one.zones)], dtype="float32")
            bands.append(values[codes])
            names.append(f"{one.operation}: {product.name}")
            units.append(product.unit)
    return cog_bytes(np.stack(bands), cells, NO_RATE, {"names": names, "units": units})


def classes_bytes(layout: Layout, cells: CellGrid) -> tuple[bytes, tuple[str, ...]]:
    """
    Return a raster of what the ground is, and what its numbers mean.

    Returns
    -------
    content : bytes
        Whole numbers; 0, no data, outside the field. Its tags say what each means.
    classes : tuple of str
        What 1, 2 and so on are: the kind of ground, or band and stand.
    """
    ground = layout.ground
    told = [
        f"{band} ({stand or 'bare'})" if kind in ("band", "tree band") else kind
        for kind, band, stand in zip(ground.kind, ground.band, ground.stand, strict=True)
    ]
    classes = tuple(dict.fromkeys(told))
    which = np.array([classes.index(word) for word in told])
    areas = [shapely.multipolygons(ground.geometry[which == i]) for i in range(len(classes))]
    codes = _burnt(layout, areas, cells)
    tags = {f"CLASS_{i}": word for i, word in enumerate(classes, 1)}
    return cog_bytes(codes[None], cells, NO_CLASS, {"names": ["ground"], "tags": tags}), classes


def _on_grid(layout: Layout, areas: Sequence[BaseGeometry], grid: MapGrid) -> NDArray[np.object_]:
    """Return areas of the frame on a map grid."""
    frame = layout.field.frame
    shapes = np.empty(len(areas), dtype=object)
    shapes[:] = areas
    moved = shapely.transform(shapes, lambda xy: grid.places(frame.lonlat(xy)))
    return np.asarray(moved, dtype=object)


def _burnt(layout: Layout, areas: Sequence[BaseGeometry], cells: CellGrid) -> NDArray[Any]:
    """Return for each cell the number of the area under its middle, from 1; 0 for none."""
    import rasterio  # noqa: PLC0415  # its own GDAL
    from rasterio.features import rasterize  # noqa: PLC0415

    shapes = _on_grid(layout, areas, cells.grid)
    filled = [(shape, i) for i, shape in enumerate(shapes, 1) if not shape.is_empty]
    affine = rasterio.Affine(cells.cell, 0.0, cells.west, 0.0, -cells.cell, cells.north)
    shape = (cells.rows, cells.columns)
    dtype = "uint8" if len(areas) < MOST_OF_A_BYTE else "uint16"
    burnt: NDArray[Any] = rasterize(filled, shape, transform=affine, dtype=dtype)
    return burnt


def cog_bytes(values: NDArray[Any], cells: CellGrid, nothing: float, told: dict[str, Any]) -> bytes:
    """
    Return bands as a Cloud Optimized GeoTIFF.

    Parameters
    ----------
    values : ndarray, shape (bands, rows, columns)
        What is written.
    cells : CellGrid
        Where its cells lie.
    nothing : float
        Value of cells outside the field.
    told : dict
        ``names`` of the bands, and ``units`` and ``tags`` where there are some.
    """
    import rasterio  # noqa: PLC0415  # its own GDAL
    from rasterio.io import MemoryFile  # noqa: PLC0415

    with MemoryFile() as memory:
        with memory.open(
            driver="COG",
            width=cells.columns,
            height=cells.rows,
            count=len(values),
            dtype=values.dtype,
            crs=cells.grid.code,
            transform=rasterio.Affine(cells.cell, 0.0, cells.west, 0.0, -cells.cell, cells.north),
            nodata=nothing,
            compress="deflate",
            blocksize=512,
            overview_resampling="nearest",
        ) as sheet:
            sheet.write(values)
            sheet.descriptions = tuple(told["names"])
            if "units" in told:
                sheet.units = tuple(told["units"])
            sheet.update_tags(**told.get("tags", {}))
        return bytes(memory.getbuffer())
