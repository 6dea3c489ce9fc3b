"""
Our own shuffle, stated here in full, so that a seed gives the same order in ten years.

The numbers are those of SplitMix64 started at the seed [1]_; a list is shuffled from its last
place to its second by the method of Fisher and Yates as Durstenfeld wrote it down [2]_.

References
----------
.. [1] Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014.
.. [2] Durstenfeld, Algorithm 235: Random permutation, Communications of the ACM 7, 1964.
"""

from collections.abc import Iterable, Iterator
from typing import TypeVar

__all__ = ["numbers", "shuffled"]

T = TypeVar("T")

_WORD = 1 << 64


def numbers(seed: int) -> Iterator[int]:
    """Yield the numbers of SplitMix64 from a seed, each of 64 bits."""
    state = seed % _WORD
    while True:
        state = (state + 0x9E3779B97F4A7C15) % _WORD
        mixed = state
        mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9 % _WORD
        mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB % _WORD
        yield mixed ^ (mixed >> 31)


def shuffled(things: Iterable[T], drawn: Iterator[int]) -> list[T]:
    """
    Shuffle from the last place to the second, each with a place not behind it.

    Parameters
    ----------
    things : iterable
        What is shuffled.
    drawn : iterator of int
        Run of numbers from `numbers`; it goes on where it stopped.

    Returns
    -------
    order : list

    Examples
    --------
    >>> shuffled("abcd", numbers(7))
    ['b', 'c', 'a', 'd']
    """
    order = list(things)
    for last in range(len(order) - 1, 0, -1):
        other = _below(last + 1, drawn)
        order[last], order[other] = order[other], order[last]
    return order


def _below(limit: int, drawn: Iterator[int]) -> int:
    """Draw a number from 0 up to a limit, every one as likely as the next."""
    fair = _WORD - _WORD % limit  # numbers from here on would favour the small ones
    return next(number for number in drawn if number < fair) % limit
