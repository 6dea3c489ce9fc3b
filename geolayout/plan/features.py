"""
What a plan says of things in and beside the field, whose leave was asked, and who looked.

A feature is drawn in a file, or named in the plan itself by one place or a few. A consent is kept
with the plan, so that the answer travels with the lines it belongs to.
"""

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS, MEASURED_FROM, PASSED_THROUGH, SHADING
from geolayout.plan.near import near_names
from geolayout.plan.value import Distance, Length, LonLat, Name, Value

__all__ = ["Acknowledged", "Clearance", "Consent", "FeatureSource"]


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
    source, layer, id : optional
        File with its shape, the layer in it, and which of its shapes.
    attribute : mapping, optional
        One column and its value, to choose shapes of the file by. Several may have it.
    crs : str, optional
        Coordinate system of a file that states none.
    at : (float, float), optional
        Instead of a file: the place of a point. [degrees]
    points : tuple of (float, float), optional
        Instead of a file: the corners of a line. [degrees]
    closed : bool
        Whether `points` go round an area.
    keep_clear : float or Clearance, optional
        Distance kept. Must be said, 0 allowed, for every protected kind, unless the country has
        a default. [m]
    measured_from : str, optional
        What the distance is measured from.
    half_width : float
        Half the width of a feature that is drawn as a line. [m]
    radius : float
        Half the width of a round feature that is drawn as a point: a trunk or crown, a well. [m]
    width : float, optional
        Of a gateway, bridge or culvert, between its posts or rails. [m]
    room : float
        Of the same: what is wanted beside a machine, both sides together. [m]
    height : float, optional
        Of a hedge, woodland, tree, wall or building, for its shade and shelter. [m]
    default_from : str, optional
        Country and year of the default that `keep_clear` was taken from. Resolved plans have it.
    """

    kind: str
    name: Name | None = None
    source: Name | None = None
    layer: Name | None = None
    id: Name | int | None = None
    attribute: dict[str, str | int | float] = Field(default_factory=dict)
    crs: Name | None = None
    at: LonLat | None = None
    points: Annotated[tuple[LonLat, ...], Field(max_length=10_000)] = ()
    closed: Annotated[bool, Field(strict=True)] = False
    keep_clear: Distance | Clearance | None = None
    measured_from: str | None = None
    half_width: Distance = 0.0
    radius: Distance = 0.0
    width: Length | None = None
    room: Distance = 0.0
    height: Length | None = None
    default_from: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for check in (_check_kind, _check_place, _check_choice, _check_distances, _check_width):
            check(self)
        _check_height(self)
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

    @property
    def place(self) -> str:
        """Where its shape comes from, as messages call it."""
        return self.source or "the plan"


def _check_kind(feature: FeatureSource) -> None:
    if feature.kind not in KINDS:
        raise PlanError(
            f"A feature has kind {feature.kind!r}.",
            "The kinds are a closed list, so that no hazard is missed by a spelling.",
            near_names(feature.kind, KINDS),
        )


def _check_place(feature: FeatureSource) -> None:
    """A feature is in one place, and a line or an area has the corners that it needs."""
    given = {
        "source": feature.source is not None,
        "at": feature.at is not None,
        "points": bool(feature.points),
    }
    ways = [name for name, is_given in given.items() if is_given]
    if len(ways) != 1:
        raise PlanError(
            f"{feature.label} has {' and '.join(ways) or 'neither source, at nor points'}.",
            "A feature is drawn once: in a file or in the plan.",
            'Give one of source = "ditch.geojson", at = [lon, lat], points = [[lon, lat], ...].',
        )
    least = 3 if feature.closed else 2
    if feature.points and len(set(feature.points)) < least:
        raise PlanError(
            f"{feature.label} has {len(set(feature.points))} different points.",
            f"{'An area needs 3' if feature.closed else 'A line needs 2'} or more.",
            "Add points, or write at = [lon, lat] for a single place.",
        )
    if feature.closed and not feature.points:
        raise PlanError(
            f"{feature.label} has closed = true and no points.",
            "Only points of the plan are closed; a file says itself what is an area.",
            "Take closed away, or give points.",
        )


def _check_choice(feature: FeatureSource) -> None:
    """What chooses within a file stands beside a file."""
    chosen = [key for key in ("layer", "id", "attribute", "crs") if key in feature.model_fields_set]
    if feature.source is None and chosen:
        raise PlanError(
            f"{feature.label} has {' and '.join(chosen)} and no source.",
            "They choose within a file, and places in the plan are on WGS 84.",
            "Name the file as source, or take them away.",
        )
    if len(feature.attribute) > 1:
        raise PlanError(
            f"{feature.label} is chosen by {len(feature.attribute)} columns.",
            "One column chooses the shapes of a feature.",
            'Keep one, such as attribute = { type = "ditch" }.',
        )


def _check_distances(feature: FeatureSource) -> None:
    if feature.measured_from is not None and feature.measured_from not in MEASURED_FROM:
        raise PlanError(
            f"{feature.label} has measured_from {feature.measured_from!r}.",
            "A distance needs something it starts from.",
            near_names(feature.measured_from, MEASURED_FROM),
        )
    if feature.keep_clear is not None and feature.measured_from is None:
        raise PlanError(
            f"{feature.label} has keep_clear and no measured_from.",
            "From its middle and from its edge are different distances.",
            f"Add measured_from, one of: {', '.join(MEASURED_FROM)}.",
        )
    if feature.default_from is not None and feature.keep_clear is None:
        raise PlanError(
            f"{feature.label} has default_from and no keep_clear.",
            "It says where a distance was taken from, and there is none.",
            "Add keep_clear, or take default_from away.",
        )


def _check_width(feature: FeatureSource) -> None:
    """Only what machines pass through has a width, and room only where there is a width."""
    if feature.kind not in PASSED_THROUGH and (feature.width is not None or feature.room):
        raise PlanError(
            f"{feature.label} is a {feature.kind} with width or room.",
            f"Machines pass through: {', '.join(PASSED_THROUGH)}.",
            "A line has half_width and a point has radius; take width and room away.",
        )
    if feature.room and (feature.width is None or feature.room >= feature.width):
        width = "no width" if feature.width is None else f"a width of {feature.width:g} m"
        raise PlanError(
            f"{feature.label} has a room of {feature.room:g} m and {width}.",
            "Room is what must be left of the width beside a machine.",
            "Measure the width between the posts and give both.",
        )


def _check_height(feature: FeatureSource) -> None:
    """Only what shades the ground beside it has a height here."""
    if feature.height is not None and feature.kind not in SHADING:
        raise PlanError(
            f"{feature.label} is a {feature.kind} with a height of {feature.height:g} m.",
            f"Height is for shade and shelter, of these kinds: {', '.join(SHADING)}.",
            "Take it away; how high a line hangs is asked from its operator.",
        )


class Consent(Value):
    """
    Leave that was asked of the owner of a service or a right, and the answer.

    Attributes
    ----------
    feature : str
        Name of a feature of the plan, or a kind for all features of it.
    owner : str
        Who was asked.
    for_what : str
        What for.
    asked : date
        When.
    answer : {"yes", "no", "with conditions", "none yet"}
        What was answered.
    answered : date, optional
        When.
    reference : str
        Number or letter under which it is kept.
    conditions : str
        What it depends on.
    expires : date, optional
        Last day on which it holds.
    """

    feature: Name
    owner: Name
    for_what: Annotated[str, Field(min_length=1, max_length=400)]
    asked: dt.date
    answer: Literal["yes", "no", "with conditions", "none yet"]
    answered: dt.date | None = None
    reference: Annotated[str, Field(max_length=200)] = ""
    conditions: Annotated[str, Field(max_length=2000)] = ""
    expires: dt.date | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.answer == "none yet") != (self.answered is None):
            when = "no day" if self.answered is None else f"the day {self.answered.isoformat()}"
            raise PlanError(
                f'{self.label} has the answer "{self.answer}" and {when} of it.',
                "An answer has its day, and what is awaited has none.",
                "Mend answer or answered.",
            )
        if self.answered is not None and self.answered < self.asked:
            raise PlanError(
                f"{self.label} was asked on {self.asked.isoformat()} and answered on "
                f"{self.answered.isoformat()}.",
                "The answer came before the question.",
                "Mend one of the two days.",
            )
        if self.answer == "with conditions" and not self.conditions:
            raise PlanError(
                f'{self.label} has the answer "with conditions" and no conditions.',
                "Whoever drives or plants could not keep them.",
                "Copy them from the letter into conditions.",
            )
        return self

    @property
    def label(self) -> str:
        """What messages call it."""
        return f"The consent of {self.owner} for {self.feature}"


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
