"""
Pages of text: parts with headings, sentences, tables and lines to write on, set on paper.

Setting turns what a part says into marks on paper, measured in millimetres from the lower left
corner of the page. Nothing here draws.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from geolayout.handover.sheets.parts import (
    Blanks,
    Item,
    Part,
    Sentence,
    Table,
    retold,
)
from geolayout.handover.sheets.printed import BODY, Frame, Mark, Page, Rule, Squares, Text
from geolayout.handover.sheets.squares import QUIET, squares_of
from geolayout.handover.sheets.type import (
    LACKING,
    POINT,
    broken,
    cut_short,
    lacking_note,
    printable,
    words_width,
)
from geolayout.handover.words.speech import Words, as_written
from geolayout.plan.printing import A4

__all__ = ["MARGIN", "Style", "set_pages"]

MARGIN = 13.0
"""Edge of the page that is left free, wide enough for any printer and for holes. [mm]"""

FOOT = 6.0
"""Room for the last line of the page. [mm]"""

HEADING, TITLE = 10.0, 15.0
"""Sizes of letters. [point of print]"""

SIDE = 15.0
"""Edge of the code on the first page. [mm]"""

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
class Style:
    """
    How pages are set.

    Attributes
    ----------
    size : tuple of float
        Width and height of the page. [mm]
    code : str
        What a telephone reads from the squares on the first page; "" where there are none.
    words : callable
        Gives the words of the plan's language in those of the sheet.
    """

    size: tuple[float, float] = A4.small
    code: str = ""
    words: Words = as_written


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
    style: Style
    pages: list[list[Mark]] = field(default_factory=list)
    y: float = 0.0

    @property
    def left_over(self) -> float:
        """Room that is left on this page. [mm]"""
        return self.y - MARGIN - FOOT

    @property
    def wide(self) -> float:
        """Width between the margins. [mm]"""
        return self.style.size[0] - 2 * MARGIN

    def turn(self) -> None:
        """Begin a page under its title, with the code in the corner of the first."""
        width, height = self.style.size
        top = height - MARGIN - TITLE * POINT
        coded = bool(self.style.code) and not self.pages
        room = self.wide - (SIDE + 2 * QUIET if coded else 0.0)
        title = cut_short(printable(self.title), room, TITLE, "bold")
        under = cut_short(printable(self.under), room, BODY)
        marks: list[Mark] = [
            Text(MARGIN, top, title, TITLE, "bold"),
            Text(MARGIN, top - 4.6, under),
        ]
        foot = top - 6.2
        if coded:
            foot = height - MARGIN - SIDE - QUIET
            left = width - MARGIN - SIDE
            marks.append(Squares(left, height - MARGIN - SIDE, SIDE, squares_of(self.style.code)))
            marks.append(Text(MARGIN, top - 9.2, cut_short(self.style.code, room, BODY)))
        self.pages.append([*marks, Rule(MARGIN, foot, self.wide, 0.8)])
        self.y = foot - GAP

    def put(self, slab: _Slab) -> None:
        """Set a slab under what stands there."""
        self.pages[-1] += [replace(mark, y=self.y - mark.y) for mark in slab.marks]
        self.y -= slab.height


def set_pages(
    title: str, under: str, parts: Sequence[Part], foot: str = "", style: Style | None = None
) -> list[Page]:
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
    style : Style, optional
        How it is set; in the plan's language on A4, without a code, if nothing is said.

    Returns
    -------
    pages : list of Page
        As many as it needs, at least one.
    """
    style = style or Style()
    setting = _Setting(style.words(title), style.words(under), style)
    setting.turn()
    for part in parts:
        if part.items:
            _set_part(setting, retold(part, style.words))
    count = len(setting.pages)
    foot = ". ".join(filter(None, [style.words(foot), *_note(setting)]))
    return [
        Page((*marks, *_foot_marks(foot, f"{number} / {count}", style)), *style.size)
        for number, marks in enumerate(setting.pages, start=1)
    ]


def _note(setting: _Setting) -> list[str]:
    """Say what an empty square is, where one stands on a page."""
    texts = (mark for marks in setting.pages for mark in marks if isinstance(mark, Text))
    return (
        [setting.style.words(lacking_note())]
        if any(LACKING in text.words for text in texts)
        else []
    )


def _foot_marks(foot: str, last: str, style: Style) -> Iterator[Mark]:
    """Yield the last line of a page."""
    left = style.size[0] - MARGIN - words_width(last, BODY)
    yield Rule(MARGIN, MARGIN + 3.6, style.size[0] - 2 * MARGIN)
    yield Text(left, MARGIN, last)
    yield Text(MARGIN, MARGIN, cut_short(printable(foot), left - MARGIN - COLUMN_GAP, BODY))


def _set_part(setting: _Setting, part: Part) -> None:
    """Set a part, its heading never alone at the foot of a page."""
    inset = PAD if part.framed else 0.0
    left, width = MARGIN + inset, setting.wide - 2 * inset
    slabs = [slab for item in part.items for slab in _slabs(item, left, width)]
    heading = _heading(part.title, left, width)
    whole = heading.height + sum(slab.height for slab in slabs) + 2 * inset
    page_room = setting.style.size[1] - 2 * MARGIN - FOOT - 20.0
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
        setting.pages[-1].append(Frame(MARGIN, setting.y, setting.wide, top - setting.y))


def _heading(title: str, left: float, width: float) -> _Slab:
    """Return the heading of a part."""
    high = HEADING * POINT * LEAD
    words = cut_short(printable(title), width, HEADING, "bold")
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
