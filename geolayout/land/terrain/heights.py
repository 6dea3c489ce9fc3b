"""
Terrain out of the raster files people bring, through rasterio.

What the file does not say is asked for and not guessed: a coordinate system, a unit of height.
What makes heights less than they look is told: cells too coarse, whole metres, gaps.
"""

from collections.abc import Iterator
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
from geolayout.land.terrain.terrain import Terrain, points_over

if TYPE_CHECKING:
    import rasterio

__all__ = ["UNITS", "read_terrain"]

UNITS = {"m": 1.0, "ft": 0.3048, "us-ft": 1200.0 / 3937.0, "cm": 0.01, "dm": 0.1}
"""Units of height by the word for them. Feet: the international foot of 1959, the US survey
foot of 1893. [m]"""

_UNIT_WORDS = {
    "m": "m", "metre": "m", "meter": "m", "metres": "m", "meters": "m",
    "ft": "ft", "foot": "ft", "feet": "ft", "international foot": "ft",
    "us-ft": "us-ft", "us survey foot": "us-ft", "us_survey_foot": "us-ft", "ftus": "us-ft",
    "cm": "cm", "centimetre": "cm", "centimeter": "cm", "dm": "dm",
}  # fmt: skip

LOWEST, HIGHEST = -450.0, 9000.0
"""Land lies between these, from the shore of the Dead Sea to Everest (from memory). [m]"""

ROUND_ABOUT = 60.0
"""How far beyond the field heights are read, or three cells if that is more. [m]"""

COARSE = 10.0
"""From this size of cell on a person is told what it hides. Our own choice. [m]"""

MOST_CELLS = 4_000_000
"""More cells round one field than this are thinned by the reader. [-]"""

STRAIGHT = 0.05
"""How far a cell may lie off the straight fit between frame and grid. [cells]"""

Floats = NDArray[np.float64]


def read_terrain(
    path: str | Path, field: Field, *, crs: str | None = None, unit: str | None = None
) -> tuple[Terrain, tuple[Finding, ...]]:
    """
    Read the heights round a field.

    Parameters
    ----------
    path : path
        A raster that GDAL reads, such as GeoTIFF; its first band holds heights.
    field : Field
        The field.
    crs : str, optional
        Coordinate system of a file that states none.
    unit : str, optional
        Unit of height, one of ``UNITS``; goes before what the file says.

    Returns
    -------
    terrain : Terrain
    findings : tuple of Finding
        What a person should know of these heights.

    Raises
    ------
    FileError
        If the file cannot be read, states no coordinate system, does not cover the field, or
        its cells are so large that no slope can be told.
    """
    name = Path(path).name
    with opened(Path(path), "heights") as sheet:
        system = flat_system(sheet, crs, name, "heights")
        heights, to_cells = _round_field(sheet, system, field, name)
        factor, said = _unit(sheet, unit, name)
    heights = heights * factor
    odd = (heights < LOWEST) | (heights > HIGHEST)
    heights[odd] = np.nan
    terrain = Terrain(heights, to_cells, name)
    return terrain, (*said, *_remarks(terrain, field, int(odd.sum())))


def _unit(
    sheet: "rasterio.DatasetReader", stated: str | None, name: str
) -> tuple[float, tuple[Finding, ...]]:
    """Return metres for one unit of height, and how that is known."""
    if stated is not None:
        if stated not in UNITS:
            raise FileError(
                f"Heights are said to be in {stated!r}.",
                "That is no unit of height that is known here.",
                f"Use one of: {', '.join(UNITS)}.",
            )
        return UNITS[stated], ()
    word = (sheet.units[0] or _vertical_unit(sheet) or "").strip().casefold()
    if word in _UNIT_WORDS:
        unit = _UNIT_WORDS[word]
        if unit == "m":
            return 1.0, ()
        sentence = f"Heights of {name} are in {word}, as it says, and were turned into metres."
        return UNITS[unit], (Finding("unit of height", sentence),)
    sentence = f"{name} does not say what unit its heights are in; they were taken for metres."
    question = "Are the heights in metres? If not, say terrain_unit."
    return 1.0, (Finding("unit of height", sentence, question=question),)


def _vertical_unit(sheet: "rasterio.DatasetReader") -> str:
    """Return the unit of the vertical part of a compound system, "" where there is none."""
    if sheet.crs is None:
        return ""
    crs = CRS.from_wkt(sheet.crs.to_wkt())
    if not crs.is_compound:
        return ""
    axes = [axis for part in crs.sub_crs_list[1:] for axis in part.axis_info]
    return axes[0].unit_name if axes else ""


def _round_field(
    sheet: "rasterio.DatasetReader", crs: CRS, field: Field, name: str
) -> tuple[Floats, Floats]:
    """Return the heights round a field, and how the frame turns into their cells."""
    fitted = _fitted(sheet, crs, field, name)
    if fitted is None:
        return _warped(sheet, crs, field, name)
    to_pixels = fitted
    size = float(np.hypot(*np.linalg.inv(to_pixels[:, :2])).max())
    near = max(ROUND_ABOUT, 3.0 * size)
    corners = shapely.get_coordinates(shapely.box(*_widened(field, near)))
    edges = _edges(sheet, (to_pixels[:, :2] @ corners.T + to_pixels[:, 2:]).T, name)
    moved = to_pixels.copy()
    moved[:, 2] -= edges[:2]
    return _window(sheet, edges), moved


def _edges(sheet: "rasterio.DatasetReader", pixels: Floats, name: str) -> tuple[int, int, int, int]:
    """Return first column, first row, and those after the last, of the cells round pixels."""
    # A hair more, so that cells written out and read again are the same ones.
    low, high = np.floor(pixels.min(axis=0) - STRAIGHT), np.ceil(pixels.max(axis=0) + STRAIGHT) + 1
    first, top = np.maximum(low, 0).astype(int).tolist()
    last, bottom = np.minimum(high, [sheet.width, sheet.height]).astype(int).tolist()
    if first >= last or top >= bottom:
        raise _elsewhere(name)
    return first, top, last, bottom


def _fitted(sheet: "rasterio.DatasetReader", crs: CRS, field: Field, name: str) -> Floats | None:
    """
    Fit columns and rows of the grid to the frame, (0, 0) at the first cell's centre.

    Over one field the frame and a projected grid differ by a turn, a stretch and a step only. A
    grid in degrees does not fit so well, and is resampled instead: None.
    """
    xs, ys = (
        np.linspace(a, b, 5) for a, b in zip(*_pairs(_widened(field, ROUND_ABOUT)), strict=True)
    )
    xy = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    pixels = _pixels(sheet, crs, field.frame, xy, name)
    sides = np.column_stack([xy, np.ones(len(xy))])
    found, *_ = np.linalg.lstsq(sides, pixels, rcond=None)
    off = np.abs(sides @ found - pixels).max()
    return np.asarray(found.T) if off <= STRAIGHT and not crs.is_geographic else None


def _pixels(
    sheet: "rasterio.DatasetReader", crs: CRS, frame: Frame, xy: Floats, name: str
) -> Floats:
    """Return column and row of points of the frame, (0, 0) at the first cell's centre."""
    try:
        lonlat = frame.lonlat(xy)
        there = Transformer.from_crs("EPSG:4326", crs, always_xy=True)
        x, y = there.transform(lonlat[:, 0], lonlat[:, 1])
    except ProjError as error:
        raise _elsewhere(name) from error
    matrix = cell_matrix(sheet)
    off = np.column_stack([x, y]) - matrix[:, 2]
    pixels = off @ np.linalg.inv(matrix[:, :2]).T - 0.5
    if not np.isfinite(pixels).all():
        raise _elsewhere(name)
    return pixels


def _window(sheet: "rasterio.DatasetReader", edges: tuple[int, int, int, int]) -> Floats:
    """Read cells, those without data as not a number."""
    first, top, last, bottom = edges
    if (last - first) * (bottom - top) > MOST_CELLS:
        raise FileError(
            f"The heights round the field are {(last - first) * (bottom - top):,} cells.",
            f"More than {MOST_CELLS:,} are not read: such cells are finer than any machine steers.",
            "Resample the file to cells of 1 m or more.",
        )
    cells = sheet.read(1, window=((top, bottom), (first, last)), masked=True)
    return np.ma.filled(cells.astype(np.float64), np.nan)


def _warped(
    sheet: "rasterio.DatasetReader", crs: CRS, field: Field, name: str
) -> tuple[Floats, Floats]:
    """Resample a grid in degrees to square cells of the frame."""
    from rasterio.enums import Resampling  # noqa: PLC0415
    from rasterio.transform import Affine  # noqa: PLC0415
    from rasterio.warp import reproject  # noqa: PLC0415

    step = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    pixels = _pixels(sheet, crs, field.frame, step, name)
    sides = np.hypot(*np.linalg.inv((pixels[1:] - pixels[0]).T))
    size = float(sides.max())
    box = _widened(field, max(ROUND_ABOUT, 3.0 * size))
    corners = shapely.get_coordinates(shapely.box(*box))
    edges = _edges(sheet, _pixels(sheet, crs, field.frame, corners, name), name)
    west, south, east, north = box
    shape = int(np.ceil((north - south) / size)), int(np.ceil((east - west) / size))
    heights = np.full(shape, np.nan)
    matrix = cell_matrix(sheet)
    matrix[:, 2] += matrix[:, :2] @ edges[:2]
    reproject(
        _window(sheet, edges),
        heights,
        src_transform=Affine(*matrix.ravel()),
        src_crs=crs.to_wkt(),
        src_nodata=np.nan,
        dst_transform=Affine(size, 0.0, west, 0.0, -size, north),
        dst_crs=CRS.from_user_input(field.frame.definition).to_wkt(),
        dst_nodata=np.nan,
        resampling=Resampling.bilinear,
    )
    to_cells = np.array([[1 / size, 0, -west / size - 0.5], [0, -1 / size, north / size - 0.5]])
    return heights, to_cells


def _widened(field: Field, by: float) -> tuple[float, float, float, float]:
    west, south, east, north = shapely.bounds(field.land).tolist()
    return west - by, south - by, east + by, north + by


def _pairs(bounds: tuple[float, float, float, float]) -> tuple[tuple[float, float], ...]:
    west, south, east, north = bounds
    return (west, south), (east, north)


def _elsewhere(name: str) -> FileError:
    return FileError(
        f"{name} does not cover the field.",
        "There is no height under it.",
        "Look at its coordinate system, or take the sheet that the field lies on.",
    )


def _remarks(terrain: Terrain, field: Field, odd: int) -> Iterator[Finding]:
    """Say what makes these heights less than they look; refuse those that say nothing."""
    xy = points_over(field.land, terrain.cell, 20)
    known = np.isfinite(terrain.slope(xy))
    share = float(known.mean()) if len(known) else 0.0
    if share == 0.0:
        if np.isfinite(terrain.height(xy)).any():
            raise FileError(
                f"The cells of {terrain.source} are {terrain.cell:.1f} m wide.",
                "A slope needs the eight cells round each, and none under the field has them.",
                "Take a file with finer cells, or one that reaches farther beyond the field.",
            )
        raise _elsewhere(terrain.source)
    if odd:
        yield Finding(
            "odd heights",
            f"{odd} cells of {terrain.source} hold heights that no land has (below "
            f"{LOWEST:g} m or above {HIGHEST:g} m), and were taken for gaps.",
        )
    if share < 1.0:
        yield Finding(
            "heights missing",
            f"{terrain.source} gives no slope for {100 * (1 - share):.1f} % of the field.",
        )
    if terrain.cell >= COARSE:
        yield Finding(
            "coarse heights",
            f"Cells of {terrain.source} are {terrain.cell:.1f} m wide: a hollow or bank narrower "
            f"than some {2 * terrain.cell:.0f} m is not in it.",
        )
    here = terrain.heights[np.isfinite(terrain.heights)]
    if (here == np.round(here)).all() and np.ptp(here) > 0.0:
        yield Finding(
            "whole metres",
            f"Heights of {terrain.source} are whole metres: on gentle ground slopes come in "
            "steps that are not there.",
        )
