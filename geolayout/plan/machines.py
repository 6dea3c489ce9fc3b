"""Machines as the field sees them, and the operations they do."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.crops.seedlot import Mass
from geolayout.plan.stand import When
from geolayout.plan.value import Count, Distance, Length, Name, Value

__all__ = ["DriveOrder", "Header", "Machine", "Operation", "no_crossing"]

DriveOrder = Literal["rule", "shortest", "up and back"]
"""How passes follow each other: the least way, by the best rule, or the neighbouring pass next."""


class Header(Value):
    """
    A harvester's header.

    Attributes
    ----------
    rows : int, optional
        Rows it gathers, if it is bound to rows.
    width : float
        Width it cuts. [m]
    """

    rows: Count | None = None
    width: Length


class Machine(Value):
    """
    A machine, as the field sees it.

    Attributes
    ----------
    name : str
        What operations call it.
    kind : str, optional
        What it is in plain words: planter, drill, sprayer, combine ...
    working_width : float
        Ground covered by one pass. [m]
    rows, row_spacing : optional
        Rows worked in one pass, and between them, centre to centre. [m]
    sections : int, optional
        Parts of the width that can be shut off one by one.
    turning_radius : float, optional
        Smallest radius its centre drives. [m]
    length : float, optional
        From the tractor's rear axle to the machine's end. [m]
    speed : float, optional
        Working speed. [km/h]
    track_width : float, optional
        Between the middles of left and right wheels. [m]
    tyre_width : float, optional
        Width of one wheel track. [m]
    hopper : float, optional
        Seed, fertiliser or grain that it holds when full. [kg]
    tank : float, optional
        Liquid that it holds when full. [l]
    fuel : float, optional
        Fuel that it takes. [l/ha]
    wheel_circumference : float, optional
        Way of one turn of the wheel that drives its metering. [m]
    header : Header, optional
        The header of a harvester.
    overhang : float, optional
        What stands out beyond the working width, each side. [m]
    unload_side : {"left", "right", "both"}, optional
        Side on which it gives grain to a trailer, looking forward.
    unload_reach : float, optional
        From its middle to the middle of that trailer. [m]
    transport_width : float, optional
        Its width on the road and through gates, folded. [m]
    far_side_access : bool
        Whether it may finish at the far end, because there is a way out.
    """

    name: Name
    kind: Name | None = None
    working_width: Length
    rows: Count | None = None
    row_spacing: Length | None = None
    sections: Count | None = None
    turning_radius: Length | None = None
    length: Length | None = None
    speed: Length | None = None
    track_width: Length | None = None
    tyre_width: Length | None = None
    hopper: Mass | None = None
    tank: Mass | None = None
    fuel: Length | None = None
    wheel_circumference: Length | None = None
    header: Header | None = None
    overhang: Distance | None = None
    unload_side: Literal["left", "right", "both"] | None = None
    unload_reach: Length | None = None
    transport_width: Length | None = None
    far_side_access: Annotated[bool, Field(strict=True)] = False

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.rows is None or self.row_spacing is None:
            return self
        reach = (self.rows - 1) * self.row_spacing
        if reach > self.working_width:
            raise PlanError(
                f"Machine {self.name} has {self.rows} rows at {self.row_spacing:g} m, "
                f"{reach:g} m from first to last, and works {self.working_width:g} m.",
                "Rows stand inside the working width.",
                "Mend rows, row_spacing or working_width.",
            )
        return self


class Operation(Value):
    """
    A piece of work done by a machine over a kind of ground.

    Attributes
    ----------
    name : str
        What sowings call it.
    machine : str
        The machine that does it.
    over : {"band", "pattern", "block"}
        Whether passes are counted within each band, each repeat, or across the block.
    offset : float
        From the start of the repeat, or from the anchor, to the first pass's edge. [m]
    stands : tuple of str
        The stands it works. If none is said: those with a sowing that names it, else every
        stand of a band without trees.
    crossed : float, optional
        Angle from the rows at which it works its ground a second time, half the seed each way.
        [degrees]
    kg_per_ha, litres_per_ha : float, optional
        What it spreads or gathers; the seed of its sowings is known without. [kg/ha, l/ha]
    gateway : str, optional
        Name of the gateway that it comes in by and goes out by; else the nearest.
    order : {"rule", "shortest", "up and back"}
        How its passes follow each other: by the best rule, or by a list where that is shorter.
    when : When, optional
        When it is done.
    harms : tuple of str
        Crops that what it spreads kills or hinders, by its label.
    plant_back : int, optional
        Days after it until these can be sown, by its label.
    nozzle : str, optional
        Class of the nozzles that a spray goes through.
    wind_limit : float, optional
        Wind over which it is not done. [m/s]
    """

    name: Name
    machine: Name
    over: Literal["band", "pattern", "block"] = "band"
    offset: Annotated[float, Field(strict=True, ge=-10_000, le=10_000)] = 0.0
    stands: tuple[Name, ...] = ()
    crossed: Annotated[float, Field(strict=True, ge=20, le=90)] | None = None
    kg_per_ha: Mass | None = None
    litres_per_ha: Mass | None = None
    gateway: Name | None = None
    order: DriveOrder = "rule"
    when: When | None = None
    harms: tuple[Name, ...] = ()
    plant_back: Annotated[int, Field(strict=True, ge=0, le=2000)] | None = None
    nozzle: Name | None = None
    wind_limit: Length | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.over == "band" and self.offset:
            raise PlanError(
                f"Operation {self.name} works band by band with an offset of {self.offset:g} m.",
                "Passes within a band start at the band's edge.",
                'Take the offset away, or use over = "pattern" or "block".',
            )
        if self.crossed is not None and self.over != "block":
            raise PlanError(
                f"Operation {self.name} is crossed at {self.crossed:g} degrees and over = "
                f'"{self.over}".',
                "Across the rows it drives from band to band, and not within one.",
                'Write over = "block", or take crossed away.',
            )
        return self


def no_crossing(what: str, key: str, operation: str) -> PlanError:
    """Say that rows with places of their own, by a key of their sowing, have none across."""
    return PlanError(
        f"{what} is placed by {key}, and operation {operation} is crossed.",
        "Across the rows there are no such places.",
        "Give its spacing instead, or take crossed away.",
    )
