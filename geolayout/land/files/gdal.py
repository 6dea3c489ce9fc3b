"""Sheets that GDAL reads, through fiona: shapefile, GeoPackage, KML."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import shapely
from pyproj import CRS
from pyproj.exceptions import CRSError
from shapely.errors import ShapelyError

from geolayout.errors import FileError
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.files.source import Source

if TYPE_CHECKING:
    import fiona

__all__ = ["read_layer"]


def read_layer(source: Source, layer: str | None) -> Sheet:
    """
    Read one layer by GDAL.

    Parameters
    ----------
    source : Source
        Shapefile, GeoPackage or KML.
    layer : str or None
        Needed only where several layers hold shapes.

    Returns
    -------
    sheet : Sheet

    Raises
    ------
    FileError
        If the file cannot be read, lacks a part, or the choice does not leave one layer.
    """
    import fiona  # noqa: PLC0415  # 0.2 s at start-up, and its own GDAL

    encoding = _encoding(source) if source.suffix == ".shp" else None
    try:
        with fiona.Env(OGR_ORGANIZE_POLYGONS="DEFAULT"):
            name = _one_layer(source, layer, fiona.listlayers(source.location))
            with fiona.open(source.location, layer=name, encoding=encoding, **_ANY) as sheet:
                rows = tuple(_row(feature) for feature in sheet)
                return Sheet(source, rows, _stated_crs(sheet.crs_wkt))
    except (fiona.errors.FionaError, ShapelyError, CRSError) as error:
        raise FileError(
            f"{source.file.name} cannot be read.",
            f"The library that reads it says: {str(error).rstrip('.')}.",
            "Open it in the program it came from, and export it again.",
        ) from error


# GDAL can read KML, but fiona asks to be told that this is meant.
_ANY = {"allow_unsupported_drivers": True}


def _row(feature: "fiona.Feature") -> Row:
    shape = None if feature.geometry is None else shapely.geometry.shape(feature.geometry)
    if shape is not None and shape.is_empty:
        shape = None
    return Row(shape, dict(feature.properties), number=str(feature.id))


def _stated_crs(wkt: str) -> CRS | None:
    """Read the file's coordinate system; "undefined" ones are none."""
    crs = CRS.from_wkt(wkt) if wkt else None
    return None if crs is None or crs.name.casefold().startswith(("undefined", "unknown")) else crs


def _one_layer(source: Source, layer: str | None, names: Sequence[str]) -> str:
    """Settle which layer is meant."""
    if layer is not None and layer in names:
        return layer
    if layer is None and len(names) > 1:
        names = [name for name in names if _has_shapes(source, name)]
    if layer is None and len(names) == 1:
        return names[0]
    if not names:
        raise FileError(
            f"{source.file.name} holds no shapes.",
            "A KML file may only link to another.",
            "Save the shapes themselves into a file.",
        )
    raise FileError(
        f"{source.file.name} has {len(names)} layers: {', '.join(names)}.",
        "It must be plain which one is meant." if layer is None else f"None is called '{layer}'.",
        "Name one of them as the layer.",
    )


def _has_shapes(source: Source, name: str) -> bool:
    import fiona  # noqa: PLC0415  # as above

    with fiona.open(source.location, layer=name, **_ANY) as sheet:
        return bool(sheet.schema["geometry"] != "None" and len(sheet) > 0)


def _encoding(source: Source) -> str | None:
    """
    Check the parts of a shapefile, and tell the encoding of its text where no part does.

    Without a .cpg file UTF-8 text would be read as Latin, so UTF-8 is tried first.
    """
    if source.partner(".shx") is None:
        raise FileError(
            f"{source.file.name} came without its .shx file.",
            "A shapefile is several files of one name, and that one says where each shape starts.",
            "Copy the .shp, .shx, .dbf and .prj files together, or zip them.",
        )
    table = source.partner(".dbf")
    if table is None or source.partner(".cpg") is not None:
        return None
    content = table.content()
    try:
        content[int.from_bytes(content[8:10], "little") :].decode("utf-8")
    except UnicodeDecodeError:
        return None
    return "utf-8"
