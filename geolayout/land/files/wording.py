"""Names and words out of files, fit for one line of a message."""

import re
from collections.abc import Collection

__all__ = ["library_words", "listed", "shown"]

LONGEST_NAME = 80
"""Of a name out of a file, in a message. [letters]"""

LONGEST_SAYING = 160
"""Of what a library says, in a message. [letters]"""

MOST_NAMES = 6
"""Names that one message lists."""


def shown(name: object, longest: int = LONGEST_NAME) -> str:
    r"""
    Show a name out of a file on one line, without signs that move the cursor.

    Parameters
    ----------
    name : object
        A name, or what has one as its text.
    longest : int
        Length over which its middle is left out. [letters]

    Returns
    -------
    text : str

    Examples
    --------
    >>> shown("home\nfield")
    'home field'
    """
    text = str(name)
    if len(text) > longest:
        half = (longest - 3) // 2
        text = f"{text[:half]}...{text[-half:]}"
    return "".join(sign if sign.isprintable() else " " for sign in text)


def listed(names: Collection[object]) -> str:
    """
    List names in one line, the first few of many.

    Parameters
    ----------
    names : collection
        Names, or paths.

    Returns
    -------
    text : str

    Examples
    --------
    >>> listed(["north", "south"])
    'north, south'
    """
    first = [shown(name, 40) for name in list(names)[:MOST_NAMES]]
    more = len(names) - len(first)
    return ", ".join(first) + (f" and {more} more" if more else "")


def library_words(error: object) -> str:
    """
    Give the words of a library's error, on one line, without its full stop.

    Places in memory that a library names in place of the file are left out.

    Parameters
    ----------
    error : object
        An exception, or its words.

    Returns
    -------
    text : str
    """
    said = str(error) or type(error).__name__
    said = re.sub(r"(/vsizip/)?\{?/vsimem/[0-9a-f]*/?[^/\s}]*\}?/?", "", said)
    return shown(" ".join(said.split()), LONGEST_SAYING).rstrip(".")
