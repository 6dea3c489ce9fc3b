"""Published figures that ours stand beside: field efficiency and fuel by kind of work."""

from dataclasses import dataclass

from geolayout.appraisal.driving.hours import Range
from geolayout.appraisal.works import Work, work_of
from geolayout.plan.machines import Operation
from geolayout.plan.plan import Plan

__all__ = ["Published", "efficiency_of", "fuel_of"]


@dataclass(frozen=True, slots=True)
class Published:
    """
    A published range.

    Attributes
    ----------
    what : str
        The machine or the work it is for.
    range : Range
        Its figures.
    source : str
        Where it stands.
    """

    what: str
    range: Range
    source: str


TABLE_3 = "ASABE D497.7, table 3, from memory"
MISSOURI = "University of Missouri Extension G1208, 1993, excerpt"
STATED = "the plan"

SPREAD = 0.35
"""Share by which fuel varies from field to field (Iowa State University Extension, Ag Decision
Maker A3-27, excerpt). [-]"""

DRILL = Published("grain drill", Range(0.55, 0.70, 0.80), TABLE_3)
PLANTER = Published("row-crop planter", Range(0.50, 0.65, 0.75), TABLE_3)

EFFICIENCY = {
    Work.SPRAY: Published("boom sprayer", Range(0.50, 0.65, 0.80), TABLE_3),
    Work.SPREAD: Published("fertiliser spreader", Range(0.60, 0.70, 0.80), TABLE_3),
    Work.HARVEST: Published("combine", Range(0.65, 0.70, 0.80), TABLE_3),
    Work.HOE: Published("row-crop cultivator", Range(0.70, 0.80, 0.90), TABLE_3),
}

PLANTER_FUEL = 4.7
"""Of a row-crop planter: 0.50 US gallons an acre. [l/ha]"""


def efficiency_of(plan: Plan, operation: Operation) -> Published | None:
    """Return the published field efficiency of such work; None where none is known here. [-]"""
    work = work_of(plan, operation)
    if work is Work.SOW:
        return PLANTER if _plants(plan, operation) else DRILL
    return EFFICIENCY.get(work)


def fuel_of(plan: Plan, operation: Operation) -> Published | None:
    """
    Return the fuel that an operation takes on a hectare: the plan's figure, or a published one.

    Parameters
    ----------
    plan : Plan
        The plan.
    operation : Operation
        One of its operations.

    Returns
    -------
    fuel : Published or None
        None where neither is known. [l/ha]
    """
    stated = plan.machine(operation.machine).fuel
    if stated is not None:
        return Published(operation.machine, _spread(stated), STATED)
    if work_of(plan, operation) is Work.SOW and _plants(plan, operation):
        return Published("row-crop planter", _spread(PLANTER_FUEL), MISSOURI)
    return None


def _spread(usual: float) -> Range:
    """Return a figure with what fields differ by."""
    return Range(usual * (1.0 - SPREAD), usual, usual * (1.0 + SPREAD))


def _plants(plan: Plan, operation: Operation) -> bool:
    """Whether a machine that sows is a planter, and no drill."""
    machine = plan.machine(operation.machine)
    return "plant" in f"{machine.kind or ''} {machine.name}".lower()
