"""Raster files opened through rasterio, their faults as one sentence, and where their cells lie."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS
from pyproj.exceptions import CRSError

from geolayout.errors import FileError

if TYPE_CHECKING:
    import rasterio

__all__ = ["cell_matrix", "flat_system", "opened"]


@contextmanager
def opened(path: Path, what: str) -> "Iterator[rasterio.DatasetReader]":
    """
    Open a raster.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What its first band holds, for messages: "heights".

    Yields
    ------
    sheet : rasterio.DatasetReader

    Raises
    ------
    FileError
        If it is not there or cannot be read.
    """
    import rasterio  # noqa: PLC0415  # its own GDAL, and 0.3 s
    from rasterio.errors import RasterioError  # noqa: PLC0415

    if not path.is_file():
        raise FileError(
            f"{path} is not there.", f"{what.capitalize()} are read from one file.", "Check it."
        )
    try:
        with rasterio.open(path) as sheet:
            yield sheet
    except RasterioError as error:
        raise FileError(
            f"{path.name} cannot be read as {what}.",
            f"The library that reads it says: {str(error).rstrip('.')}.",
            f"Export it again as GeoTIFF, one band of {what}.",
        ) from error


def flat_system(sheet: "rasterio.DatasetReader", stated: str | None, name: str, what: str) -> CRS:
    """
    Settle the coordinate system of a grid, its flat part.

    Parameters
    ----------
    sheet : rasterio.DatasetReader
        The open file.
    stated : str or None
        What the user says of it; goes before what the file says.
    name, what : str
        Name of the file and what it holds, for messages.

    Returns
    -------
    crs : CRS

    Raises
    ------
    FileError
        If neither says it, or it is not known.
    """
    if stated is None and sheet.crs is None:
        raise FileError(
            f"{name} states no coordinate system.",
            f"Without one nobody knows where these {what} are.",
            "State it, for example EPSG:25832.",
        )
    try:
        crs = CRS.from_user_input(stated) if stated else CRS.from_wkt(sheet.crs.to_wkt())
    except CRSError as error:
        raise FileError(
            f"The coordinate system of {name} is not known here.",
            f"{what.capitalize()} cannot be brought to the field.",
            "State it as an EPSG code, or export the file again.",
        ) from error
    return crs.sub_crs_list[0] if crs.is_compound else crs


def cell_matrix(sheet: "rasterio.DatasetReader") -> NDArray[np.float64]:
    """Return what turns column and row of a cell's corner into coordinates, shape (2, 3)."""
    return np.array(sheet.transform, dtype=np.float64).reshape(3, 3)[:2]
