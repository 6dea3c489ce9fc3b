"""
Pages of text: parts with headings, sentences, tables and lines to write on, set on A4.

A part is a value that says what is to stand there; setting it turns it into marks on paper,
measured in millimetres from the lower left corner of the page. Nothing here draws.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from geolayout.handover.sheets.type import (
    LACKING,
    POINT,
    broken,
    cut_short,
    lacking_note,
    printable,
    words_width,
)

__all__ = [
    "HEIGHT",
    "MARGIN",
    "WIDTH",
    "Blanks",
    "Frame",
    "Page",
    "Part",
    "Rule",
    "Sentence",
    "Table",
    "Text",
    "set_pages",
]

WIDTH, HEIGHT = 210.0, 297.0
"""A4, standing. [mm]"""

MARGIN = 13.0
"""Edge of the page that is left free, wide enough for any printer and for holes. [mm]"""

FOOT = 6.0
"""Room for the last line of the page. [mm]"""

BODY, HEADING, TITLE = 8.6, 10.0, 15.0
"""Sizes of letters. [point of print]"""

LEAD = 1.32
"""Height of a line over the size of its letters. [-]"""

GAP = 2.2
"""Between parts. [mm]"""

PAD = 2.0
"""Between a frame and what it holds. [mm]"""

COLUMN_GAP = 3.0
"""Between columns of a table. [mm]"""

BLANK_ROW = 7.0
"""Height of a line to write on. [mm]"""


@dataclass(frozen=True, slots=True)
class Text:
    """
    Words at a place.

    Attributes
    ----------
    x, y : float
        Where their foot begins. [mm]
    words : str
        One line.
    size : float
        Size of the letters. [point of print]
    weight : {"normal", "bold"}
        Weight of the letters.
    """

    x: float
    y: float
    words: str
    size: float = BODY
    weight: str = "normal"

    @property
    def right(self) -> float:
        """Where the words end. [mm]"""
        return self.x + words_width(self.words, self.size, self.weight)


@dataclass(frozen=True, slots=True)
class Rule:
    """
    A line, lying.

    Attributes
    ----------
    x, y : float
        Its left end. [mm]
    length : float
        [mm]
    weight : float
        Its thickness. [point of print]
    """

    x: float
    y: float
    length: float
    weight: float = 0.4


@dataclass(frozen=True, slots=True)
class Frame:
    """
    A frame round a part.

    Attributes
    ----------
    x, y : float
        Its lower left corner. [mm]
    width, height : float
        [mm]
    weight : float
        Thickness of its line. [point of print]
    """

    x: float
    y: float
    width: float
    height: float
    weight: float = 1.8


Mark = Text | Rule | Frame


@dataclass(frozen=True, slots=True)
class Page:
    """
    One page of A4.

    Attributes
    ----------
    marks : tuple of Mark
        What stands on it.
    """

    marks: tuple[Mark, ...]


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


@dataclass(frozen=True, slots=True)
class _Slab:
    """Marks that stay together, measured downwards from their top."""

    height: float
    marks: tuple[Text | Rule, ...]


@dataclass(slots=True)
class _Setting:
    """Pages as they fill."""

    title: str
    under: str
    pages: list[list[Mark]] = field(default_factory=list)
    y: float = 0.0

    @property
    def left_over(self) -> float:
        """Room that is left on this page. [mm]"""
        return self.y - MARGIN - FOOT

    def turn(self) -> None:
        """Begin a page under its title."""
        top = HEIGHT - MARGIN - TITLE * POINT
        wide = WIDTH - 2 * MARGIN
        title = cut_short(printable(self.title), wide, TITLE, "bold")
        under = cut_short(printable(self.under), wide, BODY)
        self.pages.append(
            [
                Text(MARGIN, top, title, TITLE, "bold"),
                Text(MARGIN, top - 4.6, under),
                Rule(MARGIN, top - 6.2, wide, 0.8),
            ]
        )
        self.y = top - 6.2 - GAP

    def put(self, slab: _Slab) -> None:
        """Set a slab under what stands there."""
        self.pages[-1] += [replace(mark, y=self.y - mark.y) for mark in slab.marks]
        self.y -= slab.height


def set_pages(title: str, under: str, parts: Sequence[Part], foot: str = "") -> list[Page]:
    """
    Set a sheet.

    Parameters
    ----------
    title : str
        What the sheet is; shortened where it is too long.
    under : str
        The line under it.
    parts : sequence of Part
        What it says; a part without items is left out.
    foot : str
        What stands at the foot of every page, before the number of the page.

    Returns
    -------
    pages : list of Page
        As many as it needs, at least one.
    """
    setting = _Setting(title, under)
    setting.turn()
    for part in parts:
        if part.items:
            _set_part(setting, part)
    count = len(setting.pages)
    foot = ". ".join(filter(None, [foot, *_note(setting)]))
    return [
        Page((*marks, *_foot_marks(foot, number, count)))
        for number, marks in enumerate(setting.pages, start=1)
    ]


def _note(setting: _Setting) -> list[str]:
    """Say what an empty square is, where one stands on a page."""
    texts = (mark for marks in setting.pages for mark in marks if isinstance(mark, Text))
    return [lacking_note()] if any(LACKING in text.words for text in texts) else []


def _foot_marks(foot: str, number: int, count: int) -> Iterator[Mark]:
    """Yield the last line of a page."""
    last = f"{number} / {count}"
    left = WIDTH - MARGIN - words_width(last, BODY)
    yield Rule(MARGIN, MARGIN + 3.6, WIDTH - 2 * MARGIN)
    yield Text(left, MARGIN, last)
    yield Text(MARGIN, MARGIN, cut_short(printable(foot), left - MARGIN - COLUMN_GAP, BODY))


def _set_part(setting: _Setting, part: Part) -> None:
    """Set a part, its heading never alone at the foot of a page."""
    inset = PAD if part.framed else 0.0
    left, width = MARGIN + inset, WIDTH - 2 * (MARGIN + inset)
    slabs = [slab for item in part.items for slab in _slabs(item, left, width)]
    heading = _heading(part.title, left)
    whole = heading.height + sum(slab.height for slab in slabs) + 2 * inset
    page_room = HEIGHT - 2 * MARGIN - FOOT - 20.0
    needed = whole if part.framed and whole < page_room else heading.height + slabs[0].height
    if setting.left_over < needed + inset:
        setting.turn()
    top = setting.y
    setting.y -= inset
    setting.put(heading)
    for slab in slabs:
        if setting.left_over < slab.height + inset:
            _close(setting, part, top)
            setting.turn()
            top = setting.y
            setting.y -= inset
        setting.put(slab)
    setting.y -= inset
    _close(setting, part, top)
    setting.y -= GAP


def _close(setting: _Setting, part: Part, top: float) -> None:
    """Draw the frame round what was set of a part on this page."""
    if part.framed:
        wide = WIDTH - 2 * MARGIN
        setting.pages[-1].append(Frame(MARGIN, setting.y, wide, top - setting.y))


def _heading(title: str, left: float) -> _Slab:
    """Return the heading of a part."""
    high = HEADING * POINT * LEAD
    words = cut_short(printable(title), WIDTH - MARGIN - left, HEADING, "bold")
    return _Slab(high + 0.6, (Text(left, HEADING * POINT, words, HEADING, "bold"),))


def _slabs(item: Item, left: float, width: float) -> Iterator[_Slab]:
    """Yield an item as slabs."""
    if isinstance(item, Sentence):
        yield from _sentence_slabs(item, left, width)
    elif isinstance(item, Table):
        yield from _table_slabs(item, left, width)
    else:
        yield _blank_slab(item, left, width)


def _line_slab(*marks: Text | Rule) -> _Slab:
    """Return marks on one line of the body as a slab."""
    return _Slab(BODY * POINT * LEAD, marks)


def _sentence_slabs(item: Sentence, left: float, width: float) -> Iterator[_Slab]:
    """Yield a sentence line by line."""
    lead = printable(item.lead)
    indent = words_width(lead, BODY, "bold") + 1.6 if lead else 0.0
    foot = BODY * POINT
    for k, line in enumerate(broken(printable(item.words), width - indent, BODY)):
        first = [Text(left, foot, lead, BODY, "bold")] if lead and k == 0 else []
        yield _line_slab(*first, Text(left + indent, foot, line))


def _table_slabs(table: Table, left: float, width: float) -> Iterator[_Slab]:
    """Yield a table row by row, its head kept with the first of them."""
    widths = _column_widths(table, width)
    rows = [_row_slab(row, left, widths, "normal") for row in table.rows]
    if not table.head or not rows:
        yield from rows
        return
    head = _row_slab(table.head, left, widths, "bold")
    ruled = _Slab(
        head.height,
        (*head.marks, Rule(left, head.height - 0.4, sum(widths) + COLUMN_GAP * (len(widths) - 1))),
    )
    yield _stacked(ruled, rows[0])
    yield from rows[1:]


def _stacked(upper: _Slab, lower: _Slab) -> _Slab:
    """Return two slabs as one."""
    moved = tuple(replace(mark, y=mark.y + upper.height) for mark in lower.marks)
    return _Slab(upper.height + lower.height, (*upper.marks, *moved))


def _column_widths(table: Table, width: float) -> list[float]:
    """Share a width among columns: what their words need, the widest of them giving way. [mm]"""
    lines = [table.head, *table.rows] if table.head else [("",) * len(table.rows[0]), *table.rows]
    columns = list(zip(*lines, strict=True))
    wanted = [
        max(words_width(printable(cell), BODY, "bold" if k == 0 else "normal")
            for k, cell in enumerate(column))
        for column in columns
    ]  # fmt: skip
    room = width - COLUMN_GAP * (len(columns) - 1)
    while sum(wanted) > room:
        widest = max(wanted)
        others = [w for w in wanted if w < widest]
        many = len(wanted) - len(others)
        down_to = max(others, default=0.0)
        even = (room - sum(others)) / many
        wanted = [max(even, down_to) if w == widest else w for w in wanted]
        if even >= down_to:
            break
    return wanted


def _row_slab(cells: Sequence[str], left: float, widths: Sequence[float], weight: str) -> _Slab:
    """Return one row of a table, its cells broken where they must be."""
    marks: list[Text | Rule] = []
    deepest = 1
    x = left
    step = BODY * POINT * LEAD
    for cell, wide in zip(cells, widths, strict=True):
        lines = broken(printable(cell), wide + 0.01, BODY, weight)
        marks += [
            Text(x, BODY * POINT + k * step, line, BODY, weight) for k, line in enumerate(lines)
        ]
        deepest = max(deepest, len(lines))
        x += wide + COLUMN_GAP
    return _Slab(deepest * step, tuple(marks))


def _blank_slab(item: Blanks, left: float, width: float) -> _Slab:
    """Return lines to write on."""
    each = width / len(item.labels)
    foot = BLANK_ROW - 1.2
    marks: list[Text | Rule] = []
    for k, label in enumerate(item.labels):
        x = left + k * each
        words = cut_short(printable(label), each * 0.7, BODY)
        begins = x + words_width(words, BODY) + (1.5 if words else 0.0)
        marks += [Text(x, foot, words), Rule(begins, foot + 0.6, x + each - 3.0 - begins)]
    return _Slab(BLANK_ROW, tuple(marks))
