"""Pictures that somebody asked for by a name: which kind they are, and how they are written."""

from collections.abc import Callable
from pathlib import Path

from geolayout.errors import FileError
from geolayout.handover.wholefile import replaced_file

__all__ = ["NO_DATES", "picture_form", "write_picture"]

NO_DATES = {"png": {"Software": None}, "svg": {"Date": None, "Creator": None}}
"""What is said beside a picture of each kind: nothing, so that its bytes are always the same."""


def picture_form(path: Path) -> str:
    """
    Return which kind of picture a file is to be, "svg" or "png".

    Raises
    ------
    FileError
        If its name ends otherwise.
    """
    form = path.suffix.lower().removeprefix(".")
    if form not in NO_DATES:
        raise FileError(
            f"The picture is to be called {path.name}.",
            "It is drawn as SVG or PNG.",
            "Let the name end in .svg or .png.",
        )
    return form


def write_picture(path: Path, drawn: Callable[[str], bytes]) -> None:
    """
    Draw a picture into a file; its name says which kind it is.

    Parameters
    ----------
    path : Path
        File ending in ``.svg`` or ``.png``.
    drawn : callable
        Takes "svg" or "png" and returns the bytes of the picture.

    Raises
    ------
    FileError
        If the name ends otherwise, before anything is drawn, or the file cannot be written.
    """
    picture = drawn(picture_form(path))
    try:
        replaced_file(path, picture)
    except FileError:
        raise
    except OSError as error:
        raise FileError(
            f"{path} cannot be written.", f"The system says: {error.strerror}.", "Look at its name."
        ) from error
