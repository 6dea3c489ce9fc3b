"""Sheets that GDAL reads, through fiona: shapefile, GeoPackage, FlatGeobuf, KML, GML, DXF."""

import logging
import re
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any
from zipfile import ZipFile

import shapely
from pyproj import CRS
from pyproj.exceptions import CRSError
from shapely.errors import ShapelyError

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.geopackage import check_geopackage
from geolayout.land.files.limits import (
    MAX_TEXT_IN_ROWS,
    MAX_VERTICES,
    check_rows,
    too_large,
)
from geolayout.land.files.shapefile import check_shapefile
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.files.source import Source
from geolayout.land.files.wording import library_words, listed, shown
from geolayout.land.files.xml import check_xml

if TYPE_CHECKING:
    import fiona

__all__ = ["read_layer"]


@dataclass(frozen=True, slots=True)
class _Dataset:
    """
    A file once looked over, as GDAL is to open it.

    Attributes
    ----------
    source : Source
    contents : mapping of str to bytes
        What is handed on in memory, by the end of its name; empty where the disk will do.
    options : mapping
        Of the driver, and the encoding.
    findings : tuple of Finding
    """

    source: Source
    contents: Mapping[str, bytes] = field(default_factory=dict)
    options: Mapping[str, Any] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


def read_layer(source: Source, layer: str | None) -> Sheet:
    """
    Read one layer by GDAL.

    Parameters
    ----------
    source : Source
        Shapefile, GeoPackage, FlatGeobuf, KML, GML or DXF.
    layer : str or None
        Needed only where several layers hold shapes.

    Returns
    -------
    sheet : Sheet

    Raises
    ------
    FileError
        If the file cannot be read, is damaged or holds too much, or the choice does not leave one
        layer.
    """
    import fiona  # noqa: PLC0415  # 0.2 s at start-up, and its own GDAL
    from fiona._err import CPLE_BaseError  # noqa: PLC0415  # some come through as they are

    dataset = _LOOKED_OVER[source.suffix](source)
    try:
        with _listening() as heard, fiona.Env(**_SETTINGS), _location(dataset) as location:
            names = fiona.listlayers(location, **_options(dataset, for_list=True))
            name = _one_layer(dataset, layer, names, location)
            heard.clear()
            with fiona.open(location, layer=name, **_options(dataset)) as sheet:
                rows = tuple(_rows(sheet, source.name))
                crs = _stated_crs(sheet.crs_wkt)
            return Sheet(source, rows, crs, (*dataset.findings, *_heard(source, heard)))
    except FileError:  # an OSError, as some of the next are
        raise
    except (*_UNREADABLE, fiona.errors.FionaError, CPLE_BaseError) as error:
        raise _unreadable(source, error) from error


_SETTINGS = {
    "OGR_ORGANIZE_POLYGONS": "DEFAULT",  # a hole wound the wrong way is still a hole
    "DXF_INLINE_BLOCKS": "FALSE",  # blocks of blocks of blocks grow without end
}

_UNREADABLE = (
    ShapelyError,
    CRSError,
    OSError,
    ValueError,
    TypeError,
    IndexError,
    KeyError,
    OverflowError,
    RuntimeError,
    SystemError,  # of fiona, where GDAL's own words cannot be decoded
)
"""What fiona and shapely let through of a damaged file, found by damaging files."""


def _unreadable(source: Source, error: object) -> FileError:
    return FileError(
        f"{source.name} cannot be read.",
        f"The library that reads it says: {library_words(error)}.",
        "Open it in the program it came from, and export it again.",
    )


def _shapefile(source: Source) -> _Dataset:
    parts = check_shapefile(source)
    return _Dataset(source, parts.contents, {"encoding": parts.encoding}, parts.findings)


def _geopackage(source: Source) -> _Dataset:
    content = check_geopackage(source)
    if content is not None:
        return _Dataset(source, {source.suffix: content})
    return _Dataset(source, options={"IMMUTABLE": "YES"})


def _flatgeobuf(source: Source) -> _Dataset:
    # One shape may fill the file, and a corner takes 16 bytes.
    content = source.content(16 * MAX_VERTICES)
    if not content.startswith(b"fgb\x03fgb"):
        raise _unreadable(source, "it does not begin as a FlatGeobuf of version 3")
    return _Dataset(source, {source.suffix: content}, {"VERIFY_BUFFERS": "YES"})


def _kml(source: Source) -> _Dataset:
    content = source.content()
    check_xml(source.file.name, content, roots=("kml", "Document", "Folder", "Placemark"))
    _check_numbers(source, content)
    links = content.count(b"<NetworkLink>") + content.count(b"<NetworkLink ")
    said: tuple[Finding, ...] = ()
    if links:
        sentence = f"{source.name} links to {links} other files, which were not followed."
        said = (Finding("link", sentence),)
    return _Dataset(source, {source.suffix: content}, findings=said)


_NO_NUMBER = re.compile(
    rb"<(?:\w+:)?(?:coordinates|posList|pos)\b[^<>]*>[^<]*?([^-+0-9.eE,\s<][^\s<]{0,20})"
)


def _check_numbers(source: Source, content: bytes) -> None:
    """Refuse coordinates that are words: GDAL would take nought for each."""
    if word := _NO_NUMBER.search(content):
        raise FileError(
            f"{source.name} has '{shown(word[1].decode('utf-8', 'replace'))}' for a coordinate.",
            "A coordinate is a number, with a point and not a comma before the decimals.",
            "Open it in the program it came from, and export it again.",
        )


_SHORT_NAME = re.compile(rb"srsName\s*=\s*[\"']EPSG:(\d+)[\"']", re.IGNORECASE)


def _gml(source: Source) -> _Dataset:
    content = source.content()
    check_xml(source.file.name, content, roots=("FeatureCollection",))
    _check_numbers(source, content)
    said: tuple[Finding, ...] = ()
    if short := _SHORT_NAME.search(content):
        sentence = (
            f"{source.name} names its coordinate system EPSG:{short[1].decode()}, a short name that"
            " leaves the order of the two numbers open; east or longitude was taken first."
        )
        question = "Does the field lie where you expect it?"
        said = (Finding("axis order", sentence, question=question),)
    return _Dataset(source, {source.suffix: content}, {"DOWNLOAD_SCHEMA": "NO"}, said)


def _dxf(source: Source) -> _Dataset:
    return _Dataset(source, {source.suffix: source.content()})


_LOOKED_OVER = MappingProxyType(
    {
        ".shp": _shapefile,
        ".gpkg": _geopackage,
        ".fgb": _flatgeobuf,
        ".kml": _kml,
        ".gml": _gml,
        ".dxf": _dxf,
    }
)

_DRIVERS = MappingProxyType(
    {
        ".shp": "ESRI Shapefile",
        ".gpkg": "GPKG",
        ".fgb": "FlatGeobuf",
        ".kml": "KML",
        ".gml": "GML",
        ".dxf": "DXF",
    }
)


def _options(dataset: _Dataset, *, for_list: bool = False) -> dict[str, Any]:
    """Give what fiona needs to open a dataset, or to list its layers."""
    options = {key: value for key, value in dataset.options.items() if value is not None}
    if for_list:
        options.pop("encoding", None)
        return options
    # GDAL can read KML, but fiona asks to be told that this is meant.
    driver = _DRIVERS[dataset.source.suffix]
    return options | {"driver": driver, "allow_unsupported_drivers": True}


_STEM = "shapes"
"""What a file is called in memory, for its own name may hold anything."""


@contextmanager
def _location(dataset: _Dataset) -> Iterator[str]:
    """
    Give the name under which GDAL finds a dataset.

    What is in memory is handed on as a zip, for GDAL writes nothing into one.
    """
    if not dataset.contents:
        yield str(Path(dataset.source.file).absolute())
        return
    from fiona.io import MemoryFile  # noqa: PLC0415  # as above

    packed = BytesIO()
    with ZipFile(packed, "w") as archive:
        for suffix, content in dataset.contents.items():
            archive.writestr(f"{_STEM}{suffix}", content)
    with MemoryFile(packed.getvalue(), ext=".zip") as memory:
        yield f"/vsizip/{memory.name}/{_STEM}{dataset.source.suffix}"


@contextmanager
def _listening() -> Iterator[list[logging.LogRecord]]:
    """Keep what the libraries say on the way, which they would print beside our own words."""
    heard: list[logging.LogRecord] = []
    log = logging.getLogger("fiona")
    ear = _Ear(heard)
    propagates, log.propagate = log.propagate, False
    log.addHandler(ear)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield heard
    finally:
        log.removeHandler(ear)
        log.propagate = propagates


class _Ear(logging.Handler):
    """Puts warnings and errors into a list."""

    def __init__(self, heard: list[logging.LogRecord]) -> None:
        super().__init__(logging.WARNING)
        self.heard = heard

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one."""
        self.heard.append(record)


def _heard(source: Source, heard: Iterable[logging.LogRecord]) -> tuple[Finding, ...]:
    """Refuse a file over which the library stumbled; pass its warnings on."""
    said = [(record.levelno, record.getMessage()) for record in heard]
    said = [(level, words) for level, words in said if _NO_FAULT not in words]
    stumbled = [words for level, words in said if level >= logging.ERROR]
    if stumbled:
        raise _unreadable(source, stumbled[0])
    once = dict.fromkeys(library_words(words) for _, words in said)
    return tuple(
        Finding("library", f"Of {source.name} the library that reads it says: {words}.")
        for words in list(once)[:_MOST_WARNINGS]
    )


_MOST_WARNINGS = 5

_NO_FAULT = "does not support counting"
"""Said of layers that are read from begin to end, as DXF is."""


def _rows(sheet: "fiona.Collection", name: str) -> Iterator[Row]:
    """Read row by row, and stop where it is too much."""
    vertices = letters = 0
    for number, feature in enumerate(sheet, start=1):
        row = _row(feature)
        vertices += int(shapely.get_num_coordinates(row.geometry))
        letters += sum(len(value) for value in row.properties.values() if isinstance(value, str))
        check_rows(name, number, vertices)
        if letters > MAX_TEXT_IN_ROWS:
            most = f"{MAX_TEXT_IN_ROWS / 1e6:,.0f} million letters"
            raise too_large(name, "too much text in its columns", most)
        yield row


def _row(feature: "fiona.Feature") -> Row:
    shape = None if feature.geometry is None else shapely.geometry.shape(feature.geometry)
    if shape is not None and shape.is_empty:
        shape = None
    return Row(shape, dict(feature.properties), number=str(feature.id))


def _stated_crs(wkt: str) -> CRS | None:
    """Read the file's coordinate system; "undefined" ones are none."""
    crs = CRS.from_wkt(wkt) if wkt else None
    return None if crs is None or crs.name.casefold().startswith(("undefined", "unknown")) else crs


_BLOCKS = "blocks"
"""Patterns of a drawing, which are put into it at points; what is drawn is beside them."""


def _one_layer(dataset: _Dataset, layer: str | None, names: Sequence[str], location: str) -> str:
    """Settle which layer is meant."""
    source = dataset.source
    if layer is not None and layer in names:
        return layer
    if layer is not None and source.answers_to(layer):
        layer = None
    if layer is None and source.suffix == ".dxf":
        names = [name for name in names if name != _BLOCKS]
    if layer is None and len(names) > 1:
        names = [name for name in names if _has_shapes(dataset, name, location)]
    if layer is None and len(names) == 1:
        return names[0]
    if not names:
        raise FileError(
            f"{source.name} holds no shapes.",
            "A KML file may only link to another."
            if source.suffix == ".kml"
            else "None of its layers has a row with a shape.",
            "Save the shapes themselves into a file.",
        )
    called = [source.file.stem if name == _STEM else name for name in names]
    raise FileError(
        f"{source.name} has {len(names)} layer{'s' * (len(names) > 1)}: {listed(called)}.",
        "It must be plain which one is meant."
        if layer is None
        else f"None is called '{shown(layer)}'.",
        "Name one of them as the layer.",
    )


def _has_shapes(dataset: _Dataset, name: str, location: str) -> bool:
    import fiona  # noqa: PLC0415  # as above

    with fiona.open(location, layer=name, **_options(dataset)) as sheet:
        if sheet.schema["geometry"] == "None":
            return False
        # The first row, not the count of all: some kinds do not count, and counting takes time.
        return next(iter(sheet), None) is not None
