"""
XML texts, looked through before anybody takes them apart.

An XML text may define words that stand for more words, name other files to be read, or nest
without end. Maps need none of that, so such a text is refused: by ``parse_xml`` while it is read
here, by ``check_xml`` before GDAL sees it.
"""

from collections.abc import Collection
from xml.etree.ElementTree import (  # filled by a guarded parser only
    Element,
    ParseError,
    TreeBuilder,
)

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from geolayout.errors import FileError
from geolayout.land.files.limits import (
    EXPORT_AGAIN,
    MAX_DEPTH,
    MAX_ELEMENTS,
    MAX_TAG,
    too_large,
)
from geolayout.land.files.wording import library_words, shown

__all__ = ["check_xml", "local_name", "parse_xml"]

_PIECE = 65_536


class _Counting:
    """Counts what a parser meets, and stops it where that is too much."""

    def __init__(self, name: str, roots: Collection[str]) -> None:
        self.name = name
        self.roots = roots
        self.elements = 0
        self.depth = 0

    def start(self, tag: str, attributes: dict[str, str]) -> Element | None:  # noqa: ARG002
        """Count one element more; the first must be of a kind that is read."""
        self.elements += 1
        self.depth += 1
        if self.elements == 1 and local_name(tag) not in self.roots:
            raise FileError(
                f"{shown(self.name)} begins with '{shown(local_name(tag), 40)}'.",
                f"A file of its kind begins with {' or '.join(sorted(self.roots))}.",
                "Check that its name ends as its kind does, or export it again.",
            )
        if self.elements > MAX_ELEMENTS:
            raise too_large(self.name, f"more than {MAX_ELEMENTS:,} elements", f"{MAX_ELEMENTS:,}")
        if self.depth > MAX_DEPTH:
            most = f"{MAX_DEPTH} within one another"
            raise too_large(self.name, f"more than {MAX_DEPTH} nested elements", most, EXPORT_AGAIN)
        return None

    def end(self, tag: str) -> Element | None:  # noqa: ARG002  # as the parser calls it
        """Come up again."""
        self.depth -= 1
        return None

    def data(self, text: str) -> None:
        """Pass text over."""

    def close(self) -> Element | None:
        """Have no tree to give."""
        return None


class _Building(_Counting):
    """Counts, and builds the tree."""

    def __init__(self, name: str, roots: Collection[str]) -> None:
        super().__init__(name, roots)
        self.tree = TreeBuilder()

    def start(self, tag: str, attributes: dict[str, str]) -> Element | None:
        """Count one element more, and build it."""
        super().start(tag, attributes)
        return self.tree.start(tag, attributes)

    def end(self, tag: str) -> Element | None:
        """Close an element."""
        super().end(tag)
        return self.tree.end(tag)

    def data(self, text: str) -> None:
        """Keep text."""
        self.tree.data(text)

    def close(self) -> Element:
        """Give the root."""
        return self.tree.close()


def check_xml(name: str, content: bytes, *, roots: Collection[str]) -> None:
    """
    Look through an XML text, for a library that will read it.

    Parameters
    ----------
    name : str
        What messages call the file.
    content : bytes
        The text.
    roots : collection of str
        Names that its first element may have, without namespace.

    Raises
    ------
    FileError
        If it is broken, begins with another element, defines or links anything, nests deeply, or
        has more elements or a longer tag than is read.
    """
    _feed(_Counting(name, roots), content)


def parse_xml(name: str, content: bytes, *, roots: Collection[str]) -> Element:
    """
    Take an XML text apart.

    Parameters
    ----------
    name, content, roots
        As for ``check_xml``.

    Returns
    -------
    root : xml.etree.ElementTree.Element

    Raises
    ------
    FileError
        As ``check_xml`` does.
    """
    building = _Building(name, roots)
    _feed(building, content)
    return building.close()


def local_name(tag: str) -> str:
    """
    Give the name of an element without its namespace.

    Examples
    --------
    >>> local_name("{http://www.topografix.com/GPX/1/1}trk")
    'trk'
    """
    return tag.rpartition("}")[2]


def _feed(target: _Counting, content: bytes) -> None:
    """Feed a text piece by piece, so that it is refused before all of it is in memory."""
    parser = DefusedXMLParser(target=target, forbid_dtd=True)
    try:
        for begin in range(0, len(content), _PIECE):
            piece = content[begin : begin + _PIECE]
            parser.feed(piece)
            if begin + len(piece) - parser.parser.CurrentByteIndex > MAX_TAG:
                most = f"{MAX_TAG / 1e6:.0f} MB in one"
                raise too_large(target.name, "a tag of over 1 MB", most, EXPORT_AGAIN)
        parser.close()
    except DefusedXmlException as error:
        raise FileError(
            f"{shown(target.name)} holds definitions (a DOCTYPE).",
            "They can name other files, or blow up without end, and no map needs them.",
            "Delete the DOCTYPE line, or export it again.",
        ) from error
    except FileError:  # an OSError, as some of the next are
        raise
    except (ParseError, ValueError, LookupError) as error:
        raise FileError(
            f"{shown(target.name)} is not whole as XML.",
            f"The library that reads it says: {library_words(error)}.",
            "Open it in the program it came from, and export it again.",
        ) from error
