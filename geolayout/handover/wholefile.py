"""
Files, and plain folders of a few files, that appear under their names whole or not at all.

As with the output folder, what is written stands beside its name first, as
``.NAME.geolayout-new``, which is rubbish to the next run, and takes its name in one step.
"""

import errno
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from geolayout.handover.lock import alone

__all__ = ["new_file", "new_folder", "replaced_file"]

_NO_LINKS = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EACCES})
"""Said by file systems that have no second names for a file, such as those of sticks and cards."""


def new_file(path: Path, data: bytes) -> None:
    """
    Write a file where there is none.

    Parameters
    ----------
    path : Path
        The file. Its folder must exist.
    data : bytes
        What it is to hold.

    Raises
    ------
    FileExistsError
        If there is something of that name.
    OSError
        If the system refuses; no part of the file is left.
    """
    _check_free(path)
    with _beside(path) as new:
        _write_out(new, data)
        _take_name(new, path)


def replaced_file(path: Path, data: bytes) -> None:
    """
    Write a file, instead of the one of that name where there is one.

    Parameters
    ----------
    path : Path
        The file; a link is followed. Its folder must exist.
    data : bytes
        What it is to hold.

    Raises
    ------
    OSError
        If the system refuses; the former file stays as it was.
    """
    place = path.resolve()
    if place.exists() and not place.is_file():  # a device or a pipe has no bytes to keep
        place.write_bytes(data)
        return
    if place.exists() and not os.access(place, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    with _beside(place) as new:
        _write_out(new, data)
        new.replace(place)


def new_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """
    Write a folder of a few files where there is none.

    Parameters
    ----------
    folder : Path
        The folder. Those above it are made where needed.
    files : mapping of str to bytes
        What each file in it is to hold, by its name.

    Raises
    ------
    FileExistsError
        If there is something of that name.
    OSError
        If the system refuses; no part of the folder is left.
    """
    _check_free(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with _beside(folder) as new:
        new.mkdir()
        for name, data in files.items():
            _write_out(new / name, data)
        _check_free(folder)
        new.rename(folder)


def _check_free(path: Path) -> None:
    if os.path.lexists(path):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))


@contextmanager
def _beside(path: Path) -> Iterator[Path]:
    """Give the name beside a name, free for us alone, and leave nothing there."""
    if not path.parent.is_dir():
        raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
    new = path.with_name(f".{path.name}.geolayout-new")
    with alone(path, lock=path.with_name(f".{path.name}.geolayout-lock")):
        _clear(new)
        try:
            yield new
        finally:
            with suppress(OSError):  # the next run clears it
                _clear(new)


def _clear(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


def _write_out(path: Path, data: bytes) -> None:
    """Have every byte on the disk before the name is taken."""
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _take_name(new: Path, path: Path) -> None:
    """Give a file its name, unless somebody took it meanwhile."""
    try:
        os.link(new, path)  # the one step that never replaces
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        _check_free(path)
        new.rename(path)
