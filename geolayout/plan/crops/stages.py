"""When crops reach their stages, as the grower knows it: from day to day, or by warmth."""

import datetime as dt
from typing import Annotated, Final, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Name, Value

__all__ = ["HARVEST", "SOWN", "Stage"]

SOWN: Final = "sown"
"""The stage that a crop begins with."""

HARVEST: Final = "harvest"
"""The stage that a crop ends with."""

MonthDay = Annotated[str, Field(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$")]
Day = dt.date | MonthDay
Heat = Annotated[float, Field(strict=True, gt=0, le=10_000, allow_inf_nan=False)]
Degrees = Annotated[float, Field(strict=True, ge=-20, le=60, allow_inf_nan=False)]


class Stage(Value):
    """
    When one crop is at one stage.

    Attributes
    ----------
    crop : str
        The crop, or the name of its sowing.
    stage : str
        As `when` says it; "sown" and "harvest" begin and end a crop.
    first, last : date or "MM-DD", optional
        The days between which it is. Without a year they hold for every season.
    degree_days : float, optional
        Instead of days: warmth from sowing on. [°C·d]
    base : float
        Temperature that warmth counts from. [°C]
    cap : float, optional
        Temperature over which more counts no more. [°C]
    """

    crop: Name
    stage: Name
    first: Day | None = None
    last: Day | None = None
    degree_days: Heat | None = None
    base: Degrees = 0.0
    cap: Degrees | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for day in (self.first, self.last):
            if isinstance(day, str):
                _check_day(day, self.label)
        if (self.first is None) != (self.last is None) or (
            (self.first is None) == (self.degree_days is None)
        ):
            raise PlanError(
                f"{self.label} has not one time.",
                "It lies between two days, or comes after so much warmth.",
                'Give first = "07-20" and last = "08-10", or degree_days = 900.0.',
            )
        if self.degree_days is not None and self.stage == SOWN:
            raise PlanError(
                f"{self.label} comes after degree_days.",
                "Warmth is counted from sowing.",
                "Give first and last.",
            )
        _check_span(self)
        return self

    @property
    def label(self) -> str:
        """What messages call it."""
        return f"Stage {self.stage!r} of {self.crop}"


def _check_day(day: str, label: str) -> None:
    """The month has such a day, in leap years at least."""
    try:
        dt.date.fromisoformat(f"2028-{day}")
    except ValueError:
        raise PlanError(
            f"{label} has the day {day!r}.",
            "That month has no such day.",
            "Write month and day, such as 07-20.",
        ) from None


def _check_span(stage: Stage) -> None:
    """Days with a year run forward, and both have one or none; the cap lies over the base."""
    first, last = stage.first, stage.last
    if isinstance(first, str) != isinstance(last, str) and first is not None:
        raise PlanError(
            f"{stage.label} has one day with a year and one without.",
            "Nothing says whether it is for one season or for all.",
            "Write both in one way.",
        )
    if isinstance(first, dt.date) and isinstance(last, dt.date) and last < first:
        raise PlanError(
            f"{stage.label} runs from {first} to {last}.",
            "The last day is before the first.",
            "Exchange the two.",
        )
    if stage.cap is not None and stage.cap <= stage.base:
        raise PlanError(
            f"{stage.label} has a cap of {stage.cap:g} and a base of {stage.base:g} °C.",
            "No warmth lies between.",
            "Make the cap the larger one.",
        )
