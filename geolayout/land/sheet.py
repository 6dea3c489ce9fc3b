"""
The rows of one layer, out of the file, the zip and the layer that are meant.

GDAL reads all but GeoJSON. A sheet is as the file has it: shapes in its own coordinate system,
no row left out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile, ZipFile

import shapely
from pyproj import CRS
from pyproj.exceptions import CRSError
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.repair import Finding

if TYPE_CHECKING:
    import fiona

__all__ = ["GEOJSON_SUFFIXES", "WGS84", "Row", "Sheet", "Source", "find_source", "read_layer"]

WGS84 = CRS.from_epsg(4326)
"""Longitude and latitude; which comes first is for the reader to see to."""

GEOJSON_SUFFIXES = (".geojson", ".json")
"""Of files that ``geolayout.land.geojson`` reads, in lower case."""

_ARCHIVES = (".zip", ".kmz", ".shz")
_READABLE = (*GEOJSON_SUFFIXES, ".shp", ".gpkg", ".kml")
_NAME_COLUMNS = ("name", "field_id", "id")


@dataclass(frozen=True, slots=True)
class Source:
    """
    A file to read, on its own or inside an archive.

    Attributes
    ----------
    file : path
        Where it is; inside an archive, its path there.
    archive : path, optional
        The zip that holds it.
    """

    file: Path | PurePosixPath
    archive: Path | None = None

    @property
    def suffix(self) -> str:
        """The end of its name, in lower case."""
        return self.file.suffix.lower()

    @property
    def location(self) -> str:
        """Its name as GDAL takes it."""
        return (
            f"/vsizip/{{{self.archive.resolve()}}}/{self.file}" if self.archive else str(self.file)
        )

    def content(self) -> bytes:
        """
        Read it whole.

        Raises
        ------
        FileError
            If the system or the archive does not give it.
        """
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

    def partner(self, suffix: str) -> "Source | None":
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
class Row:
    """
    One shape with its columns.

    Attributes
    ----------
    geometry : shapely geometry or None
        As the file has it; None where a row has no shape. [unit of the sheet's system]
    properties : dict
        Its columns.
    given_id : str, optional
        A GeoJSON id.
    number : str, optional
        The number of the row, where the format counts them.
    """

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
class Sheet:
    """
    All rows of one layer.

    Attributes
    ----------
    source : Source
        The file they are from.
    rows : tuple of Row
        In the order of the file.
    crs : pyproj.CRS or None
        What the file states; None where it states none.
    findings : tuple of Finding
        What reading the file brought up.
    """

    source: Source
    rows: tuple[Row, ...]
    crs: CRS | None
    findings: tuple[Finding, ...] = ()

    @property
    def label(self) -> str:
        """What messages call it: the name of the file."""
        return self.source.file.name


def find_source(path: Path, layer: str | None) -> tuple[Source, str | None]:
    """
    Find the file to read, and the layer left to choose in it.

    Parameters
    ----------
    path : Path
        A file that can be read, or a zip with one of them in it.
    layer : str or None
        Layer of the file, or file in the zip.

    Returns
    -------
    source : Source
    layer : str or None
        None once it has served to choose a file of the zip.

    Raises
    ------
    FileError
        If the file is not there or of no kind that is read, or if the zip is torn or does not
        leave one file.
    """
    if not path.is_file():
        what = "is a folder" if path.is_dir() else "is not there"
        raise FileError(
            f"{path} {what}.", "A boundary is read from one file.", "Check the name and the folder."
        )
    if path.suffix.lower() not in _ARCHIVES:
        source = Source(path)
    else:
        source, layer = _in_archive(path, layer)
    if source.suffix not in _READABLE:
        raise FileError(
            f"{path.name} is of a kind that is not read here.",
            "Boundaries are read from GeoJSON, shapefile, GeoPackage and KML.",
            "Export it as one of these, GeoJSON or GeoPackage for choice.",
        )
    return source, layer


def _in_archive(path: Path, layer: str | None) -> tuple[Source, str | None]:
    """Find the one file of an archive that can be read, or the one that ``layer`` names."""
    readable = [file for file in _members(path) if file.suffix.lower() in _READABLE]
    if len(readable) == 1 and layer != readable[0].stem:
        return Source(readable[0], path), layer
    named = [file for file in readable if layer in (file.stem, file.name, str(file))]
    if len(named) == 1:
        return Source(named[0], path), None
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
