"""
Rates as a grid of cells in degrees, for terminals that cannot read zones drawn as areas.

Rows of cells run from south to north, cells from west to east, the first at the least latitude and
longitude. Every cell takes the rate at its middle. Type 1 holds the code of a zone in a byte, type
2 the rate of each product in four bytes, little end first.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from xml.etree.ElementTree import Element  # written, never parsed

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.handover.files.rateground import OperationRates
from geolayout.handover.taskdata.elements import element
from geolayout.handover.taskdata.rates import QUANTITIES
from geolayout.handover.taskdata.tasks import NOUGHT
from geolayout.land.frames.frame import Frame

__all__ = ["CELL", "MOST_CELLS", "Grid", "grid_of", "with_grid"]

CELL = 1.0
"""Side of a cell, if the field is not too large. Our own choice. [m]"""

MOST_CELLS = 100_000
"""Cells of a grid; a larger field has larger cells. Terminals have limits, which differ. [-]"""

DECIMALS = 9
"""Of a degree, the most that the schema allows."""

OF_ZONES, OF_RATES = 1, 2
"""Kinds of grid (schema V4-3)."""


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """
    Codes of zones on cells.

    Attributes
    ----------
    south, west : float
        Where the first cell begins. [degrees]
    north_step, east_step : float
        Size of a cell. [degrees]
    codes : ndarray of uint8, shape (rows, columns)
        Number of the zone, south first; 0 where nothing is sown.
    """

    south: float
    west: float
    north_step: float
    east_step: float
    codes: NDArray[np.uint8]


def grid_of(zones: Sequence[BaseGeometry], frame: Frame, *, cell: float = CELL) -> Grid:
    """
    Return zones as cells.

    Parameters
    ----------
    zones : sequence of Polygon or MultiPolygon
        On WGS 84, without overlap; the first has code 1. [degrees]
    frame : Frame
        Of the field.
    cell : float, default 1
        Side of a cell; larger where there would be more cells than ``MOST_CELLS``. [m]

    Returns
    -------
    grid : Grid
        Round all zones.
    """
    import rasterio  # noqa: PLC0415  # its own GDAL, and 0.3 s
    from rasterio.features import rasterize  # noqa: PLC0415

    west, south, east, north = (float(x) for x in shapely.total_bounds(np.array(zones)))
    west, south = round(west, DECIMALS), round(south, DECIMALS)
    metre_north, metre_east = _metre(frame)
    size = max(cell, _least_cell((east - west) / metre_east, (north - south) / metre_north))
    steps = round(size * metre_north, DECIMALS), round(size * metre_east, DECIMALS)
    rows, columns = ceil((north - south) / steps[0]), ceil((east - west) / steps[1])
    # A raster counts rows from the top; ours begin in the south, so its steps go up.
    codes = rasterize(
        [(zone, code) for code, zone in enumerate(zones, NOUGHT + 1)],
        out_shape=(rows, columns),
        transform=rasterio.Affine(steps[1], 0.0, west, 0.0, steps[0], south),
        fill=NOUGHT,
        dtype="uint8",
    )
    return Grid(south, west, steps[0], steps[1], codes)


def _metre(frame: Frame) -> tuple[float, float]:
    """Return a metre north and a metre east at the middle of the field. [degrees]"""
    reach = 100.0
    places = frame.lonlat(np.array([(0.0, -reach), (0.0, reach), (-reach, 0.0), (reach, 0.0)]))
    lon, lat = places.T
    return float(lat[1] - lat[0]) / (2 * reach), float(lon[3] - lon[2]) / (2 * reach)


def _least_cell(across: float, along: float) -> float:
    """Return the side of a cell with which the grid has as many cells as it may. [m]"""
    # One row and one column more, as neither side is a whole number of cells.
    least = sqrt(across * along / MOST_CELLS)
    return sqrt((across + least) * (along + least) / MOST_CELLS) * (1.0 + 1e-6)


def with_grid(
    task: Element, rates: OperationRates, grid: Grid, number: int, kind: int = OF_RATES
) -> bytes:
    """
    Put a grid in place of the drawn zones of a task.

    Parameters
    ----------
    task : Element
        A task with zones; changed.
    rates : OperationRates
        Its products and zones.
    grid : Grid
        Of these zones.
    number : int
        Of the file, from 1.
    kind : int, default 2
        1 for codes of zones, 2 for rates.

    Returns
    -------
    content : bytes
        Of the file ``GRD`` with five digits and ``.bin``.
    """
    content = _codes(grid) if kind == OF_ZONES else _values(rates, grid)
    for zone in list(task.iter("TZN")):
        for area in list(zone.iter("PLN")):
            zone.remove(area)
        if kind == OF_RATES and zone.get("A") != str(NOUGHT):
            task.remove(zone)
    rows, columns = grid.codes.shape
    told = {
        "A": f"{grid.south:.{DECIMALS}f}",
        "B": f"{grid.west:.{DECIMALS}f}",
        "C": f"{grid.north_step:.{DECIMALS}f}",
        "D": f"{grid.east_step:.{DECIMALS}f}",
        "E": columns,
        "F": rows,
        "G": f"GRD{number:05d}",
        "H": len(content),
        "I": kind,
        "J": NOUGHT if kind == OF_RATES else None,
    }
    task.append(element("GRD", told))
    return content


def _codes(grid: Grid) -> bytes:
    """Return a byte a cell."""
    return grid.codes.tobytes()


def _values(rates: OperationRates, grid: Grid) -> bytes:
    """Return for each cell the rate of each product, as the zone named by the grid lists them."""
    sown = [zone.rate for zone in rates.zones[:-1] if not zone.wide.is_empty]
    raw = [
        [QUANTITIES[one.unit].raw(rate) for one, rate in zip(rates.products, row, strict=True)]
        for row in [rates.zones[-1].rate, *sown]
    ]
    return np.array(raw, dtype="<i4")[grid.codes].tobytes()
