"""
Widths held against what machines and rows ask of them, ranked.

A machine asks that a strip is a whole number of something: of its passes, of a crop's rows, of
headers, of parts of a boom that shut off. Every width that is such a number for one of them is
tried against all; common multiples come out of that by themselves, within the limits of the
warnings.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.fit.tramlines import BestPhase
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["Asked", "Demand", "Misfit", "WidthChoice", "width_choices"]

WIDEST = 120.0
"""Strips wider than this are not looked for. Our own choice. [m]"""

TIMES_WISH = 3.0
"""Nor those wider than so many times the wish, or two passes of the widest machine. [-]"""


class Asked(StrEnum):
    """What a width must be a whole number of."""

    PASSES = "passes"
    ROWS = "rows"
    HEADERS = "headers"
    SECTIONS = "sections"
    BOOMS = "booms"


@dataclass(frozen=True, slots=True)
class Demand:
    """
    A whole number of steps that a strip must be wide.

    Attributes
    ----------
    asked : Asked
        What of.
    who : str
        The operation, or the crop where it is rows.
    step : float
        Width of one. [m]
    limit : float
        How far a width may be off. [m]
    far_side : bool
        Whether an odd number of passes is no matter.
    times : int
        How many bands of the width must together be that many steps.
    plus : float
        Width of the other bands among them. [m]
    """

    asked: Asked
    who: str
    step: float
    limit: float
    far_side: bool = True
    times: int = 1
    plus: float = 0.0


@dataclass(frozen=True, slots=True)
class Misfit:
    """
    A demand that a width does not meet.

    Attributes
    ----------
    demand : Demand
        The demand.
    steps : int
        Whole steps that would be driven, or rows that would be laid.
    over : float
        What they are wider than the strip; under 0 what they leave of it. [m]
    """

    demand: Demand
    steps: int
    over: float

    @property
    def share(self) -> float:
        """What is wider or left, as a share of the strip, whichever its sign."""
        return abs(self.over) / max(self.steps * self.demand.step - self.over, 1e-9)

    @property
    def step_that_fits(self) -> float:
        """Width of a step that would fill the strip with so many. [m]"""
        return self.demand.step - self.over / self.steps


@dataclass(frozen=True, slots=True)
class WidthChoice:
    """
    One width held against every demand.

    Attributes
    ----------
    width : float
        [m]
    misfits : tuple of Misfit
        What it does not fit, none where it fits all.
    odd : tuple of Demand
        Operations with an odd number of passes, whose machine ends at the far side.
    phases : tuple of (str, float, BestPhase)
        For each operation that goes across strips of several stands: its name, the room its
        wheels need [m], and how its tramlines lie best.
    """

    width: float
    misfits: tuple[Misfit, ...]
    odd: tuple[Demand, ...]
    phases: tuple[tuple[str, float, BestPhase], ...] = ()

    @property
    def cost(self) -> float:
        """Shares of the strip that are worked twice, left, or laid beyond it, added up."""
        return sum(misfit.share for misfit in self.misfits)


def width_choices(demands: Sequence[Demand], wish: float) -> list[WidthChoice]:
    """
    Rank every width that meets a demand, and the wish, against all demands.

    Parameters
    ----------
    demands : sequence of Demand
        At least one.
    wish : float
        Width that is wanted. [m]

    Returns
    -------
    choices : list of WidthChoice
        Fewest demands missed first, then fewest operations that end at the far side, then the
        least ground worked twice or left, then the nearest to the wish.

    Examples
    --------
    >>> asked = [Demand(Asked.PASSES, "drill", 3.0, 0.05), Demand(Asked.PASSES, "roll", 4.5, 0.05)]
    >>> [choice.width for choice in width_choices(asked, 8.0)[:2]]
    [9.0, 18.0]
    """
    steps = np.array([demand.step for demand in demands])
    widths = _candidates(demands, wish)
    passes, over = _off(demands, widths)
    limits = np.array([demand.limit for demand in demands])
    missed = np.abs(over) > limits + 1e-9
    strict = np.array([not demand.far_side for demand in demands])
    odd = strict & (passes % 2 == 1)
    share = np.where(missed, np.abs(over) / (passes * steps - over), 0.0).sum(axis=1)
    keys = (np.abs(widths - wish), np.round(share, 4), odd.sum(axis=1), missed.sum(axis=1))
    return [
        WidthChoice(
            float(widths[k]),
            tuple(
                Misfit(demands[j], int(passes[k, j]), round(float(over[k, j]), 6))
                for j in np.flatnonzero(missed[k]).tolist()
            ),
            tuple(demands[j] for j in np.flatnonzero(odd[k]).tolist()),
        )
        for k in np.lexsort(keys)
    ]


def _candidates(demands: Sequence[Demand], wish: float) -> NDArray[np.float64]:
    """Return every width that meets a demand, up to what is looked for, and the wish. [m]"""
    widest = min(WIDEST, max(TIMES_WISH * wish, 2 * max(demand.step for demand in demands)))
    meeting = [
        (demand.step * np.arange(1, _most_steps(demand, widest) + 1) - demand.plus) / demand.times
        for demand in demands
    ]
    widths = np.unique(np.round(np.concatenate([*meeting, [wish]]), 4))
    return widths[widths > ACROSS_SLACK]


def _most_steps(demand: Demand, widest: float) -> int:
    """Return how many steps the widest strips hold."""
    return int((demand.times * widest + demand.plus) / demand.step + 1e-9)


def _off(
    demands: Sequence[Demand], widths: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Return the whole steps on each width, and by how much they are wider than it. [-], [m]"""
    steps = np.array([demand.step for demand in demands])
    times = np.array([demand.times for demand in demands])
    plus = np.array([demand.plus for demand in demands])
    across = widths[:, None] * times + plus
    ratio, slack = across / steps, ACROSS_SLACK / steps
    fewer = np.floor(ratio + slack)  # rows stay within the strip
    more = np.ceil(ratio - slack)  # passes cover it
    within = np.array([demand.asked is Asked.ROWS for demand in demands])
    count = np.maximum(np.where(within, fewer, more), 1).astype(np.int64)
    return count, count * steps - across
