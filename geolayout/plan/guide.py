"""The lines that everything on a block is laid along, as a plan wishes them."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Compass, LonLat, Name, Value

__all__ = ["Guide"]


class Guide(Value):
    """
    The lines everything is laid along.

    Attributes
    ----------
    kind : {"straight", "along", "contour"}
        Family of the lines.
    bearing : float, optional
        Degrees clockwise from true north, at the anchor.
    near_edge : str, optional
        Side of the field whose edge they follow.
    points : two lon/lat pairs, optional
        Two points of the line t = 0.
    line : str, optional
        File with the line t = 0.
    choose : {"longest edge", "fewest hours"}, optional
        What is best, resolved into a bearing.
    from_ : str, optional
        Side that bands are counted from (`from` in the file).
    start : float
        From that side, or from the line, to the first band. [m]
    anchor : lon/lat pair, optional
        Where the first band begins, instead of a side and a start.
    number_at_anchor : int, optional
        Number of the band that begins at the anchor, kept from the first time it was resolved.
    """

    kind: Literal["straight", "along", "contour"] = "straight"
    bearing: Annotated[float, Field(strict=True, ge=0, lt=360)] | None = None
    near_edge: Compass | None = None
    points: tuple[LonLat, LonLat] | None = None
    line: Name | None = None
    choose: Literal["longest edge", "fewest hours"] | None = None
    from_: Compass | None = Field(default=None, alias="from")
    start: Annotated[float, Field(strict=True, ge=-100_000, le=100_000)] = 0.0
    anchor: LonLat | None = None
    number_at_anchor: Annotated[int, Field(strict=True)] | None = None

    @property
    def ways(self) -> list[str]:
        """The ways in which its direction was given."""
        keys = ("bearing", "near_edge", "points", "line", "choose")
        return [key for key in keys if getattr(self, key) is not None]

    @property
    def resolved(self) -> bool:
        """Whether it is a straight bearing through an anchor, with nothing left to choose."""
        return (
            self.kind == "straight"
            and self.bearing is not None
            and self.anchor is not None
            and self.number_at_anchor is not None
        )

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if len(self.ways) != 1:
            raise PlanError(
                f"The guide's direction is given in {len(self.ways)} ways"
                f"{': ' + ', '.join(self.ways) if self.ways else ''}.",
                "One line of the guide needs one direction.",
                "Give exactly one of bearing, near_edge, points, line or choose.",
            )
        if self.anchor is not None and "start" in self.model_fields_set:
            raise PlanError(
                f"The guide has an anchor and start = {self.start:g} m.",
                "Both say where the first band begins.",
                "Keep one of the two.",
            )
        if self.anchor is not None and self.ways[0] in ("points", "line"):
            raise PlanError(
                f"The guide has an anchor and {self.ways[0]}.",
                "The line itself says where t = 0 is.",
                "Take the anchor away, or give a bearing instead of the line.",
            )
        return self
