"""
The cells of a text table, whichever sign parts them.

The first line names the columns. The sign that parts them is the first of a fixed list that
leaves names one knows; nothing is found out from the figures.
"""

import codecs
import csv
import io
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from reprlib import repr as brief

from geolayout.errors import FileError
from geolayout.land.files.limits import EXPORT_AGAIN, too_large
from geolayout.land.files.wording import library_words

__all__ = ["Line", "Table", "read_table"]

_SEPARATORS = ("\t", ";", "|", ",", " ")

_MAX_LINES = 200_000  # a field walked once a second for a day has 30,000
_MAX_HEADER = 100_000  # letters of the line that names the columns
_MAX_CELLS = 1_000_000  # each takes some 60 bytes and more

_UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


@dataclass(frozen=True, slots=True)
class Line:
    """
    One line of a table.

    Attributes
    ----------
    number : int
        Counted from 1, as an editor shows it.
    cells : tuple of str
        Without blanks around them; as many as there are columns.
    """

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """
    A table out of a text file.

    Attributes
    ----------
    columns : tuple of str
        What the first line calls them.
    lines : tuple of Line
        The others that are not empty.
    gaps : tuple of int
        Numbers of the empty lines that stand between others.
    """

    columns: tuple[str, ...]
    lines: tuple[Line, ...]
    gaps: tuple[int, ...]


def read_table(content: bytes, name: str, known: Callable[[Sequence[str]], bool]) -> Table:
    """
    Part a text into cells.

    Parameters
    ----------
    content : bytes
        UTF-8 or code page 1252, or UTF-16 with its mark.
    name : str
        What messages call the file.
    known : callable
        Tells whether a line of column names is one.

    Returns
    -------
    table : Table

    Raises
    ------
    FileError
        If it is no text, its first line names no columns, or a line has too many cells.
    """
    text = _text(content, name)
    if max(text.count("\n"), text.count("\r")) > _MAX_LINES:
        raise too_large(name, f"more than {_MAX_LINES:,} lines", f"{_MAX_LINES:,}")
    lines = io.StringIO(text, newline=None).readlines()
    start = next((i for i, line in enumerate(lines) if not _is_passed_over(line)), len(lines))
    header = lines[start].rstrip("\n") if start < len(lines) else ""
    stated = header[4:] if header[:4].lower() == "sep=" and len(header) == 5 else ""
    if stated:  # as spreadsheets write and read it
        start += 1
        header = lines[start].rstrip("\n") if start < len(lines) else ""
    if len(header) > _MAX_HEADER:
        holds = f"a first line of {len(header):,} letters"
        raise too_large(name, holds, f"{_MAX_HEADER:,}", EXPORT_AGAIN)
    for separator in stated or _SEPARATORS:
        columns = _split([header], 0, separator, name)
        if columns and known(columns[0].cells):
            _check_cells(text.count(separator), name)
            return _table(columns[0].cells, _split(lines, start + 1, separator, name), name)
    raise FileError(
        f"The first line of {name} names no columns that are known: it is {brief(header)}.",
        "Without names figures could be degrees or metres, east or north.",
        "Begin the file with a line such as lon,lat or easting,northing.",
    )


def _text(content: bytes, name: str) -> str:
    """Decode it; what is no UTF-8 is taken for the code page of Western spreadsheets."""
    try:
        marked = content.startswith(_UTF_16)
        text = content.decode("utf-16") if marked else _utf_8_or_1252(content)
    except UnicodeDecodeError as error:
        raise _no_text(name) from error
    if "\x00" in text:
        raise _no_text(name)
    return text


def _utf_8_or_1252(content: bytes) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252")


def _no_text(name: str) -> FileError:
    return FileError(
        f"{name} is no text.",
        "It holds bytes that stand for no letter.",
        "Save the table as CSV, in UTF-8 if there is a choice.",
    )


def _check_cells(cells: int, name: str) -> None:
    if cells > _MAX_CELLS:
        raise too_large(name, f"{cells:,} cells", f"{_MAX_CELLS:,}")


def _is_passed_over(line: str) -> bool:
    return not line.strip() or line.startswith("#")


def _split(lines: Sequence[str], start: int, separator: str, name: str) -> list[Line]:
    """Part the lines from one of them on; a quoted cell may reach over several."""
    if separator == " ":
        cells = [line.split() for line in lines[start:]]
        return [Line(number, tuple(row)) for number, row in enumerate(cells, start=start + 1)]
    reader = csv.reader(lines[start:], delimiter=separator, strict=True, skipinitialspace=True)
    rows = []
    try:
        with _long_cells():
            while (row := next(reader, None)) is not None:
                cells_of_row = tuple(cell.replace("\n", " ").strip() for cell in row)
                rows.append(Line(start + reader.line_num, cells_of_row))
    except csv.Error as error:
        raise FileError(
            f"Line {start + reader.line_num} of {name} cannot be parted into cells.",
            f"The library that reads it says: {library_words(error)}.",
            "See that each quote that opens a cell is closed.",
        ) from error
    return rows


@contextmanager
def _long_cells() -> Iterator[None]:
    """Let a cell hold the outline of a whole field; the library's limit is 131,072 letters."""
    before = csv.field_size_limit(2**31 - 1)
    try:
        yield
    finally:
        csv.field_size_limit(before)


def _table(columns: tuple[str, ...], lines: Sequence[Line], name: str) -> Table:
    lines = [line for line in lines if not line.cells or not line.cells[0].startswith("#")]
    full = [line for line in lines if any(line.cells)]
    first, last = (full[0].number, full[-1].number) if full else (0, 0)
    empty = [line.number for line in lines if not any(line.cells)]
    gaps = tuple(number for number in empty if first < number < last)
    return Table(columns, tuple(_padded(line, len(columns), name) for line in full), gaps)


def _padded(line: Line, width: int, name: str) -> Line:
    """Give a line as many cells as there are columns."""
    if any(line.cells[width:]):
        raise FileError(
            f"Line {line.number} of {name} has {len(line.cells)} cells for {width} columns.",
            "Decimal commas part a number in two where commas part the cells as well.",
            "Save it with semicolons, or with decimal points.",
        )
    cells = (*line.cells[:width], *("",) * (width - len(line.cells)))
    return Line(line.number, cells)
