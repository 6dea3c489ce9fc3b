"""
A returned file of work done: places, lines or areas, with rate, width, time and product beside.

Columns are told by plain names, whichever case they are in; nothing is told by figures. What is not
used of the file is said in a sentence, row by row counted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import isfinite, nan
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from geolayout.errors import FileError
from geolayout.jobs.strands import Recorded, strands_of
from geolayout.land.files.columns import roles
from geolayout.land.files.formats import READERS, read_sheet
from geolayout.land.files.gpx import timed_points
from geolayout.land.files.sheet import WGS84, Row, Sheet
from geolayout.land.files.source import Source, find_source
from geolayout.land.files.table import Table, read_table
from geolayout.land.files.wording import shown
from geolayout.land.frames.lonlat import on_earth, user_crs

__all__ = ["WorkFile", "read_work_file"]

GPX = ".gpx"

TABLES = (".csv", ".tsv", ".txt")
"""Endings of tables of places."""

WIDEST = 150.0
"""No machine works wider; such a width is in another unit. Our own choice. [m]"""

RATE = ("rate", "actual_rate", "applied_rate", "seed_rate", "dose")
WIDTH = ("width", "working_width", "width_m")
TIME = ("time", "timestamp", "date_time", "datetime")
PRODUCT = ("product", "crop", "seed", "variety")
UNIT = ("unit", "units", "rate_unit")
RUN = ("pass", "run", "track", "line", "seq")
WORKING = ("working", "work", "state", "on")

_YES = {"yes", "y", "true", "1", "1.0", "x", "on", "working"}
_NO = {"no", "n", "false", "0", "0.0", "", "off", "none"}


@dataclass(frozen=True, slots=True, eq=False)
class WorkFile:
    """
    What a returned file holds.

    Attributes
    ----------
    name : str
        Of the file.
    strands : tuple of Recorded
        Places that were driven in one go, and lines; longitude first. [degrees]
    areas : tuple of (geometry, float, str)
        Areas with rate and product. [degrees]
    unit : str
        Of its rates, as the file or the user has it; "" where nobody said.
    rated : bool
        Whether any rate was found.
    notes : tuple of str
        What was not used, or put in order first.
    """

    name: str
    strands: tuple[Recorded, ...]
    areas: tuple[tuple[BaseGeometry, float, str], ...]
    unit: str
    rated: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Columns:
    """The cells of the columns that are used, row by row."""

    rate: NDArray[np.float64]
    width: NDArray[np.float64]
    seconds: NDArray[np.float64]
    product: NDArray[np.object_]
    run: NDArray[np.object_]
    working: NDArray[np.bool_]
    unit: str
    notes: tuple[str, ...]


def read_work_file(
    path: Path,
    *,
    layer: str | None = None,
    crs: str | None = None,
    rate: str | None = None,
) -> WorkFile:
    """
    Read a file of work done.

    Parameters
    ----------
    path : Path
        A table with a line a place, or any file that shapes are read from.
    layer : str, optional
        Layer of the file, or file in the archive. Needed only where there are several.
    crs : str, optional
        Coordinate system of the file, where it does not say or is wrong.
    rate : str, optional
        Its column of rates; the first of the known names if nothing is said.

    Returns
    -------
    file : WorkFile

    Raises
    ------
    FileError
        If it cannot be read, holds nothing that was worked, or a cell is no figure.
    BoundaryError
        If a shape does not lie on earth.
    """
    sheet = on_earth(_sheet(path, layer), None if crs is None else user_crs(crs))
    drawn = tuple(row for row in sheet.rows if row.geometry is not None and not _empty(row))
    notes = [finding.sentence for finding in sheet.findings]
    if len(drawn) < len(sheet.rows):
        lost = len(sheet.rows) - len(drawn)
        notes.append(f"{lost} of {len(sheet.rows)} rows of {sheet.label} have no shape.")
    columns = _columns(drawn, sheet.label, rate)
    points, lines, areas = _by_shape(drawn)
    places, said = _placed(drawn, points, columns)
    along = [one for i in lines for one in _lines(drawn[i], columns, i)]
    found = [_area(drawn[i], columns, i) for i in areas if columns.working[i]]
    idle = int((~columns.working).sum())
    if idle:
        notes.append(f"{idle} of {len(drawn)} rows are of a machine that was not working.")
    if not (places or along or found):
        raise FileError(
            f"{sheet.label} holds nothing that was worked.",
            f"It has {len(drawn)} shapes, {idle} of them without work; one place alone is no pass.",
            "Export the work of the whole field: places in order, lines or areas.",
        )
    rated = bool(np.isfinite(columns.rate[columns.working]).any())
    return WorkFile(
        sheet.label,
        (*places, *along),
        tuple(found),
        columns.unit,
        rated,
        (*notes, *columns.notes, *said),
    )


def _empty(row: Row) -> bool:
    """Whether a row's shape has no place."""
    return row.geometry is None or row.geometry.is_empty


def _sheet(path: Path, layer: str | None) -> Sheet:
    """Return the rows of a file; a table's as points."""
    if not path.exists():
        raise FileError(
            f"{shown(path)} is not there.",
            "Work done is read from a file.",
            "Check the name and the folder.",
        )
    source, _ = find_source(path, layer, READERS)
    if source.suffix == GPX and layer is None:
        return _timed(source) or read_sheet(path, layer)
    if source.suffix not in TABLES:
        return read_sheet(path, layer)
    table = read_table(source.content(), source.name, _names_places)
    where = roles(table.columns).places
    if where is None:
        raise _no_places(source.name)
    shapes = [
        shapely.Point(*_place(table, line, (where.east, where.north), source.name))
        for line in range(len(table.lines))
    ]
    rows = tuple(
        Row(shape, dict(zip(table.columns, line.cells, strict=True)), number=str(line.number))
        for shape, line in zip(shapes, table.lines, strict=True)
    )
    return Sheet(source, rows, WGS84 if where.kind == "degrees" else None)


def _timed(source: Source) -> Sheet | None:
    """Return the points of tracks in the order of their times; None where they have none."""
    rows = tuple(
        Row(shapely.Point(one.lon, one.lat), {"track": one.run, "time": one.time})
        for one in timed_points(source)
    )
    return Sheet(source, rows, WGS84) if rows else None


def _names_places(cells: Sequence[str]) -> bool:
    """Whether a line names two columns that say where a place is."""
    return roles(cells).places is not None


def _no_places(name: str) -> FileError:
    """Return the refusal of a table without places."""
    return FileError(
        f"{name} has no columns that say where a place is.",
        "Work is held against lines on the ground.",
        "Name two columns lon and lat, or easting and northing.",
    )


def _place(table: Table, line: int, columns: tuple[int, int], name: str) -> tuple[float, float]:
    """Return where a line of a table is."""
    east, north = (
        _number(table.lines[line].cells[i], f"Line {table.lines[line].number} of {name}", "a place")
        for i in columns
    )
    if not (isfinite(east) and isfinite(north)):
        raise FileError(
            f"Line {table.lines[line].number} of {name} has no place.",
            "Every line of a record is somewhere.",
            "Delete the line, or write both figures.",
        )
    return east, north


def _by_shape(rows: Sequence[Row]) -> tuple[list[int], list[int], list[int]]:
    """Return which rows are points, lines and areas."""
    kinds = [row.geometry.geom_type if row.geometry is not None else "" for row in rows]
    points = [i for i, kind in enumerate(kinds) if "Point" in kind]
    lines = [i for i, kind in enumerate(kinds) if kind in ("LineString", "MultiLineString")]
    areas = [i for i, kind in enumerate(kinds) if "Polygon" in kind]
    return points, lines, areas


def _columns(rows: Sequence[Row], name: str, rate: str | None) -> _Columns:
    """Return the columns of the rows that are used, as figures."""
    if rate is not None and not any(rate.casefold() in _keys(row) for row in rows):
        held = ", ".join(shown(key) for key in (rows[0].properties if rows else {}))
        raise FileError(
            f"{name} has no column {rate!r}.",
            f"Its columns are: {held}.",
            "Name the one that holds the rates.",
        )
    told = [f"{_row_words(row, i)} of {name}" for i, row in enumerate(rows, start=1)]
    rates = _numbers(rows, RATE if rate is None else (rate,), told, "a rate")
    widths = _numbers(rows, WIDTH, told, "a width")
    _check_widths(widths, told)
    times = [_cell(row, TIME) for row in rows]
    seconds = np.array([_seconds(value) for value in times], dtype=np.float64)
    lost = sum(
        value not in (None, "") and not isfinite(second)
        for value, second in zip(times, seconds.tolist(), strict=True)
    )
    units = {str(value).strip() for row in rows if (value := _cell(row, UNIT)) not in (None, "")}
    if len(units) > 1:
        raise FileError(
            f"The rates of {name} are in {len(units)} units: {', '.join(sorted(units))}.",
            "One comparison has one unit.",
            "Export one product or one unit at a time.",
        )
    working = np.array(
        [_works(row, where) for row, where in zip(rows, told, strict=True)], dtype=bool
    )
    return _Columns(
        rates,
        widths,
        seconds,
        np.array([str(_cell(row, PRODUCT) or "").strip() for row in rows], dtype=object),
        np.array([str(_cell(row, RUN) or "") for row in rows], dtype=object),
        working & ~(rates == 0.0) & ~(widths == 0.0),
        next(iter(units), ""),
        (f"{lost} times of {name} cannot be read and were not used.",) if lost else (),
    )


def _keys(row: Row) -> set[str]:
    """Return the names of a row's columns."""
    return {key.casefold() for key in row.properties}


def _cell(row: Row, names: Iterable[str]) -> object:
    """Return the first of a row's columns that is there."""
    folded = {key.casefold().replace(" ", "_"): value for key, value in row.properties.items()}
    return next((folded[name.casefold()] for name in names if name.casefold() in folded), None)


def _row_words(row: Row, number: int) -> str:
    """Return what to call a row."""
    return f"Line {row.number}" if row.number is not None else f"Row {number}"


def _numbers(
    rows: Sequence[Row], names: Iterable[str], told: Sequence[str], what: str
) -> NDArray[np.float64]:
    """Return a column as figures, not a number where a cell is empty; none is below nought."""
    names = tuple(names)
    found = [_number(_cell(row, names), where, what) for row, where in zip(rows, told, strict=True)]
    for value, where in zip(found, told, strict=True):
        if value < 0.0 or value == float("inf"):
            raise FileError(
                f"{where} has {what} of {value:g}.",
                "It must be 0 or more.",
                "Mend that row, or leave the cell empty.",
            )
    return np.array(found, dtype=np.float64)


def _number(value: object, where: str, what: str) -> float:
    """Return a cell as a figure."""
    if value is None or (isinstance(value, str) and not value.strip()):
        return nan
    try:
        return float(value.replace(",", ".") if isinstance(value, str) else str(value))
    except ValueError:
        raise FileError(
            f"{where} has {shown(value, 20)!r} for {what}.",
            "It must be a number.",
            "Mend that row, or leave the cell empty.",
        ) from None


def _check_widths(widths: NDArray[np.float64], told: Sequence[str]) -> None:
    """Refuse a width that no machine has."""
    for i in np.flatnonzero(widths > WIDEST)[:1].tolist():
        raise FileError(
            f"{told[i]} has a width of {widths[i]:g} m.",
            f"No machine works wider than {WIDEST:g} m.",
            "Give widths in metres.",
        )


def _seconds(value: object) -> float:
    """Return a time in seconds since any moment; not a number where it cannot be read. [s]"""
    if value is None or value == "":
        return nan
    try:
        return float(str(value))
    except ValueError:
        pass
    try:
        found = value if isinstance(value, datetime) else datetime.fromisoformat(str(value))
        return (found.replace(tzinfo=None) - datetime(2000, 1, 1)).total_seconds()
    except ValueError:
        return nan


def _works(row: Row, where: str) -> bool:
    """Whether a row is of a machine at work."""
    value = _cell(row, WORKING)
    if value is None:
        return True
    word = str(value).strip().lower()
    if word not in _YES | _NO:
        raise FileError(
            f"{where} has {shown(value, 20)!r} for whether it was working.",
            "It must be yes or no.",
            "Write yes, no, 1 or 0.",
        )
    return word in _YES


def _placed(
    rows: Sequence[Row], points: Sequence[int], columns: _Columns
) -> tuple[list[Recorded], list[str]]:
    """Return the strands that rows of points belong to, and what was done to them first."""
    if not points:
        return [], []
    shapes = np.array([rows[i].geometry for i in points], dtype=object)
    parts, which = shapely.get_parts(shapes, return_index=True)
    index = np.array(points)[which]
    recorded = Recorded(
        shapely.get_coordinates(parts),
        columns.rate[index],
        columns.seconds[index],
        columns.width[index],
        columns.product[index],
        columns.run[index],
        columns.working[index],
    )
    return strands_of(recorded)


def _lines(row: Row, columns: _Columns, i: int) -> list[Recorded]:
    """Return the lines of a row, each driven in one go."""
    if not columns.working[i]:
        return []
    found = []
    for line in shapely.get_parts(row.geometry):
        xy = shapely.get_coordinates(line)
        alike = np.full(len(xy), i)
        one = Recorded(
            xy,
            columns.rate[alike],
            columns.seconds[alike],
            columns.width[alike],
            columns.product[alike],
            columns.run[alike],
            columns.working[alike],
            is_line=True,
        )
        found.append(one)
    return found


def _area(row: Row, columns: _Columns, i: int) -> tuple[BaseGeometry, float, str]:
    """Return the area of a row with its rate and product."""
    shape = row.geometry
    if shape is None or not shape.is_valid:
        shape = shapely.make_valid(shape)
    return shape, float(columns.rate[i]), str(columns.product[i])
