"""
GeoJSON, and sequences of it, read here and not by GDAL.

Its ids, its crs member of before RFC 7946 and unclosed rings are told to the user; GDAL keeps
them to itself. A sequence (RFC 8142, or one text a line) is known by its content, not by the
end of its name, for it is often saved under the wrong one.
"""

import json
import math
import re
from collections.abc import Sequence
from reprlib import repr as brief
from typing import Any

import shapely
from pyproj import CRS
from pyproj.exceptions import CRSError
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.limits import check_json_size, check_rows
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.files.wording import library_words, shown

__all__ = ["read_geojson"]

_LEVELS = {
    "Point": 0,
    "MultiPoint": 1,
    "LineString": 1,
    "MultiLineString": 2,
    "Polygon": 2,
    "MultiPolygon": 3,
}  # lists round a corner, by the kind of shape: RFC 7946, 3.1.2 to 3.1.7

_DEEPEST = 4  # collections in a collection; RFC 7946, 3.1.8 asks for none

_BETWEEN = re.compile("[ \t\r\n\x1e]*")  # blanks of JSON, and the RS before each text (RFC 8142)


def read_geojson(source: Source, layer: str | None = None) -> Sheet:
    """
    Read a GeoJSON text, or a sequence of them.

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
    name = source.name
    content = source.content()
    check_json_size(name, content)
    texts = _texts(content, name)
    features = [feature for text in texts for feature in _features(text, name)]
    check_rows(name, len(features), 0)
    rows = tuple(_row(feature, i, name) for i, feature in enumerate(features, start=1))
    crs, said = _common_crs(texts, name)
    unclosed = sum(_unclosed(feature.get("geometry", feature)) for feature in features)
    if unclosed:
        sentence = f"{unclosed} rings of {name} did not end where they began, and were closed."
        said += (Finding("unclosed ring", sentence),)
    return Sheet(source, rows, crs, said)


def _texts(content: bytes, name: str) -> list[Any]:
    """Take the JSON texts of a file one by one; most files hold one."""
    decoder = json.JSONDecoder(object_pairs_hook=_object, parse_constant=_no_number)
    texts: list[Any] = []
    try:
        text = content.decode("utf-8-sig")
        start = _next(text, 0)
        while start < len(text) or not texts:
            value, end = decoder.raw_decode(text, start)
            texts.append(value)
            start = _next(text, end)
    except (ValueError, RecursionError) as error:
        deep = isinstance(error, RecursionError)
        reason = "its brackets are nested too deeply" if deep else library_words(error)
        where = f" in text {len(texts) + 1}" if texts else ""
        raise _not_geojson(name, f"It breaks off as JSON{where}: {reason}.") from error
    return texts


def _next(text: str, position: int) -> int:
    found = _BETWEEN.match(text, position)
    return found.end() if found else position


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Build an object; of two members with one name JSON leaves open which one holds."""
    members = dict(pairs)
    if len(members) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"an object has two members called {brief(twice)}")
    return members


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _not_geojson(name: str, why: str) -> FileError:
    return FileError(
        f"{name} is not GeoJSON that can be read.", why, "Export it again, as RFC 7946 GeoJSON."
    )


def _features(text: object, name: str) -> list[Any]:
    """Give the features, or bare shapes, of one text."""
    kind = text.get("type") if isinstance(text, dict) else None
    if kind not in ("FeatureCollection", "Feature", "GeometryCollection", *_LEVELS):
        raise _not_geojson(name, f"Its type is {brief(kind)}.")
    features = text.get("features") if isinstance(text, dict) else None
    if kind != "FeatureCollection":
        return [text]
    if not isinstance(features, list):
        raise _not_geojson(name, "It has no list of features.")
    return features


def _row(feature: object, number: int, name: str) -> Row:
    try:
        if not isinstance(feature, dict):
            raise ValueError(f"it is {brief(feature)} and no object")
        if feature.get("type") != "Feature":
            return Row(_shape(feature), {})
        if "geometry" not in feature:
            raise ValueError("it has no geometry member")
        given = feature.get("id")
        return Row(
            _shape(feature["geometry"]),
            _columns(feature.get("properties")),
            None if given is None else str(given),
        )
    except (IndexError, ValueError, ShapelyError) as error:
        raise _not_geojson(
            name, f"Shape {number} cannot be built: {library_words(error)}."
        ) from error


def _columns(properties: object) -> dict[str, Any]:
    if properties is None:
        return {}
    if not isinstance(properties, dict):
        raise ValueError(f"its properties are {brief(properties)} and no object")
    return properties


def _shape(geometry: object, depth: int = 0) -> BaseGeometry | None:
    if geometry is None:
        return None
    if not isinstance(geometry, dict):
        raise ValueError(f"its geometry is {brief(geometry)} and no object")
    kind = geometry.get("type")
    if kind == "GeometryCollection":
        return _collection(geometry.get("geometries"), depth)
    if not isinstance(kind, str) or kind not in _LEVELS:
        raise ValueError(f"{brief(kind)} is no kind of shape")
    drawn = geometry.get("coordinates")
    if drawn == []:
        return None
    shape = shapely.geometry.shape({"type": kind, "coordinates": _flat(drawn, _LEVELS[kind])})
    return None if shape.is_empty else shape


def _collection(members: object, depth: int) -> BaseGeometry:
    if not isinstance(members, list):
        raise ValueError("its collection has no list of geometries")
    if depth == _DEEPEST:
        raise ValueError(f"it nests more than {_DEEPEST} collections")
    parts = [_shape(member, depth + 1) for member in members]
    return shapely.GeometryCollection([part for part in parts if part is not None])


def _flat(coordinates: object, levels: int) -> list[Any]:
    """Leave heights behind; they may be there for some corners only."""
    if not isinstance(coordinates, list):
        raise ValueError(f"{brief(coordinates)} stands where a list of numbers is due")
    if levels:
        return [_flat(part, levels - 1) for part in coordinates]
    if len(coordinates) < 2:
        raise ValueError(f"a corner is {brief(coordinates)} and not two numbers")
    return [_number(value) for value in coordinates[:2]]


def _number(value: object) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise ValueError(f"{brief(value)} stands where a number is due")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if math.isinf(number):
        raise ValueError("a number is too large to be a place")
    return number


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


def _common_crs(texts: Sequence[dict[str, Any]], name: str) -> tuple[CRS, tuple[Finding, ...]]:
    """Read the one system of all texts."""
    crs, said = _stated_crs(texts[0], name)
    if any(text.get("crs") != texts[0].get("crs") for text in texts[1:]):
        raise _not_geojson(name, "Its texts state different coordinate systems.")
    return crs, said


def _stated_crs(data: dict[str, Any], name: str) -> tuple[CRS, tuple[Finding, ...]]:
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
    sentence = (
        f"{name} states {shown(crs.name)} in a crs member, as GeoJSON did before 2016: followed."
    )
    return crs, (Finding("coordinate system", sentence),)
