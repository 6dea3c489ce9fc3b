"""Whole shapes as well-known text, in a column of a table."""

import re
from reprlib import repr as brief

import numpy as np
import shapely
from pyproj import CRS
from pyproj.exceptions import CRSError
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.files.limits import check_rows
from geolayout.land.files.sheet import Row
from geolayout.land.files.table import Line, Table
from geolayout.land.files.wording import library_words

__all__ = ["read_wkt"]

_KINDS = ("POINT", "LINESTRING", "POLYGON", "MULTIPOINT", "MULTILINESTRING", "MULTIPOLYGON")
_WORDS = frozenset(
    (*_KINDS, "GEOMETRYCOLLECTION", "EMPTY", "Z", "M", "ZM", "E", *(f"{kind}Z" for kind in _KINDS))
)  # E as in 1E-5; GEOS knows curves too, which shapely does not
_SRID = re.compile(r"\s*SRID\s*=\s*(\d{1,6})\s*;", re.IGNORECASE)

_DEEPEST = 4  # collections in a collection


def read_wkt(
    table: Table, column: int, name: str
) -> tuple[tuple[Row, ...], CRS | None, tuple[Finding, ...]]:
    """
    Read the shapes of a column.

    Parameters
    ----------
    table : Table
    column : int
        Which one holds the text.
    name : str
        What messages call the file.

    Returns
    -------
    rows : tuple of Row
        One for each line; a line without text has no shape.
    crs : CRS or None
        What an SRID before the text states.
    findings : tuple of Finding

    Raises
    ------
    FileError
        If a text is no shape, or the lines state different systems.
    """
    closed = 0
    rows = []
    check_rows(name, 0, sum(line.cells[column].count(",") for line in table.lines))
    for line in table.lines:
        text = _SRID.sub("", line.cells[column], count=1)
        shape, open_ring = _shape(text, line, name)
        closed += open_ring
        cells = dict(zip(table.columns, line.cells, strict=True))
        del cells[table.columns[column]]
        rows.append(Row(shape, cells))
    said = (_closed(closed, name),) if closed else ()
    return tuple(rows), _crs(table, column, name), said


def _closed(number: int, name: str) -> Finding:
    sentence = f"{number} shapes of {name} had rings that did not end where they began: closed."
    return Finding("unclosed ring", sentence)


def _shape(text: str, line: Line, name: str) -> tuple[BaseGeometry | None, bool]:
    """Build a shape, and tell whether a ring had to be closed."""
    if not text.strip():
        return None, False
    words = [word.upper() for word in re.findall(r"[^\W\d_]+", text)]
    if strange := next((word for word in words if word not in _WORDS), None):
        raise _no_shape(line, name, f"{brief(strange)} is no word of it that is read here")
    if words.count("GEOMETRYCOLLECTION") > _DEEPEST:
        raise _no_shape(line, name, "it nests collections too deeply")
    shape, closed = _from_wkt(text, line, name)
    if not np.isfinite(shapely.get_coordinates(shape)).all():
        raise _no_shape(line, name, "a corner of it is no number")
    return (None if shape.is_empty else shape), closed


def _from_wkt(text: str, line: Line, name: str) -> tuple[BaseGeometry, bool]:
    with np.errstate(all="ignore"):  # numbers that are too large are told by the caller
        try:
            return shapely.from_wkt(text), False
        except ShapelyError as error:
            shape = shapely.from_wkt(text, on_invalid="fix")
            if shape is None:
                raise _no_shape(line, name, library_words(error)) from error
            return shape, True


def _no_shape(line: Line, name: str, why: str) -> FileError:
    return FileError(
        f"Line {line.number} of {name} holds no shape that can be read.",
        f"As well-known text it does not stand: {why}.",
        "Export it again, as polygons.",
    )


def _crs(table: Table, column: int, name: str) -> CRS | None:
    """Read the one system that an SRID states."""
    found = [_SRID.match(line.cells[column]) for line in table.lines]
    numbers = {match.group(1) if match else "" for match in found}
    if numbers == {""}:
        return None
    try:
        (number,) = numbers
        return CRS.from_epsg(int(number))
    except (ValueError, CRSError) as error:
        raise FileError(
            f"{name} states the systems {brief(', '.join(sorted(numbers)))} by SRID.",
            "All its lines must state one, and one that is known.",
            "Export it again, or take the SRID out and state the system as crs.",
        ) from error
