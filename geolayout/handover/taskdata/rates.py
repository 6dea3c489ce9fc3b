"""Rates as task data count them: whole numbers in the unit and step of a dictionary entry."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from geolayout.errors import LayoutError

__all__ = ["QUANTITIES", "Quantity"]

LARGEST: Final = 2**31 - 1
"""Largest whole number of a rate or an amount. [-]"""


@dataclass(frozen=True, slots=True)
class Quantity:
    """
    How rates of one unit are written.

    Attributes
    ----------
    unit : str
        Unit of the plan's rates.
    rate_ddi, total_ddi : str
        Entries of the data dictionary for the rate wanted and for the amount.
    steps : float
        Steps of the rate's entry to one of the unit. [-]
    decimals : int
        Decimals that the terminal shows.
    total_steps : float
        Steps of the amount's entry to one of what the rate counts. [-]
    """

    unit: str
    rate_ddi: str
    total_ddi: str
    steps: float
    decimals: int
    total_steps: float

    @property
    def scale(self) -> str:
        """By what a terminal multiplies a step to show the unit, as a decimal."""
        return f"{1 / self.steps:.9f}".rstrip("0").rstrip(".")

    def raw(self, rate: float) -> int:
        """
        Return a rate as it is written.

        Examples
        --------
        >>> QUANTITIES["kg/ha"].raw(75.0), QUANTITIES["plants/ha"].raw(85000.0)
        (7500, 8500)
        """
        return _whole(rate * self.steps, f"A rate of {rate:g} {self.unit}")

    def total(self, amount: float) -> int | None:
        """
        Return an amount as it is written; None where task data cannot hold one so large.

        Parameters
        ----------
        amount : float
            Plants, seeds, kg or l.

        Examples
        --------
        >>> QUANTITIES["l/ha"].total(200.0), QUANTITIES["l/ha"].total(2_400_000.0)
        (200000, None)
        """
        value = round(amount * self.total_steps)
        return value if value <= LARGEST else None


# ISO 11783-11, online data dictionary: 1 mg/m2 is 0.01 kg/ha (entry 6), 0.001/m2 is 10/ha (11);
# 0.01 mm3/m2 is 0.0001 l/ha (1); amounts in grams (75), in numbers (78) and in millilitres (72),
# the role of these three from memory.
QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        one.unit: one
        for one in (
            Quantity("plants/ha", "000B", "004E", 0.1, 0, 1.0),
            Quantity("seeds/m2", "000B", "004E", 1000.0, 1, 1.0),
            Quantity("kg/ha", "0006", "004B", 100.0, 2, 1000.0),
            Quantity("l/ha", "0001", "0048", 10_000.0, 1, 1000.0),
        )
    }
)
"""By the unit of a rate."""


def _whole(value: float, what: str) -> int:
    """Return a number rounded, if task data can hold it."""
    if value > LARGEST:
        raise LayoutError(
            f"{what} is too large for task data.",
            f"They hold whole numbers up to {LARGEST:,}.",
            "Look whether the rate's unit is right.",
        )
    return round(value)
