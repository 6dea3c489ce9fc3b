"""The rows of one layer as a file has them: shapes in its own coordinate system, none left out."""

from dataclasses import dataclass
from typing import Any

from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from geolayout.land.boundary.finding import Finding
from geolayout.land.files.source import Source
from geolayout.land.files.wording import shown

__all__ = ["WGS84", "Row", "Sheet"]

WGS84 = CRS.from_epsg(4326)
"""Longitude and latitude; which comes first is for the reader to see to."""

_NAME_COLUMNS = ("name", "field_id", "id")


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

    def columns(self) -> dict[str, Any]:
        """Give its columns, and a GeoJSON id as ``id`` unless one of them is called so."""
        given = {} if self.given_id is None else {"id": self.given_id}
        return {**given, **self.properties}

    def label(self, otherwise: str) -> str:
        """Give the name of the shape, else its id, else another word."""
        values = [self.column(name) for name in _NAME_COLUMNS]
        named = [shown(value).strip() for value in (*values, self.given_id) if value is not None]
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
        return self.source.name
