"""Which kind of tree stands where in a row, and what the kinds need of each other."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Count, Length, Name, Value

__all__ = ["DAYS", "Mixing", "Pollination", "Thinning", "overlap"]

DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
"""Days of the months, of a leap year. [days]"""

REACH = 15.0
"""
How far a pollinator may stand if nothing is said: nursery guidance, one page seen in an excerpt;
bees of a cold spring fly less. [m]
"""

Month = Annotated[int, Field(strict=True, ge=1, le=12)]
Day = Annotated[int, Field(strict=True, ge=1, le=31)]
MonthDay = tuple[Month, Day]
Share = Annotated[float, Field(strict=True, gt=0, allow_inf_nan=False)]


class Mixing(Value):
    """
    By which rule the species of a band take turns.

    Attributes
    ----------
    rule : {"runs", "sequence", "every", "random"}
        Runs of one species after another; tree by tree; the first species with the others on
        every n-th tree; or shuffled.
    run : int, optional
        Trees in a run; whole rows if nothing is said.
    every : int, optional
        The n of every n-th tree.
    shares : tuple of float, optional
        Parts of each species, in their order, where the rule is random; equal parts if nothing is
        said.
    seed : int
        Number that fixes the shuffle.
    """

    rule: Literal["runs", "sequence", "every", "random"] = "runs"
    run: Count | None = None
    every: Annotated[int, Field(strict=True, ge=2, le=10_000)] | None = None
    shares: Annotated[tuple[Share, ...], Field(min_length=2)] | None = None
    seed: Annotated[int, Field(strict=True, ge=0)] = 0

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key, rule in (("run", "runs"), ("every", "every"), ("shares", "random")):
            if getattr(self, key) is not None and self.rule != rule:
                raise PlanError(
                    f'Trees are mixed by rule = "{self.rule}" with {key}.',
                    f'{key} belongs to rule = "{rule}".',
                    f'Take {key} away, or write rule = "{rule}".',
                )
        if self.rule == "every" and self.every is None:
            raise PlanError(
                'Trees are mixed by rule = "every" without every.',
                "Nothing says which tree is another one.",
                "Add every = 8, or any other number from 2 on.",
            )
        return self


class Pollination(Value):
    """
    When a species of a band flowers, and what it needs for its fruit.

    Attributes
    ----------
    species : str
        One of the band's species.
    flowers : ((month, day), (month, day)), optional
        First and last day of its flower.
    needs : tuple of str
        Species of which one must stand within reach, as pollinator.
    reach : float
        How far a pollinator may stand. [m]
    """

    species: Name
    flowers: tuple[MonthDay, MonthDay] | None = None
    needs: tuple[Name, ...] = ()
    reach: Length = REACH

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for month, day in self.flowers or ():
            if day > DAYS[month - 1]:
                raise PlanError(
                    f"{self.species} flowers from or to the {day}. of month {month}.",
                    f"That month has {DAYS[month - 1]} days.",
                    "Write month and day, such as flowers = [[4, 20], [5, 5]].",
                )
        if self.species in self.needs:
            raise PlanError(
                f"{self.species} needs {self.species} as pollinator.",
                "A variety that sets fruit with its own pollen needs none.",
                "Take it out of needs, or name the other variety.",
            )
        return self


class Thinning(Value):
    """
    Trees taken out in a year.

    Attributes
    ----------
    year : float
        Years after planting.
    keep_every : int
        Of the trees that stand in a row until then, one in so many stays, the first among them.
    """

    year: Annotated[float, Field(strict=True, gt=0, le=200)]
    keep_every: Annotated[int, Field(strict=True, ge=2, le=1000)]


def overlap(one: Pollination, other: Pollination) -> int | None:
    """
    Return on how many days two varieties flower together; None where a time is not known.

    Parameters
    ----------
    one, other : Pollination
        Their flower may run over the turn of the year.

    Examples
    --------
    >>> early = Pollination(species="early", flowers=((4, 20), (5, 5)))
    >>> overlap(early, Pollination(species="late", flowers=((5, 3), (5, 20))))
    3
    """
    if one.flowers is None or other.flowers is None:
        return None
    return len(_days(one.flowers) & _days(other.flowers))


def _days(flowers: tuple[MonthDay, MonthDay]) -> set[int]:
    """Return the days of the year from the first to the last."""
    first, last = (sum(DAYS[: month - 1]) + day for month, day in flowers)
    year = sum(DAYS)
    if last < first:
        last += year
    return {day % year for day in range(first, last + 1)}
