"""How much of a file is read, so that none, however made, takes the machine with it."""

from geolayout.errors import FileError
from geolayout.land.files.wording import shown

__all__ = [
    "CUT_OUT",
    "EXPORT_AGAIN",
    "MAX_DEPTH",
    "MAX_ELEMENTS",
    "MAX_LISTING",
    "MAX_MEMBERS",
    "MAX_RATIO",
    "MAX_RINGS",
    "MAX_ROWS",
    "MAX_TAG",
    "MAX_TEXT",
    "MAX_TEXT_IN_ROWS",
    "MAX_UNPACKED",
    "MAX_VALUES",
    "MAX_VERTICES",
    "NAME_THE_FILE",
    "check_json_size",
    "check_rows",
    "too_large",
]

MAX_TEXT = 30_000_000
"""Size of a text that is read whole, such as GeoJSON, KML or CSV. [bytes]"""

MAX_UNPACKED = 100_000_000
"""Size of a file of another kind that is read whole, with its parts; also out of a zip. [bytes]"""

MAX_RATIO = 200
"""Unpacked over packed size of a zip; maps in text come to 20, a file of one letter to 1,000."""

MAX_MEMBERS = 5_000
"""Files in one zip or folder."""

MAX_LISTING = 4_000_000
"""Size of the list of contents of a zip. [bytes]"""

MAX_ROWS = 100_000
"""Rows of one layer; a farm has hundreds."""

MAX_VERTICES = 1_500_000
"""Corners of one layer; a field walked once a second for a day has 30,000."""

MAX_RINGS = 3_000
"""Rings of one shape of a shapefile: which lies in which is found out pair by pair."""

MAX_TEXT_IN_ROWS = 50_000_000
"""Text in the columns of one layer. [letters]"""

MAX_VALUES = 2_000_000
"""Numbers, texts and brackets in one JSON text; each takes some 50 to 120 bytes."""

MAX_ELEMENTS = 400_000
"""Elements of an XML text."""

MAX_DEPTH = 100
"""Elements of an XML text within one another; the deepest kind read here needs 15."""

MAX_TAG = 1_000_000
"""Size of one tag of an XML text. [bytes]"""

CUT_OUT = "Open it in a map program, and save your own fields as a file of their own."

EXPORT_AGAIN = "Open it in the program it came from, and export it again."
NAME_THE_FILE = "Take the file that is meant out of it, and name that."


def too_large(name: str, holds: str, most: str, remedy: str = CUT_OUT) -> FileError:
    """
    Make the error of a file that holds too much.

    Parameters
    ----------
    name : str
        Of the file.
    holds, most : str
        What it holds and what may be, with unit.
    remedy : str
        What to do about it.

    Returns
    -------
    error : FileError
    """
    return FileError(
        f"{shown(name)} holds {holds}.",
        f"At most {most} are read, so that no file can fill the memory.",
        remedy,
    )


def check_rows(name: str, rows: int, vertices: int) -> None:
    """
    Refuse a layer of too many rows or corners.

    Parameters
    ----------
    name : str
        Of the file.
    rows, vertices : int
        Counted so far.

    Raises
    ------
    FileError
        If they are over ``MAX_ROWS`` or ``MAX_VERTICES``.
    """
    if rows > MAX_ROWS:
        raise too_large(name, f"more than {MAX_ROWS:,} rows", f"{MAX_ROWS:,}")
    if vertices > MAX_VERTICES:
        raise too_large(name, f"more than {MAX_VERTICES:,} corners", f"{MAX_VERTICES:,}")


def check_json_size(name: str, content: bytes) -> None:
    """
    Refuse a JSON text of too many values, which take far more room than their letters.

    Parameters
    ----------
    name : str
        Of the file.
    content : bytes
        The text; what stands in its strings is counted too, so a count is never too low.

    Raises
    ------
    FileError
        If there are over ``MAX_VALUES``.
    """
    values = sum(content.count(sign) for sign in (b"[", b"{", b","))
    if values > MAX_VALUES:
        raise too_large(name, f"{values:,} values", f"{MAX_VALUES:,}")
