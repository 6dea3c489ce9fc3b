"""
The land equivalent ratio: how much land of sole crops yields what this land yields.

It counts land, not money: what a hectare of either crop earns does not enter.
"""

from collections.abc import Sequence

from geolayout.appraisal.seed.rate import Span
from geolayout.errors import MeasureError

__all__ = ["land_equivalent", "land_saved", "partial_ratio"]


def partial_ratio(yields: Span, sole: Span) -> Span:
    """
    Return the part of the ratio that one crop has.

    Parameters
    ----------
    yields : Span
        What it yields together with others, over all the land they share. [t/ha]
    sole : Span
        What it yields alone. [t/ha]

    Raises
    ------
    MeasureError
        If the sole crop yields nothing.

    Examples
    --------
    >>> partial_ratio(Span.of(0.7), Span.of(1.0))
    Span(low=0.7, high=0.7)
    """
    if sole.low <= 0:
        raise MeasureError(
            f"A sole crop yields {sole.low:g} t/ha.",
            "Nothing can be measured against a crop that yields nothing.",
            "Give the yield of the sole crop, from this farm or its neighbour.",
        )
    return yields / sole


def land_equivalent(partials: Sequence[Span]) -> Span:
    """
    Return the land equivalent ratio: the sum of its parts.

    Notes
    -----
    Mead R. and Willey R.W., *The Concept of a Land Equivalent Ratio and Advantages in Yields from
    Intercropping*, Experimental Agriculture 16 (1980), 217-228.

    Examples
    --------
    >>> land_equivalent([Span.of(0.75), Span.of(0.5)])
    Span(low=1.25, high=1.25)
    """
    return Span(sum(one.low for one in partials), sum(one.high for one in partials))


def land_saved(ratio: float) -> float:
    """
    Return the share of the sole crops' land that growing together does without.

    Examples
    --------
    >>> land_saved(1.25)
    0.2
    """
    if ratio <= 0:
        raise MeasureError(
            f"The land equivalent ratio is {ratio:g}.",
            "Land that yields nothing equals no land.",
            "Look at the yields.",
        )
    return (ratio - 1.0) / ratio
