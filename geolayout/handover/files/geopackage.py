"""GeoPackage: every layer of a layout in one file, with its look, for a GIS."""

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import shapely
from pyproj import CRS

from geolayout.appraisal.caution import Caution
from geolayout.handover.files.gisstyles import style_of, style_xml
from geolayout.handover.files.hazardmarks import hazard_marks
from geolayout.handover.pictures.looks import ground_looks
from geolayout.handover.tables import on_wgs84
from geolayout.layout.build import Layout

__all__ = ["feature_tables", "field_table", "geometry_type", "hazard_table", "write_geopackage"]

FIXED_DATE = "2000-01-01T00:00:00.000Z"
"""Date in the file: it tells of the layout, not of the day it was written."""

VERSION = "1.3"

_GDAL = {
    "OGR_CURRENT_DATE": FIXED_DATE,
    "OGR_SQLITE_SYNCHRONOUS": "OFF",
    "OGR_SQLITE_JOURNAL": "OFF",
}

_STYLES = """
CREATE TABLE layer_styles (
 id INTEGER PRIMARY KEY, f_table_catalog TEXT(256), f_table_schema TEXT(256),
 f_table_name TEXT(256), f_geometry_column TEXT(256), styleName TEXT(30), styleQML TEXT,
 styleSLD TEXT, useAsDefault BOOLEAN, description TEXT, owner TEXT(30), ui TEXT(30),
 update_time DATETIME
)
"""

_CONTENTS = """
INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change)
VALUES ('layer_styles', 'attributes', 'layer_styles', 'How the layers look', ?)
"""


_STYLE = "INSERT INTO layer_styles VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"


def write_geopackage(layout: Layout, tables: Mapping[str, gpd.GeoDataFrame], path: Path) -> None:
    """
    Write tables as the layers of one file.

    Parameters
    ----------
    layout : Layout
        The layout they are of.
    tables : mapping of str to GeoDataFrame
        On WGS 84, by the name of the layer; all points, all lines or all areas. An empty one is
        left out, but for the hazards: that none has a place is told by an empty layer. [degrees]
    path : Path
        File to write, ending in ``.gpkg``; must not be there.
    """
    import pyogrio  # noqa: PLC0415  # its own GDAL

    filled = {name: table for name, table in tables.items() if len(table) or name == "hazards"}
    with _settings():
        for name, table in filled.items():
            pyogrio.write_dataframe(
                table,
                path,
                layer=name,
                driver="GPKG",
                append=path.exists(),
                geometry_type=geometry_type(table),
                dataset_options={} if path.exists() else {"VERSION": VERSION},
            )
    _add_styles(layout, filled, path)


@contextmanager
def _settings() -> Iterator[None]:
    """Keep the day out of the file, and the disk from waiting: the folder is synced as a whole."""
    import pyogrio  # noqa: PLC0415  # its own GDAL

    before = {name: pyogrio.get_gdal_config_option(name) for name in _GDAL}
    pyogrio.set_gdal_config_options(_GDAL)
    try:
        yield
    finally:
        pyogrio.set_gdal_config_options(before)


def geometry_type(table: gpd.GeoDataFrame) -> str:
    """Return what a layer holds; points where it is empty."""
    kinds: set[str] = set(table.geometry.geom_type)
    if len(kinds) > 1:  # an area that touches itself in degrees is a multiple one
        return next(kind for kind in kinds if kind.startswith("Multi"))
    return kinds.pop() if kinds else "Point"


def _add_styles(layout: Layout, tables: Mapping[str, gpd.GeoDataFrame], path: Path) -> None:
    """Put the looks of the layers beside them."""
    looks = ground_looks(layout.ground)
    stands = {stand: look.tint for (kind, stand), look in looks.items() if kind == "band"}
    rows: list[tuple[Any, ...]] = []
    for i, (name, table) in enumerate(tables.items(), 1):
        shapes = np.asarray(table.geometry.array, dtype=object)
        text = style_xml(style_of(name, stands), shapes)
        rows.append(
            (i, "", "", name, "geom", name, text, "", True, "", "", "", FIXED_DATE),
        )
    with closing(sqlite3.connect(path)) as file, file:
        file.execute("PRAGMA synchronous = OFF")
        file.execute("PRAGMA journal_mode = OFF")
        file.execute(_STYLES)
        file.execute(_CONTENTS, (FIXED_DATE,))
        file.executemany(_STYLE, rows)


def field_table(layout: Layout) -> gpd.GeoDataFrame:
    """Return the field: its outline on WGS 84, `name` and `area_m2`, the area of record. [m2]"""
    columns = {"name": [layout.field.name], "area_m2": [round(layout.field.area, 3)]}
    return gpd.GeoDataFrame(columns, geometry=[layout.field.boundary], crs="EPSG:4326")


def hazard_table(layout: Layout, cautions: Sequence[Caution]) -> gpd.GeoDataFrame:
    """
    Return the hazards that have a place.

    Returns
    -------
    table : GeoDataFrame
        Columns `letter` (as on the map), `hazard`, `sentence`, `remedy`, `acknowledged`, and points
        on WGS 84. [degrees]
    """
    marks = hazard_marks(cautions, layout.field.frame)
    columns = {
        "letter": [mark.letter for mark in marks],
        "hazard": [mark.kind for mark in marks],
        "sentence": [mark.sentence for mark in marks],
        "remedy": [mark.remedy for mark in marks],
        "acknowledged": [mark.acknowledged for mark in marks],
    }
    own = {name: np.array(column, dtype=object) for name, column in columns.items()}
    points = [shapely.Point(mark.lonlat) for mark in marks]
    return gpd.GeoDataFrame(own, geometry=points, crs="EPSG:4326")


def feature_tables(layout: Layout) -> dict[str, gpd.GeoDataFrame]:
    """
    Return what stands in the field, by what it is drawn as.

    Returns
    -------
    tables : dict of str to GeoDataFrame
        Of points, lines and areas, on WGS 84, with `kind`, `name`, `half_width_m`,
        `keep_clear_m`, `keep_trees_m` and `keep_turning_m` (each side, 0 where nothing was said).
    """
    features = layout.field.features
    parts = [(one, part) for one in features for part in shapely.get_parts(one.geometry)]
    found = {}
    for dimension, name in enumerate(("features_points", "features_lines", "features_areas")):
        mine = [(f, part) for f, part in parts if shapely.get_dimensions(part) == dimension]
        columns = {
            "kind": [f.kind for f, _ in mine],
            "name": [f.name for f, _ in mine],
            "half_width_m": [f.half_width for f, _ in mine],
            "keep_clear_m": [f.keep_clear.all for f, _ in mine],
            "keep_trees_m": [f.keep_clear.trees for f, _ in mine],
            "keep_turning_m": [f.keep_clear.turning for f, _ in mine],
        }
        local = CRS.from_user_input(layout.field.frame.definition)
        table = gpd.GeoDataFrame(columns, geometry=[part for _, part in mine], crs=local)
        found[name] = on_wgs84(table, layout.field.frame)
    return found
