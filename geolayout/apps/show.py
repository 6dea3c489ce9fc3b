"""Showing results on a terminal, plainly in a pipe, and progress beside them."""

import os
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rich.table import Table

__all__ = ["Part", "drawing", "progress", "show_lines", "show_parts", "terminal_width"]

COLUMNS = 80
"""Letters to a line where no terminal says otherwise. [columns]"""

BETWEEN = 3
"""Letters that a ruled table needs for a column beside its words. [columns]"""

PLAIN_TERMINALS = ("dumb", "linux")
"""Terminals whose letters do not reach beyond the plain ones, whatever their encoding says."""


@dataclass(frozen=True, slots=True)
class Part:
    """
    One part of what is shown: a title over lines, a drawing or a table.

    Attributes
    ----------
    title : str
        What it is about.
    lines : tuple of str
        Sentences.
    head : tuple of str
        Names of the columns, where it is a table.
    rows : tuple of tuple of str
        Its rows; columns after the first that hold only figures stand to the right.
    style : str
        How its lines look on a terminal.
    drawing : tuple of str
        Lines of a drawing, shown letter by letter.
    """

    title: str
    lines: tuple[str, ...] = ()
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    style: str = ""
    drawing: tuple[str, ...] = ()


def show_parts(parts: Sequence[Part]) -> None:
    """Print parts: tables and colours on a terminal, plain text in a pipe."""
    filled = [part for part in parts if part.lines or part.rows or part.drawing]
    if sys.stdout.isatty():
        _show_rich(filled)
        return
    for part in filled:
        click.echo(part.title)
        for line in [*_indented(part.lines), *_drawn(part), *_columns(part)]:
            click.echo(line)
        click.echo()


def show_lines(lines: Sequence[str]) -> None:
    """Print lines, wrapped to the terminal's width on one."""
    width = terminal_width()
    for line in lines:
        indent = line[: len(line) - len(line.lstrip())]
        for text in wrap(line, width, subsequent_indent=f"{indent}  ") or [""]:
            click.echo(text)


def drawing(text: str, plain: Callable[[str], str]) -> str:
    """Return a drawing as the output can show it: in plain letters where it must."""
    if sys.stdout.isatty() and os.environ.get("TERM") in PLAIN_TERMINALS:
        return plain(text)
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return plain(text)
    return text


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Give a call that says on a terminal's error output what is going on; silent in a pipe."""
    if not sys.stderr.isatty():
        yield lambda _what: None
        return
    from rich.console import Console  # noqa: PLC0415  (start-up time)

    with Console(stderr=True).status("Beginning") as status:
        yield status.update


def terminal_width() -> int:
    """Return the letters to a line: the terminal's, up to 100."""
    if not sys.stdout.isatty():
        return COLUMNS
    return max(40, min(shutil.get_terminal_size().columns, 100))


def _indented(lines: Sequence[str]) -> list[str]:
    """Return lines wrapped under their part's title."""
    return [
        text
        for line in lines
        for text in wrap(
            line,
            terminal_width(),
            initial_indent="  ",
            subsequent_indent="    ",
            break_on_hyphens=False,
        )
    ]


def _drawn(part: Part) -> list[str]:
    """Return a drawing under its part's title."""
    return [f"  {line}" for line in part.drawing]


def _widths(part: Part) -> list[int]:
    """Return how many letters each column of a table needs."""
    return [max(len(row[k]) for row in [part.head, *part.rows]) for k in range(len(part.head))]


def _folded(part: Part) -> list[str]:
    """
    Return a table that is wider than the terminal as a few lines a row.

    The first cell stands alone, the others follow with the names of their columns.
    """
    return [
        text
        for row in part.rows
        for text in (
            f"  {row[0]}",
            *wrap(
                ", ".join(
                    f"{name}: {cell}"
                    for name, cell in zip(part.head[1:], row[1:], strict=True)
                    if cell
                ),
                terminal_width(),
                initial_indent="    ",
                subsequent_indent="    ",
                break_on_hyphens=False,
            ),
        )
    ]


def _columns(part: Part) -> list[str]:
    """Return a table as plain text, columns two letters apart."""
    if not part.rows:
        return []
    table = [part.head, *part.rows]
    widths = _widths(part)
    right = _figures(part)
    return [
        "  "
        + "  ".join(
            text.rjust(width) if figure else text.ljust(width)
            for text, width, figure in zip(row, widths, right, strict=True)
        ).rstrip()
        for row in table
    ]


def _figures(part: Part) -> list[bool]:
    """Tell which columns hold figures only."""
    return [
        k > 0 and all(row[k] == "" or row[k][0].isdigit() for row in part.rows)
        for k in range(len(part.head))
    ]


def _show_rich(parts: Sequence[Part]) -> None:
    """Print parts on a terminal."""
    from rich.console import Console  # noqa: PLC0415  (start-up time)
    from rich.text import Text  # noqa: PLC0415

    console = Console(width=terminal_width(), highlight=False)
    for part in parts:
        console.print(Text(part.title, style=f"bold {part.style}".strip()))
        for line in _indented(part.lines):
            console.print(Text(line, style=part.style))
        for line in _drawn(part):
            console.print(Text(line), no_wrap=True)
        if part.rows and sum(_widths(part)) + BETWEEN * len(part.head) > terminal_width():
            for line in _folded(part):
                console.print(Text(line), no_wrap=True)
        elif part.rows:
            console.print(_ruled(part))
        console.print()


def _ruled(part: Part) -> "Table":
    """Return a table with rules between its columns."""
    from rich.table import Table  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    table = Table(show_edge=False, pad_edge=True, header_style="dim")
    for name, figure in zip(part.head, _figures(part), strict=True):
        table.add_column(name, justify="right" if figure else "left", no_wrap=True)
    for row in part.rows:
        table.add_row(*(Text(text) for text in row))
    return table
