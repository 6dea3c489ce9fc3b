"""Maps of rate zones out of files of polygons."""

from collections.abc import Sequence
from math import isfinite, nan
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from geolayout.errors import BoundaryError, FileError
from geolayout.land.boundary.finding import Finding
from geolayout.land.boundary.inner import polygons_of
from geolayout.land.field import Field
from geolayout.land.files.formats import read_sheet
from geolayout.land.files.sheet import Row, Sheet
from geolayout.land.files.wording import shown
from geolayout.land.frames.lonlat import on_earth, user_crs
from geolayout.land.zones.map import ZoneMap

__all__ = ["read_zone_polygons"]


def read_zone_polygons(
    path: str | Path,
    field: Field,
    column: str,
    *,
    words: bool,
    layer: str | None = None,
    crs: str | None = None,
) -> ZoneMap:
    """
    Read the polygons of a file that lie on a field, with one column.

    Parameters
    ----------
    path : path
        A file of a kind that ``geolayout.land.files.formats`` lists, or a zip of some.
    field : Field
        The field.
    column : str
        The column with the values, whichever case its name is in.
    words : bool
        Whether the values are names of classes, figures among them.
    layer, crs : str, optional
        Layer of the file, and coordinate system of one that states none.

    Returns
    -------
    mapped : ZoneMap
        Polygons without a value are left out, and said.

    Raises
    ------
    FileError
        If the file cannot be read or states no coordinate system, or no polygon with a value lies
        on the field.
    BoundaryError
        If it holds no polygon or has no such column, or a polygon does not lie on earth.
    """
    stated = None if crs is None else user_crs(crs)
    sheet = on_earth(read_sheet(Path(path), layer), stated)
    rows = [row for row in sheet.rows if polygons_of(row.geometry)]
    if not rows:
        raise BoundaryError(
            f"{sheet.label} holds no polygon.",
            "A rate zone is ground, and points or lines have none.",
            "Export the map as polygons, or as a raster.",
        )
    _check_column(sheet, rows, column)
    drawn = np.array([shapely.MultiPolygon(polygons_of(row.geometry)) for row in rows])
    shapes, mended = _sound(field.frame.to_local(drawn))
    values = [row.column(column) for row in rows]
    held = np.array([_holds(value) for value in values])
    mine = held & shapely.intersects(shapes, field.land)
    if not mine.any():
        raise FileError(
            f"{sheet.label} has no polygon with a value on the field.",
            "It lies elsewhere, or its column is empty here.",
            "Look at its coordinate system, or take the map of this field.",
        )
    kept = [value for value, one in zip(values, mine, strict=True) if one]
    said = _told(sheet.label, len(rows), int((~held).sum()), mended)
    return ZoneMap(shapes[mine], _column(kept, words=words), sheet.label, None, said)


def _check_column(sheet: Sheet, rows: Sequence[Row], column: str) -> None:
    """The column is there."""
    if all(row.column(column) is None for row in rows):
        there = ", ".join(dict.fromkeys(name for row in rows for name in row.properties))
        raise BoundaryError(
            f"{sheet.label} has nothing in a column {column!r}.",
            f"Its columns are: {there or 'none'}.",
            "Name the one with the values of the map.",
        )


def _sound(shapes: NDArray[np.object_]) -> tuple[NDArray[np.object_], int]:
    """Make shapes that cross themselves valid, and count them."""
    bad = ~shapely.is_valid(shapes)
    mended = shapes.copy()
    mended[bad] = shapely.make_valid(shapes[bad])
    return mended, int(bad.sum())


def _holds(value: object) -> bool:
    """Whether a column holds something; a number may be there and be none."""
    return value is not None and shown(value).strip().casefold() not in ("", "nan")


def _column(values: Sequence[object], *, words: bool) -> NDArray[np.float64] | NDArray[np.str_]:
    """Return a column as numbers where it is to hold some and does, else as words."""
    texts = [shown(value).strip() for value in values]
    numbers = np.array([_number(text) for text in texts])
    return np.array(texts) if words or not np.isfinite(numbers).all() else numbers


def _number(text: str) -> float:
    """Return the number a text says, a comma for the point allowed; not a number otherwise."""
    try:
        value = float(text.replace(",", ".") if text.count(",") == 1 else text)
    except ValueError:
        return nan
    return value if isfinite(value) else nan


def _told(name: str, rows: int, empty: int, mended: int) -> tuple[Finding, ...]:
    """Say which polygons were left out, and which were mended."""
    told = []
    if empty:
        told.append(Finding("no value", f"{empty} of {rows} polygons of {name} hold no value."))
    if mended:
        sentence = f"{mended} of {rows} polygons of {name} cross themselves and were parted there."
        told.append(Finding("crossing", sentence))
    return tuple(told)
