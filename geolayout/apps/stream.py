"""
GeoJSON features in and out of pipes, one at a time.

What comes in may be a FeatureCollection, a Feature, a bare geometry, or a sequence of any of
them, with or without the record separator of RFC 8142 before each. Only one feature is held at a
time, so memory does not grow with their number: the members of a collection are walked through,
and its list of features item by item. What goes out is UTF-8, whatever the terminal speaks.
"""

import json
from codecs import getincrementaldecoder
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from typing import BinaryIO

from geolayout.errors import FileError

__all__ = ["LONGEST", "Form", "read_features", "writing"]

CHUNK = 65_536
"""Bytes asked for at a time: what a pipe holds. [byte]"""

LONGEST = 64 * 2**20
"""Letters of the longest feature that is read: some 2 million corners. Our own choice. [-]"""

_BLANKS = " \t\r\n\x1e\ufeff"

_scan = json.JSONDecoder().raw_decode


class Form(StrEnum):
    """How features go out: as one collection, one a line, or each behind a record separator."""

    COLLECTION = "collection"
    SEQUENCE = "sequence"
    SEPARATED = "separated"


class _Text:
    """A window on a stream, as wide as the value that is being read."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._decode = getincrementaldecoder("utf-8")().decode
        self._window = ""
        self._at = 0
        self._ended = False

    def peek(self) -> str:
        """Pass over blanks and return the next letter, "" at the end."""
        while True:
            while self._at < len(self._window):
                if self._window[self._at] not in _BLANKS:
                    return self._window[self._at]
                self._at += 1
            if not self._more():
                return ""

    def take(self, letter: str) -> None:
        """Pass over a letter that must come next."""
        found = self.peek()
        if found != letter:
            raise _broken(f"{letter} was due where {found or 'the end'} came")
        self._at += 1

    def value(self) -> str:
        """Return the text of the next JSON value."""
        self.peek()
        while True:
            try:
                _, end = _scan(self._window, self._at)
            except ValueError as error:
                if not self._more():
                    raise _broken(str(error)) from None
            except RecursionError:
                raise _broken("its brackets are nested too deeply") from None
            else:
                text = self._window[self._at : end]
                # A number at the very end may go on in what has not come yet.
                if end < len(self._window) or text[-1] in '}]"' or not self._more():
                    self._at += len(text)
                    return text

    def _more(self) -> bool:
        """Read on until twice as much is at hand, so that no letter is looked at too often."""
        self._window = self._window[self._at :]
        self._at = 0
        if len(self._window) > LONGEST:
            raise FileError(
                f"A feature is longer than {LONGEST / 2**20:.0f} million letters.",
                "No boundary of a field is.",
                "Thin it, or split it into features.",
            )
        enough = max(1, 2 * len(self._window))
        pieces = [self._window]
        size = len(self._window)
        while size < enough and not self._ended:
            pieces.append(self._read())
            size += len(pieces[-1])
        grown = size > len(self._window)
        self._window = "".join(pieces)
        return grown

    def _read(self) -> str:
        """Return what the pipe holds, or its end."""
        data: bytes = self._stream.read1(CHUNK)  # type: ignore[attr-defined]  # of every buffer
        self._ended = not data
        try:
            return self._decode(data, self._ended)
        except UnicodeDecodeError:
            raise _broken("it is not in UTF-8") from None


def _broken(why: str) -> FileError:
    return FileError(
        "The features on standard input cannot be read as GeoJSON.",
        f"It breaks off as JSON: {why}.",
        "Look at the command before this one.",
    )


def read_features(stream: BinaryIO) -> Iterator[str]:
    """
    Walk through the features of a stream.

    Parameters
    ----------
    stream : binary stream
        GeoJSON in UTF-8.

    Yields
    ------
    text : str
        One feature or geometry as it was written; that of a collection which states a coordinate
        system as a collection of its own that states it.

    Raises
    ------
    FileError
        If nothing comes, or what comes is no GeoJSON. Features before the fault were given.
    """
    text = _Text(stream)
    if not text.peek():
        raise FileError(
            "Nothing came in on standard input.",
            "There is no field to lay anything on.",
            "Pipe GeoJSON features in, or name a file.",
        )
    while text.peek():
        yield from _object(text)


def _object(text: _Text) -> Iterator[str]:
    """Walk through the members of an object; a list of features is given item by item."""
    members: list[str] = []
    crs, given = "", None
    for key in _listed(text, "{}"):
        text.take(":")
        if key == '"features"' and text.peek() == "[":
            given = 0
            for item in _listed(text, "[]"):
                given += 1
                yield f'{{"type":"FeatureCollection",{crs}"features":[{item}]}}' if crs else item
            continue
        value = text.value()
        members.append(f"{key}:{value}")
        if key == '"crs"':
            crs = f"{key}:{value},"
            _check_in_time(given)
    if given is None:
        yield f"{{{','.join(members)}}}"


def _listed(text: _Text, brackets: str) -> Iterator[str]:
    """Give the texts of what stands between brackets with commas between."""
    text.take(brackets[0])
    if text.peek() != brackets[1]:
        yield text.value()
    while text.peek() == ",":
        text.take(",")
        yield text.value()
    text.take(brackets[1])


def _check_in_time(given: int | None) -> None:
    """Refuse a coordinate system that is stated when features have been read without it."""
    if given:
        raise FileError(
            "The collection states a coordinate system behind its features.",
            "They were read as longitude and latitude by then.",
            "Put crs before features, or pass the file by its name.",
        )


@contextmanager
def writing(stream: BinaryIO, form: Form) -> Iterator[Callable[[Iterable[str]], None]]:
    """
    Give a call that writes features, and close what has to be closed.

    Parameters
    ----------
    stream : binary stream
        Where they go.
    form : Form
        How.

    Yields
    ------
    write : callable
        Takes the texts of features, without line ends. Where none comes, nothing is written.
    """
    before, between, after = _MARKS[form]
    begun = False

    def write(features: Iterable[str]) -> None:
        nonlocal begun
        text = between.join(features)
        if text:
            stream.write(((between if begun else before) + text).encode())
            stream.flush()
            begun = True

    try:
        yield write
    finally:
        if begun:
            stream.write(after.encode())
            stream.flush()


_MARKS = {
    Form.COLLECTION: ('{"type":"FeatureCollection","features":[\n', ",\n", "\n]}\n"),
    Form.SEQUENCE: ("", "\n", "\n"),
    Form.SEPARATED: ("\x1e", "\n\x1e", "\n"),
}
"""What stands before, between and after features."""
