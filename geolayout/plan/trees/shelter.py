"""From where the wind blows, and when its shelter is looked at."""

from math import isclose
from typing import Annotated, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.trees.growth import Year
from geolayout.plan.value import Value

__all__ = ["Shelter"]

From = Annotated[float, Field(strict=True, ge=0, lt=360)]
Share = Annotated[float, Field(strict=True, gt=0, le=1)]


class Shelter(Value):
    """
    What shelter is asked for.

    Attributes
    ----------
    wind : tuple of (from, share)
        Directions that wind comes from, clockwise from true north, and the share of the time that
        it does; what is left of the whole is calm, or does not matter. [degrees], [-]
    reach : float
        How far to leeward land counts as sheltered, in heights of the trees. [-]
    years : tuple of float
        Years after planting that are told.
    """

    wind: Annotated[tuple[tuple[From, Share], ...], Field(min_length=1)]
    reach: Annotated[float, Field(strict=True, gt=0, le=30)] = 10.0
    years: Annotated[tuple[Year, ...], Field(min_length=1)] = (5, 10, 20, 30)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        total = sum(share for _, share in self.wind)
        if total > 1.0 and not isclose(total, 1.0, rel_tol=1e-6):
            raise PlanError(
                f"The shares of wind add up to {total:g}.",
                "Together they are no more than 1, the whole time.",
                "Give each direction its share, such as wind = [[240.0, 0.4], [60.0, 0.2]].",
            )
        return self
