"""
Maps of rate zones out of rasters: every cell a shape of its own, wherever its grid is at home.

The corners of the cells are brought to the field's frame one by one, so that a grid in degrees or
in feet, or one that is turned, needs no resampling. Cells far finer than any zone are put together
in squares by their mean: what they tell beyond it is the unrest of the sensor.
"""

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import ProjError

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.field import Field
from geolayout.land.frames.frame import Frame
from geolayout.land.terrain.rasterfile import cell_matrix, flat_system, opened
from geolayout.land.zones.map import ZoneMap

if TYPE_CHECKING:
    import rasterio

__all__ = ["read_zone_raster"]

MOST_CELLS = 400_000
"""More cells over one field than this are finer than any machine follows. Ours. [-]"""

HAIR = 0.01
"""Two cells of 6 m go into 12 m, whatever the grid's scale. [-]"""

EDGE = 10.0
"""Distance between points of the field's frame by which its cells are found. [m]"""

Floats = NDArray[np.float64]


def read_zone_raster(
    path: str | Path, field: Field, *, crs: str | None = None, finest: float = 0.0
) -> ZoneMap:
    """
    Read the cells of a raster that lie on a field.

    Parameters
    ----------
    path : path
        A raster that GDAL reads, such as GeoTIFF; its first band holds the values.
    field : Field
        The field.
    crs : str, optional
        Coordinate system of a file that states none.
    finest : float, default 0
        Cells of which two or more go into this width are put together. [m]

    Returns
    -------
    mapped : ZoneMap
        Cells without a value are left out.

    Raises
    ------
    FileError
        If the file cannot be read, states no coordinate system, or holds no value on the field.
    """
    name = Path(path).name
    with opened(Path(path), "values") as sheet:
        system = flat_system(sheet, crs, name, "values")
        window = _window(sheet, system, field, name)
        values = _values(sheet, window)
        corners = _corners(sheet, system, field.frame, window)
        told = _told(sheet, name)
    count = _together(corners, finest)
    values, corners = _means(values, count), _thinned(corners, count)
    cells = _cells(corners)
    if count > 1:
        sentence = f"Means of {count} x {count} cells of {name} were put into classes."
        told = (*told, Finding("means", sentence))
    shapely.prepare(field.land)
    values = values.ravel()
    mine = np.isfinite(values) & shapely.intersects(field.land, cells)
    if not mine.any():
        raise _elsewhere(name)
    size = float(np.sqrt(np.median(shapely.area(cells[mine]))))
    return ZoneMap(cells[mine], values[mine], name, size, told)


def _window(
    sheet: "rasterio.DatasetReader", crs: CRS, field: Field, name: str
) -> tuple[int, int, int, int]:
    """Return first column, first row, and those after the last, of the cells over a field."""
    box = shapely.segmentize(shapely.box(*shapely.bounds(field.land)), EDGE)
    try:
        lonlat = field.frame.lonlat(shapely.get_coordinates(box))
        there = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
        xy = np.column_stack(there.transform(lonlat[:, 0], lonlat[:, 1]))
    except ProjError as error:
        raise _elsewhere(name) from error
    matrix = cell_matrix(sheet)
    pixels = (xy - matrix[:, 2]) @ np.linalg.inv(matrix[:, :2]).T
    if not np.isfinite(pixels).all():
        raise _elsewhere(name)
    low, high = np.floor(pixels.min(axis=0)), np.ceil(pixels.max(axis=0))
    first, top = np.maximum(low, 0).astype(int).tolist()
    last, bottom = np.minimum(high, [sheet.width, sheet.height]).astype(int).tolist()
    if first >= last or top >= bottom:
        raise _elsewhere(name)
    if (last - first) * (bottom - top) > MOST_CELLS:
        raise FileError(
            f"{name} has {(last - first) * (bottom - top):,} cells over the field.",
            f"More than {MOST_CELLS:,} are not read: no machine changes its rate as often.",
            "Resample the file to cells of 2 m or more.",
        )
    return first, top, last, bottom


def _values(sheet: "rasterio.DatasetReader", window: tuple[int, int, int, int]) -> Floats:
    """Read cells, shape (rows, columns), those without data as not a number."""
    first, top, last, bottom = window
    cells = sheet.read(1, window=((top, bottom), (first, last)), masked=True)
    values = np.ma.filled(cells.astype(np.float64), np.nan)
    return np.asarray(values * sheet.scales[0] + sheet.offsets[0])


def _corners(
    sheet: "rasterio.DatasetReader", crs: CRS, frame: Frame, window: tuple[int, int, int, int]
) -> Floats:
    """Return the corners of cells in the frame, shape (rows + 1, columns + 1, 2). [m]"""
    first, top, last, bottom = window
    columns, rows = np.meshgrid(np.arange(first, last + 1), np.arange(top, bottom + 1))
    matrix = cell_matrix(sheet)
    xy = np.stack([columns.ravel(), rows.ravel()], axis=1) @ matrix[:, :2].T + matrix[:, 2]
    back = Transformer.from_crs(crs, "EPSG:4326", always_xy=True)
    lonlat = np.column_stack(back.transform(xy[:, 0], xy[:, 1]))
    return frame.metres(lonlat).reshape(*columns.shape, 2)


def _together(corners: Floats, finest: float) -> int:
    """Return how many cells in a row go into a width, one at least."""
    if finest == 0.0:
        return 1
    sides = np.linalg.norm(np.diff(corners, axis=1), axis=2)
    return max(1, int(finest / float(np.median(sides)) + HAIR))


def _starts(size: int, count: int) -> NDArray[np.intp]:
    """Return where squares of cells begin along one side."""
    return np.arange(0, size, count)


def _means(values: Floats, count: int) -> Floats:
    """Return the means of squares of cells; not a number where fewer than half hold a value."""
    held = np.isfinite(values)
    sums, counts, sizes = (
        np.add.reduceat(
            np.add.reduceat(part.astype(np.float64), _starts(values.shape[0], count), axis=0),
            _starts(values.shape[1], count),
            axis=1,
        )
        for part in (np.where(held, values, 0.0), held, np.ones_like(held))
    )
    enough = (counts > 0.0) & (2.0 * counts >= sizes)
    return np.asarray(np.where(enough, sums / np.maximum(counts, 1.0), np.nan))


def _thinned(corners: Floats, count: int) -> Floats:
    """Return the corners of squares of cells; the last ones may be smaller."""
    rows, columns = (np.append(_starts(n - 1, count), n - 1) for n in corners.shape[:2])
    return np.asarray(corners[np.ix_(rows, columns)])


def _cells(corners: Floats) -> NDArray[np.object_]:
    """Return the cells between corners, row by row, shape (n,)."""
    round_them = [corners[:-1, :-1], corners[1:, :-1], corners[1:, 1:], corners[:-1, 1:]]
    rings = np.stack([*round_them, round_them[0]], axis=2).reshape(-1, 5, 2)
    return np.asarray(shapely.polygons(rings), dtype=object)


def _told(sheet: "rasterio.DatasetReader", name: str) -> tuple[Finding, ...]:
    """Say that a file holds more than was taken."""
    if sheet.count == 1:
        return ()
    sentence = f"{name} has {sheet.count} bands of values; the first was taken."
    question = "Is it a map of values, and not a picture of one?"
    return (Finding("bands", sentence, question=question),)


def _elsewhere(name: str) -> FileError:
    return FileError(
        f"{name} holds no value on the field.",
        "It lies elsewhere, or all its cells here are empty.",
        "Look at its coordinate system, or take the map of this field.",
    )
