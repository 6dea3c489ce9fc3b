"""XML as it leaves the house: indented UTF-8, and texts without what XML cannot hold."""

import re
from xml.etree.ElementTree import Element, indent, tostring  # written, never parsed

__all__ = ["xml_bytes", "xml_text"]

_NOT_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def xml_text(text: str) -> str:
    """
    Return a text without the characters that XML 1.0 forbids.

    Examples
    --------
    >>> xml_text("home" + chr(7) + " field")
    'home field'
    """
    return _NOT_IN_XML.sub("", text)


def xml_bytes(root: Element) -> bytes:
    """
    Return a document, indented, in UTF-8.

    Parameters
    ----------
    root : Element
        Its root; indented in place.
    """
    indent(root)
    body: bytes = tostring(root, "utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + body + b"\n"
