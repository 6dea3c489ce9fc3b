"""
Catalogues of sentences in other languages, in the form of gettext's `.po` files.

The files are read as they are, so a translator's own tools can write them and nothing is compiled.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["Message", "messages", "po_messages"]

ENTRY = re.compile(r'^msgid ((?:"[^\n]*"\n)+)msgstr ((?:"[^\n]*"\n?)+)', re.MULTILINE)
"""A message and its translation, each in one or more lines of strings."""


@dataclass(frozen=True, slots=True)
class Message:
    """
    A sentence in two languages.

    Attributes
    ----------
    source, target : str
        In English and in the other language, with the same gaps in braces.
    """

    source: str
    target: str


def po_messages(text: str) -> Iterator[Message]:
    r"""
    Yield the messages of a catalogue that are translated.

    Parameters
    ----------
    text : str
        Text of a `.po` file.

    Examples
    --------
    >>> list(po_messages('msgid "row"\nmsgstr "Reihe"'))
    [Message(source='row', target='Reihe')]
    """
    for entry in ENTRY.finditer(text):
        source, target = (ast.literal_eval(f"({part})") for part in entry.groups())
        if source and target:
            yield Message(source, target)


@cache
def messages(language: str) -> tuple[Message, ...]:
    """Return all messages of a language, by its code."""
    folder = files("geolayout.handover.sheets").joinpath("words")
    return tuple(po_messages(folder.joinpath(f"{language}.po").read_text(encoding="utf-8")))
