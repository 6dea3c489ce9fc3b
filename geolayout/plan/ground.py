"""The land as the plan speaks of it: field, headland, margin, blocks."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.country import check_country
from geolayout.plan.guide import Guide
from geolayout.plan.parts import Piece, Tiers
from geolayout.plan.turns import TurnWay
from geolayout.plan.value import Count, Distance, Length, LonLat, Name, Value

__all__ = ["Block", "FieldSource", "Headland", "HeadlandEdge", "HeadlandTurn", "Margin", "Part"]


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
    weather : str, optional
        File with daily temperatures.
    weather_unit : {"C", "F"}, optional
        Their unit, where the file does not say it.
    weather_usual : str, optional
        File with usual temperatures of calendar days, for days that are not measured yet.
    height : float
        Height above the ellipsoid by which the frame is scaled; 0 leaves it alone. [m]
    farm : str, optional
        File with the farm's machines.
    crops : str, optional
        File with the user's own crops.
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
    weather: Name | None = None
    weather_unit: Literal["C", "F"] | None = None
    weather_usual: Name | None = None
    height: Annotated[float, Field(strict=True, ge=-500, le=9000)] = 0.0
    farm: Name | None = None
    crops: Name | None = None
    country: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        check_country(self.country)
        if self.weather_usual is not None and self.weather is None:
            raise PlanError(
                f"The field has usual temperatures, {self.weather_usual}, and no weather.",
                "They stand for days that a record does not hold yet.",
                "Name the record as `weather`, or take weather_usual away.",
            )
        if len(self.attribute) > 1:
            raise PlanError(
                f"The field is chosen by {len(self.attribute)} columns.",
                "One column chooses one field.",
                'Keep one, such as attribute = { parcel = "12" }.',
            )
        return self


class HeadlandTurn(Value):
    """
    The turn that a headland has to hold.

    Attributes
    ----------
    machine : str
        The machine that turns; its turning_radius and working_width count.
    step : int
        Which pass it turns into: 1 for the neighbouring one.
    way : {"forward", "three-point"}
        Whether it goes forward only, or back once.
    """

    machine: Name
    step: Count = 1
    way: TurnWay = "forward"


class HeadlandEdge(Value):
    """
    A part of the edge with a headland of its own.

    Attributes
    ----------
    side : str, optional
        All edges that face this compass side.
    near : lon/lat pair, optional
        The one edge nearest to this point.
    width : float
        Width of the headland along it; 0 for none. [m]
    stand : str, optional
        What grows there instead of the headland's stand.
    """

    side: Literal["north", "east", "south", "west"] | None = None
    near: LonLat | None = None
    width: Distance
    stand: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.side is None) == (self.near is None):
            raise PlanError(
                "An edge of the headland has both side and near, or neither.",
                "It is found by the side it faces, or by a point beside it.",
                'Give side = "north", or near = [longitude, latitude].',
            )
        return self

    @property
    def label(self) -> str:
        """What it is called in sentences."""
        if self.side is not None:
            return f"the {self.side} edge"
        lon, lat = self.near or (0.0, 0.0)
        return f"the edge near {lon:g}, {lat:g}"


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
    turn : HeadlandTurn, optional
        Its width as the least number of working widths that holds a turn.
    edges : tuple of HeadlandEdge
        Edges with another width (`edge` in the file); of two that take one place, the first.
    stand : str, optional
        What grows there.
    worked : {"first", "last"}
        Whether its own passes are driven before or after the rows.
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
    turn: HeadlandTurn | None = None
    edges: tuple[HeadlandEdge, ...] = Field(default=(), alias="edge")
    stand: Name | None = None
    worked: Literal["first", "last"] = "last"
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
        said = [self.width is not None or self.passes is not None, self.turn is not None]
        if self.where != "none" and not any(said):
            raise PlanError(
                f'The headland is "{self.where}" and has no width.',
                "Nothing says how much land is kept for turning.",
                "Add width in metres, passes and machine, or turn.",
            )
        if all(said):
            raise PlanError(
                "The headland has a turn beside a width or passes.",
                "The turn says how wide it is.",
                "Keep the turn, or the width.",
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
    layer, id, attribute, crs : optional
        Layer of that file, which of its areas, and its coordinate system, as for a feature.
    part : Part, optional
        A strip along one side of the field.
    piece : Piece, optional
        A piece of the field between drawn lines.
    rest : bool
        Whether it is the land that other blocks leave.
    guide : Guide, optional
        Its own guide instead of the plan's.
    headland : Headland, optional
        Its own headland, measured from its own edges.
    tiers : Tiers, optional
        Parts of it, one behind the other along the rows.
    """

    name: Name
    pattern: Name
    land: Name | None = None
    layer: Name | None = None
    id: Name | int | None = None
    attribute: dict[str, str | int | float] = Field(default_factory=dict)
    crs: Name | None = None
    part: Part | None = None
    piece: Piece | None = None
    rest: Annotated[bool, Field(strict=True)] = False
    guide: Guide | None = None
    headland: Headland | None = None
    tiers: Tiers | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        ways = [self.land is not None, self.part is not None, self.piece is not None, self.rest]
        if sum(ways) != 1:
            raise PlanError(
                f"Block {self.name} says {sum(ways)} times which land it is.",
                "A block is one piece of land.",
                "Give one of land, part, piece or rest = true.",
            )
        _check_choice(self)
        return self

    @property
    def names(self) -> list[str]:
        """What a season can call it or a tier of it; how many fit, the field shows."""
        return [self.name, *(self.tiers.names(self.name) if self.tiers is not None else ())]


def _check_choice(block: Block) -> None:
    """What chooses within a file stands beside a file, and one column chooses."""
    chosen = [key for key in ("layer", "id", "attribute", "crs") if key in block.model_fields_set]
    if block.land is None and chosen:
        raise PlanError(
            f"Block {block.name} has {' and '.join(chosen)} and no land.",
            "They choose within the file of its land.",
            "Name the file as land, or take them away.",
        )
    if len(block.attribute) > 1:
        raise PlanError(
            f"The land of block {block.name} is chosen by {len(block.attribute)} columns.",
            "One column chooses the areas of a block.",
            'Keep one, such as attribute = { part = "north" }.',
        )
