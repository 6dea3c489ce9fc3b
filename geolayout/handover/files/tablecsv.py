"""
Tables as comma-separated text that a spreadsheet opens without running anything.

A spreadsheet takes a cell that begins with one of a few signs for a formula, wherever the table
came from. Names in a plan are free, so such a cell gets an apostrophe in front, which spreadsheets
take for "this is text". Figures stay as they are, those below nought too.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

__all__ = ["plain_cell", "table_csv", "told_cell"]

FORMULA = ("=", "+", "-", "@", "\t", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Signs that begin a formula, or lead to one, in full width too.

OWASP, CSV Injection (owasp.org/www-community/attacks/CSV_Injection)."""

TEXT = "'"
"""Sign in front of what is text."""


def plain_cell(value: object) -> object:
    """
    Return a cell in one line that no spreadsheet takes for a formula.

    Parameters
    ----------
    value : object
        Text or a figure.

    Examples
    --------
    >>> plain_cell("=1+1"), plain_cell("-2.50"), plain_cell("oats"), plain_cell(-3)
    ("'=1+1", '-2.50', 'oats', -3)
    """
    if not isinstance(value, str):
        return value
    line = re.sub(r"[\r\n]+", " ", value)  # a row is a line, for every reader
    return line if not _begins_formula(line) or _is_figure(line) else TEXT + line


def told_cell(text: str) -> str:
    """
    Return what a cell said before `plain_cell`.

    Examples
    --------
    >>> told_cell("'=1+1"), told_cell("'s-Gravenhage")
    ('=1+1', "'s-Gravenhage")
    """
    return text[1:] if text.startswith(TEXT) and _begins_formula(text[1:]) else text


def table_csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """
    Return a table as comma-separated text.

    Parameters
    ----------
    head : sequence of str
        Names of the columns.
    rows : iterable of sequences
        Text or figures, one sequence a row.

    Returns
    -------
    text : str
        Lines ended by a line feed; no cell is a formula.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerows([plain_cell(cell) for cell in row] for row in (head, *rows))
    return text.getvalue()


def _begins_formula(text: str) -> bool:
    """Whether a text begins like a formula, blanks in front of it or not."""
    return text.startswith(FORMULA) or text.lstrip().startswith(FORMULA)


def _is_figure(text: str) -> bool:
    """Whether a text is a figure."""
    try:
        float(text)
    except ValueError:
        return False
    return True
