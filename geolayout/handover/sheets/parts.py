"""What a sheet says, part by part, before it is set: sentences, tables and lines to write on."""

from dataclasses import dataclass, replace

from geolayout.handover.words.speech import Words

__all__ = ["Blanks", "Item", "Part", "Sentence", "Table", "retold"]


@dataclass(frozen=True, slots=True)
class Sentence:
    """
    A sentence, or a few.

    Attributes
    ----------
    words : str
        The words.
    lead : str
        What stands before it in bold: a letter, a box to tick.
    """

    words: str
    lead: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """
    A table; its columns share the width by their longest words.

    Attributes
    ----------
    head : tuple of str
        Names of the columns, with units; none where rows speak for themselves.
    rows : tuple of tuple of str
        As many words in each.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Blanks:
    """
    Lines to write on, side by side.

    Attributes
    ----------
    labels : tuple of str
        What is to be written.
    """

    labels: tuple[str, ...]


Item = Sentence | Table | Blanks


@dataclass(frozen=True, slots=True)
class Part:
    """
    A part of a sheet.

    Attributes
    ----------
    title : str
        Its heading.
    items : tuple of Item
        What it says.
    framed : bool
        Whether a frame stands round it.
    """

    title: str
    items: tuple[Item, ...]
    framed: bool = False


def retold(part: Part, words: Words) -> Part:
    """Return a part with all that it says in another language."""
    items = tuple(_retold(item, words) for item in part.items)
    return replace(part, title=words(part.title), items=items)


def _retold(item: Item, words: Words) -> Item:
    """Return an item in another language."""
    if isinstance(item, Sentence):
        return Sentence(words(item.words), words(item.lead))
    if isinstance(item, Table):
        rows = tuple(tuple(map(words, row)) for row in item.rows)
        return Table(tuple(map(words, item.head)), rows)
    return Blanks(tuple(map(words, item.labels)))
