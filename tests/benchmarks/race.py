"""
Two ways to the same answer, in one process, interleaved, the fastest of seven each.

Before a time is printed the two answers are compared: lengths and areas agree to 1e-9 of their
sum, counts are equal. A race whose answers differ is no race, and raises.
"""

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

REPEATS = 7
"""Runs of each way; the fastest counts, for noise only ever adds."""

AGREEMENT = 1e-9
"""Share by which lengths and areas may differ. [-]"""

Totals = Mapping[str, float | int]


@dataclass(frozen=True, slots=True)
class Race:
    """
    One piece of work done in two ways.

    Attributes
    ----------
    work : str
        What is done.
    ours, plain : callable
        Do it, and return what was made.
    ours_totals, plain_totals : callable
        Sum up what was made: counts as int, lengths [m] and areas [m2] as float.
    aim : float
        How many times faster ours is meant to be; for a race that ours may lose, below 1.
    """

    work: str
    ours: Callable[[], Any]
    plain: Callable[[], Any]
    ours_totals: Callable[[Any], Totals]
    plain_totals: Callable[[Any], Totals]
    aim: float


@dataclass(frozen=True, slots=True)
class Result:
    """What one race, or one measurement, came to."""

    work: str
    ours: str
    plain: str
    figure: str
    aim: str
    met: bool


def run(race: Race) -> Result:
    """Compare the two answers, then time the two ways in turn."""
    check_agreement(race)
    ours, plain = fastest_in_turn(race.ours, race.plain)
    times = plain / ours
    return Result(
        race.work,
        f"{ours * 1e3:.2f} ms",
        f"{plain * 1e3:.2f} ms",
        f"{times:.3g} x" if times >= 1 else f"{1 / times:.2f} x as long",
        f"{race.aim:.3g} x" if race.aim >= 1 else f"{1 / race.aim:.2f} x as long",
        times >= race.aim,
    )


def check_agreement(race: Race) -> None:
    """Raise unless both ways come to the same totals."""
    ours, plain = race.ours_totals(race.ours()), race.plain_totals(race.plain())
    assert ours.keys() == plain.keys(), f"{race.work}: {ours} against {plain}"
    for name, value in ours.items():
        off = abs(value - plain[name])
        allowed = 0 if isinstance(value, int) else AGREEMENT * abs(plain[name])
        assert off <= allowed, f"{race.work}, {name}: {value} against {plain[name]}"


def fastest_in_turn(*ways: Callable[[], object]) -> list[float]:
    """Return the fastest run of each way, all run in turn. [s]"""
    best = [float("inf")] * len(ways)
    for _ in range(REPEATS):
        for i, way in enumerate(ways):
            begin = time.perf_counter()
            way()
            best[i] = min(best[i], time.perf_counter() - begin)
    return best
