"""Rasters that leave the house."""

import numpy as np
from pyproj import CRS

from geolayout.land.frames.frame import Frame
from geolayout.land.terrain.terrain import Terrain

__all__ = ["terrain_bytes"]


def terrain_bytes(terrain: Terrain, frame: Frame) -> bytes:
    """
    Write heights as a GeoTIFF in the field's own frame, cell by cell as they were read.

    Parameters
    ----------
    terrain : Terrain
        Heights.
    frame : Frame
        Of the field.

    Returns
    -------
    content : bytes
        GeoTIFF, 64-bit, metres; not a number where there is no height. Read again it gives the
        same cells at the same places.
    """
    import rasterio  # noqa: PLC0415  # its own GDAL, and 0.3 s
    from rasterio.io import MemoryFile  # noqa: PLC0415

    # From the corner of the first cell, half a cell before its centre.
    linear = np.linalg.inv(terrain.to_cells[:, :2])
    corner = linear @ (np.array([-0.5, -0.5]) - terrain.to_cells[:, 2])
    matrix = np.column_stack([linear, corner])
    rows, columns = terrain.heights.shape
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff",
            width=columns,
            height=rows,
            count=1,
            dtype="float64",
            crs=CRS.from_user_input(frame.definition).to_wkt(),
            transform=rasterio.Affine(*matrix.ravel()),
            nodata=np.nan,
            compress="deflate",
        ) as sheet:
            sheet.units = ("m",)
            sheet.write(terrain.heights, 1)
        return bytes(memory.getbuffer())
