"""The lines that everything on a block is laid along, as a plan wishes them."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Compass, Distance, LonLat, Name, Value
from geolayout.plan.weigh import Weigh

__all__ = ["Baseline", "Guide", "Origin"]

North = Literal["true", "grid", "magnetic"]
"""What a bearing counts from: the pole, the lines of a map, or the needle of a compass."""

Declination = Annotated[float, Field(strict=True, ge=-180, le=180, allow_inf_nan=False)]
DeclinationYear = Annotated[float, Field(strict=True, ge=1900, le=2200)]


class Origin(Value):
    """
    What a resolved guide was before it was resolved.

    Attributes
    ----------
    north : {"true", "grid", "magnetic"}
        What the bearing counted from.
    bearing : float, optional
        The bearing as written. [degrees]
    declination, declination_year : float, optional
        By how much it was turned, and the year of that figure. [degrees], [year]
    line : str, optional
        File that the line was read from.
    frame, epoch : str, float, optional
        What the line's coordinates are fixed to now.
    moved : float, optional
        How far the line was carried from the frame of its file. [m]
    choose : {"fewest hours"}, optional
        What was chosen by.
    """

    north: North = "true"
    bearing: Annotated[float, Field(strict=True, ge=0, lt=360)] | None = None
    declination: Declination | None = None
    declination_year: DeclinationYear | None = None
    line: Name | None = None
    frame: Name | None = None
    epoch: Annotated[float, Field(strict=True, ge=1980, le=2200)] | None = None
    moved: Distance | None = None
    choose: Literal["fewest hours"] | None = None


class Baseline(Value):
    """
    A contour that carries bands, as it was found.

    Attributes
    ----------
    points : lon/lat pairs
        The contour, uphill on its left. [degrees]
    low, high : float
        How far uphill (below 0) and downhill its lines are carried. [m]
    """

    points: Annotated[tuple[LonLat, ...], Field(min_length=2)]
    low: Annotated[float, Field(strict=True, ge=-100_000, le=0)]
    high: Annotated[float, Field(strict=True, ge=0, le=100_000)]


class Guide(Value):
    """
    The lines everything is laid along.

    Attributes
    ----------
    kind : {"straight", "along", "contour", "round"}
        Family of the lines.
    bearing : float, optional
        Degrees clockwise from north, at the anchor.
    north : {"true", "grid", "magnetic"}
        Which north that is. A resolved guide counts from true north.
    grid : str, optional
        The map grid of a grid bearing; beside a true one, a grid to tell the bearing in too.
    declination, declination_year : float, optional
        Of a magnetic bearing: by how much magnetic north lies east of true north there, and the
        year of that figure. [degrees], [year]
    near_edge : str, optional
        Side of the field whose edge they follow.
    points : lon/lat pairs, optional
        Points of the line t = 0: two of a straight one, two or more along a bent one; of a
        resolved guide round a field, the edge it goes round.
    line : str, optional
        File with the line t = 0.
    line_name : str, optional
        Which line of that file, by its name.
    smooth : float
        How far smoothing may move a bent line. [m]
    move_line : bool
        Whether a line in another frame is carried over to that of the correction service.
    choose : {"longest edge", "fewest hours"}, optional
        What is best, resolved into a bearing.
    weigh : Weigh, optional
        What else counts beside hours.
    wind_from : float, optional
        Where the wind comes from that rows are told against. [degrees]
    from_ : str, optional
        Side that bands are counted from (`from` in the file).
    start : float
        From that side, or from the line, to the first band. [m]
    anchor : lon/lat pair, optional
        Where the first band begins, instead of a side and a start.
    number_at_anchor : int, optional
        Number of the band that begins at the anchor, kept from the first time it was resolved.
    widths : {"plan", "ground"}
        Whether widths are measured level, or along the slope across the rows.
    flat : float, optional
        Of a resolved guide with widths along the ground: metres on the plan for one of them. [-]
    spiral : bool
        Whether a round field is worked once round and then in one spiral.
    grade : float
        Grade that rows on the contour keep within, but for a quarter of their length. [%]
    baselines : tuple of Baseline
        The contours found, in the order in which they take their land.
    origin : Origin, optional
        What it was before it was resolved.
    """

    kind: Literal["straight", "along", "contour", "round"] = "straight"
    bearing: Annotated[float, Field(strict=True, ge=0, lt=360)] | None = None
    north: North = "true"
    grid: Name | None = None
    declination: Declination | None = None
    declination_year: DeclinationYear | None = None
    near_edge: Compass | None = None
    points: Annotated[tuple[LonLat, ...], Field(min_length=2)] | None = None
    line: Name | None = None
    line_name: Name | None = None
    smooth: Annotated[float, Field(strict=True, gt=0, le=100)] = 0.5
    move_line: Annotated[bool, Field(strict=True)] = False
    choose: Literal["longest edge", "fewest hours"] | None = None
    weigh: Weigh | None = None
    wind_from: Annotated[float, Field(strict=True, ge=0, lt=360)] | None = None
    from_: Compass | None = Field(default=None, alias="from")
    start: Annotated[float, Field(strict=True, ge=-100_000, le=100_000)] = 0.0
    anchor: LonLat | None = None
    number_at_anchor: Annotated[int, Field(strict=True)] | None = None
    widths: Literal["plan", "ground"] = "plan"
    flat: Annotated[float, Field(strict=True, gt=0.5, le=1)] | None = None
    spiral: Annotated[bool, Field(strict=True)] = False
    # The default is the limit for annual rows of USDA NRCS, Contour Farming, Code 330.
    grade: Annotated[float, Field(strict=True, gt=0, le=30)] = 2.0
    baselines: tuple[Baseline, ...] = Field(default=(), alias="baseline")
    origin: Origin | None = None

    @property
    def line_key(self) -> str:
        """By what its drawn line is known: file, line in it, and whether it is carried over."""
        return " ".join(
            [self.line or "", self.line_name or "", "moved" if self.move_line else ""]
        ).rstrip()

    @property
    def ways(self) -> list[str]:
        """The ways in which its direction was given."""
        keys = ("bearing", "near_edge", "points", "line", "choose")
        return [key for key in keys if getattr(self, key) is not None]

    @property
    def resolved(self) -> bool:
        """
        Whether nothing is left to choose.

        A straight guide is then a true bearing through an anchor, one along a bent line has that
        line's points, and one on the contour its baselines.
        """
        if self.number_at_anchor is None or (self.widths == "ground" and self.flat is None):
            return False
        if self.kind == "contour":
            return bool(self.baselines)
        if self.kind == "along":
            return self.points is not None and self.from_ is not None
        if self.kind == "round":
            return self.points is not None
        through = self.bearing is not None and self.anchor is not None
        return self.kind == "straight" and self.north == "true" and through

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.kind == "contour":
            _check_contour(self)
            return self
        if self.kind == "round":
            _check_round(self)
            return self
        if self.spiral:
            raise PlanError(
                f'The guide has kind = "{self.kind}" and a spiral.',
                "Only rings can be joined to one.",
                'Write kind = "round", or take spiral away.',
            )
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
        _check_north(self)
        _check_line(self)
        _check_kind(self)
        return self


def _check_north(guide: Guide) -> None:
    """A bearing says which north it counts from, with what is needed to turn it to true north."""
    if guide.north != "true" and guide.bearing is None:
        raise PlanError(
            f'The guide has north = "{guide.north}" and no bearing.',
            "Edges and lines have no north of their own.",
            "Take north away, or give a bearing.",
        )
    if guide.north == "grid" and guide.grid is None:
        raise PlanError(
            'The guide has north = "grid" and no grid.',
            "Every map grid has a north of its own.",
            'Write the grid of the map it was taken from, such as grid = "EPSG:25832".',
        )
    said = [guide.declination is not None, guide.declination_year is not None]
    if guide.north == "magnetic" and not all(said):
        raise PlanError(
            'The guide has north = "magnetic" and no declination, or none with its year.',
            "It changes from place to place and from year to year, so it is never guessed.",
            "Ask the national survey, and write declination (east positive) and declination_year.",
        )
    if guide.north != "magnetic" and any(said):
        raise PlanError(
            f'The guide has a declination and north = "{guide.north}".',
            "A declination turns a magnetic bearing, and no other.",
            'Write north = "magnetic", or take the declination away.',
        )


def _check_line(guide: Guide) -> None:
    """What is said of a line needs one."""
    if guide.line is None and (guide.line_name is not None or guide.move_line):
        raise PlanError(
            f"The guide has {'move_line' if guide.move_line else 'line_name'} and no line.",
            "It says something of a line that is read from a file.",
            "Give line, or take it away.",
        )


def _check_kind(guide: Guide) -> None:
    """Each family of lines needs a direction that it can follow."""
    if guide.kind == "straight" and guide.points is not None and len(guide.points) > 2:
        raise PlanError(
            f"The straight guide has {len(guide.points)} points.",
            "A straight line has two.",
            'Keep two of them, or write kind = "along".',
        )
    if guide.kind == "straight" and "smooth" in guide.model_fields_set:
        raise PlanError(
            f'The guide has kind = "{guide.kind}" and smooth = {guide.smooth:g} m.',
            "Only a bent line is smoothed.",
            'Write kind = "along", or take smooth away.',
        )
    if guide.kind == "along" and guide.ways[0] in ("bearing", "choose"):
        raise PlanError(
            f'The guide has kind = "along" and {guide.ways[0]}.',
            "A bearing has no bends to lie along.",
            "Give near_edge, points or line.",
        )
    if guide.kind == "along" and guide.points is not None and guide.from_ is None:
        raise PlanError(
            'The guide has kind = "along" and no from.',
            "Nothing says on which side of the line the first band lies.",
            'Add the side that bands are counted from, such as from = "west".',
        )


def _check_round(guide: Guide) -> None:
    """Rings follow the edge of the land, and nothing else says where they run."""
    given = [way for way in guide.ways if way != "points"]
    given += [key for key in ("anchor", "from_", "north") if key in guide.model_fields_set]
    given += ['widths = "ground"'] if guide.widths == "ground" else []
    if given:
        raise PlanError(
            f'The guide has kind = "round" and {", ".join(given).replace("from_", "from")}.',
            "Rings follow the edge of the land, and bands count from it inwards.",
            f'Take {given[0].replace("from_", "from")} away, or use kind = "straight".',
        )


def _check_contour(guide: Guide) -> None:
    """A contour is found in the heights, and nothing else says where it runs."""
    given = [*guide.ways, *(["anchor"] if guide.anchor is not None else [])]
    given += [key for key in ("start", "from_", "north") if key in guide.model_fields_set]
    if given:
        raise PlanError(
            f'The guide has kind = "contour" and {", ".join(given).replace("from_", "from")}.',
            "Contours are found in the heights, and bands count from the top down.",
            f'Take {given[0].replace("from_", "from")} away, or use kind = "straight".',
        )
