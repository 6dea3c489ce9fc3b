"""Deeds on the disk, whose failures are told as ours: what was found, why, and what to do."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from geolayout.errors import FileError

__all__ = ["plainly", "remove", "rename", "writing_plainly"]


@contextmanager
def plainly(found: str) -> Iterator[None]:
    """
    Tell an error of the system in our three parts.

    Parameters
    ----------
    found : str
        What could not be done, as a sentence without its full stop.

    Raises
    ------
    FileError
        If the ``with`` block raises an ``OSError``; one of ours passes as it is.
    """
    try:
        yield
    except FileError:
        raise
    except OSError as error:
        raise FileError(
            f"{found}.",
            f"The system says: {error.strerror or error}.",
            "Close programs that have it open, see that the disk has room and may be written, "
            "or name another folder.",
        ) from error


@contextmanager
def writing_plainly(found: str) -> Iterator[None]:
    """
    Tell an error of the system, or of a library that writes maps for us, in our three parts.

    Parameters
    ----------
    found : str
        What could not be done, as a sentence without its full stop.

    Raises
    ------
    FileError
        If the ``with`` block raises such an error; a full disk is what brings most of them.
    """
    # Loaded here: whoever writes has them, and all others are spared their start-up time.
    from fiona._err import CPLE_BaseError  # noqa: PLC0415  (it has no public name)
    from fiona.errors import FionaError  # noqa: PLC0415
    from pyogrio.errors import DataLayerError, DataSourceError, FeatureError  # noqa: PLC0415

    of_maps = (CPLE_BaseError, FionaError, DataSourceError, DataLayerError, FeatureError)
    libraries = (sqlite3.Error, *of_maps)
    with plainly(found):
        try:
            yield
        except libraries as error:
            told = getattr(error, "errmsg", None) or str(error)
            words = told.decode(errors="replace") if isinstance(told, bytes) else str(told)
            raise OSError(words.strip().rstrip(".")) from error


def rename(source: Path, goal: Path) -> None:
    """
    Give a file or folder another name, in one step.

    Parameters
    ----------
    source, goal : Path
        What stands, and its name to be, on the same disk.

    Raises
    ------
    FileError
        If the system refuses.
    """
    with plainly(f"{source} could not be renamed to {goal.name}"):
        os.rename(source, goal)  # noqa: PTH104  (one plain system call)


def remove(folder: Path) -> None:
    """
    Remove a folder and all it holds.

    Parameters
    ----------
    folder : Path
        An existing folder.

    Raises
    ------
    FileError
        If the system refuses; part of the folder may be gone by then.
    """
    with plainly(f"{folder} could not be removed"):
        shutil.rmtree(folder)
