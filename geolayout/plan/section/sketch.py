"""
A cross-section drawn in letters, to scale.

Everything is one-dimensional, so a plan can be looked at before there is a field::

    0.00                                  6.00                                 12.00 m
    ┌─────────────────────────────────────┬─────────────────────────────────────┐
    │                 A 1                 │                 B 2                 │
    │  m    m    m    m    m    m    m  m │ f f f f f f f f f f f f f f f f f f │
    └─────────────────────────────────────┴─────────────────────────────────────┘
    plant maize, 6 m
    └──────────────── 1 ──────────────────┘
"""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor
from textwrap import wrap
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from geolayout.plan.section.profile import Profile
from geolayout.plan.section.section import Cut
from geolayout.plan.section.words import from_anchor, section_words, short_name, stand_word
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing, Stand
from geolayout.plan.units import METRIC, Scale, Units

__all__ = ["plain_ascii", "section_drawing", "section_words"]

COLUMNS = 80
"""Width of a terminal. [columns]"""

NARROWEST = 8
"""Columns in which a band and its width, such as "24.00 m", can still be read. [columns]"""

MOST_LINES = 4
"""Lines of drawing before the middle ones are left out. [-]"""

CLOSE = 2.0
"""Columns between neighbouring rows below which they get a close-up. [columns]"""

CLOSE_UP = 3.0
"""Columns between neighbouring rows in a close-up. [columns]"""

LABEL_LINES = 3
"""Lines that the name of a stand may take in the drawing. [-]"""

_ASCII = str.maketrans("┌┬┐│├┼┤└┴┘─▲·…⋯→←", "+++|++++++-^.~~><")

Texts = list[str]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class _Scale:
    """Metres of one line of the drawing, as columns."""

    t0: float
    t1: float
    per_metre: float
    units: Units

    @property
    def columns(self) -> int:
        """Cells of the line, both borders included."""
        return self.column(self.t1) + 1

    def column(self, t: float) -> int:
        """Return the cell of a distance from the anchor; halves go to the far side."""
        return floor((t - self.t0) * self.per_metre + 0.5 + 1e-6)


def plain_ascii(text: str) -> str:
    """
    Return a drawing for a terminal that knows no box-drawing letters.

    Examples
    --------
    >>> plain_ascii("│ ▲ │")
    '| ^ |'
    """
    return text.translate(_ASCII)


def section_drawing(profile: Profile, *, columns: int = COLUMNS, units: Units = METRIC) -> str:
    """
    Draw a section to scale, in lines of text.

    Parameters
    ----------
    profile : Profile
        The section and what is on it.
    columns : int, default 80
        Letters to a line. [columns]
    units : Units
        Units of the figures.

    Returns
    -------
    drawing : str
        Bands with their names, widths and stands, rows as letters, trees as triangles, and below
        them the passes of each operation. Rows too close to be told apart are drawn again,
        larger. Where there are many bands the middle is left out, and the drawing says so.
    """
    letters = _letters(profile)
    lines = _lines_of_cuts(profile.section.cuts, columns - 2)
    widest = max(line[-1].t1 - line[0].t0 for line in lines)
    per_metre = (columns - 2) / widest
    scales = [_Scale(line[0].t0, line[-1].t1, per_metre, units) for line in lines]
    head = ["near side" + "far side →".rjust(columns - 9)]
    texts = [_line_drawing(profile, scale, letters) for scale in scales]
    if len(texts) > MOST_LINES:
        left_out = sum(cut.grows for line in lines[2:-1] for cut in line)
        bands = "band" if left_out == 1 else "bands"
        texts = [*texts[:2], [f"⋯ {left_out} {bands} more ⋯"], texts[-1]]
    close = _close_ups(profile, scales[0], letters, columns - 2)
    parts = [head, *itertools.chain.from_iterable((text, [""]) for text in texts), *close]
    return "\n".join([*itertools.chain.from_iterable(parts), *_legend(profile, letters, columns)])


# Drawing


def _lines_of_cuts(cuts: Sequence[Cut], columns: int) -> list[list[Cut]]:
    """Share the cuts out over lines, so that the narrowest can still be read."""
    readable = [columns * cut.width / NARROWEST for cut in cuts if cut.width > ACROSS_SLACK]
    room = max(min(readable), max(cut.width for cut in cuts) * (1 + NARROWEST / columns))
    lines: list[list[Cut]] = [[]]
    for cut in cuts:
        if lines[-1] and cut.t1 - lines[-1][0].t0 > room + ACROSS_SLACK:
            lines.append([])
        lines[-1].append(cut)
    return lines


def _line_drawing(profile: Profile, scale: _Scale, letters: dict[str, str]) -> Texts:
    """Draw one line of the section."""
    inside = range(len(profile.section.cuts))
    cuts = [i for i in inside if scale.t0 - 1e-9 <= profile.section.cuts[i].t0 < scale.t1 - 1e-9]
    edges = [profile.section.cuts[i].t0 for i in cuts] + [scale.t1]
    borders = [scale.column(t) for t in edges]
    texts = [_edge_numbers(edges, borders, scale.units.width), _rule(borders, "┌┬┐")]
    texts += [
        _cells(borders, words) for words in _labels(profile, cuts, borders, scale.units.width)
    ]
    texts += _grown(profile, scale, cuts, borders, letters)
    texts.append(_rule(borders, "└┴┘"))
    return texts + _pass_lines(profile, scale)


def _labels(
    profile: Profile, cuts: Sequence[int], borders: Sequence[int], unit: Scale
) -> list[Texts]:
    """Return the words written into the bands of a line, a list for each line of text."""
    several = []
    for (low, high), i in _beds(borders, cuts):
        cut = profile.section.cuts[i]
        room = max(high - low - 1, 1)
        stand = wrap(stand_word(profile, i) if cut.grows else "", room)
        name = wrap(short_name(cut), room)
        several.append(
            [*name[:LABEL_LINES], _width_in(room, cut.width, unit), *stand[:LABEL_LINES]]
        )
    return [list(words) for words in itertools.zip_longest(*several, fillvalue="")]


def _width_in(room: int, width: float, unit: Scale) -> str:
    """Return a width as fully as its band has room for: a figure is not cut."""
    ways = (unit.said(width), unit.figure(width), unit.short(width))
    return next((words for words in ways if len(words) <= room), "")


def _edge_numbers(edges: Sequence[float], borders: Sequence[int], unit: Scale) -> str:
    """Write the distance from the anchor over each border that has room for it."""
    first, last = from_anchor(edges[0], unit), f"{from_anchor(edges[-1], unit)} {unit.word}"
    end = max(borders[-1] - len(last) + 1, len(first) + 1)
    line = first
    for t, border in zip(edges[1:-1], borders[1:-1], strict=True):
        text = from_anchor(t, unit)
        left = border - len(text) // 2
        if len(line) < left and left + len(text) < end:
            line = line.ljust(left) + text
    return line.ljust(end) + last


def _rule(borders: Sequence[int], corners: str) -> str:
    """Draw the line above or below the bands."""
    cells = ["─"] * (borders[-1] + 1)
    for border in borders[1:-1]:
        cells[border] = corners[1]
    cells[0], cells[-1] = corners[0], corners[2]
    return "".join(cells)


def _cells(borders: Sequence[int], words: Sequence[str]) -> str:
    """Write one word into the middle of each band."""
    line = "│"
    for (low, high), word in zip(itertools.pairwise(borders), words, strict=True):
        room = max(high - low - 1, 0)
        fits = word if len(word) <= room else word[: max(room - 1, 0)] + "…" * (room > 0)
        line += fits.center(room) + "│" * (high > low)
    return line


def _grown(
    profile: Profile,
    scale: _Scale,
    cuts: Sequence[int],
    borders: Sequence[int],
    letters: dict[str, str],
) -> Texts:
    """Draw trees, rows and crops without rows, a line each where there are any."""
    trees = [(_tree_at(profile, i), "▲") for i in cuts]
    lines = []
    if any(len(t) for t, _ in trees):
        words = [_ticks(scale, edge, [pair]) for edge, pair in _beds(borders, trees)]
        lines.append(_cells(borders, words))
    if any((profile.rows.cut == i).any() for i in cuts):
        rows = [_rows_at(profile, i, letters) for i in cuts]
        lines.append(
            _cells(borders, [_ticks(scale, e, pairs) for e, pairs in _beds(borders, rows)])
        )
    covers = [_covers(profile.stands[i]) for i in cuts]
    for k in range(max((len(cover) for cover in covers), default=0)):
        words = [
            _cover(letters[cover[k].label], high - low - 1) if k < len(cover) else ""
            for (low, high), cover in _beds(borders, covers)
        ]
        lines.append(_cells(borders, words))
    return lines


def _beds(borders: Sequence[int], things: Sequence[T]) -> Iterator[tuple[tuple[int, int], T]]:
    """Pair the borders of each band with something of it."""
    return zip(itertools.pairwise(borders), things, strict=True)


def _tree_at(profile: Profile, i: int) -> NDArray[np.float64]:
    """Return the tree rows of one cut. [m]"""
    return np.asarray(profile.tree_rows.t[profile.tree_rows.cut == i])


def _rows_at(
    profile: Profile, i: int, letters: dict[str, str]
) -> list[tuple[NDArray[np.float64], str]]:
    """Return the rows of one cut, each sowing with its letter."""
    stand = profile.stands[i]
    mine = profile.rows.cut == i
    return [
        (profile.rows.t[mine & (profile.rows.sowing == j)], letters[sowing.label])
        for j, sowing in enumerate(stand.sowing if stand is not None else ())
        if sowing.in_rows
    ]


def _ticks(
    scale: _Scale, edge: tuple[int, int], several: Sequence[tuple[NDArray[np.float64], str]]
) -> str:
    """Draw the rows between two borders; where two sowings meet in a column, the first wins."""
    low, high = edge
    cells = [" "] * max(high - low - 1, 0)
    if not cells:
        return ""
    for t, letter in reversed(several):
        for place in t.tolist():
            cells[min(max(scale.column(place) - low - 1, 0), len(cells) - 1)] = letter
    return "".join(cells)


def _covers(stand: Stand | None) -> list[Sowing]:
    """Return the sowings of a stand that have no rows."""
    return [sowing for sowing in (stand.sowing if stand is not None else ()) if not sowing.in_rows]


def _cover(letter: str, room: int) -> str:
    """Draw a crop without rows as its letter among dots."""
    return (f"{letter}··" * (room // 3 + 1))[: max(room, 0)]


def _pass_lines(profile: Profile, scale: _Scale) -> Texts:
    """Draw the passes of each operation under the bands."""
    lines = []
    passes, unit = profile.passes, scale.units.width
    for i, operation in enumerate(profile.plan.operations):
        here = (passes.operation == i) & (passes.reach1 > scale.t0) & (passes.reach0 < scale.t1)
        here &= (np.minimum(passes.t1, scale.t1) - np.maximum(passes.t0, scale.t0)) > ACROSS_SLACK
        if not here.any():
            continue
        width = profile.plan.machine(operation.machine).working_width
        lines.append(f"{operation.name}: {operation.machine}, {unit.short(width)} {unit.word}")
        lines += _brackets(profile, scale, np.flatnonzero(here))
    return lines


def _brackets(profile: Profile, scale: _Scale, which: NDArray[np.int64]) -> Texts:
    """Draw passes as brackets; one that overlaps the pass before goes on a line of its own."""
    passes = profile.passes
    lines: Texts = [""]
    for k in which.tolist():
        low, high = (scale.column(float(t[k])) for t in (passes.reach0, passes.reach1))
        text = _bracket(low, high, int(passes.number[k]), scale.columns)
        left = max(low, 0)
        row = next((r for r, line in enumerate(lines) if len(line) <= left + 1), len(lines))
        if row == len(lines):
            lines.append("")
        joins = len(lines[row]) == left + 1
        lines[row] = lines[row][:left].ljust(left) + ("┴" + text[1:] if joins else text)
    return lines


def _bracket(low: int, high: int, number: int, columns: int) -> str:
    """Draw one pass; an open end means that the machine reaches beyond the drawing."""
    first = "└" if low >= 0 else "←"
    last = "┘" if high < columns else "→"
    room = min(high, columns - 1) - max(low, 0) - 1
    label = str(number) if len(str(number)) <= room else ""
    spaced = f" {label} " if len(label) + 2 <= room else label
    return first + spaced.center(room, "─") + last


# Close-ups and legend


def _close_ups(
    profile: Profile, scale: _Scale, letters: dict[str, str], columns: int
) -> list[Texts]:
    """Draw again, larger, the rows of each stand that are too close in the drawing."""
    drawn: set[str] = set()
    parts: list[Texts] = []
    for i, cut in enumerate(profile.section.cuts):
        stand = profile.stands[i]
        t = profile.rows.t[profile.rows.cut == i]
        gap = float(np.diff(np.unique(np.round(t, 6))).min()) if len(t) > 1 else np.inf
        if stand is None or stand.name in drawn or gap * scale.per_metre >= CLOSE:
            continue
        drawn.add(stand.name)
        far = min(cut.t1, cut.t0 + columns * gap / CLOSE_UP)
        parts.append(
            _close_up(profile, i, _Scale(cut.t0, far, CLOSE_UP / gap, scale.units), letters)
        )
    return parts


def _close_up(profile: Profile, i: int, scale: _Scale, letters: dict[str, str]) -> Texts:
    """Draw the rows at the near edge of one band."""
    cut = profile.section.cuts[i]
    borders = [0, scale.columns - 1]
    rows = [(t[t < scale.t1 - 1e-9], letter) for t, letter in _rows_at(profile, i, letters)]
    whole = scale.t1 > cut.t1 - 1e-9
    what = "" if whole else f" its first {scale.units.width.said(scale.t1 - scale.t0)},"
    return [
        f"Close up, {short_name(cut)},{what} {stand_word(profile, i)}:",
        _edge_numbers([scale.t0, scale.t1], borders, scale.units.width),
        "│" + _ticks(scale, (borders[0], borders[1]), rows) + ("│" if whole else "⋯"),
        "",
    ]


def _letters(profile: Profile) -> dict[str, str]:
    """Give each sowing a letter: its own first one where it is still free."""
    letters: dict[str, str] = {}
    for sowing in _sowings(profile):
        wanted = [letter for letter in sowing.label.lower() if letter.isalnum()]
        free = [*wanted, *"abcdefghijklmnopqrstuvwxyz0123456789"]
        taken = set(letters.values())
        letters[sowing.label] = next((x for x in free if x not in taken), "*")
    return letters


def _sowings(profile: Profile) -> list[Sowing]:
    """Return the sowings of the section, each label once."""
    found: dict[str, Sowing] = {}
    for stand in profile.stands:
        for sowing in stand.sowing if stand is not None else ():
            found.setdefault(sowing.label, sowing)
    return list(found.values())


def _legend(profile: Profile, letters: dict[str, str], columns: int) -> Texts:
    """Say what the letters mean."""
    words = [f"{letters[s.label]} {s.label}{_manner(s)}" for s in _sowings(profile)]
    if len(profile.tree_rows.t):
        words.append("▲ tree row")
    return wrap(", ".join(words), columns)


def _manner(sowing: Sowing) -> str:
    """Say how a crop without rows got there."""
    return "" if sowing.in_rows else f" ({sowing.place})"
