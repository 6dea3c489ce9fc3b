"""
GeoJSON, read here and not by GDAL.

Its ids, its crs member of before RFC 7946 and unclosed rings are told to the user; GDAL keeps
them to itself.
"""

import json
from typing import Any

import shapely
from pyproj import CRS
from pyproj.exceptions import CRSError
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.finding import Finding

__all__ = ["read_geojson"]

_GEOMETRIES = ("Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon")


def read_geojson(source: Source, layer: str | None = None) -> Sheet:
    """
    Read a GeoJSON text.

    Parameters
    ----------
    source : Source
        The file.
    layer : str, optional
        Its own name; a GeoJSON file has no other layer.

    Returns
    -------
    sheet : Sheet
        One row for each feature; unclosed rings are closed, heights left behind.

    Raises
    ------
    FileError
        If it cannot be opened, is not GeoJSON, or another layer is asked for.
    """
    source.check_layer(layer)
    name = source.file.name
    try:
        data = json.loads(source.content().decode("utf-8-sig"), parse_constant=_no_number)
    except ValueError as error:
        raise _not_geojson(name, f"It breaks off as JSON: {error}.") from error
    kind = data.get("type") if isinstance(data, dict) else None
    if kind not in ("FeatureCollection", "Feature", "GeometryCollection", *_GEOMETRIES):
        raise _not_geojson(name, f"Its type is {kind!r}.")
    features = data.get("features") if kind == "FeatureCollection" else [data]
    if not isinstance(features, list):
        raise _not_geojson(name, "It has no list of features.")
    rows = tuple(_row(feature, i, name) for i, feature in enumerate(features, start=1))
    crs, said = _stated_crs(data, name)
    unclosed = sum(_unclosed(feature.get("geometry", feature)) for feature in features)
    if unclosed:
        sentence = f"{unclosed} rings of {name} did not end where they began, and were closed."
        said += (Finding("unclosed ring", sentence),)
    return Sheet(source, rows, crs, said)


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _not_geojson(name: str, why: str) -> FileError:
    return FileError(
        f"{name} is not GeoJSON that can be read.", why, "Export it again, as RFC 7946 GeoJSON."
    )


def _row(feature: dict[str, Any], number: int, name: str) -> Row:
    try:
        if feature["type"] != "Feature":
            return Row(_shape(feature), {})
        given = feature.get("id")
        return Row(
            _shape(feature["geometry"]),
            dict(feature.get("properties") or {}),
            None if given is None else str(given),
        )
    except (KeyError, IndexError, TypeError, AttributeError, ValueError, ShapelyError) as error:
        raise _not_geojson(name, f"Shape {number} cannot be built: {error}.") from error


def _shape(geometry: dict[str, Any] | None) -> BaseGeometry | None:
    if geometry is None:
        return None
    if geometry["type"] == "GeometryCollection":
        parts = [_shape(part) for part in geometry["geometries"]]
        return shapely.GeometryCollection([part for part in parts if part is not None])
    flat = {"type": geometry["type"], "coordinates": _flat(geometry["coordinates"])}
    shape = shapely.geometry.shape(flat)
    return None if shape.is_empty else shape


def _flat(coordinates: list[Any]) -> list[Any]:
    """Leave heights behind; they may be there for some corners only."""
    if coordinates and not isinstance(coordinates[0], list):
        return [float(value) for value in coordinates[:2]]
    return [_flat(part) for part in coordinates]


def _unclosed(geometry: dict[str, Any] | None) -> int:
    """Count the rings whose last corner is not the first."""
    if geometry is None:
        return 0
    if geometry["type"] == "GeometryCollection":
        return sum(_unclosed(part) for part in geometry["geometries"])
    drawn: list[Any] = geometry["coordinates"]
    polygons = {"Polygon": [drawn], "MultiPolygon": drawn}.get(geometry["type"], [])
    rings = [ring for polygon in polygons for ring in polygon]
    return sum(ring[0][:2] != ring[-1][:2] for ring in rings if ring)


def _stated_crs(data: dict[str, Any], name: str) -> tuple[CRS | None, tuple[Finding, ...]]:
    """Read the crs member of before RFC 7946; without one GeoJSON is WGS 84."""
    member = data.get("crs")
    if member is None:
        return WGS84, ()
    try:
        crs = CRS.from_user_input(member["properties"]["name"])
    except (KeyError, TypeError, CRSError) as error:
        raise _not_geojson(name, "Its crs member names no system that is known here.") from error
    if crs.equals(WGS84, ignore_axis_order=True) or crs.to_authority() == ("OGC", "CRS84"):
        return WGS84, ()
    sentence = f"{name} states {crs.name} in a crs member, as GeoJSON did before 2016: followed."
    return crs, (Finding("coordinate system", sentence),)
