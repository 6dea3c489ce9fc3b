"""How words of one language are given in another; the words of the plan stay as they are."""

from collections.abc import Callable

__all__ = ["Words", "as_written"]

Words = Callable[[str], str]
"""Gives words of one language in another."""


def as_written(words: str) -> str:
    """Return words as they are."""
    return words
