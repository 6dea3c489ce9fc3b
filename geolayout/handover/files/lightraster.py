"""The cells of a light map, and the map as a raster."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.appraisal.light.area import LightMap
from geolayout.errors import FileError, PlanError
from geolayout.handover.files.ratemaps import CellGrid, cells_of, cog_bytes
from geolayout.handover.wholefile import replaced_file
from geolayout.land.frames.mapgrid import MapGrid
from geolayout.layout.build import Layout

__all__ = [
    "CELL",
    "LightCells",
    "check_raster_name",
    "light_cells",
    "light_raster",
    "write_light_raster",
]

CELL = 2.0
"""Side of a cell, if the field is not too large. Our own choice. [m]"""

USUAL_CELLS = 100_000
"""Cells within the field up to which they are so small. Our own choice. [-]"""

MOST_CELLS = 1_000_000
"""Cells within the field that may be asked for: some minutes. Our own choice. [-]"""

ENDINGS = (".tif", ".tiff")

OUTSIDE = -1.0
"""Value of cells outside the field."""


@dataclass(frozen=True, slots=True, eq=False)
class LightCells:
    """
    Cells over a field.

    Attributes
    ----------
    grid : CellGrid
        All of them, on a map grid.
    inside : ndarray of bool, shape (rows, columns)
        Which have their middle on the field.
    xy : ndarray, shape (n, 2)
        Middles of those, row by row, in the field's frame. [m]
    """

    grid: CellGrid
    inside: NDArray[np.bool_]
    xy: NDArray[np.float64]

    @property
    def area(self) -> float:
        """Of a cell. [m2]"""
        return self.grid.cell**2

    def spread(self, values: NDArray[np.float64], nothing: float) -> NDArray[np.float64]:
        """Return values of the cells inside as a grid, shape (rows, columns)."""
        found = np.full(self.inside.shape, nothing)
        found[self.inside] = values
        return found

    def corners(self, layout: Layout) -> NDArray[np.float64]:
        """Return the corners of all cells in the frame, shape (rows + 1, columns + 1, 2). [m]"""
        grid = self.grid
        return _places(layout, grid, 0.0, 1).reshape(grid.rows + 1, grid.columns + 1, 2)


def light_cells(layout: Layout, grid: MapGrid, cell: float | None = None) -> LightCells:
    """
    Return the cells of a light map.

    Parameters
    ----------
    layout : Layout
        The layout.
    grid : MapGrid
        Map grid of their edges.
    cell : float, optional
        Side of a cell; 2 m if nothing is said, doubled on a field with more than 100,000. [m]

    Raises
    ------
    PlanError
        If there would be more than a million of them, or none.
    """
    area = layout.field.area
    side = CELL if cell is None else cell
    while cell is None and area > USUAL_CELLS * side**2:
        side *= 2.0
    if area > MOST_CELLS * side**2:
        raise PlanError(
            f"Cells of {side:g} m are {area / side**2:,.0f} on this field.",
            f"A map of light has {MOST_CELLS:,} at most.",
            f"Ask for cells of {np.ceil(10.0 * np.sqrt(area / MOST_CELLS)) / 10.0:g} m or more.",
        )
    cells = cells_of(layout, grid, cell=side)
    xy = _places(layout, cells, 0.5, 0)
    within = shapely.contains_xy(layout.field.land, xy[:, 0], xy[:, 1])
    if not within.any():
        raise PlanError(
            f"No cell of {side:g} m has its middle on the field.",
            "They are larger than the field.",
            "Ask for smaller ones.",
        )
    return LightCells(cells, within.reshape(cells.rows, cells.columns), xy[within])


def _places(layout: Layout, cells: CellGrid, first: float, more: int) -> NDArray[np.float64]:
    """Return places a cell apart in the frame, row by row; `first` is in cells from the edge."""
    rows, columns = np.arange(cells.rows + more), np.arange(cells.columns + more)
    down, right = (one + first for one in np.meshgrid(rows, columns, indexing="ij"))
    east = cells.west + cells.cell * right.ravel()
    north = cells.north - cells.cell * down.ravel()
    lonlat = cells.grid.lonlat(np.stack([east, north], axis=1))
    return np.asarray(layout.field.frame.metres(lonlat))


def light_raster(told: LightMap, cells: LightCells) -> bytes:
    """
    Return a light map as a Cloud Optimized GeoTIFF.

    Parameters
    ----------
    told : LightMap
        Light at the middles of the cells.
    cells : LightCells
        The cells.

    Returns
    -------
    content : bytes
        Three bands of 32-bit shares of open light: both together, from the sun, from the sky; -1,
        no data, outside the field.
    """
    shares = (told.light, told.direct, told.diffuse)
    bands = np.stack([cells.spread(one, OUTSIDE) for one in shares]).astype("float32")
    names = ("share of open light", "of the sun's", "of the sky's")
    first, last = told.months
    tags = {
        "YEARS_AFTER_PLANTING": f"{told.year:g}",
        "MONTHS": f"{first} to {last}",
        "TREES": str(told.trees),
        "HEIGHT_M": f"{told.height:.2f}",
    }
    return cog_bytes(bands, cells.grid, OUTSIDE, {"names": names, "tags": tags})


def check_raster_name(path: Path) -> None:
    """
    Make sure that a file's name says that it is a raster.

    Raises
    ------
    FileError
        If it does not.
    """
    if path.suffix.lower() not in ENDINGS:
        raise FileError(
            f"The raster is to be called {path.name}.",
            "It is written as GeoTIFF.",
            "Let the name end in .tif.",
        )


def write_light_raster(told: LightMap, cells: LightCells, path: Path) -> None:
    """
    Write a light map as a Cloud Optimized GeoTIFF, whole or not at all.

    Parameters
    ----------
    told : LightMap
        Light at the middles of the cells.
    cells : LightCells
        The cells.
    path : Path
        File ending in ``.tif`` or ``.tiff``.

    Raises
    ------
    FileError
        If the name ends otherwise, or the file cannot be written.
    """
    check_raster_name(path)
    content = light_raster(told, cells)
    try:
        replaced_file(path, content)
    except FileError:
        raise
    except OSError as error:
        raise FileError(
            f"{path} cannot be written.", f"The system says: {error.strerror}.", "Look at its name."
        ) from error
