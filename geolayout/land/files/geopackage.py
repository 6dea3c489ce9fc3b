"""
GeoPackages, looked over before GDAL sees them.

A GeoPackage is an SQLite database, which can hold instructions as well as rows: a view or a
computed column may run without end. Only plain tables are read.
"""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from time import monotonic

from geolayout.errors import FileError
from geolayout.land.files.limits import (
    MAX_ROWS,
    MAX_TEXT_IN_ROWS,
    MAX_UNPACKED,
    check_rows,
    too_large,
)
from geolayout.land.files.source import Source
from geolayout.land.files.wording import library_words, shown

__all__ = ["check_geopackage"]

PATIENCE = 5.0
"""Longest time that counting the rows may take. [s]"""

_INSTRUCTIONS = 100_000  # of SQLite, between two looks at the clock


def check_geopackage(source: Source) -> bytes | None:
    """
    Look a GeoPackage over.

    Parameters
    ----------
    source : Source
        The file.

    Returns
    -------
    content : bytes or None
        Where it must be handed on in memory: out of a zip, or while another program has changes
        of it in a log. Else it is to be opened as immutable, for SQLite may otherwise write beside
        it.

    Raises
    ------
    FileError
        If it is no database, holds too much, computes its rows, or was left unfinished.
    """
    try:
        content = _content(source)
        with _opened(source, content) as database:
            for table in _tables(database):
                _check_table(database, table, source)
    except FileError:  # an OSError, too, but ours
        raise
    except (sqlite3.Error, OSError, ValueError) as error:
        raise FileError(
            f"{source.name} cannot be read.",
            f"The library that reads it says: {library_words(error)}.",
            "Open it in the program it came from, and export it again.",
        ) from error
    return content


def _in_rest(content: bytes) -> bytes:
    """Clear the sign of a log beside the file, for in memory there is none (SQLite format, 1.3)."""
    return content[:18] + b"\x01\x01" + content[20:]


def _content(source: Source) -> bytes | None:
    """Read it into memory if it must be."""
    if source.archive:
        return _in_rest(source.content(MAX_UNPACKED))
    log, index, journal = (Path(f"{source.file}{end}") for end in ("-wal", "-shm", "-journal"))
    if _begin(journal).startswith(_HOT):
        raise _unfinished(source, journal)
    if not _begin(log):
        return None
    if not index.exists():
        raise _unfinished(source, log)
    size = Path(source.file).stat().st_size + log.stat().st_size
    if size > MAX_UNPACKED:
        most = f"{MAX_UNPACKED / 1e6:,.0f} MB while another program has it open"
        raise too_large(source.name, f"{size / 1e6:,.0f} MB", most)
    with closing(_connected(source, "mode=ro")) as database:
        return _in_rest(database.serialize())


_HOT = bytes.fromhex("d9d505f920a163d7")
"""How a journal begins whose changes are to be taken back (SQLite file format, 3)."""


def _begin(file: Path) -> bytes:
    """Read the first bytes of a file that may be there."""
    try:
        with file.open("rb") as opened:
            return opened.read(16)
    except FileNotFoundError:
        return b""


def _unfinished(source: Source, log: Path) -> FileError:
    return FileError(
        f"{source.name} was not closed properly: its last changes are in {shown(log.name)}.",
        "Reading it without them would give another state than the one last saved.",
        "Open it in the program that wrote it, close that program, and try again.",
    )


def _connected(source: Source, how: str) -> sqlite3.Connection:
    return sqlite3.connect(f"{Path(source.file).absolute().as_uri()}?{how}", uri=True)


@contextmanager
def _opened(source: Source, content: bytes | None) -> Iterator[sqlite3.Connection]:
    """Open a database to read, in a way that writes nothing beside it."""
    if content is None:
        _check_begin(_begin(Path(source.file)))
        connection = _connected(source, "mode=ro&immutable=1")
    else:
        _check_begin(content[:16])
        connection = sqlite3.connect(":memory:")
    with closing(connection):
        if content is not None:
            connection.deserialize(content)
        connection.text_factory = lambda text: text.decode("utf-8", "replace")
        _stop_in_time(connection)
        yield connection


def _check_begin(content: bytes) -> None:
    if content != b"SQLite format 3\x00":
        raise sqlite3.DatabaseError("file is not a database")


def _stop_in_time(connection: sqlite3.Connection) -> None:
    end = monotonic() + PATIENCE
    connection.set_progress_handler(lambda: monotonic() > end, _INSTRUCTIONS)


def _tables(database: sqlite3.Connection) -> list[str]:
    """List the layers of a GeoPackage."""
    rows = database.execute("select table_name from gpkg_contents limit ?", (MAX_ROWS,)).fetchall()
    return [str(name) for (name,) in rows]


def _check_table(database: sqlite3.Connection, table: str, source: Source) -> None:
    """Refuse a layer that is computed, or too large."""
    kinds = database.execute(
        "select type, sql from sqlite_master where lower(name) = lower(?)"
        " and type in ('table', 'view')",
        (table,),
    ).fetchall()
    columns = database.execute(
        "select name, hidden from pragma_table_xinfo(?)", (table,)
    ).fetchall()
    stored = all(kind == "table" and " virtual " not in sql[:40].lower() for kind, sql in kinds)
    if not stored or any(hidden in (2, 3) for _, hidden in columns):
        raise FileError(
            f"Layer '{shown(table)}' of {source.name} is computed when it is read.",
            "Only what is stored in a file is read, for a file may compute without end.",
            "Save the layer as a new file.",
        )
    if kinds:
        _check_amount(database, table, [name for name, _ in columns], source)


def _check_amount(
    database: sqlite3.Connection, table: str, columns: Sequence[str], source: Source
) -> None:
    """Refuse a layer of too many rows, corners or letters."""
    geometry = database.execute(
        "select column_name from gpkg_geometry_columns where lower(table_name) = lower(?)",
        (table,),
    ).fetchone()
    shape = str(geometry[0]) if geometry else ""
    name = _quoted(table)
    (rows,) = database.execute(
        f"select count(*) from (select 1 from {name} limit {MAX_ROWS + 1})"  # noqa: S608  # quoted
    ).fetchone()
    check_rows(source.name, rows, 0)
    sums = ", ".join(f"total(length({_quoted(column)}))" for column in columns)
    amounts = database.execute(f"select {sums} from {name}").fetchone()  # noqa: S608  # quoted
    sizes = {column.casefold(): amount for column, amount in zip(columns, amounts, strict=True)}
    # A corner takes 16 bytes or more.
    check_rows(source.name, rows, int(sizes.pop(shape.casefold(), 0.0) // 16))
    if sum(sizes.values()) > MAX_TEXT_IN_ROWS:
        most = f"{MAX_TEXT_IN_ROWS / 1e6:,.0f} million letters"
        raise too_large(source.name, "too much text in its columns", most)


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
