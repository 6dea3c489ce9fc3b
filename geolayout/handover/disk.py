"""Deeds on the disk, whose failures are told as ours: what was found, why, and what to do."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from geolayout.errors import FileError

__all__ = ["plainly", "remove", "rename"]


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
