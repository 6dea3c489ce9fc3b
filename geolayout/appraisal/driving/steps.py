"""
Steps of an order as a driver needs them: which line, which way, which turn into the next.

Lines are counted as a guidance terminal counts them, in working widths from line 0: the first pass
driven of those that lie in whole widths from each other. Where passes lie otherwise, as one over
every alley, the distance most frequent between them is what the terminal is set to. A pass between
two lines has a fraction, and the terminal's line is shifted for it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.driving.order import Order
from geolayout.appraisal.driving.search import ASIDE
from geolayout.appraisal.driving.turnings import Turn
from geolayout.appraisal.places import COMPASS
from geolayout.layout.build import Layout
from geolayout.layout.guides.rings import Rings
from geolayout.plan.slack import ACROSS_SLACK

__all__ = ["TURN_WORDS", "Steps", "line_words", "steps_of"]

TURN_WORDS = {
    Turn.NONE: "",
    Turn.U: "U",
    Turn.OMEGA: "omega",
    Turn.THREE_POINT: "three-point",
    Turn.STRAIGHT_ON: "straight on",
    Turn.ROUND: "round the headland",
    Turn.OVER: "over to the next round",
    Turn.CORNER: "round a corner",
}
"""What a turn is called."""

LEAST_RUN = 3
"""Fewer lines in even steps are named one by one."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """
    Steps of one order; columns have one entry a piece, in the order driven.

    Attributes
    ----------
    number : ndarray of int
        Number of the pass.
    line : ndarray
        Its line from line 0, whole within 5 cm.
    spacing : float
        Between lines: the working width, or what passes lie apart. [m]
    zero : int
        Number of the pass that is line 0.
    heading : ndarray
        In which direction it begins, clockwise from the frame's north. [degrees]
    towards : str
        Compass word of the side towards which lines are counted up.
    """

    number: NDArray[np.int32]
    line: Floats
    spacing: float
    zero: int
    heading: Floats
    towards: str


def steps_of(layout: Layout, order: Order) -> Steps:
    """
    Return the steps of an order.

    Parameters
    ----------
    layout : Layout
        The layout.
    order : Order
        How an operation drives one of its blocks.

    Returns
    -------
    steps : Steps
    """
    passes, plan = layout.passes, layout.plan
    machine = plan.machine(plan.operations[order.operation].machine)
    centre = ((passes.reach0 + passes.reach1) / 2.0)[order.piece]
    spacing = _spacing(centre, machine.working_width)
    zero = _zero(centre, spacing)
    line = (centre - centre[zero]) / spacing
    near = np.abs(line - np.round(line)) * spacing <= ACROSS_SLACK
    line = np.where(near, np.round(line), np.round(line, 3)) + 0.0
    first, second = _beginning(layout, order)
    way = second - first
    heading = np.degrees(np.arctan2(way[:, 0], way[:, 1])) % 360.0
    number = passes.number[order.piece]
    towards = _towards(layout, order, centre[0])
    return Steps(number, line, spacing, int(number[zero]), heading, towards)


def _spacing(centre: Floats, width: float) -> float:
    """Return what lines lie apart: the working width if passes lie in whole widths. [m]"""
    apart = np.round(np.diff(np.unique(np.round(centre, 3))), 2)
    if not len(apart):
        return width
    values, counts = np.unique(apart, return_counts=True)
    most = float(values[np.argmax(counts)])
    off = abs(most - round(most / width) * width)
    return width if off <= ACROSS_SLACK or counts.max() < 2 or most < width else most


def _zero(centre: Floats, width: float) -> int:
    """Return the first pass that lies in whole widths from most others."""
    phase = np.round(((centre + ASIDE) % width) / ACROSS_SLACK) % round(width / ACROSS_SLACK)
    values, first, counts = np.unique(phase, return_index=True, return_counts=True)
    most = counts == counts.max()
    return int(first[most].min()) if len(values) else 0


def _beginning(layout: Layout, order: Order) -> tuple[Floats, Floats]:
    """Return the first two vertices of each piece as it is driven. [m]"""
    lines = layout.passes.lines
    begin, stop = lines.offsets[order.piece], lines.offsets[order.piece + 1] - 1
    at = np.where(order.backward, stop, begin)
    after = np.where(order.backward, stop - 1, begin + 1)
    return lines.xy[at], lines.xy[after]


def _towards(layout: Layout, order: Order, t: float) -> str:
    """Return the compass word of the side where t grows; inwards where lines go round."""
    guides = layout.blocks[order.block].guides
    if isinstance(guides, Rings):
        return "inwards"
    place = layout.passes.lines.ends(int(order.piece[0]))[0]
    _, s = guides.to_turned(place[None])[0]
    east, north = np.diff(guides.from_turned(np.array([[t, s], [t + 1.0, s]])), axis=0)[0]
    bearing = float(np.degrees(np.arctan2(east, north)))
    return COMPASS[round(bearing / 45.0) % len(COMPASS)]


def line_words(lines: Sequence[float]) -> str:
    """
    Return lines in words, even steps together.

    Parameters
    ----------
    lines : sequence of float
        Lines in the order driven; the same line twice in a row is named once.

    Examples
    --------
    >>> line_words([0, 3, 6, 9, 10, 7, 4, 4, 1])
    '0, +3 to +9 by 3, +10 to +1 by 3'
    >>> line_words([0, -0.5])
    '0, -0.5'
    """
    left = [one for k, one in enumerate(lines) if k == 0 or one != lines[k - 1]]
    words: list[str] = []
    while left:
        run = _run(left)
        first = 1 if run >= LEAST_RUN and left[0] == 0 and not words else 0
        if run - first < LEAST_RUN:
            words.append(_line(left.pop(0)))
            continue
        words += [_line(one) for one in left[:first]]
        step = abs(left[1] - left[0])
        words.append(f"{_line(left[first])} to {_line(left[run - 1])} by {step:g}")
        left = left[run:]
    return ", ".join(words)


def _run(lines: Sequence[float]) -> int:
    """Return how many lines from the first follow each other in even steps."""
    if len(lines) < LEAST_RUN:
        return len(lines)
    step = lines[1] - lines[0]
    steps = [abs(b - a - step) < 1e-6 for a, b in pairwise(lines)]
    return steps.index(False) + 1 if False in steps else len(lines)


def _line(line: float) -> str:
    """Return one line with its sign."""
    return "0" if line == 0 else f"{line:+g}"
