"""Which module reads which kind of file."""

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from geolayout.land.files.gdal import read_layer
from geolayout.land.files.geojson import read_geojson
from geolayout.land.files.sheet import Sheet
from geolayout.land.files.source import Source, find_source

__all__ = ["READERS", "read_sheet"]

Reader = Callable[[Source, str | None], Sheet]

READERS: Mapping[str, Reader] = MappingProxyType(
    {
        ".geojson": read_geojson,
        ".json": read_geojson,
        ".shp": read_layer,
        ".gpkg": read_layer,
        ".kml": read_layer,
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
        If it cannot be found or read, or the choice does not leave one layer.
    """
    source, layer = find_source(path, layer, READERS)
    return READERS[source.suffix](source, layer)
