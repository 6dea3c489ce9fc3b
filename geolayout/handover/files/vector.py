"""Vector files: GeoJSON by RFC 7946 and shapefiles, the same bytes from the same layout."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geolayout.handover.files.vertices import AREA_DECIMALS, LINE_DECIMALS, rounded

__all__ = [
    "AREA_DECIMALS",
    "LINE_DECIMALS",
    "geojson_text",
    "write_geojson",
    "write_lines_shapefile",
    "write_shapefile",
]

LINE_COLUMNS = {
    "NAME": "str:80",
    "TYPE": "str:8",
    "WIDTH_M": "float:10.3",
    "SEQ": "int:6",
    "BEYOND_M": "float:10.3",
}
"""Columns of a shapefile of guidance lines."""

FIXED_DATE = "2000-01-01"
"""Date in the head of every DBF: a file tells of the layout, not of the day it was written."""


def write_geojson(table: gpd.GeoDataFrame, path: Path, decimals: int) -> None:
    """
    Write a table as GeoJSON.

    Parameters
    ----------
    table : GeoDataFrame
        On WGS 84, longitude first; its index gives the ids. [degrees]
    path : Path
        File to write.
    decimals : int
        Decimals of a degree.

    Raises
    ------
    ValueError
        If the table is not on WGS 84: a fault of the program.
    """
    path.write_bytes(geojson_text(table, decimals).encode())


def geojson_text(table: gpd.GeoDataFrame, decimals: int) -> str:
    """
    Return a table as the text of a GeoJSON file by RFC 7946.

    Outer rings run counter-clockwise, there is no `crs` member, what is not a number is null, and
    each feature stands on a line of its own.

    Parameters
    ----------
    table : GeoDataFrame
        On WGS 84, longitude first; its index gives the ids. [degrees]
    decimals : int
        Decimals of a degree.

    Raises
    ------
    ValueError
        If the table is not on WGS 84: a fault of the program.
    """
    if table.crs is None or table.crs.to_epsg() != 4326:
        message = f"the table is on {table.crs}, and GeoJSON on WGS 84"
        raise ValueError(message)
    shapes = rounded(np.asarray(table.geometry.array, dtype=object), decimals)
    names = [name for name in table.columns if name != table.geometry.name]
    columns = [_json_column(table[name]) for name in names]
    keys = ",".join(json.dumps(name) + ":{}" for name in names)
    line = '{{"type":"Feature","id":{},"properties":{{' + keys + '}},"geometry":{}}}'
    ids = [str(number) for number in table.index]
    drawn = shapely.to_geojson(shapes)
    features = ",\n".join(map(line.format, ids, *columns, drawn))
    return f'{{"type":"FeatureCollection",{_bbox(shapes)}"features":[\n{features}\n]}}\n'


def _bbox(shapes: NDArray[np.object_]) -> str:
    """Return the member that says west, south, east and north, where there is anything."""
    if not len(shapes):
        return ""
    return f'"bbox":{json.dumps(shapely.total_bounds(shapes).tolist())},'


def _json_column(column: "pd.Series[Any]") -> list[str]:
    """Return a column as JSON, each different word looked at once."""
    if pd.api.types.is_float_dtype(column):
        return ["null" if value != value else repr(value) for value in column.tolist()]  # noqa: PLR0124
    if pd.api.types.is_integer_dtype(column) and not pd.api.types.is_bool_dtype(column):
        return [str(value) for value in column.tolist()]
    said: dict[object, str] = {}
    values = column.tolist()
    for value in values:
        if value not in said:
            said[value] = json.dumps(value, ensure_ascii=False, allow_nan=False)
    return [said[value] for value in values]


def write_lines_shapefile(table: gpd.GeoDataFrame, path: Path) -> None:
    """
    Write guidance lines as a shapefile.

    Parameters
    ----------
    table : GeoDataFrame
        Columns `NAME`, `TYPE`, `WIDTH_M`, `SEQ` and `BEYOND_M`, two-point lines on WGS 84.
    path : Path
        File ending in ``.shp``.
    """
    write_shapefile(table, path, LINE_COLUMNS)


def write_shapefile(table: gpd.GeoDataFrame, path: Path, columns: Mapping[str, str]) -> None:
    """
    Write a table as a shapefile with exactly these columns, in UTF-8, with a fixed date.

    Parameters
    ----------
    table : GeoDataFrame
        On WGS 84, all lines or all areas. [degrees]
    path : Path
        File ending in ``.shp``; .shx, .dbf, .prj and .cpg stand beside it.
    columns : mapping of str to str
        Names of at most ten ASCII letters, and types as ``"float:12.3"``.
    """
    import fiona  # noqa: PLC0415  # 0.2 s at start-up, and its own GDAL

    shapes = np.asarray(table.geometry.array, dtype=object)
    areas = shapely.get_dimensions(shapes) == 2
    kind = "Polygon" if areas.any() else "LineString"
    records = table[list(columns)].to_dict("records")
    with fiona.open(
        path,
        "w",
        driver="ESRI Shapefile",
        crs="EPSG:4326",
        encoding="utf-8",
        schema={"geometry": kind, "properties": dict(columns)},
        DBF_DATE_LAST_UPDATE=FIXED_DATE,
    ) as sheet:
        sheet.writerecords(
            {"type": "Feature", "geometry": json.loads(text), "properties": record}
            for text, record in zip(shapely.to_geojson(shapes), records, strict=True)
        )
