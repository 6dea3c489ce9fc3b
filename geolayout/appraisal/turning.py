"""Which passes a machine can turn into on the headland that there is, and what would do."""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.places import listed
from geolayout.appraisal.wheelings import pass_centres
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine
from geolayout.plan.turns import headland_needed

__all__ = ["turning_cautions"]

SHORTFALL = 0.05
"""A headland that is short by less is not short. Our own choice. [m]"""

SOURCE = "Geometry of a turn of constant radius, plus half the implement."

STEP_WORDS = {1: "the neighbouring pass", 2: "every second pass", 3: "every third pass"}

Spacings = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Turn:
    """What one machine needs to turn among its passes: spacing of the k-th next pass."""

    machine: Machine
    steps: tuple[float, ...]
    headland: float

    def needs(self, step: int) -> float:
        """Return the headland that the turn into the step-th next pass takes. [m]"""
        spacing = self.steps[step - 1]
        return headland_needed(self.radius, spacing, self.machine.working_width)

    @property
    def radius(self) -> float:
        """Smallest turning radius. [m]"""
        return self.machine.turning_radius or 0.0

    @property
    def first_fitting(self) -> int | None:
        """The least step whose turn the headland holds."""
        steps = range(1, len(self.steps) + 1)
        fits = (k for k in steps if self.needs(k) <= self.headland + SHORTFALL)
        return next(fits, None)


def turning_cautions(layout: Layout) -> list[Caution]:
    """
    Say which operations cannot turn into the neighbouring pass on their headland.

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
            steps = _steps(pass_centres(layout, b, i))
            if steps and machine.turning_radius is None:
                unknown.append(machine.name)
            elif steps:
                names[_Turn(machine, steps, _headland(layout, b))].append(operation.name)
    found = [
        _too_narrow(turn, operations)
        for turn, operations in names.items()
        if turn.first_fitting != 1
    ]
    return found + ([_unknown(unknown)] if unknown else [])


def _headland(layout: Layout, block: int) -> float:
    """Return the width of a block's headland. [m]"""
    part_of = layout.blocks[block].part_of
    own = next((one.headland for one in layout.plan.blocks if one.name == part_of), None)
    return layout.plan.headland_width(own or layout.plan.headland)


def _steps(centres: Spacings) -> tuple[float, ...]:
    """Return the most frequent distance to the next pass, to the one after it, and so on. [m]"""
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
    wide = 2.0 * turn.radius
    parts = [f"into the neighbouring pass, {turn.steps[0]:.1f} m on, takes {turn.needs(1):.1f} m"]
    if len(turn.steps) > 1 and turn.steps[1] < wide:
        parts.append(f"into every second pass {turn.needs(2):.1f} m")
    if turn.steps[0] < wide:
        least = headland_needed(turn.radius, wide, turn.machine.working_width)
        parts.append(f"from a step of {wide:.1f} m on {least:.1f} m")
    step = turn.first_fitting
    have = f"the headland is {turn.headland:.1f} m" if turn.headland else "there is no headland"
    fits = f"{_step_words(step)} is the first that fits" if step else "no step fits"
    return Caution(
        key="headland-too-narrow",
        code="W09",
        severity=WARNING,
        sentence=(
            f"To turn ({listed(operations)}; {turn.machine.name}, radius {turn.radius:g} m) "
            f"{', '.join(parts)}; {have}, so {fits}."
        ),
        remedy=_turn_remedy(turn, step),
        source=SOURCE,
        value=turn.needs(1),
        threshold=turn.headland,
        unit="m of headland",
        count=len(operations),
    )


def _turn_remedy(turn: _Turn, step: int | None) -> str:
    """Return what can be done about a narrow headland."""
    widen = f"Widen the headland to {turn.needs(1):.1f} m"
    return f"{widen}, or drive {_step_words(step)}." if step else f"{widen}, or turn elsewhere."


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
