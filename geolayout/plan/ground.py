"""The land as the plan speaks of it: field, features, guide, headland, margin, blocks."""

import datetime as dt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS, MEASURED_FROM
from geolayout.plan.near import near_names
from geolayout.plan.value import Compass, Count, Distance, Length, Name, Value

__all__ = [
    "Acknowledged",
    "Block",
    "Clearance",
    "FeatureSource",
    "FieldSource",
    "Guide",
    "Headland",
    "Margin",
    "Part",
]

Longitude = Annotated[float, Field(strict=True, ge=-180, le=180, allow_inf_nan=False)]
Latitude = Annotated[float, Field(strict=True, ge=-90, le=90, allow_inf_nan=False)]

LonLat = tuple[Longitude, Latitude]
"""A place: longitude and latitude on WGS 84. [degrees]"""


class FieldSource(Value):
    """
    Where the field's outline is, and what belongs to it.

    Attributes
    ----------
    boundary : str, optional
        File with the outline, beside the plan.
    layer, id : optional
        Layer and field within the file.
    attribute : mapping, optional
        One column and its value, to choose the field by.
    crs : str, optional
        Coordinate system of a file that states none, such as "EPSG:25832".
    name : str, optional
        What people call the field.
    terrain : str, optional
        File with heights.
    height : float
        Height above the ellipsoid by which the frame is scaled; 0 leaves it alone. [m]
    farm : str, optional
        File with the farm's machines.
    """

    boundary: Name | None = None
    layer: Name | None = None
    id: Name | int | None = None
    attribute: dict[str, str | int | float] = Field(default_factory=dict)
    crs: Name | None = None
    name: Name | None = None
    terrain: Name | None = None
    height: Annotated[float, Field(strict=True, ge=-500, le=9000)] = 0.0
    farm: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if len(self.attribute) > 1:
            raise PlanError(
                f"The field is chosen by {len(self.attribute)} columns.",
                "One column chooses one field.",
                'Keep one, such as attribute = { parcel = "12" }.',
            )
        return self


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


class Headland(Value):
    """
    Land kept for turning.

    Attributes
    ----------
    where : {"none", "ends", "all round"}
        At the ends of the rows, or along every outer edge.
    width : float, optional
        Its width, square to the edge. [m]
    passes, machine : optional
        Its width as a number of passes of a machine.
    stand : str, optional
        What grows there.
    corners : {"mitred", "rounded"}
        How it goes round a corner that points into the field.
    steep : float
        Angle from which an edge that the rows meet counts as an end. [degrees]
    round_obstacles : bool
        Whether obstacles inside the field get one too.
    """

    where: Literal["none", "ends", "all round"] = "none"
    width: Length | None = None
    passes: Count | None = None
    machine: Name | None = None
    stand: Name | None = None
    corners: Literal["mitred", "rounded"] = "mitred"
    steep: Annotated[float, Field(strict=True, ge=1, le=90)] = 30.0
    round_obstacles: Annotated[bool, Field(strict=True)] = False

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.passes is None) != (self.machine is None):
            raise PlanError(
                "The headland has passes without a machine, or a machine without passes.",
                "Its width is so many passes of that machine.",
                'Give both, such as passes = 4 and machine = "drill", or a width.',
            )
        if self.where != "none" and self.width is None and self.passes is None:
            raise PlanError(
                f'The headland is "{self.where}" and has no width.',
                "Nothing says how much land is kept for turning.",
                "Add width in metres, or passes and machine.",
            )
        return self


class Margin(Value):
    """
    A strip along the field's edge that is no part of the crop.

    Attributes
    ----------
    width : float, optional
        Its width along every outer edge. [m]
    sides : mapping of compass side to width, optional
        Its width along edges that face that side. [m]
    stand : str, optional
        What grows there; grass if nothing is said.
    """

    width: Distance | None = None
    sides: dict[Literal["north", "east", "south", "west"], Distance] = Field(default_factory=dict)
    stand: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.width is None) == (not self.sides):
            raise PlanError(
                "The margin has both width and sides, or neither.",
                "A side would have two widths, or none.",
                "Give width = 3.0, or sides = { north = 3.0, west = 2.0 }.",
            )
        return self


class Part(Value):
    """
    A part of the field along one side.

    Attributes
    ----------
    side : str
        Side of the field it lies on.
    width : float
        Its width from the farthest point of that side. [m]
    """

    side: Literal["north", "east", "south", "west"]
    width: Length


class Block(Value):
    """
    Land with its own guide and pattern.

    Attributes
    ----------
    name : str
        What seasons and maps call it.
    pattern : str
        Name of its pattern.
    land : str, optional
        File with its outline.
    part : Part, optional
        A strip along one side of the field.
    rest : bool
        Whether it is the land that other blocks leave.
    guide : Guide, optional
        Its own guide instead of the plan's.
    headland : Headland, optional
        Its own headland, measured from its own edges.
    """

    name: Name
    pattern: Name
    land: Name | None = None
    part: Part | None = None
    rest: Annotated[bool, Field(strict=True)] = False
    guide: Guide | None = None
    headland: Headland | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        ways = [self.land is not None, self.part is not None, self.rest]
        if sum(ways) != 1:
            raise PlanError(
                f"Block {self.name} says {sum(ways)} times which land it is.",
                "A block is one piece of land.",
                "Give one of land, part or rest = true.",
            )
        return self


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
