"""Our own shuffle: the same order for ever."""

import itertools

from geolayout.plan.shuffle import numbers, shuffled


def test_numbers_are_those_widely_quoted_for_the_generator():
    """First numbers of SplitMix64 from 1234567, as test suites of it quote them; from memory."""
    assert list(itertools.islice(numbers(1234567), 5)) == [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]


def test_shuffle_can_be_done_on_paper():
    """
    Numbers 5, 4 and three places: place 3 with 5 mod 3 = 2 (itself), place 2 with 4 mod 2 = 0.

    a b c -> a b c -> b a c.
    """
    assert shuffled(("a", "b", "c"), iter([5, 4])) == ["b", "a", "c"]


def test_a_number_that_would_favour_small_ones_is_passed_over():
    """2^64 = 3 x 6148914691236517205 + 1: the last number alone would make 0 more likely.

    So place 3 goes by 5 mod 3 = 2 (itself) and place 2 by 4 mod 2 = 0.
    """
    assert shuffled(("a", "b", "c"), iter([2**64 - 1, 5, 4])) == ["b", "a", "c"]
