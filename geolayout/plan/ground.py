"""The land as the plan speaks of it: field, headland, margin, blocks."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.country import check_country
from geolayout.plan.guide import Guide
from geolayout.plan.value import Count, Distance, Length, Name, Value

__all__ = ["Block", "FieldSource", "Headland", "Margin", "Part"]


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
    inner : {"hole", "field"}, optional
        What shapes drawn within the field are: cut out of it, or ground of it drawn again.
    thin : float, optional
        Farthest that a corner left out may lie off the boundary; 0 leaves out none. [m]
    name : str, optional
        What people call the field.
    terrain : str, optional
        File with heights.
    terrain_unit : {"m", "ft", "us-ft", "cm", "dm"}, optional
        Unit of these heights, where the file does not say or is wrong.
    height : float
        Height above the ellipsoid by which the frame is scaled; 0 leaves it alone. [m]
    farm : str, optional
        File with the farm's machines.
    country : str, optional
        One of `geolayout.plan.country`: distances that are usual there stand where a feature has
        none, and coordinates are held against it.
    """

    boundary: Name | None = None
    layer: Name | None = None
    id: Name | int | None = None
    attribute: dict[str, str | int | float] = Field(default_factory=dict)
    crs: Name | None = None
    inner: Literal["hole", "field"] | None = None
    thin: Annotated[float, Field(strict=True, ge=0, le=5, allow_inf_nan=False)] | None = None
    name: Name | None = None
    terrain: Name | None = None
    terrain_unit: Literal["m", "ft", "us-ft", "cm", "dm"] | None = None
    height: Annotated[float, Field(strict=True, ge=-500, le=9000)] = 0.0
    farm: Name | None = None
    country: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        check_country(self.country)
        if len(self.attribute) > 1:
            raise PlanError(
                f"The field is chosen by {len(self.attribute)} columns.",
                "One column chooses one field.",
                'Keep one, such as attribute = { parcel = "12" }.',
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
