"""What grew on the field before the seasons of the plan."""

from typing import Annotated

from pydantic import Field

from geolayout.plan.value import Name, Value

__all__ = ["History"]


class History(Value):
    """
    The crops of one past harvest, on all of the field or on one block of it.

    Strips of the past are a season of the plan like any other.

    Attributes
    ----------
    year : int
        Year of that harvest.
    crops : tuple of str
        What stood there.
    block : str, optional
        The block; the whole field if nothing is said.
    """

    year: Annotated[int, Field(strict=True, ge=1900, le=2200)]
    crops: Annotated[tuple[Name, ...], Field(min_length=1)]
    block: Name | None = None
