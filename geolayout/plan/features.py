"""What a plan says of things in and beside the field, and of who looked at the dangerous ones."""

import datetime as dt
from typing import Self

from pydantic import model_validator

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS, MEASURED_FROM
from geolayout.plan.near import near_names
from geolayout.plan.value import Distance, Name, Value

__all__ = ["Acknowledged", "Clearance", "FeatureSource"]


class Clearance(Value):
    """
    Distances kept from a feature, each for its own purpose.

    Attributes
    ----------
    all : float
        Nothing is sown within it: ground of its own. [m]
    trees : float
        No tree stands within it. [m]
    turning : float
        No machine turns within it. [m]
    """

    all: Distance = 0.0
    trees: Distance = 0.0
    turning: Distance = 0.0


class FeatureSource(Value):
    """
    Something in or beside the field that layouts keep clear of.

    Attributes
    ----------
    kind : str
        One of the kinds of `geolayout.land.kinds`.
    name : str, optional
        What people call it.
    source, layer : str
        File with its shape, and the layer in it.
    keep_clear : float or Clearance, optional
        Distance kept. Must be said, 0 allowed, for every protected kind. [m]
    measured_from : str, optional
        What the distance is measured from.
    half_width : float
        Half the width of a feature that is drawn as a line. [m]
    """

    kind: str
    source: Name
    name: Name | None = None
    layer: Name | None = None
    crs: Name | None = None
    keep_clear: Distance | Clearance | None = None
    measured_from: str | None = None
    half_width: Distance = 0.0

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.kind not in KINDS:
            raise PlanError(
                f"A feature has kind {self.kind!r}.",
                "The kinds are a closed list, so that no hazard is missed by a spelling.",
                near_names(self.kind, KINDS),
            )
        if self.measured_from is not None and self.measured_from not in MEASURED_FROM:
            raise PlanError(
                f"{self.label} has measured_from {self.measured_from!r}.",
                "A distance needs something it starts from.",
                near_names(self.measured_from, MEASURED_FROM),
            )
        if KINDS[self.kind].protected and self.keep_clear is None:
            raise PlanError(
                f"{self.label} has no keep_clear.",
                "It is usually protected by law or dangerous, and the distance is local.",
                "Ask whoever owns or watches over it, and write keep_clear in metres (0 allowed).",
            )
        if self.keep_clear is not None and self.measured_from is None:
            raise PlanError(
                f"{self.label} has keep_clear and no measured_from.",
                "From its middle and from its edge are different distances.",
                f"Add measured_from, one of: {', '.join(MEASURED_FROM)}.",
            )
        return self

    @property
    def label(self) -> str:
        """Its name, else its kind."""
        return self.name or self.kind

    @property
    def clearance(self) -> Clearance:
        """The distances kept, each for its purpose."""
        if isinstance(self.keep_clear, Clearance):
            return self.keep_clear
        return Clearance(all=self.keep_clear or 0.0)


class Acknowledged(Value):
    """
    A hazard that somebody has looked at. It is still printed.

    Attributes
    ----------
    hazard : str
        The hazard's key, as the caution prints it.
    who : str
        Who looked.
    date : date
        When.
    note : str, optional
        What was found or agreed.
    """

    hazard: Name
    who: Name
    date: dt.date
    note: str = ""
