"""How a command ends that could not do what was asked: in one plain line, with its exit code."""

from collections.abc import Iterator
from contextlib import contextmanager

import click

from geolayout.errors import GeolayoutError

__all__ = [
    "CUT_OFF",
    "INTERRUPTED",
    "NOT_ACKNOWLEDGED",
    "REFUSED",
    "TERMINATED",
    "Refusal",
    "one_line",
    "refusing",
]

REFUSED, NOT_ACKNOWLEDGED, INTERRUPTED, CUT_OFF, TERMINATED = 2, 3, 130, 141, 143
"""Exit codes; those from 130 are 128 and the signal, as shells count them."""


class Refusal(click.ClickException):
    """A mistake of the user's, said in one line."""

    exit_code = REFUSED


def one_line(error: GeolayoutError) -> str:
    """Return what an error says without any line end."""
    return " ".join(str(error).split())


@contextmanager
def refusing() -> Iterator[None]:
    """Turn an error that the user can mend, in files or in what was typed, into a refusal."""
    try:
        yield
    except GeolayoutError as error:
        raise Refusal(one_line(error)) from None
    except click.UsageError as error:
        said = error.format_message().strip()
        said += "" if said.endswith((".", "?", "!")) else "."
        help_at = f" See {error.ctx.command_path} --help." if error.ctx is not None else ""
        raise Refusal(" ".join(f"{said}{help_at}".split())) from None
