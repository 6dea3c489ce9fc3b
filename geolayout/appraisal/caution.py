"""One thing a person should know about a layout before going out: a hazard, a warning or a note."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

__all__ = ["HAZARD", "NOTE", "NOT_ACKNOWLEDGED", "SEVERITIES", "WARNING", "Caution", "worst_first"]

HAZARD: Final = "hazard"
WARNING: Final = "warning"
NOTE: Final = "note"

SEVERITIES: Final = (HAZARD, WARNING, NOTE)
"""Worst first."""

NOT_ACKNOWLEDGED: Final = "not acknowledged"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """
    One thing to know, with the figure behind it.

    Attributes
    ----------
    key : str
        Short name of its own, by which it can be found in files.
    severity : str
        One of ``SEVERITIES``.
    sentence : str
        What, where, and what can happen.
    remedy : str
        What to do, and who decides where that is not the reader.
    source : str
        Where the limit comes from.
    code : str
        Number of the check, for files; never printed on paper.
    value, threshold : float or None
        The figure found and the figure it is held against, where there are figures.
    unit : str
        Unit of both.
    place : tuple of float or None
        East and north in the field's frame, where it is at one place. [m]
    count : int
        How many times it occurs; equal ones are said once.
    hazard : str
        Key by which the plan's `[[acknowledged]]` speaks of it; "" where nothing is to acknowledge.
    acknowledged : str
        Who looked and when, or "not acknowledged"; "" where nothing is to acknowledge.
    """

    key: str
    severity: str
    sentence: str
    remedy: str
    source: str
    code: str = ""
    value: float | None = None
    threshold: float | None = None
    unit: str = ""
    place: tuple[float, float] | None = None
    count: int = 1
    hazard: str = ""
    acknowledged: str = ""

    @property
    def open(self) -> bool:
        """Whether it is a hazard that nobody has acknowledged."""
        return self.severity == HAZARD and self.acknowledged == NOT_ACKNOWLEDGED


def worst_first(several: Iterable[Caution]) -> tuple[Caution, ...]:
    """Return cautions by severity, and as they came within one."""
    return tuple(sorted(several, key=lambda caution: SEVERITIES.index(caution.severity)))
