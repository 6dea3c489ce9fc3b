"""
Patterns of driving: in which order the passes of one piece of land follow each other.

They know nothing of ground: passes are counted from 0 at the side where work begins.

    up and back    0 1 2 3 4 5 ...            the neighbouring pass every time
    every 3rd      0 3 6 9 10 7 4 1 2 5 8     in runs, each over every third pass
    lands of 6     0 3 1 4 2 5 | 9 6 10 7 ... 3 on, 2 back; no step is under 2
    out and home   0 3 6 9 12 | 10 7 11 8 | 4 1 5 2   every 3rd out, home over the others, 3 back
                                              and 4 on in turn; it ends beside where it began
"""

from typing import NamedTuple

__all__ = ["Rule", "rules", "sequence"]

HOME = "out and home"
KINDS = ("runs", "lands", HOME)


class Rule(NamedTuple):
    """
    A rule that a driver can keep in mind.

    Attributes
    ----------
    kind : {"up and back", "runs", "lands", "out and home"}
        The neighbouring pass every time; every so many passes in runs; lands of twice as many; or
        every so many passes out, and home over the others.
    step : int
        How many passes on.
    """

    kind: str
    step: int


def rules(widest: int) -> tuple[Rule, ...]:
    """
    Return every rule up to a widest step, the plainest first.

    Examples
    --------
    >>> [rule.kind for rule in rules(2)]
    ['up and back', 'runs', 'lands']
    """
    steps = range(2, widest + 1)
    by_step = (Rule(kind, step) for step in steps for kind in KINDS if step > 2 or kind != HOME)
    return (Rule("up and back", 1), *by_step)


def sequence(rule: Rule, passes: int) -> tuple[int, ...]:
    """
    Return the order in which a rule drives so many passes.

    Parameters
    ----------
    rule : Rule
        The rule.
    passes : int
        How many there are.

    Returns
    -------
    order : tuple of int
        Each of 0 to passes - 1 once.

    Examples
    --------
    >>> sequence(Rule("runs", 2), 7)
    (0, 2, 4, 6, 5, 3, 1)
    >>> sequence(Rule("lands", 3), 12)
    (0, 3, 1, 4, 2, 5, 9, 6, 10, 7, 11, 8)
    """
    if rule.kind == "runs":
        return _runs(rule.step, passes)
    if rule.kind == "lands":
        return _lands(rule.step, passes)
    if rule.kind == HOME:
        return _out_and_home(rule.step, passes)
    return tuple(range(passes))


def _runs(step: int, passes: int) -> tuple[int, ...]:
    """Return every so many passes out, others back, until all are driven."""
    runs = [range(first, passes, step) for first in range(min(step, passes))]
    return tuple(i for k, run in enumerate(runs) for i in (run if k % 2 == 0 else reversed(run)))


def _lands(step: int, passes: int) -> tuple[int, ...]:
    """Return lands of twice the step, alternately begun at their near and at their far half."""
    order: list[int] = []
    for land, first in enumerate(range(0, passes, 2 * step)):
        size = min(2 * step, passes - first)
        half = min(step, (size + 1) // 2)
        near, far = list(range(half)), list(range(half, size))
        one, other = (near, far) if land % 2 == 0 or size < 2 * step else (far, near)
        pairs = [k for both in zip(one, other, strict=False) for k in both]
        order += [first + k for k in [*pairs, *one[len(other) :]]]
    return tuple(order)


def _out_and_home(step: int, passes: int) -> tuple[int, ...]:
    """Return every so many passes out, then groups of the others, far group and far half first."""
    out = list(range(0, passes, step))
    left = [i for i in range(passes) if i % step]
    size = 2 * (step - 1)
    groups = [left[first : first + size] for first in range(0, len(left), size)]
    home: list[int] = []
    for group in reversed(groups):
        half = min(step - 1, len(group) // 2)
        near, far = group[:half], group[half:]
        home += [i for both in zip(far, near, strict=False) for i in both] + far[half:]
    return (*out, *home)
