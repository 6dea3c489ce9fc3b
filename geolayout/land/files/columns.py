"""What the columns of a table of corners are, told by their names alone."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Places", "Roles", "roles"]

_EAST = frozenset(("easting", "east", "e", "rechtswert", "est", "este", "ost", "xcoord"))
_NORTH = frozenset(("northing", "north", "n", "hochwert", "nord", "norte", "ycoord"))
_LONGITUDE = frozenset(
    ("longitude", "lon", "long", "lng", "längengrad", "longitud", "longitudine", "lengtegraad")
)
_LATITUDE = frozenset(("latitude", "lat", "breitengrad", "latitud", "latitudine", "breedtegraad"))

# Trade words of a few languages; kinds in the order in which they are taken.
_PLACES = (
    ("degrees", _LONGITUDE, _LATITUDE),
    ("metres", _EAST, _NORTH),
    ("either", frozenset("x"), frozenset("y")),
)
_WKT = frozenset(("wkt", "geometry", "geom", "the geom", "shape"))
_FIELD = frozenset(("field", "parcel", "parcelle", "parcela", "schlag", "feld", "perceel"))
_RING = frozenset(("ring", "part", "polygon", "poly", "piece", "teil"))
_ORDER = frozenset(("point", "corner", "vertex", "order", "sequence", "seq", "pt", "punkt"))

_UNITS = frozenset(
    ("deg", "degree", "degrees", "dd", "dms", "dec", "m", "metre", "metres", "meter", "meters")
) | {"ft", "feet", "decimal"}
_FILLING = _UNITS | {"coord", "coords", "coordinate", "point", "gps", "utm", "wgs", "wgs84", "84"}
_NUMBERING = frozenset(["id", "no", "nr", "num", "number", "name", "code"])


@dataclass(frozen=True, slots=True)
class Places:
    """
    The two columns that say where a corner is.

    Attributes
    ----------
    kind : {"degrees", "metres", "either"}
        What their names say of them.
    east, north : int
        Which columns they are, from 0.
    """

    kind: str
    east: int
    north: int


@dataclass(frozen=True, slots=True)
class Roles:
    """
    What is known of the columns; a number is a column, from 0.

    Attributes
    ----------
    places : Places or None
        Where the corners are.
    wkt : int or None
        Whole shapes as well-known text.
    field, ring, order : int or None
        What parts the lines into fields and rings, and numbers the corners.
    names : tuple of int
        Columns that may name a field or a corner.
    """

    places: Places | None
    wkt: int | None
    field: int | None
    ring: int | None
    order: int | None
    names: tuple[int, ...]

    @property
    def are_known(self) -> bool:
        """Whether they say where anything is."""
        return self.places is not None or self.wkt is not None


def roles(columns: Sequence[str]) -> Roles:
    """
    Tell what each column is for.

    Parameters
    ----------
    columns : sequence of str
        Their names. Case, units in brackets and words such as "coordinate" do not matter.

    Returns
    -------
    roles : Roles

    Examples
    --------
    >>> roles(["Point no", "X [m]", "Y [m]"]).places
    Places(kind='either', east=1, north=2)
    """
    words = [_words(column) for column in columns]
    bare = [frozenset(group - _NUMBERING) for group in words]
    names = tuple(i for i, group in enumerate(words) if group and group <= _NUMBERING)
    return Roles(
        _places([frozenset(group - _FILLING) for group in words]),
        _first([frozenset({" ".join(column.casefold().split("_"))}) for column in columns], _WKT),
        _first(bare, _FIELD),
        _first(bare, _RING),
        _first(bare, _ORDER),
        names,
    )


def _words(column: str) -> frozenset[str]:
    plain = re.sub(r"\(.*?\)|\[.*?\]", " ", column.casefold())
    return frozenset(re.findall(r"[^\W_]+", plain))


def _first(groups: Sequence[frozenset[str]], known: frozenset[str]) -> int | None:
    """Find the first column whose one word is among those."""
    return next((i for i, group in enumerate(groups) if len(group) == 1 and group <= known), None)


def _places(groups: Sequence[frozenset[str]]) -> Places | None:
    """Find two columns of one kind; where two are called longitude, neither is taken."""
    for kind, easts, norths in _PLACES:
        east = [i for i, group in enumerate(groups) if len(group) == 1 and group <= easts]
        north = [i for i, group in enumerate(groups) if len(group) == 1 and group <= norths]
        if len(east) == len(north) == 1:
            return Places(kind, east[0], north[0])
    return None
