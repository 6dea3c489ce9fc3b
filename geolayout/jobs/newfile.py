"""A file where there is none yet: nothing that somebody wrote is lost."""

from pathlib import Path

from geolayout.errors import FileError
from geolayout.handover.wholefile import new_file

__all__ = ["save_lines", "save_new"]


def save_new(path: Path, data: str | bytes) -> None:
    """
    Write a plan, a table or a page where there is no file yet.

    Parameters
    ----------
    path : Path
        The file.
    data : str or bytes
        What it is to hold; a text is written in UTF-8.

    Raises
    ------
    FileError
        If the file is there already or cannot be written.
    """
    _write_new(path, data, "What it holds would be lost.")


def save_lines(path: Path, text: str) -> None:
    """
    Write reference lines where there is no file yet.

    Raises
    ------
    FileError
        If the file is there already or cannot be written.
    """
    _write_new(path, text, "Lines kept from an earlier year would be lost.")


def _write_new(path: Path, data: str | bytes, lost: str) -> None:
    """Write a text in UTF-8 or what is bytes already, or refuse and say what would be lost."""
    try:
        new_file(path, data.encode() if isinstance(data, str) else data)
    except FileExistsError:
        raise FileError(f"{path} is there already.", lost, "Name another file.") from None
    except FileError:
        raise
    except (OSError, ValueError) as error:  # ValueError: a null character in the path
        why = getattr(error, "strerror", None) or str(error)
        raise FileError(
            f"{path} cannot be written.", f"The system says: {why}.", "Name another file."
        ) from None
