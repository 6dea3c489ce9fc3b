"""
Partfields of ISO 11783-10 task data: fields as terminals and farm software exchange them.

Two layers come out of one file: "fields", the boundary of each partfield, and "features",
everything else that is drawn in one: obstacles, gateways, drains, guidance.
"""

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from reprlib import repr as brief
from typing import Any
from xml.etree.ElementTree import Element  # built by a guarded parser only

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.limits import check_rows
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.files.wording import shown
from geolayout.land.files.xml import local_name, parse_xml

__all__ = ["FEATURES", "FIELDS", "read_taskdata"]

FIELDS = "fields"
FEATURES = "features"

# Types in ISO 11783-10, by the schema V4-3; version 3 knows the first eight, of points two.
_POLYGONS = {
    "1": "boundary",
    "2": "treatment zone",
    "3": "water",
    "4": "building",
    "5": "road",
    "6": "obstacle",
    "7": "flag",
    "8": "other",
    "9": "main field",
    "10": "headland",
    "11": "buffer zone",
    "12": "windbreak",
}
_LINES = {
    "3": "tramline",
    "4": "sampling route",
    "5": "guidance",
    "6": "drainage",
    "7": "fence",
    "8": "flag",
    "9": "obstacle",
}
_POINTS = {
    "1": "flag",
    "2": "other",
    "3": "field access",
    "4": "storage",
    "5": "obstacle",
    "10": "partfield reference",
    "11": "home base",
}
_OUTER, _INNER = "1", "2"  # types of a line that is a ring of a polygon

_PART = re.compile(r"(PFD|CTR|FRM)\d{5}")
_WHOLE, _EXTERNAL = "ISO11783_TaskData", "XFC"  # names of the first element
_NUMBER = re.compile(r"\s*[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?\s*", re.IGNORECASE | re.ASCII)


def read_taskdata(source: Source, layer: str | None) -> Sheet:
    """
    Read the partfields of a TASKDATA.XML, and of the files it refers to.

    Parameters
    ----------
    source : Source
        The file TASKDATA.XML, in a folder or a zip or alone.
    layer : str or None
        "fields" for boundaries, which is the default, or "features" for all else.

    Returns
    -------
    sheet : Sheet
        Of fields, one row for each partfield, with its id, code, name, farm, customer and stated
        area [m2]; of features, one row for each polygon, line and point, with its kind.

    Raises
    ------
    FileError
        If it is no task data, a file it refers to is missing, there is no such layer, no
        partfield has a boundary, or a ring or a point cannot be built.
    """
    layer = _known_layer(source, layer)
    tops = _tops(source)
    partfields = [top for top in tops if top.tag == "PFD"]
    names = {top.get("A"): top.get("B", "") for top in tops if top.tag in ("CTR", "FRM")}
    reading = _Reading(source.name)
    features = [row for partfield in partfields for row in reading.features(partfield)]
    if layer == FEATURES:
        return Sheet(source, tuple(features), WGS84, reading.findings())
    rows = tuple(reading.field(partfield, names) for partfield in partfields)
    if not any(row.geometry is not None for row in rows):
        raise _no_boundary(source.name, len(partfields), features)
    return Sheet(source, rows, WGS84, reading.findings() + _passed_over(source.name, features))


def _known_layer(source: Source, layer: str | None) -> str:
    if layer is None or source.answers_to(layer):
        return FIELDS
    if layer in (FIELDS, FEATURES):
        return layer
    raise FileError(
        f"Layer '{shown(layer)}' of {source.name} is asked for.",
        f"Task data has two: {FIELDS}, the boundaries, and {FEATURES}, all else drawn in them.",
        "Choose one of these.",
    )


def _passed_over(name: str, features: Sequence[Row]) -> tuple[Finding, ...]:
    if not features:
        return ()
    sentence = f"{name} also holds {_counted(features)}: layer '{FEATURES}' reads them."
    return (Finding("passed over", sentence),)


def _counted(features: Sequence[Row]) -> str:
    counts = Counter(row.properties["kind"] for row in features)
    return ", ".join(f"{number} x {kind}" for kind, number in counts.items())


def _no_boundary(name: str, partfields: int, features: Sequence[Row]) -> FileError:
    others = f", only {_counted(features)}" if features else ""
    return FileError(
        f"{name} holds {partfields} partfields and no boundary of one{others}.",
        "A boundary is a polygon of type 1 in a partfield.",
        "Draw or record the boundary, and export it with the fields.",
    )


# Elements


def _tops(source: Source) -> list[Element]:
    """List the elements of the file and of those it refers to."""
    root = _root(source)
    if root.tag == _EXTERNAL:
        raise FileError(
            f"{source.name} is one part of task data.",
            "The file that holds the parts together is TASKDATA.XML.",
            "Name that one.",
        )
    tops = list(root)
    for reference in root.iter("XFR"):
        part = reference.get("A", "")
        if _PART.fullmatch(part):  # the others hold no fields, and no name may be a path
            tops += list(_root(_referred(source, f"{part}.XML")))
    return tops


def _root(source: Source) -> Element:
    root = parse_xml(source.file.name, source.content(), roots=(_WHOLE, _EXTERNAL))
    for element in root.iter():
        element.tag = local_name(element.tag)
    return root


def _referred(source: Source, name: str) -> Source:
    part = source.neighbour(name)
    if part is None:
        raise FileError(
            f"{source.name} refers to {name}, which is not beside it.",
            "Task data may be spread over several files.",
            "Copy the whole TASKDATA folder, or zip it.",
        )
    return part


class _Reading:
    """One reading of a file; counts its rings that were closed, its rows and its corners."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._closed = 0
        self._rows = 0
        self._corners = 0

    def findings(self) -> tuple[Finding, ...]:
        """Tell what reading brought up."""
        if not self._closed:
            return ()
        sentence = f"{self._closed} rings of {self._name} did not end where they began: closed."
        return (Finding("unclosed ring", sentence),)

    def field(self, partfield: Element, names: dict[str | None, str]) -> Row:
        """Read the boundary of a partfield; without one the row has no shape."""
        of = _called(partfield, "C")
        polygons = [p for p in partfield.findall("PLN") if p.get("A", "1") == "1"]
        parts = [part for polygon in polygons for part in self._polygons(polygon, of)]
        if not polygons and any(line.get("A") == _OUTER for line in partfield.findall("LSG")):
            parts = self._polygons(partfield, of)
        shape: BaseGeometry | None = None
        if parts:
            shape = parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)
        return self._row(shape, _field_columns(partfield, names), partfield.get("A"))

    def features(self, partfield: Element) -> Iterator[Row]:
        """Read what is drawn in a partfield beside its boundary."""
        field = partfield.get("C", "")
        for polygon in partfield.findall("PLN"):
            kind = polygon.get("A", "1")
            if kind != "1":
                parts = self._polygons(polygon, _called(partfield, "C"))
                shape = parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)
                yield self._feature(shape, _POLYGONS.get(kind, "other"), polygon, field)
        for line in partfield.findall("LSG"):
            if (kind := line.get("A", "")) not in (_OUTER, _INNER):
                shape = self._line(line, _called(partfield, "C"))
                yield self._feature(shape, _LINES.get(kind, "other"), line, field)
        for point in partfield.findall("PNT"):
            kind = _POINTS.get(point.get("A", ""), "other")
            yield self._feature(shapely.Point(self._corner(point)), kind, point, field)
        for pattern in partfield.iterfind("GGP/GPN"):
            for line in pattern.findall("LSG"):
                shape = self._line(line, _called(partfield, "C"))
                yield self._feature(shape, "guidance", pattern, field)

    def _row(self, shape: BaseGeometry | None, columns: dict[str, Any], id_: str | None) -> Row:
        self._rows += 1
        check_rows(self._name, self._rows, self._corners)
        return Row(shape, columns, id_)

    def _feature(self, shape: BaseGeometry, kind: str, element: Element, field: str) -> Row:
        name = element.get("B", "")
        return self._row(shape, {"kind": kind, "name": name, "field": field}, None)

    def _polygons(self, polygon: Element, of: str) -> list[shapely.Polygon]:
        """Build the polygons of one element; version 3 allows several outer rings in it."""
        lines = polygon.findall("LSG")
        outer = [self._ring(line, of) for line in lines if line.get("A") == _OUTER]
        inner = [self._ring(line, of) for line in lines if line.get("A") == _INNER]
        if not outer:
            raise self._no_ring(of, "It has no outer ring")
        return _with_holes(outer, inner)

    def _ring(self, line: Element, of: str) -> list[tuple[float, float]]:
        ring = self._corners_of(line)
        if ring[:1] != ring[-1:]:
            self._closed += 1
            ring.append(ring[0])
        if len(set(ring)) < 3:
            raise self._no_ring(of, f"A ring of it has {len(set(ring))} corners")
        return ring

    def _no_ring(self, of: str, why: str) -> FileError:
        return FileError(
            f"A polygon of {of} in {self._name} cannot be built.",
            f"{why}, and an outer ring of three at least is needed.",
            "Export it again from the program or terminal it came from.",
        )

    def _line(self, line: Element, of: str) -> BaseGeometry:
        """Build a line; guidance by a point and a heading is a point."""
        corners = self._corners_of(line)
        if not corners:
            raise FileError(
                f"A line of {of} in {self._name} has no points.",
                "It lies nowhere.",
                "Export it again from the program or terminal it came from.",
            )
        return shapely.Point(corners[0]) if len(corners) == 1 else shapely.LineString(corners)

    def _corners_of(self, line: Element) -> list[tuple[float, float]]:
        return [self._corner(point) for point in line.findall("PNT")]

    def _corner(self, point: Element) -> tuple[float, float]:
        """Give longitude and latitude, which the format has the other way round."""
        self._corners += 1
        return self._degrees(point, "D", "east"), self._degrees(point, "C", "north")

    def _degrees(self, point: Element, key: str, axis: str) -> float:
        cell = point.get(key, "")
        value = float(cell) if _NUMBER.fullmatch(cell) else math.nan
        if not math.isfinite(value):
            raise FileError(
                f"Point {self._corners} of {self._name} has {brief(cell)} as its {axis} ({key}).",
                "It must be degrees, with a decimal point.",
                "Export it again from the program or terminal it came from.",
            )
        return value


def _called(element: Element, key: str) -> str:
    """Name an element in a message."""
    return f"'{shown(element.get(key) or element.get('A') or 'without a name', 40)}'"


def _field_columns(partfield: Element, names: dict[str | None, str]) -> dict[str, Any]:
    """Give the columns of a partfield, without those that are empty."""
    columns = {
        "id": partfield.get("A"),
        "code": partfield.get("B"),
        "name": partfield.get("C"),
        "area_m2": _whole(partfield.get("D", "")),
        "customer": names.get(partfield.get("E"), partfield.get("E")),
        "farm": names.get(partfield.get("F"), partfield.get("F")),
    }
    return {key: value for key, value in columns.items() if value not in (None, "")}


def _whole(cell: str) -> int | None:
    return int(cell) if re.fullmatch(r"\d{1,12}", cell) else None


def _with_holes(
    outer: Sequence[Sequence[tuple[float, float]]], inner: Iterable[Sequence[tuple[float, float]]]
) -> list[shapely.Polygon]:
    """Give each inner ring to the outer ring that holds most of its corners."""
    shells = [shapely.Polygon(ring) for ring in outer]
    holes: list[list[Sequence[tuple[float, float]]]] = [[] for _ in shells]
    for ring in inner:
        lon, lat = np.array(ring).T
        held = [int(shapely.intersects_xy(shell, lon, lat).sum()) for shell in shells]
        holes[int(np.argmax(held))].append(ring)
    return [shapely.Polygon(ring, cut) for ring, cut in zip(outer, holes, strict=True)]
