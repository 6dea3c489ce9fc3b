"""The ground all plan values stand on: frozen, closed to unknown keys, numbers kept numbers."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["Compass", "Count", "Distance", "Length", "LonLat", "Name", "Value"]

Length = Annotated[float, Field(strict=True, gt=0, le=100_000, allow_inf_nan=False)]
"""A length that must be there. [m]"""

Distance = Annotated[float, Field(strict=True, ge=0, le=100_000, allow_inf_nan=False)]
"""A length that may be nought. [m]"""

Count = Annotated[int, Field(strict=True, ge=1, le=1_000_000)]
"""A whole number of things, one or more."""

Name = Annotated[str, Field(min_length=1, max_length=80)]
"""What the user calls something."""

Compass = Literal[
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"
]
"""A side of the field, by the compass."""

Longitude = Annotated[float, Field(strict=True, ge=-180, le=180, allow_inf_nan=False)]
Latitude = Annotated[float, Field(strict=True, ge=-90, le=90, allow_inf_nan=False)]

LonLat = tuple[Longitude, Latitude]
"""A place: longitude and latitude on WGS 84. [degrees]"""

COMPASS_DEGREES: dict[str, float] = {
    "north": 0.0,
    "north-east": 45.0,
    "east": 90.0,
    "south-east": 135.0,
    "south": 180.0,
    "south-west": 225.0,
    "west": 270.0,
    "north-west": 315.0,
}


class Value(BaseModel):
    """A frozen value of the plan. An unknown key is an error, never ignored."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", str_strip_whitespace=True, populate_by_name=True
    )
