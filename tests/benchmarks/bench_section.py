"""What fits a section, in milliseconds, and the search for a phase against every millimetre."""

import time
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
from race import REPEATS, Race, Result, Totals, run

from geolayout import jobs
from geolayout.appraisal.fit.band_widths import band_widths
from geolayout.appraisal.fit.section import section_fit
from geolayout.appraisal.fit.tramlines import BestPhase, best_phase
from geolayout.jobs.profiles import plan_profiles

SAMPLES = Path(__file__).resolve().parents[2] / "sample_fields"

ACROSS = 225.0
"""Land across the rows. Invented. [m]"""

MOST = 0.050
"""Time that the table, and the widths, may each take. [s]"""

STRIPS = (6.0, 4.5, 3.0, 7.5)
"""Invented strips of one repeat, in steps that the plain search meets. [m]"""

FINE = 0.001
"""Step of the plain search for a phase. [m]"""


def results() -> Iterable[Result]:
    """Yield the times of a sample plan, and the race."""
    plan = jobs.read_plan(SAMPLES / "pond_piece.toml")
    (named,) = plan_profiles(plan, plan.season(None), ACROSS)
    strips = len(named.profile.section.cuts)
    for work, do in (
        (f"table and tramlines, {strips} strips", lambda: section_fit(named.profile)),
        (f"widths, {strips} strips", lambda: band_widths(named.profile)),
    ):
        seconds = min(_timed(do) for _ in range(REPEATS))
        yield Result(
            work, f"{seconds * 1e3:.2f} ms", "", "", f"{MOST * 1e3:.0f} ms", seconds < MOST
        )
    yield run(Race("phase of tramlines", _phase, _phase_plain, _room, _room, 20))


def _timed(do: Callable[[], object]) -> float:
    begin = time.perf_counter()
    do()
    return time.perf_counter() - begin


def _phase() -> BestPhase:
    return best_phase(STRIPS, 24.0, 40)


def _phase_plain() -> BestPhase:
    """Every millimetre of the repeat."""
    repeat, ends = sum(STRIPS), np.cumsum(STRIPS)
    lines = 12.0 + 24.0 * np.arange(40)
    best = BestPhase(0.0, -1.0)
    for k in range(round(repeat / FINE)):
        place = (lines[:, None] - k * FINE - ends[None, :]) % repeat
        room = float(np.minimum(place, repeat - place).min())
        if room > best.room + 1e-9:
            best = BestPhase(k * FINE, room)
    return best


def _room(best: BestPhase) -> Totals:
    return {"move": round(best.move, 6), "room": round(best.room, 6)}
