"""What an operation does: sow, harvest, spray or spread, or tend the crop in some other way."""

from enum import Enum

from geolayout.plan.machines import Machine, Operation
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Sowing

__all__ = ["Role", "own_sowings", "role_of"]

HARVESTERS = ("combine", "harvest", "forage", "picker", "mower")
SPRAYERS = ("spray", "spread")


class Role(Enum):
    """What an operation does."""

    SOWS = "sows"
    HARVESTS = "harvests"
    SPRAYS = "sprays"
    TENDS = "tends"


def own_sowings(plan: Plan, operation: Operation) -> list[Sowing]:
    """Return the sowings that name an operation."""
    every = (sowing for stand in plan.stands for sowing in stand.sowing)
    return [sowing for sowing in every if sowing.operation == operation.name]


def role_of(plan: Plan, operation: Operation) -> Role:
    """
    Return what an operation does.

    It sows where a sowing names it; else the machine's header, sections or kind tell, and last
    the operation's own name.
    """
    machine = plan.machine(operation.machine)
    if own_sowings(plan, operation):
        return Role.SOWS
    words = f"{machine.kind or ''} {machine.name} {operation.name}".lower()
    if machine.header is not None or any(word in words for word in HARVESTERS):
        return Role.HARVESTS
    if _has_boom(machine) or any(word in words for word in SPRAYERS):
        return Role.SPRAYS
    return Role.TENDS


def _has_boom(machine: Machine) -> bool:
    """Whether its width can be shut off in parts."""
    return machine.sections is not None
