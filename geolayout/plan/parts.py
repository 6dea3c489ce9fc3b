"""How a block is cut out of the field by drawn lines, and parted along its rows."""

import itertools
from typing import Annotated, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Count, Distance, Length, LonLat, Name, Value

__all__ = ["Piece", "Tiers", "tier_name"]

MOST_TIERS = 99
"""Tiers that a season can name before they are counted on the field. [-]"""

Place = Annotated[float, Field(strict=True, ge=-100_000, le=100_000, allow_inf_nan=False)]


class Piece(Value):
    """
    A piece of the field between drawn lines.

    Attributes
    ----------
    line : str
        File with the lines that part the field.
    line_name : str, optional
        Which lines of that file, by their name; all of them if nothing is said.
    near : lon/lat pair
        A point inside the piece.
    """

    line: Name
    line_name: Name | None = None
    near: LonLat

    @property
    def key(self) -> str:
        """By what its lines are known: file and lines in it."""
        return " ".join(filter(None, [self.line, self.line_name]))


class Tiers(Value):
    """
    Parts of a block, one behind the other along its rows.

    Attributes
    ----------
    count : int, optional
        How many of equal length.
    length : float, optional
        Length of each, as many as fit. [m]
    gap : float
        Ground between two of them, kept for turning. [m]
    stand : str, optional
        What grows in the gaps.
    places : tuple of (float, float)
        Where each begins and ends along the rows, from the anchor, kept from the first time they
        were resolved. [m]
    """

    count: Count | None = None
    length: Length | None = None
    gap: Distance = 0.0
    stand: Name | None = None
    places: tuple[tuple[Place, Place], ...] = ()

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.count is None) == (self.length is None):
            raise PlanError(
                "The tiers of a block have both count and length, or neither.",
                "They are so many of equal length, or as many of a length as fit.",
                "Give count = 3, or length = 40.0.",
            )
        if self.stand is not None and not self.gap:
            raise PlanError(
                f"The tiers of a block have stand = {self.stand!r} and no gap.",
                "The stand grows between them.",
                "Give gap in metres, or take stand away.",
            )
        ends = list(itertools.chain.from_iterable(self.places))
        if any(b < a for a, b in itertools.pairwise(ends)):
            raise PlanError(
                f"The places of tiers are {self.places}.",
                "Each begins before it ends, and behind the one before it.",
                "Put them in order along the rows, or take places away.",
            )
        if self.count is not None and self.places and len(self.places) != self.count:
            raise PlanError(
                f"The tiers have count = {self.count} and {len(self.places)} places.",
                "Each tier has one place.",
                "Take places away, and they are measured anew.",
            )
        return self

    def names(self, block: str) -> list[str]:
        """Return what the tiers of a block are called, as many as there can be."""
        count = len(self.places) or self.count or MOST_TIERS
        return [tier_name(block, k) for k in range(1, count + 1)]


def tier_name(block: str, number: int) -> str:
    """
    Return what a tier is called.

    Examples
    --------
    >>> tier_name("north", 2)
    'north tier 2'
    """
    return f"{block} tier {number}"
