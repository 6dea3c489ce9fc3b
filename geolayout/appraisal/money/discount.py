"""
Sums of money that come in different years, brought to the year of planting.

A sum of year n is worth ``sum / (1 + rate)^n`` in year 0; the rate is above inflation where sums
are in today's prices, as they are here.
"""

from collections.abc import Sequence
from math import expm1, log1p

__all__ = ["even_yearly", "paid_back", "present_value", "running"]

ROUNDING = 1e-6
"""Less than nought by no more is rounding. [coin]"""

LEAST_RATE = 1e-12
"""A smaller rate changes nothing in a hundred years. [-]"""


def present_value(flows: Sequence[float], rate: float) -> float:
    """
    Return the worth in year 0 of what comes in years 0, 1, 2 and so on.

    Parameters
    ----------
    flows : sequence of float
        By year, the first in year 0; what is paid is less than nought. [coin]
    rate : float
        Yearly, as a share: 0.04 is 4 %.

    Examples
    --------
    >>> round(present_value([-100.0, 0.0, 242.0], 0.1), 6)
    100.0
    """
    worth = running(flows, rate)
    return worth[-1] if worth else 0.0


def running(flows: Sequence[float], rate: float) -> list[float]:
    """
    Return the worth in year 0 of all that came up to each year.

    Examples
    --------
    >>> running([-100.0, 75.0], 0.5)
    [-100.0, -50.0]
    """
    so_far, found = 0.0, []
    for year, flow in enumerate(flows):
        so_far += flow / (1.0 + rate) ** year
        found.append(so_far)
    return found


def paid_back(flows: Sequence[float], rate: float) -> int | None:
    """
    Return the first year from which the worth stays nought or more; None if it never does.

    Examples
    --------
    >>> paid_back([-100.0, 60.0, 60.0], 0.0)
    2
    """
    worth = running(flows, rate)
    under = [year for year, so_far in enumerate(worth) if so_far < -ROUNDING]
    first = under[-1] + 1 if under else 0
    return first if first < len(worth) else None


def even_yearly(worth: float, rate: float, years: int) -> float:
    """
    Return the equal sum at the end of each of so many years that is worth the same.

    Parameters
    ----------
    worth : float
        In year 0. [coin]
    rate : float
        Yearly, as a share.
    years : int
        1 or more.

    Examples
    --------
    >>> even_yearly(1000.0, 0.0, 4)
    250.0
    """
    if abs(rate) < LEAST_RATE:
        return worth / years
    return worth * rate / -expm1(-years * log1p(rate))  # exact at small rates too
