"""The farm: what holds for all its fields, asked once."""

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.land.frames.references import FRAMES, Reference
from geolayout.plan.machines import Machine
from geolayout.plan.money.farm import check_farm_money
from geolayout.plan.money.money import Money
from geolayout.plan.near import near_names
from geolayout.plan.value import Length, Name, Value

__all__ = ["Correction", "Farm", "FarmFile"]


class Correction(Value):
    """
    The correction service that steers the farm's machines.

    Attributes
    ----------
    frame : str
        Reference frame it gives places in, one of `geolayout.land.frames.references.FRAMES`.
    epoch : float, optional
        When those places are from. Needed in a frame in which fields wander. [year]
    service : str, optional
        What it is called.
    asked : date, optional
        When somebody asked it for these two.
    row_sd : float, optional
        Standard deviation of a row from where it should be, across it. [m]
    """

    frame: str
    epoch: Annotated[float, Field(strict=True, ge=1980, le=2200)] | None = None
    service: Name | None = None
    asked: dt.date | None = None
    row_sd: Length | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.frame not in FRAMES:
            raise _unknown_frame(self.frame)
        dynamic = FRAMES[self.frame].dynamic
        if dynamic and self.epoch is None:
            raise PlanError(
                f"The correction is in {self.frame} and has no epoch.",
                "In that frame every field wanders with its plate, 2 cm a year or more.",
                "Ask the service from when its places are, and write it as epoch = 2026.9.",
            )
        if not dynamic and self.epoch is not None:
            raise PlanError(
                f"The correction is in {self.frame} and has epoch = {self.epoch:g}.",
                "That frame moves with its plate: an epoch changes nothing there.",
                "Take the epoch away, or ask the service for its frame once more.",
            )
        return self

    @property
    def reference(self) -> Reference:
        """What its coordinates are fixed to."""
        return Reference(self.frame, self.epoch)


class Farm(Value):
    """
    What holds for all fields of a farm.

    Attributes
    ----------
    name : str, optional
        What people call it.
    units : {"metric", "imperial"}
        Units that results are told in.
    paper : {"a4", "letter"}
        What the farm's printer holds.
    language : {"en", "de"}
        Language of the sheets.
    correction : Correction, optional
        The service that steers its machines.
    """

    name: Name | None = None
    units: Literal["metric", "imperial"] = "metric"
    paper: Literal["a4", "letter"] = "a4"
    language: Literal["en", "de"] = "en"
    correction: Correction | None = None


class FarmFile(Value):
    """
    A farm file: the farm, and the machines that several plans share.

    Attributes
    ----------
    farm : Farm, optional
        What holds for all its fields.
    machines : tuple of Machine
        Its machines (`machine` in the file).
    money : Money, optional
        Prices that several plans share.
    """

    farm: Farm | None = None
    machines: tuple[Machine, ...] = Field(default=(), alias="machine")
    money: Money | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.money is not None:
            check_farm_money(self.money)
        return self


def _unknown_frame(frame: str) -> PlanError:
    """Return the error of a frame that is not in the list."""
    if frame.replace(" ", "").upper() in ("WGS84", "WGS"):
        return PlanError(
            'The correction has frame = "WGS 84".',
            "That name alone is good to 2 m, which says nothing about rows.",
            "Ask the service for its frame and epoch, such as ITRF2014 and 2026.9, or ETRS89.",
        )
    return PlanError(
        f"The correction has frame = {frame!r}.",
        "The frames are a closed list, so that two of them can be compared.",
        near_names(frame, FRAMES),
    )
