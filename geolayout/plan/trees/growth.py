"""
Trees as they grow: height, crown and leaves by year.

Nobody knows today how high a tree will be. A plan gives heights by year, from a neighbour's row or
a yield table, or it gives the height when grown and gets a stated estimate, as a band between a
slow and a fast site.
"""

from math import exp
from typing import Annotated, Final, Self

import numpy as np
from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Distance, Length, Value

__all__ = ["FAST", "SLOW", "Growth", "Light", "estimated_height"]

SLOW: Final = 40.0
"""Years in which a tree reaches 95 % of its height on a slow site. Our own estimate. [years]"""

FAST: Final = 20.0
"""The same on a fast site. Our own estimate. [years]"""

CROWN_OF_HEIGHT: Final = 0.5
"""Crown width as a share of height where the plan does not say. Our own estimate. [-]"""

Month = Annotated[int, Field(strict=True, ge=1, le=12)]
Year = Annotated[float, Field(strict=True, ge=0, le=200)]
Share = Annotated[float, Field(strict=True, ge=0, le=1)]
ByYear = Annotated[tuple[tuple[Year, Length], ...], Field(min_length=1)]


def estimated_height(mature: float, year: float, years: float) -> float:
    """
    Return the height of a tree that nears its mature height, 95 % of it after some years.

    Parameters
    ----------
    mature : float
        Height when grown. [m]
    year : float
        Years after planting.
    years : float
        Years to 95 % of that height: `SLOW`, `FAST`, or what the site is known for.

    Returns
    -------
    height : float
        [m]

    Notes
    -----
    ``H (1 - exp(-3 t / T))``, since exp(-3) is 5 %. Our own estimate, for want of a local table.

    Examples
    --------
    >>> [round(estimated_height(20.0, year, 40.0), 1) for year in (0, 10, 40)]
    [0.0, 10.6, 19.0]
    """
    return mature * (1.0 - exp(-3.0 * year / years))


class Growth(Value):
    """
    How a tree of a band grows.

    Attributes
    ----------
    height : tuple of (year, height), optional
        Heights by years after planting, straight between them and level after the last. [m]
    crown_width : tuple of (year, width), optional
        Widths of the crown likewise; half the height if nothing is said. [m]
    crown_base : float
        Height up to which stems are pruned. [m]
    leaf_density : float
        Leaf area in the crown. [m2/m3]
    bare : float
        Share of that density that twigs keep when the leaves are down. [-]
    leaf : (month, month)
        First and last month in leaf; it may run over the turn of the year.
    """

    height: ByYear | None = None
    crown_width: ByYear | None = None
    crown_base: Distance = 2.0
    # From memory: open-grown broadleaves lie somewhere between 0.5 and 2 m2/m3.
    leaf_density: Annotated[float, Field(strict=True, gt=0, le=20)] = 1.0
    bare: Share = 0.2
    leaf: tuple[Month, Month] = (4, 10)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key in ("height", "crown_width"):
            pairs = getattr(self, key) or ()
            years = [year for year, _ in pairs]
            if years != sorted(set(years)):
                raise PlanError(
                    f"Trees have {key} for the years {years}.",
                    "Years grow, and none comes twice.",
                    f"Write them in order, such as {key} = [[5, 2.5], [10, 6.0]].",
                )
        return self

    def height_in(self, year: float, mature: float | None, years: float) -> float | None:
        """
        Return the height in a year; None where neither heights nor a mature height is known.

        Parameters
        ----------
        year : float
            Years after planting.
        mature : float or None
            Height when grown, for the estimate. [m]
        years : float
            Years to 95 % of it, for the estimate.
        """
        if self.height is not None:
            return _between(self.height, year)
        return None if mature is None else estimated_height(mature, year, years)

    def crown_in(self, year: float, height: float) -> float:
        """Return the width of the crown in a year in which the tree is so high. [m]"""
        if self.crown_width is not None:
            return _between(self.crown_width, year)
        return CROWN_OF_HEIGHT * height

    def density_in(self, month: int) -> float:
        """Return the leaf area in the crown in a month, twigs alone when bare. [m2/m3]"""
        first, last = self.leaf
        within = first <= month <= last
        leafy = within if first <= last else not last < month < first
        return self.leaf_density * (1.0 if leafy else self.bare)


def _between(pairs: tuple[tuple[float, float], ...], year: float) -> float:
    """Return the value in a year, straight between the years given, from 0 in year 0."""
    years, values = zip(*pairs, strict=True)
    if years[0] > 0:
        years, values = (0.0, *years), (0.0, *values)
    return float(np.interp(year, years, values))


class Light(Value):
    """
    What light is asked for.

    Attributes
    ----------
    months : (month, month), optional
        First and last month of the crop; April to July, or October to January south of the
        equator, if nothing is said.
    direct : float
        Share of open light in those months that comes straight from the sun; the rest comes from
        the whole sky. [-]
    years : tuple of float
        Years after planting that are told.
    limit : float
        Share of open light below which a year is named. [-]
    """

    months: tuple[Month, Month] | None = None
    direct: Share = 0.5
    years: Annotated[tuple[Year, ...], Field(min_length=1)] = (5, 10, 15, 20, 30)
    limit: Share = 0.8
