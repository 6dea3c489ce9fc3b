"""What is driven over a block in one season, as combs of passes, each with its machine."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geolayout.appraisal.direction.combs import Comb, even_comb
from geolayout.errors import MeasureError, PlanError
from geolayout.plan.grows import stand_on
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import PassPlaces, Strip, place_passes
from geolayout.plan.section.section import Section, cut_section
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.turns import TurnWay, turn_length, turn_word

__all__ = ["Task", "tasks_of"]

MOST_TEETH = 40
"""A repeat of more passes is looked at as if they lay evenly. Our own choice. [-]"""

NEARLY_ALL = 0.99
"""An operation that works more than this share works all. [-]"""

TOUCH = 1e-6
"""A pass at the very end of a repeat is that of the next. [m]"""


@dataclass(frozen=True, slots=True)
class Task:
    """
    One operation over a block: where its passes lie across, and how its machine turns.

    Attributes
    ----------
    operation : str
        Its name.
    machine : Machine
        What does it.
    comb : Comb
        Its passes across a repeat.
    share : float
        Share of the crop land that it works. [-]
    part : float
        Share of the comb's passes that are driven: below 1 where bands do not repeat and only their
        share of the width is known before they are laid. [-]
    way : {"forward", "three-point"}
        How the machine turns.
    """

    operation: str
    machine: Machine
    comb: Comb
    share: float
    part: float = 1.0
    way: TurnWay = "forward"

    @property
    def radius(self) -> float:
        """Its turning radius; where none is given, that of a U into the next pass. [m]"""
        given = self.machine.turning_radius
        return given if given is not None else self.comb.spacing / 2.0

    @property
    def turn(self) -> str:
        """What its turn into the next pass is called."""
        return turn_word(self.radius, self.comb.spacing, self.way)

    @property
    def turn_length(self) -> float:
        """How far it drives in that turn, ends square to the passes. [m]"""
        return turn_length(self.radius, self.comb.spacing, self.way)


def tasks_of(plan: Plan, pattern: Pattern, across: float, block: str = "") -> tuple[Task, ...]:
    """
    Return what is driven over a block in the plan's first season.

    Parameters
    ----------
    plan : Plan
        A plan without trials.
    pattern : Pattern
        The block's pattern.
    across : float
        About how wide the block is, for bands that do not repeat. [m]
    block : str
        Its name, "" where the plan has none.

    Returns
    -------
    tasks : tuple of Task
        In the order of the plan's operations; those that work nothing here are left out.

    Raises
    ------
    PlanError
        If nothing is driven here.
    """
    endless = pattern.repeats is None and not pattern.laid_once
    width = pattern.repeat_width if endless else across
    section = _section(pattern, (-width, 2.0 * width) if endless else (0.0, width))
    season = plan.season()
    stands = [stand_on(plan, season, block, pattern, cut) for cut in section.cuts]
    found = place_passes(plan, pattern, section, stands, 0.0)
    tasks = [
        _task(plan, operation, _passes_of(found, i), (width, endless, pattern.has_trees))
        for i, operation in enumerate(plan.operations)
    ]
    driven = tuple(task for task in tasks if task is not None)
    if not driven:
        raise PlanError(
            "No operation of the plan works here.",
            "Hours are counted from what machines drive.",
            "Add [[machine]] with working_width and [[operation]], one for each piece of work.",
        )
    return driven


def _section(pattern: Pattern, span: tuple[float, float]) -> Section:
    """Lay a pattern across a span; bands that find no room there are left out."""
    try:
        return cut_section(pattern, span)
    except MeasureError:  # fixed bands beside one that takes the rest: as wide as they need
        return cut_section(pattern, (0.0, 2.0 * pattern.repeat_width + 1.0))


def _passes_of(found: PassPlaces, operation: int) -> list[Strip]:
    """Return the passes of one operation, near side first."""
    own = np.flatnonzero(found.operation == operation)
    columns = (found.t0, found.t1, found.reach0, found.reach1)
    return [Strip(*(float(column[k]) for column in columns)) for k in own]


def _task(
    plan: Plan, operation: Operation, passes: list[Strip], ground: tuple[float, bool, bool]
) -> Task | None:
    """Return an operation as a comb; None where it works nothing."""
    width, endless, trees = ground
    if not passes:
        return None
    machine = plan.machine(operation.machine)
    turn = plan.headland.turn
    way: TurnWay = turn.way if turn is not None else "forward"
    # of three repeats the middle one: what the pattern does at the sides is not repeated
    inside = (min(one.t1, width) - max(one.t0, 0.0) for one in passes)
    share = min(1.0, sum(part for part in inside if part > 0.0) / width)
    repeats = 3.0 if endless else 1.0
    if not endless or (operation.over == "block" and not trees):
        part = min(1.0, len(passes) * machine.working_width / (repeats * width))
        part = 1.0 if share > NEARLY_ALL else part
        return Task(operation.name, machine, even_comb(machine.working_width), share, part, way)
    centres = [(one.reach0 + one.reach1) / 2.0 for one in passes]
    own = [centre for centre in centres if -TOUCH <= centre < width - TOUCH]
    return Task(operation.name, machine, _comb(machine.working_width, width, own), share, 1.0, way)


def _comb(width: float, period: float, centres: Sequence[float]) -> Comb:
    """Return a comb, as an even one where it is one or has very many teeth."""
    step = period / max(len(centres), 1)
    even = np.allclose(np.diff([*centres, centres[0] + period]), step, rtol=0.0, atol=ACROSS_SLACK)
    if even or len(centres) > MOST_TEETH:
        return Comb(width, step, (width / 2.0,))
    return Comb(width, period, tuple(centres))
