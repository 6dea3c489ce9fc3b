"""
Boundaries and features out of the files people bring: GeoJSON, shapefile, GeoPackage, KML.

A reader reads and computes nothing but longitude and latitude. It never guesses a coordinate
system, and what it passed over it says in a ``Finding``. Shapes come out as drawn; making them
sound is left to ``geolayout.land.repair``.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile, ZipFile

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import BoundaryError, FileError
from geolayout.land.repair import Finding, check_lonlat

if TYPE_CHECKING:
    import fiona

__all__ = ["DrawnBoundary", "read_boundaries", "read_boundary", "read_shapes"]

LONG_EDGE = 500.0
"""A longer edge of a projected file bows off its line when only its ends are moved. [m]"""

EDGE_STEP = 200.0
"""Longest piece such an edge is cut into before it is moved. [m]"""

_WGS84 = CRS.from_epsg(4326)
_ARCHIVES = (".zip", ".kmz", ".shz")
_JSON = (".geojson", ".json")
_READABLE = (*_JSON, ".shp", ".gpkg", ".kml")
_ID_COLUMNS = ("field_id", "id", "name", "fid")
_NAME_COLUMNS = ("name", "field_id", "id")


@dataclass(frozen=True, slots=True, eq=False)
class DrawnBoundary:
    """
    One boundary as drawn.

    Attributes
    ----------
    geometry : shapely geometry
        On WGS 84, longitude first, not yet made sound. [degrees]
    name : str
        From a name column, else from the file.
    findings : tuple of Finding
        What reading the file brought up.
    properties : dict
        The columns of its row.
    """

    geometry: BaseGeometry
    name: str
    findings: tuple[Finding, ...]
    properties: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Source:
    """A file to read, on its own or inside an archive."""

    file: Path | PurePosixPath
    archive: Path | None = None

    @property
    def suffix(self) -> str:
        return self.file.suffix.lower()

    @property
    def location(self) -> str:
        """Where GDAL finds it."""
        return (
            f"/vsizip/{{{self.archive.resolve()}}}/{self.file}" if self.archive else str(self.file)
        )

    def content(self) -> bytes:
        """Read it whole."""
        try:
            if self.archive is None:
                return Path(self.file).read_bytes()
            with ZipFile(self.archive) as archive:
                return archive.read(str(self.file))
        except (OSError, BadZipFile, RuntimeError) as error:
            raise FileError(
                f"{self.file.name} cannot be opened.",
                f"The system says: {error}.",
                "Check that it is whole, not locked by a password, and yours to read.",
            ) from error

    def partner(self, suffix: str) -> "_Source | None":
        """Find the file of the same name with another suffix, in either case."""
        for file in self._neighbours():
            if file.stem == self.file.stem and file.suffix.lower() == suffix:
                return replace(self, file=file)
        return None

    def _neighbours(self) -> Iterator[Path | PurePosixPath]:
        if self.archive is None:
            return Path(self.file).parent.iterdir()
        return (file for file in _members(self.archive) if file.parent == self.file.parent)


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """One shape with its columns; ``given_id`` is a GeoJSON id, ``number`` a row number."""

    geometry: BaseGeometry | None
    properties: dict[str, Any]
    given_id: str | None = None
    number: str | None = None

    def column(self, name: str) -> object:
        """Give the value of a column, whichever case its name is in."""
        for key, value in self.properties.items():
            if key.casefold() == name.casefold():
                return value
        return self.number if name == "fid" else None

    def label(self, otherwise: str) -> str:
        """Give the name of the shape, else its id, else another word."""
        values = [self.column(name) for name in _NAME_COLUMNS]
        named = [str(value).strip() for value in (*values, self.given_id) if value is not None]
        return next((name for name in named if name), otherwise)


@dataclass(frozen=True, slots=True, eq=False)
class _Sheet:
    """All rows of one layer."""

    source: _Source
    rows: tuple[_Row, ...]
    crs: CRS | None
    findings: tuple[Finding, ...] = ()

    @property
    def label(self) -> str:
        return self.source.file.name


def read_boundary(
    path: str | Path,
    *,
    layer: str | None = None,
    field_id: str | int | None = None,
    attribute: tuple[str, object] | None = None,
    crs: str | int | CRS | None = None,
) -> DrawnBoundary:
    """
    Read the boundary of one field.

    Parameters
    ----------
    path : path
        GeoJSON, shapefile, GeoPackage or KML; a zip may hold one of them, in a folder or not.
    layer : str, optional
        Layer of the file, or file in the zip. Needed only where there are several.
    field_id : str or int, optional
        Met by the GeoJSON id, else by column ``field_id``, ``id``, ``name`` or ``fid``.
    attribute : (str, value), optional
        A column and the value it must have.
    crs : anything pyproj reads, optional
        Coordinate system of the file, where the file does not say or is wrong.

    Returns
    -------
    boundary : DrawnBoundary

    Raises
    ------
    FileError
        If the file cannot be read, states no coordinate system, or the choice does not leave
        one field.
    BoundaryError
        If what is chosen is no polygon, or does not lie on earth.
    """
    sheet = _read(path, layer, crs)
    everything = field_id is None and attribute is None
    rows = _polygon_rows(sheet) if everything else _chosen(sheet, field_id, attribute)
    if len(rows) > 1:
        raise _several(sheet, rows)
    return _drawn(sheet, rows, sheet.findings)[0]


def read_boundaries(
    path: str | Path, *, layer: str | None = None, crs: str | int | CRS | None = None
) -> list[DrawnBoundary]:
    """
    Read the boundaries of all fields in a file.

    Parameters
    ----------
    path, layer, crs
        As for ``read_boundary``.

    Returns
    -------
    boundaries : list of DrawnBoundary
        In the order of the file. Each carries what reading the file brought up.

    Raises
    ------
    FileError
        If the file cannot be read or states no coordinate system.
    BoundaryError
        If it holds no polygon, or a polygon does not lie on earth.
    """
    sheet = _read(path, layer, crs)
    rows = _polygon_rows(sheet)
    findings = sheet.findings
    if other := sum(row.geometry is not None for row in sheet.rows) - len(rows):
        sentence = f"{other} shapes of {sheet.label} that are points or lines were passed over."
        findings += (Finding("passed over", sentence),)
    return _drawn(sheet, rows, findings)


def read_shapes(
    path: str | Path, *, layer: str | None = None, crs: str | int | CRS | None = None
) -> list[tuple[str, BaseGeometry]]:
    """
    Read points, lines and polygons, such as the features of a field.

    Parameters
    ----------
    path, layer, crs
        As for ``read_boundary``.

    Returns
    -------
    shapes : list of (str, shapely geometry)
        Name, "" where there is none, and geometry on WGS 84, longitude first. [degrees]

    Raises
    ------
    FileError
        If the file cannot be read or states no coordinate system.
    BoundaryError
        If a shape does not lie on earth.
    """
    sheet = _read(path, layer, crs)
    return [(row.label(""), row.geometry) for row in sheet.rows if row.geometry is not None]


def _chosen(
    sheet: _Sheet, field_id: str | int | None, attribute: tuple[str, object] | None
) -> list[_Row]:
    """Take the rows that meet the id and the attribute."""
    rows = list(sheet.rows)
    if field_id is not None:
        rows = _with_id(rows, field_id)
    if attribute is not None:
        rows = _with_attribute(sheet, rows, attribute)
    if not rows:
        wanted = [str(field_id)] if field_id is not None else []
        wanted += [f"{attribute[0]} = {attribute[1]}"] if attribute else []
        raise FileError(
            f"No field of {sheet.label} answers to {' and '.join(wanted)}.",
            f"It holds {len(sheet.rows)}; {_first_ids(sheet.rows)}.",
            "Choose one of these.",
        )
    return rows


def _with_id(rows: list[_Row], field_id: str | int) -> list[_Row]:
    """Take the rows with an id; the first column that knows it decides."""
    found = [row for row in rows if _same(row.given_id, field_id)]
    for name in _ID_COLUMNS:
        found = found or [row for row in rows if _same(row.column(name), field_id)]
    return found


def _with_attribute(sheet: _Sheet, rows: list[_Row], attribute: tuple[str, object]) -> list[_Row]:
    column, value = attribute
    columns = {key for row in sheet.rows for key in row.properties}
    if column.casefold() not in {key.casefold() for key in columns}:
        raise FileError(
            f"{sheet.label} has no column '{column}'.",
            f"Its columns are: {', '.join(sorted(columns)) or 'none'}.",
            "Choose one of these.",
        )
    return [row for row in rows if _same(row.column(column), value)]


def _same(value: object, wanted: object) -> bool:
    """Compare as text, and as numbers where the column holds numbers: 7 is 7.0."""
    if value is None:
        return False
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return str(value).strip() == str(wanted).strip() or value == wanted


def _first_ids(rows: Sequence[_Row]) -> str:
    names = [row.label(row.number or "without a name") for row in rows[:5]]
    return f"the first are: {', '.join(names)}"


def _several(sheet: _Sheet, rows: Sequence[_Row]) -> FileError:
    return FileError(
        f"{sheet.label} leaves a choice of {len(rows)} fields; {_first_ids(rows)}.",
        "A layout is for one field.",
        "Choose one by its id, or by a column and its value.",
    )


def _polygon_rows(sheet: _Sheet) -> list[_Row]:
    """Take the rows that hold a polygon; one at least must."""
    rows = [row for row in sheet.rows if _holds_polygon(row.geometry)]
    if not rows:
        raise _no_polygon(sheet, sheet.rows)
    return rows


def _holds_polygon(geometry: BaseGeometry | None) -> bool:
    if geometry is None:
        return False
    # Two calls, for the folders of a KML file may nest collections.
    parts = shapely.get_parts(shapely.get_parts(geometry))
    return bool((shapely.get_type_id(parts) == shapely.GeometryType.POLYGON).any())


def _no_polygon(sheet: _Sheet, rows: Iterable[_Row]) -> BoundaryError:
    kinds = sorted({row.geometry.geom_type for row in rows if row.geometry is not None})
    return BoundaryError(
        f"{sheet.label} holds no polygon, only {' and '.join(kinds) or 'rows without a shape'}.",
        "A boundary is a closed area: a line may stop short of its start.",
        "Draw or export the boundary as a polygon.",
    )


def _drawn(
    sheet: _Sheet, rows: Sequence[_Row], findings: tuple[Finding, ...]
) -> list[DrawnBoundary]:
    stem = sheet.source.file.stem
    boundaries = []
    for number, row in enumerate(rows, start=1):
        if row.geometry is None or not _holds_polygon(row.geometry):
            raise _no_polygon(sheet, [row])
        name = row.label(stem if len(rows) == 1 else f"{stem} {number}")
        boundaries.append(DrawnBoundary(row.geometry, name, findings, row.properties))
    return boundaries


def _read(path: str | Path, layer: str | None, crs: str | int | CRS | None) -> _Sheet:
    """Read one layer and bring it to longitude and latitude."""
    stated = None if crs is None else _user_crs(crs)
    source, layer = _source(Path(path), layer)
    sheet = _geojson(source) if source.suffix in _JSON else _ogr(source, layer)
    if empty := sum(row.geometry is None for row in sheet.rows):
        sentence = f"{empty} of {len(sheet.rows)} rows of {sheet.label} have no shape."
        sheet = replace(sheet, findings=(*sheet.findings, Finding("no shape", sentence)))
    return _on_earth(_with_crs(sheet, stated))


def _user_crs(crs: str | int | CRS) -> CRS:
    try:
        return CRS.from_user_input(crs)
    except CRSError as error:
        raise FileError(
            f"'{crs}' is not a coordinate system that is known here.",
            "Without one a unit may be a metre, a foot or a degree.",
            "Write it as an EPSG code, for example EPSG:25832.",
        ) from error


def _with_crs(sheet: _Sheet, stated: CRS | None) -> _Sheet:
    """Settle the coordinate system: the user's word first, then the file's."""
    if stated is None and sheet.crs is None:
        raise _no_crs(sheet)
    if stated is None or sheet.crs is None or stated.equals(sheet.crs, ignore_axis_order=True):
        return replace(sheet, crs=stated or sheet.crs)
    sentence = f"Read as {stated.name}, as you said; {sheet.label} itself is in {sheet.crs.name}."
    findings = (*sheet.findings, Finding("coordinate system", sentence))
    return replace(sheet, crs=stated, findings=findings)


def _no_crs(sheet: _Sheet) -> FileError:
    found = f"{sheet.label} states no coordinate system."
    corners = shapely.get_coordinates(_geometries(sheet.rows))
    if len(corners) and (np.abs(corners) <= (180.0, 90.0)).all():
        return FileError(
            found,
            "Its numbers look like degrees, but that is a guess.",
            "Add its .prj file, or state EPSG:4326 if they are longitude and latitude.",
        )
    return FileError(
        found,
        "Without one a unit may be a metre or a foot, anywhere on earth.",
        "Add its .prj file, or state the system, for example EPSG:32631.",
    )


def _on_earth(sheet: _Sheet) -> _Sheet:
    """Turn all shapes to longitude and latitude, and check that they are."""
    crs = sheet.crs
    if crs is None or not (crs.is_geographic or crs.is_projected):
        raise _no_crs(sheet)
    geometries = _lonlat(_geometries(sheet.rows), crs)
    rows = []
    for number, (row, geometry) in enumerate(zip(sheet.rows, geometries, strict=True), start=1):
        if geometry is not None:
            check_lonlat(geometry, name=row.label(f"Shape {number} of {sheet.label}"))
        rows.append(replace(row, geometry=geometry))
    return replace(sheet, rows=tuple(rows))


def _geometries(rows: Sequence[_Row]) -> NDArray[np.object_]:
    geometries = np.empty(len(rows), dtype=object)
    geometries[:] = [row.geometry for row in rows]
    flat: NDArray[np.object_] = shapely.force_2d(geometries)
    return flat


def _lonlat(geometries: NDArray[np.object_], crs: CRS) -> NDArray[np.object_]:
    """Transform vertex by vertex; long straight edges get vertices first."""
    if crs.equals(_WGS84, ignore_axis_order=True):
        return geometries
    if crs.is_projected:
        geometries = _with_short_edges(geometries, crs.axis_info[0].unit_conversion_factor)
    try:
        transformer = Transformer.from_crs(crs, _WGS84, always_xy=True)
    except ProjError as error:
        raise FileError(
            f"The coordinate system {crs.name} cannot be turned into longitude and latitude.",
            "No way from one to the other is known here.",
            "Export the file in EPSG:4326.",
        ) from error
    moved: NDArray[np.object_] = shapely.transform(geometries, _columns(transformer))
    return moved


def _columns(transformer: Transformer) -> Callable[[NDArray[np.float64]], NDArray[np.float64]]:
    def moved(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(transformer.transform(xy[:, 0], xy[:, 1]))

    return moved


def _with_short_edges(geometries: NDArray[np.object_], metres: float) -> NDArray[np.object_]:
    """
    Add vertices to shapes with an edge over 500 m, so that it stays the line that was drawn.

    ``metres`` is the length of one unit of the coordinate system.
    """
    longest = np.array([_longest_edge(geometry) for geometry in geometries]) * metres
    long = longest > LONG_EDGE
    geometries[long] = shapely.segmentize(geometries[long], EDGE_STEP / metres)
    return geometries


def _longest_edge(geometry: BaseGeometry | None) -> float:
    """Measure the longest edge of any ring or line, in the units of the geometry."""
    parts = shapely.get_parts(shapely.get_parts(geometry))
    area = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    lines = np.concatenate((shapely.get_rings(parts[area]), parts[~area]))
    corners, line = shapely.get_coordinates(lines, return_index=True)
    steps = np.hypot(*np.diff(corners, axis=0).T)[line[1:] == line[:-1]]
    return float(steps.max(initial=0.0))


def _source(path: Path, layer: str | None) -> tuple[_Source, str | None]:
    """Find the file to read, and the layer left to choose in it."""
    if not path.is_file():
        what = "is a folder" if path.is_dir() else "is not there"
        raise FileError(
            f"{path} {what}.", "A boundary is read from one file.", "Check the name and the folder."
        )
    if path.suffix.lower() not in _ARCHIVES:
        source = _Source(path)
    else:
        source, layer = _in_archive(path, layer)
    if source.suffix not in _READABLE:
        raise FileError(
            f"{path.name} is of a kind that is not read here.",
            "Boundaries are read from GeoJSON, shapefile, GeoPackage and KML.",
            "Export it as one of these, GeoJSON or GeoPackage for choice.",
        )
    return source, layer


def _in_archive(path: Path, layer: str | None) -> tuple[_Source, str | None]:
    """Find the one file of an archive that can be read, or the one that ``layer`` names."""
    readable = [file for file in _members(path) if file.suffix.lower() in _READABLE]
    if len(readable) == 1 and layer != readable[0].stem:
        return _Source(readable[0], path), layer
    named = [file for file in readable if layer in (file.stem, file.name, str(file))]
    if len(named) == 1:
        return _Source(named[0], path), None
    inside = ", ".join(str(file) for file in readable)
    raise FileError(
        f"{path.name} holds {len(readable)} files that can be read{': ' * bool(inside)}{inside}.",
        "It must be plain which one is meant.",
        "Name one as the layer." if readable else "Put a shapefile, GeoPackage or KML into it.",
    )


def _members(path: Path) -> list[PurePosixPath]:
    """List the files of an archive, without what the packing program added."""
    try:
        with ZipFile(path) as archive:
            names = [
                PurePosixPath(info.filename) for info in archive.infolist() if not info.is_dir()
            ]
    except BadZipFile as error:
        raise FileError(
            f"{path.name} is not a whole zip file.",
            "Its list of contents cannot be found.",
            "Copy or download it again.",
        ) from error
    return [name for name in names if not name.name.startswith(".")]


def _ogr(source: _Source, layer: str | None) -> _Sheet:
    """Read one layer by GDAL."""
    import fiona  # noqa: PLC0415  # 0.2 s at start-up, and its own GDAL

    encoding = _encoding(source) if source.suffix == ".shp" else None
    try:
        with fiona.Env(OGR_ORGANIZE_POLYGONS="DEFAULT"):
            name = _one_layer(source, layer, fiona.listlayers(source.location))
            with fiona.open(source.location, layer=name, encoding=encoding, **_ANY) as sheet:
                rows = tuple(_ogr_row(feature) for feature in sheet)
                return _Sheet(source, rows, _ogr_crs(sheet.crs_wkt))
    except (fiona.errors.FionaError, ShapelyError, CRSError) as error:
        raise FileError(
            f"{source.file.name} cannot be read.",
            f"The library that reads it says: {str(error).rstrip('.')}.",
            "Open it in the program it came from, and export it again.",
        ) from error


# GDAL can read KML, but fiona asks to be told that this is meant.
_ANY = {"allow_unsupported_drivers": True}


def _ogr_row(feature: "fiona.Feature") -> _Row:
    shape = None if feature.geometry is None else shapely.geometry.shape(feature.geometry)
    if shape is not None and shape.is_empty:
        shape = None
    return _Row(shape, dict(feature.properties), number=str(feature.id))


def _ogr_crs(wkt: str) -> CRS | None:
    """Read the file's coordinate system; "undefined" ones are none."""
    crs = CRS.from_wkt(wkt) if wkt else None
    return None if crs is None or crs.name.casefold().startswith(("undefined", "unknown")) else crs


def _one_layer(source: _Source, layer: str | None, names: Sequence[str]) -> str:
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


def _has_shapes(source: _Source, name: str) -> bool:
    import fiona  # noqa: PLC0415  # as above

    with fiona.open(source.location, layer=name, **_ANY) as sheet:
        return bool(sheet.schema["geometry"] != "None" and len(sheet) > 0)


def _encoding(source: _Source) -> str | None:
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


# GeoJSON is read here and not by GDAL: its ids, its old crs member and unclosed rings are told
# to the user, and GDAL keeps them to itself.

_GEOMETRIES = ("Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon")


def _geojson(source: _Source) -> _Sheet:
    """Read a GeoJSON text."""
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
    rows = tuple(_geojson_row(feature, i, name) for i, feature in enumerate(features, start=1))
    crs, said = _geojson_crs(data, name)
    unclosed = sum(_unclosed(feature.get("geometry", feature)) for feature in features)
    if unclosed:
        sentence = f"{unclosed} rings of {name} did not end where they began, and were closed."
        said += (Finding("unclosed ring", sentence),)
    return _Sheet(source, rows, crs, said)


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _not_geojson(name: str, why: str) -> FileError:
    return FileError(
        f"{name} is not GeoJSON that can be read.", why, "Export it again, as RFC 7946 GeoJSON."
    )


def _geojson_row(feature: dict[str, Any], number: int, name: str) -> _Row:
    try:
        if feature["type"] != "Feature":
            return _Row(_geojson_shape(feature), {})
        given = feature.get("id")
        return _Row(
            _geojson_shape(feature["geometry"]),
            dict(feature.get("properties") or {}),
            None if given is None else str(given),
        )
    except (KeyError, IndexError, TypeError, AttributeError, ValueError, ShapelyError) as error:
        raise _not_geojson(name, f"Shape {number} cannot be built: {error}.") from error


def _geojson_shape(geometry: dict[str, Any] | None) -> BaseGeometry | None:
    if geometry is None:
        return None
    if geometry["type"] == "GeometryCollection":
        parts = [_geojson_shape(part) for part in geometry["geometries"]]
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


def _geojson_crs(data: dict[str, Any], name: str) -> tuple[CRS | None, tuple[Finding, ...]]:
    """Read the crs member of before RFC 7946; without one GeoJSON is WGS 84."""
    member = data.get("crs")
    if member is None:
        return _WGS84, ()
    try:
        crs = CRS.from_user_input(member["properties"]["name"])
    except (KeyError, TypeError, CRSError) as error:
        raise _not_geojson(name, "Its crs member names no system that is known here.") from error
    if crs.equals(_WGS84, ignore_axis_order=True) or crs.to_authority() == ("OGC", "CRS84"):
        return _WGS84, ()
    sentence = f"{name} states {crs.name} in a crs member, as GeoJSON did before 2016: followed."
    return crs, (Finding("coordinate system", sentence),)
