"""
Files that are written only where somebody asks for them: each a folder that bears the word asked.

A folder that holds everything for everybody hides what one person needs, so these stay out of it.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from types import MappingProxyType

import geopandas as gpd

from geolayout.errors import FileError
from geolayout.handover.files.geopackage import geometry_type
from geolayout.handover.taskdata.folder import ASKED_FOLDERS

__all__ = ["ASKED", "FLATGEOBUF", "GEOPARQUET", "check_asked", "write_asked"]

FLATGEOBUF, GEOPARQUET = "flatgeobuf", "geoparquet"

ASKED = (FLATGEOBUF, GEOPARQUET, *ASKED_FOLDERS)
"""Words that can be asked for, and names of the folders."""

_PARQUET_VERSION = "1.1.0"
"""The first GeoParquet in which each shape has its bounds in a column."""


def check_asked(asked: Collection[str]) -> None:
    """
    Refuse what cannot be written, before anything is reckoned.

    Parameters
    ----------
    asked : collection of str
        Words of ``ASKED``.

    Raises
    ------
    FileError
        If a word is another, or GeoParquet is asked for and pyarrow is not installed.
    """
    unknown = [word for word in asked if word not in ASKED]
    if unknown:
        raise FileError(
            f"{unknown[0]!r} was asked for beside the usual files.",
            "No files of that name are known.",
            f"Ask for some of: {', '.join(ASKED)}.",
        )
    if GEOPARQUET in asked and find_spec("pyarrow") is None:
        raise FileError(
            "GeoParquet was asked for.",
            "The library pyarrow, which writes it, is not installed.",
            "Install pyarrow, or ask for flatgeobuf.",
        )


def write_asked(asked: Sequence[str], tables: Mapping[str, gpd.GeoDataFrame], folder: Path) -> None:
    """
    Write layers in the formats of tables that were asked for, one file a layer.

    Parameters
    ----------
    asked : sequence of str
        Words of ``ASKED``; those of task data are written elsewhere.
    tables : mapping of str to GeoDataFrame
        On WGS 84, by the name of the layer. An empty one is left out. [degrees]
    folder : Path
        An existing folder, in which one is made for each format.
    """
    for word, (ending, write) in _WRITERS.items():
        if word in asked:
            (folder / word).mkdir()
            for name, table in tables.items():
                if len(table):
                    write(table, folder / word / f"{name}.{ending}")


def _write_flatgeobuf(table: gpd.GeoDataFrame, path: Path) -> None:
    """Write one layer as FlatGeobuf, its features in the order of its index of places."""
    import pyogrio  # noqa: PLC0415  # its own GDAL

    kind = geometry_type(table)
    pyogrio.write_dataframe(
        table,
        path,
        layer=path.stem,
        driver="FlatGeobuf",
        geometry_type=kind,
        promote_to_multi=kind.startswith("Multi"),
    )


def _write_geoparquet(table: gpd.GeoDataFrame, path: Path) -> None:
    """Write one layer as GeoParquet, each shape with its bounds."""
    table.to_parquet(path, index=False, schema_version=_PARQUET_VERSION, write_covering_bbox=True)


_WRITERS: Mapping[str, tuple[str, Callable[[gpd.GeoDataFrame, Path], None]]] = MappingProxyType(
    {FLATGEOBUF: ("fgb", _write_flatgeobuf), GEOPARQUET: ("parquet", _write_geoparquet)}
)
"""Ending of the files, and what writes one."""
