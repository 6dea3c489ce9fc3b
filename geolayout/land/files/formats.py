"""Which module reads which kind of file."""

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

import shapely

from geolayout.land.files.corners import read_corners
from geolayout.land.files.gdal import read_layer
from geolayout.land.files.geojson import read_geojson
from geolayout.land.files.gpx import read_gpx
from geolayout.land.files.limits import check_rows
from geolayout.land.files.parquet import read_parquet
from geolayout.land.files.sheet import Sheet
from geolayout.land.files.source import Source, find_source
from geolayout.land.files.taskdata import read_taskdata

__all__ = ["READERS", "read_sheet"]

Reader = Callable[[Source, str | None], Sheet]

READERS: Mapping[str, Reader] = MappingProxyType(
    {
        ".geojson": read_geojson,
        ".json": read_geojson,
        ".geojsons": read_geojson,
        ".geojsonl": read_geojson,
        ".ndjson": read_geojson,
        ".jsonl": read_geojson,
        ".csv": read_corners,
        ".tsv": read_corners,
        ".txt": read_corners,
        ".xml": read_taskdata,
        ".parquet": read_parquet,
        ".geoparquet": read_parquet,
        ".shp": read_layer,
        ".gpkg": read_layer,
        ".kml": read_layer,
        ".gml": read_layer,
        ".fgb": read_layer,
        ".dxf": read_layer,
        ".gpx": read_gpx,
    }
)
"""The reader of each kind, by the end of the file's name in lower case."""


def read_sheet(path: Path, layer: str | None) -> Sheet:
    """
    Read one layer of a file, as the file has it.

    Parameters
    ----------
    path : Path
        A file of a kind in ``READERS``, or an archive of some.
    layer : str or None
        Layer of the file, or file in the archive. Needed only where there are several.

    Returns
    -------
    sheet : Sheet

    Raises
    ------
    FileError
        If it cannot be found or read, holds too much, or the choice does not leave one layer.
    """
    source, layer = find_source(path, layer, READERS)
    sheet = READERS[source.suffix](source, layer)
    corners = sum(int(shapely.get_num_coordinates(row.geometry)) for row in sheet.rows)
    check_rows(source.name, len(sheet.rows), corners)
    return sheet
