"""What crops and trees are expected to yield over the years, by the user's own figures."""

from typing import Annotated, Self

import numpy as np
from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.trees.growth import Year
from geolayout.plan.value import Value

__all__ = ["Outlook"]

Share = Annotated[float, Field(strict=True, ge=0, le=3)]
Expected = Annotated[tuple[tuple[Year, Share], ...], Field(min_length=1)]


class Outlook(Value):
    """
    Yields beside and of the trees, as shares of sole crops.

    Attributes
    ----------
    crop : tuple of (year, share), optional
        Yield of the crop for a hectare of its own ground, over that of the sole crop. [-]
    trees : tuple of (year, share), optional
        Yield of the trees for a hectare of crop and tree ground together, over that of a
        plantation of trees alone. [-]
    years : tuple of float
        Years after planting that are told.
    """

    crop: Expected | None = None
    trees: Expected | None = None
    years: Annotated[tuple[Year, ...], Field(min_length=1)] = (1, 5, 10, 15, 20)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key in ("crop", "trees"):
            years = [year for year, _ in getattr(self, key) or ()]
            if years != sorted(set(years)):
                raise PlanError(
                    f"The outlook has {key} for the years {years}.",
                    "Years grow, and none comes twice.",
                    f"Write them in order, such as {key} = [[5, 0.9], [15, 0.7]].",
                )
        return self

    def crop_in(self, year: float) -> float | None:
        """Return the crop's share in a year, level before and after the years given. [-]"""
        return _in_year(self.crop, year)

    def trees_in(self, year: float) -> float | None:
        """Return the trees' share in a year, level before and after the years given. [-]"""
        return _in_year(self.trees, year)


def _in_year(pairs: Expected | None, year: float) -> float | None:
    """Return the value of a year, straight between those given."""
    if pairs is None:
        return None
    years, values = zip(*pairs, strict=True)
    return float(np.interp(year, years, values))
