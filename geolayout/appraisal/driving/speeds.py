"""Speeds of machines at work and in turns, as ranges."""

from dataclasses import dataclass

from geolayout.plan.machines import Machine

__all__ = ["METRES", "SPEED", "STOP", "TURNING", "Speed", "working_speed"]


@dataclass(frozen=True, slots=True)
class Speed:
    """
    A speed as a range.

    Attributes
    ----------
    slow, usual, fast : float
        [km/h]
    """

    slow: float
    usual: float
    fast: float

    def no_faster(self, than: "Speed") -> "Speed":
        """Return the slower of two speeds, slow with slow and fast with fast."""
        return Speed(
            min(self.slow, than.slow), min(self.usual, than.usual), min(self.fast, than.fast)
        )


SPEED = Speed(6.5, 8.0, 11.0)
"""Working speed where none is stated: a grain drill's (ASABE D497.7, table 3; from memory)."""

TURNING = Speed(4.0, 5.0, 7.0)
"""Speed in turns. Our own choice; no published one was found."""

STATED = 0.1
"""Share by which a stated speed is held to vary over a day. Our own choice. [-]"""

METRES = 1000.0
"""In a kilometre. [m/km]"""

STOP = 5.0
"""What stopping to change between forward and backward takes. Our own choice. [s]"""


def working_speed(machine: Machine) -> Speed:
    """
    Return the working speed of a machine, as a range.

    Examples
    --------
    >>> speed = working_speed(Machine(name="drill", working_width=3.0, speed=10.0))
    >>> speed.slow, speed.usual, speed.fast
    (9.0, 10.0, 11.0)
    """
    stated = machine.speed
    if stated is None:
        return SPEED
    return Speed(stated * (1.0 - STATED), stated, stated * (1.0 + STATED))
