"""
Zip files, listed and read with care: what a zip says of itself may be untrue or meant to harm.

Nothing is ever unpacked to the disk. A file is read into memory, a piece at a time, up to a limit.
"""

import stat
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BufferedReader, FileIO
from pathlib import Path, PurePosixPath
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from geolayout.errors import FileError
from geolayout.land.files.limits import (
    MAX_LISTING,
    MAX_MEMBERS,
    MAX_RATIO,
    MAX_UNPACKED,
    NAME_THE_FILE,
    too_large,
)
from geolayout.land.files.wording import library_words, shown

__all__ = ["ARCHIVES", "members", "read_member"]

ARCHIVES = (".zip", ".kmz", ".shz")
"""Ends of the names of zip files, in lower case."""

_PIECE = 1_000_000

_DEVICES = frozenset(
    (
        *("con", "prn", "aux", "nul", "conin$", "conout$"),
        *(f"{port}{number}" for port in ("com", "lpt") for number in range(10)),
    )
)
"""Names that are no files on some systems, whatever their suffix."""

_TORN = (
    OSError,
    BadZipFile,
    RuntimeError,  # zipfile's word for an encrypted file; NotImplementedError is one, too
    EOFError,
    ValueError,
    KeyError,
    zlib.error,
    struct.error,
)


class _CarefulFile(BufferedReader):
    """A file that gives no more than a list of contents at once, whatever length a zip states."""

    def read(self, size: int | None = -1, /) -> bytes:
        if size is not None and size > MAX_LISTING:
            raise BadZipFile("its list of contents is too long")
        return super().read(size)


@contextmanager
def _opened(path: Path) -> Iterator[ZipFile]:
    """Open a zip, and turn all that can go wrong with it into one error."""
    try:
        with _CarefulFile(FileIO(path)) as file, ZipFile(file) as archive:
            yield archive
    except FileError:  # an OSError, too, but ours
        raise
    except _TORN as error:
        raise FileError(
            f"{shown(path.name)} is not a whole zip file.",
            f"What was found: {library_words(error)}.",
            "Copy or download it again.",
        ) from error


def members(path: Path) -> list[PurePosixPath]:
    """
    List the files of a zip, without those whose names begin with a dot.

    Parameters
    ----------
    path : Path
        The zip.

    Returns
    -------
    files : list of PurePosixPath
        As the zip has them.

    Raises
    ------
    FileError
        If it is torn, holds too much, or has a member that would be no plain file in a folder.
    """
    with _opened(path) as archive:
        infos = archive.infolist()
        if len(infos) > MAX_MEMBERS:
            raise too_large(path.name, f"{len(infos):,} files", f"{MAX_MEMBERS:,}", NAME_THE_FILE)
        _check_size(path, infos)
        names: set[str] = set()
        for info in infos:
            _check_member(path, info, names)
        files = [PurePosixPath(info.filename) for info in infos if not info.is_dir()]
    return [file for file in files if not file.name.startswith(".")]


def _check_size(path: Path, infos: list[ZipInfo]) -> None:
    """Refuse a zip that blows up beyond what maps do."""
    packed, unpacked = path.stat().st_size, sum(info.file_size for info in infos)
    if unpacked > MAX_UNPACKED and unpacked > MAX_RATIO * packed:
        raise FileError(
            f"{shown(path.name)} of {packed / 1e6:.3f} MB says that it unpacks to"
            f" {unpacked / 1e6:,.0f} MB.",
            f"Maps pack to a twentieth; more than {MAX_RATIO} times as much is not read.",
            "Ask whoever made it for the plain file.",
        )


def _check_member(path: Path, info: ZipInfo, names: set[str]) -> None:
    """Refuse a member that is no plain file of its own inside the folder of the zip."""
    # The name as it was written, for on some systems the other one is already bent to fit.
    name = info.orig_filename
    fault = _name_fault(name)
    if stat.S_ISLNK(info.external_attr >> 16):
        fault = "is a link to another file"
    elif info.flag_bits & 0x1:
        fault = "is locked by a password"
    elif name in names:
        fault = "is there twice"
    names.add(name)
    if fault:
        raise FileError(
            f"'{shown(name)}' in {shown(path.name)} {fault}.",
            "Only plain files inside the folders of a zip are read.",
            "Pack the files again, without it and without a password.",
        )


def _name_fault(name: str) -> str:
    """Tell what is wrong with the name of a member, "" if nothing."""
    parts = name.rstrip("/").split("/")
    if not name.isprintable():
        return "has signs in its name that cannot be shown"
    if name.startswith("/") or ":" in name:
        return "has a name that starts from a drive or the root"
    if "\\" in name:
        return "has a backslash in its name"
    if any(part in ("", ".", "..") for part in parts):
        return "has a name that leads through other folders"
    if any(part.split(".")[0].strip().casefold() in _DEVICES for part in parts):
        return "has the name of a device"
    return ""


def read_member(path: Path, file: PurePosixPath, most: int) -> bytes:
    """
    Read one file of a zip.

    Parameters
    ----------
    path : Path
        The zip.
    file : PurePosixPath
        The file in it.
    most : int
        Size over which it is refused. [bytes]

    Returns
    -------
    content : bytes

    Raises
    ------
    FileError
        If it cannot be read, or is too large.
    """
    with _opened(path) as archive:
        info = archive.getinfo(str(file))
        if info.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            raise FileError(
                f"{shown(file.name)} in {shown(path.name)} is packed in an unusual way.",
                "Of the ways to pack a zip only the two common ones, store and deflate, are read.",
                "Pack it again as a plain zip.",
            )
        if info.file_size > most:
            raise too_large(file.name, f"{info.file_size / 1e6:,.1f} MB", f"{most / 1e6:,.0f} MB")
        pieces = []
        with archive.open(info) as member:
            # zipfile gives no more than the size that was stated, and then compares a checksum.
            while piece := member.read(_PIECE):
                pieces.append(piece)
        return b"".join(pieces)
