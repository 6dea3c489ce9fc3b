"""Which passes a machine can turn into on the headland that there is, and what would do."""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.fit.wheelings import pass_centres
from geolayout.appraisal.pass_ends import EdgeMet, edges_met
from geolayout.appraisal.places import listed
from geolayout.layout.build import Layout
from geolayout.layout.headlands.edge_widths import OBSTACLE
from geolayout.plan.machines import Machine
from geolayout.plan.slanting import headland_needed_aslant, turn_length_aslant
from geolayout.plan.turns import turn_word

__all__ = ["SHORTFALL", "pass_steps", "turning_cautions"]

SHORTFALL = 0.05
"""A headland that is short by less is not short. Our own choice. [m]"""

ASLANT = 85.0
"""Passes that meet an edge at less are said to meet it aslant. Our own choice. [degrees]"""

SOURCE = "Geometry of a turn of constant radius, plus half the implement."

STEP_WORDS = {1: "the neighbouring pass", 2: "every second pass", 3: "every third pass"}

Spacings = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Turn:
    """What one machine needs to turn among its passes: spacing of the k-th next pass."""

    machine: Machine
    steps: tuple[float, ...]
    edges: tuple[EdgeMet, ...]

    def needs(self, spacing: float, edge: EdgeMet) -> float:
        """Return the headland that the turn into a pass so far away takes at an edge. [m]"""
        width = self.machine.working_width
        return headland_needed_aslant(self.radius, spacing, width, edge.angle)

    def three_point(self, edge: EdgeMet) -> float:
        """Return the headland that a three-point turn into the neighbouring pass takes. [m]"""
        width = self.machine.working_width
        return headland_needed_aslant(
            self.radius, self.steps[0], width, edge.angle, way="three-point"
        )

    @property
    def radius(self) -> float:
        """Smallest turning radius. [m]"""
        return self.machine.turning_radius or 0.0

    @property
    def narrow(self) -> tuple[EdgeMet, ...]:
        """The edges whose headland does not hold the turn into the neighbouring pass."""
        return tuple(edge for edge in self.edges if not self._holds(self.steps[0], edge))

    @property
    def worst(self) -> EdgeMet:
        """The edge whose headland lacks most."""
        return max(self.narrow, key=lambda edge: self.needs(self.steps[0], edge) - edge.width)

    @property
    def first_fitting(self) -> int | None:
        """The least step whose turn the headland holds at every edge."""
        steps = range(1, len(self.steps) + 1)
        fits = (k for k in steps if all(self._holds(self.steps[k - 1], e) for e in self.edges))
        return next(fits, None)

    def _holds(self, spacing: float, edge: EdgeMet) -> bool:
        """Whether the headland at an edge holds a turn."""
        return self.needs(spacing, edge) <= edge.width + SHORTFALL


def turning_cautions(layout: Layout) -> list[Caution]:
    """
    Say which operations cannot turn into the neighbouring pass on their headland.

    Every edge is held against the turn by the headland that it has, and by the angle at which the
    passes meet it.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        One for all operations of one machine whose turns are alike.
    """
    names: dict[_Turn, list[str]] = defaultdict(list)
    unknown: list[str] = []
    for i, operation in enumerate(layout.plan.operations):
        machine = layout.plan.machine(operation.machine)
        for b in range(len(layout.blocks)):
            steps = pass_steps(layout, b, i)
            if steps and machine.turning_radius is None:
                unknown.append(machine.name)
            elif steps:
                names[_Turn(machine, steps, edges_met(layout, b, i))].append(operation.name)
    found = [_too_narrow(turn, operations) for turn, operations in names.items() if turn.narrow]
    return found + ([_unknown(unknown)] if unknown else [])


def pass_steps(layout: Layout, block: int, operation: int) -> tuple[float, ...]:
    """
    Return the most frequent distance to the next pass, to the one after it, and so on.

    Parameters
    ----------
    layout : Layout
        The layout.
    block, operation : int
        Index of each.

    Returns
    -------
    steps : tuple of float
        Empty where the operation has fewer than two passes. [m]
    """
    centres = pass_centres(layout, block, operation)
    return tuple(_most_frequent(centres[k:] - centres[:-k]) for k in range(1, len(centres)))


def _most_frequent(distances: Spacings) -> float:
    """Return the distance met most often, to the centimetre, the least of several. [m]"""
    values, counts = np.unique(np.round(distances, 2), return_counts=True)
    return float(values[int(np.argmax(counts))])


def _step_words(step: int) -> str:
    """Return which pass a step leads to."""
    return STEP_WORDS.get(step, f"every {step}th pass")


def _too_narrow(turn: _Turn, operations: list[str]) -> Caution:
    """Return the caution of a headland on which neighbouring passes cannot be driven in turn."""
    edge, step = turn.worst, turn.first_fitting
    fits = f"{_step_words(step)} is the first that fits" if step else "no step fits"
    names = list(dict.fromkeys(operations))
    return Caution(
        key="headland-too-narrow",
        code="W09",
        severity=WARNING,
        sentence=(
            f"To turn ({listed(names)}; {turn.machine.name}, radius {turn.radius:g} m"
            f"{_slant(edge)}) {', '.join(_needed(turn, edge))}; {_have(turn)}, so {fits}."
        ),
        remedy=_turn_remedy(turn, step),
        source=SOURCE,
        value=turn.needs(turn.steps[0], edge),
        threshold=edge.width,
        unit="m of headland",
        count=len(names),
    )


def _slant(edge: EdgeMet) -> str:
    """Say how passes meet an edge that is not square to them."""
    if edge.angle >= ASLANT:
        return ""
    return f", passes meet {_edge_words(edge)} at {edge.angle:.0f} degrees"


def _needed(turn: _Turn, edge: EdgeMet) -> list[str]:
    """Say what headland the turns into the next passes take."""
    wide, near = 2.0 * turn.radius, turn.steps[0]
    first = turn.needs(near, edge)
    word = turn_word(turn.radius, near)
    parts = [f"into the neighbouring pass, {near:.1f} m on, takes {first:.1f} m ({word})"]
    if len(turn.steps) > 1 and turn.steps[1] < wide:
        parts.append(f"into every second pass {turn.needs(turn.steps[1], edge):.1f} m")
    if near < wide:
        parts.append(f"from a step of {wide:.1f} m on {turn.needs(wide, edge):.1f} m")
    return parts


def _have(turn: _Turn) -> str:
    """Say how wide the headland is, edge by edge where edges differ."""
    if len({edge.width for edge in turn.edges}) == 1:
        width = turn.edges[0].width
        return f"the headland is {width:.1f} m" if width else "there is no headland"
    by_width: dict[float, list[str]] = defaultdict(list)
    for edge in turn.narrow:
        by_width[edge.width].append(_edge_words(edge))
    bare = listed(by_width.pop(0.0, []))
    there = [f"{width:.1f} m on {listed(words)}" for width, words in by_width.items()]
    if not there:
        return f"there is no headland on {bare}"
    return f"the headland is {listed(there)}{f', with none on {bare}' if bare else ''}"


def _edge_words(edge: EdgeMet) -> str:
    """Return what an edge is called in a sentence."""
    return "obstacles" if edge.side == OBSTACLE else f"the {edge.side} edge"


def _turn_remedy(turn: _Turn, step: int | None) -> str:
    """Return what can be done about a narrow headland."""
    edge = turn.worst
    there = "it there" if len({one.width for one in turn.edges}) > 1 else "the headland"
    ways = [f"Widen {there} to {turn.needs(turn.steps[0], edge):.1f} m"]
    if step:
        ways.append(f"drive {_step_words(step)}")
    if turn.steps[0] < 2.0 * turn.radius:
        ways.append(_in_three_points(turn, edge))
    elif not step:
        ways.append("turn elsewhere")
    return f"{', '.join(ways[:-1])}, or {ways[-1]}."


def _in_three_points(turn: _Turn, edge: EdgeMet) -> str:
    """Say what a three-point turn takes beside the omega."""
    omega, back = (
        turn_length_aslant(turn.radius, turn.steps[0], edge.angle, way)
        for way in ("forward", "three-point")
    )
    return (
        f"turn in three points ({turn.three_point(edge):.1f} m, {back:.0f} m driven instead of "
        f"{omega:.0f} m), which a trailed implement may not follow"
    )


def _unknown(machines: list[str]) -> Caution:
    """Return the note that a headland could not be held against a turn."""
    return Caution(
        key="turning-radius-not-given",
        code="W09",
        severity=NOTE,
        sentence=(
            f"No turning radius was given for {listed(machines)}, so the headland was not held "
            "against those turns."
        ),
        remedy="Measure the turn both ways and give turning_radius, in metres.",
        source=SOURCE,
        count=len(set(machines)),
    )
