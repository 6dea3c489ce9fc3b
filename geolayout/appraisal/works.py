"""The works of a season: which the plan names, and which it leaves unsaid."""

from enum import StrEnum

from geolayout.appraisal.roles import HARVESTERS, Role, role_of
from geolayout.plan.machines import Machine, Operation
from geolayout.plan.plan import Plan

__all__ = ["SUPPOSED", "Work", "supposed_operations", "work_of"]

SUPPOSED = "?"
"""Ends the name of an operation that the plan does not name, and one of its machines could do."""


class Work(StrEnum):
    """What is done to a crop, in the order of a season."""

    SOW = "sow"
    ROLL = "roll"
    SPREAD = "spread"
    SPRAY = "spray"
    HOE = "hoe"
    IRRIGATE = "irrigate"
    HARVEST = "harvest"
    CART = "cart"
    OTHER = "other work"


WORDS = {
    Work.CART: ("cart", "trailer", "chaser", "haul"),
    Work.IRRIGATE: ("irrigat", "hose", "sprinkler"),
    Work.HARVEST: HARVESTERS,
    Work.SPREAD: ("spread", "fertili", "manure", "slurry", "lime"),
    Work.SPRAY: ("spray",),
    Work.HOE: ("hoe", "weed", "harrow", "cultivat"),
    Work.ROLL: ("roll",),
}
"""Words of machines and operations that tell their work, the first that is found."""

ACROSS = (Work.SPREAD, Work.SPRAY, Work.IRRIGATE)
"""Works that go straight across the strips unless somebody says otherwise."""


def work_of(plan: Plan, operation: Operation) -> Work:
    """
    Return which work an operation is.

    It sows where a sowing names it; else the words of operation and machine tell, then a header,
    then sections that shut off.
    """
    role = role_of(plan, operation)
    if role is Role.SOWS:
        return Work.SOW
    machine = plan.machine(operation.machine)
    named = _by_words(operation.name)
    told = named if named is not Work.OTHER else _by_words(_called(machine))
    if told is not Work.OTHER:
        return told
    return {Role.HARVESTS: Work.HARVEST, Role.SPRAYS: Work.SPRAY}.get(role, Work.OTHER)


def supposed_operations(plan: Plan) -> tuple[Operation, ...]:
    """
    Return an operation for each work that the plan does not name and a machine of it could do.

    Parameters
    ----------
    plan : Plan
        A plan, with the machines of its farm.

    Returns
    -------
    operations : tuple of Operation
        Named after the work, with a question mark.
    """
    named = {work_of(plan, operation) for operation in plan.operations}
    used = {operation.machine for operation in plan.operations}
    found: dict[Work, Operation] = {}
    for machine in plan.machines:
        work = _by_words(_called(machine))
        if machine.header is not None:
            work = Work.HARVEST
        if machine.name in used or work is Work.OTHER or work in named or work in found:
            continue
        over = "block" if work in ACROSS else "band"
        found[work] = Operation(name=f"{work}{SUPPOSED}", machine=machine.name, over=over)
    return tuple(found[work] for work in Work if work in found)


def _called(machine: Machine) -> str:
    """Return what a machine is called."""
    return f"{machine.kind or ''} {machine.name}"


def _by_words(text: str) -> Work:
    """Return the work that words tell."""
    low = text.lower()
    return next((work for work, words in WORDS.items() if any(w in low for w in words)), Work.OTHER)
