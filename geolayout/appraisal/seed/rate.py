"""
Sums of seed on paper: plants, seeds and kilograms, counts in a row, packs.

Everything is per square metre or hectare of ground; shares and percentages are fractions here.
Field emergence and germination multiply to establishment, the share of seeds that become plants::

    kg/ha = plants per m2 x thousand grain weight [g] / (establishment x 100)
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, pi

from geolayout.errors import MeasureError

__all__ = [
    "Span",
    "at_germination",
    "establishment_of",
    "hoop_factor",
    "in_row_spacing",
    "kg_per_m2",
    "packs_for",
    "plants_per_ha",
    "row_length",
    "seeds_for",
    "series_of",
    "stand_count",
]

ROUNDING = 1e-9
"""A pack is not opened for less than this part of it. [-]"""

SERIES = 1e-6
"""Shares that miss 1 by less add up to 1. [-]"""


@dataclass(frozen=True, slots=True)
class Span:
    """
    A figure that is known to lie between two, or is known: then both are the same.

    Attributes
    ----------
    low, high : float
        Least and most.

    Examples
    --------
    >>> Span(2.0, 3.0) * 2.0 / Span(1.0, 4.0)
    Span(low=1.0, high=6.0)
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise MeasureError(
                f"A range runs from {self.low:g} to {self.high:g}.",
                "Its least is more than its most.",
                "Exchange the two.",
            )

    @classmethod
    def of(cls, value: float) -> "Span":
        """Return the span of a figure that is known."""
        return cls(value, value)

    @property
    def known(self) -> bool:
        """Whether it is one figure."""
        return self.low == self.high

    @property
    def middle(self) -> float:
        """Half way between the two."""
        return (self.low + self.high) / 2

    @classmethod
    def total(cls, spans: "Iterable[Span | None]") -> "Span | None":
        """Add spans up; None where one of them is."""
        total = cls.of(0.0)
        for span in spans:
            if span is None:
                return None
            total = total + span
        return total

    def __add__(self, other: "Span") -> "Span":
        return Span(self.low + other.low, self.high + other.high)

    def __mul__(self, other: "Span | float") -> "Span":
        factor = other if isinstance(other, Span) else Span.of(other)
        return Span(self.low * factor.low, self.high * factor.high)

    def __truediv__(self, other: "Span | float") -> "Span":
        divisor = other if isinstance(other, Span) else Span.of(other)
        return Span(self.low / divisor.high, self.high / divisor.low)


def seeds_for(plants: float, establishment: float) -> float:
    """
    Return the seeds that make a number of plants, over the same ground.

    Parameters
    ----------
    plants : float
        Plants wanted.
    establishment : float
        Share of the seeds that become plants. [-]

    Examples
    --------
    >>> round(seeds_for(238, 0.85))
    280
    """
    return plants / establishment


def establishment_of(plants: float, seeds: float) -> float:
    """
    Return the share of the seeds that became plants. [-]

    Examples
    --------
    >>> round(1 - establishment_of(90_000, 102_000), 3)  # lost in the field
    0.118
    """
    return plants / seeds


def kg_per_m2(seeds_per_m2: float, thousand_grain_weight: float) -> float:
    """
    Return the mass of a number of seeds; seeds of a hectare give kilograms a hectare.

    Parameters
    ----------
    seeds_per_m2 : float
        Seeds sown. [1/m2]
    thousand_grain_weight : float
        [g]

    Examples
    --------
    >>> round(1e4 * kg_per_m2(seeds_for(300, 0.85), 51.9), 2)
    183.18
    """
    return seeds_per_m2 * thousand_grain_weight / 1e6


def at_germination(rate: float, germination: float) -> float:
    """
    Return the rate of a lot that germinates less, from the rate where every seed does.

    Examples
    --------
    >>> at_germination(40.0, 0.8)
    50.0
    """
    return rate / germination


def series_of(shares: Sequence[float]) -> str:
    """
    Return what a mixture is by the shares of its crops' sole rates.

    Examples
    --------
    >>> series_of([0.5, 0.5]), series_of([0.8, 0.4]), series_of([0.3, 0.3])
    ('replacement', 'additive', 'thinned')
    """
    total = sum(shares)
    if abs(total - 1.0) <= SERIES:
        return "replacement"
    return "additive" if total > 1.0 else "thinned"


def row_length(ground: float, row_spacing: float) -> float:
    """
    Return the length of row on some ground; of 10,000 m2 the metres of row a hectare. [m]

    Examples
    --------
    >>> round(row_length(10_000.0, 0.75), 1)
    13333.3
    """
    return ground / row_spacing


def in_row_spacing(per_m2: float, row_spacing: float) -> float:
    """
    Return the distance between neighbours in a row. [m]

    Examples
    --------
    >>> round(in_row_spacing(seeds_for(8.0, 0.95), 0.75), 3)
    0.158
    """
    return 1.0 / (per_m2 * row_spacing)


def plants_per_ha(row_spacing: float, in_row: float, emergence: float = 1.0) -> float:
    """
    Return the plants that come of seeds at a spacing. [1/ha]

    Examples
    --------
    >>> round(plants_per_ha(0.75, 0.40))
    33333
    """
    return 1e4 * emergence / (row_spacing * in_row)


def stand_count(count: float, length: float, row_spacing: float) -> float:
    """
    Return the stand from plants counted along a row. [1/m2]

    Examples
    --------
    >>> round(stand_count(5, 1.0, 0.75), 2)
    6.67
    """
    return count / (length * row_spacing)


def hoop_factor(ground: float, diameter: float) -> float:
    """
    Return what a count within a hoop is multiplied by, for so much ground. [-]

    Parameters
    ----------
    ground : float
        [m2]
    diameter : float
        Of the hoop. [m]

    Examples
    --------
    >>> round(hoop_factor(10_000.0, 0.75))
    22635
    """
    return ground / (pi / 4 * diameter**2)


def packs_for(amount: float, pack: float) -> int:
    """
    Return how many whole packs hold an amount in the same unit.

    Examples
    --------
    >>> packs_for(1000.0, 25.0), packs_for(1000.1, 25.0)
    (40, 41)
    """
    return ceil(amount / pack - ROUNDING)
