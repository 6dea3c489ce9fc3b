"""The whole plan: what is wanted on a field, checked as one."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS
from geolayout.plan.country import default_for
from geolayout.plan.crops.crop import Crop, check_one_name
from geolayout.plan.crops.sheet import CropSheet, own_sheet
from geolayout.plan.crops.stages import Stage
from geolayout.plan.farm import Farm
from geolayout.plan.features import Acknowledged, Consent, FeatureSource
from geolayout.plan.ground import Block, FieldSource, Headland, Margin
from geolayout.plan.guide import Guide
from geolayout.plan.history import History
from geolayout.plan.machines import Machine, Operation, no_crossing
from geolayout.plan.money.money import Money
from geolayout.plan.near import near_names
from geolayout.plan.pattern import Pattern
from geolayout.plan.printing import PAPERS, PLAIN, Printing
from geolayout.plan.ratezones import RateZones, check_rate_zones
from geolayout.plan.stand import Sowing, Stand
from geolayout.plan.trees.growth import Light
from geolayout.plan.trees.outlook import Outlook
from geolayout.plan.trees.planting import Planting
from geolayout.plan.trees.shelter import Shelter
from geolayout.plan.turns import headland_for_turn
from geolayout.plan.units import METRIC, UNITS, Units
from geolayout.plan.value import Name, Value

__all__ = ["Plan", "Season"]


class Season(Value):
    """
    Which stand grows on which band in one harvest year.

    Attributes
    ----------
    year : int
        The harvest year.
    name : str, optional
        What people call the season.
    grows : mapping of band, "block/band" or "block tier 2/band" to stand
        Bands that grow another stand than their own.
    shift : float, optional
        How far all bands move away from `from`. [m]
    shift_bands : float, optional
        The same, as a number of bands.
    """

    year: Annotated[int, Field(strict=True, ge=1900, le=2200)]
    name: Name | None = None
    grows: dict[Name, Name] = Field(default_factory=dict)
    shift: Annotated[float, Field(strict=True, ge=-10_000, le=10_000)] | None = None
    shift_bands: Annotated[float, Field(strict=True, ge=-1000, le=1000)] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.shift is not None and self.shift_bands is not None:
            raise PlanError(
                f"Season {self.year} has both shift and shift_bands.",
                "The bands move once.",
                "Keep one of the two.",
            )
        return self

    @property
    def moves(self) -> bool:
        """Whether the bands lie elsewhere than without a season."""
        return bool(self.shift) or bool(self.shift_bands)


class Plan(Value):
    """
    What is wanted on a field. One file; `geolayout.plan.parse` reads it.

    Every attribute is a table of the plan file, lists in the order they were written.
    """

    version: Literal[1] = Field(alias="schema")
    field: FieldSource = FieldSource()
    farm: Farm | None = None
    features: tuple[FeatureSource, ...] = Field(default=(), alias="feature")
    guide: Guide | None = None
    headland: Headland = Headland()
    margin: Margin | None = None
    crops: tuple[Crop, ...] = Field(default=(), alias="crop")
    stands: tuple[Stand, ...] = Field(default=(), alias="stand")
    patterns: Annotated[tuple[Pattern, ...], Field(min_length=1)] = Field(alias="pattern")
    machines: tuple[Machine, ...] = Field(default=(), alias="machine")
    operations: tuple[Operation, ...] = Field(default=(), alias="operation")
    blocks: tuple[Block, ...] = Field(default=(), alias="block")
    seasons: tuple[Season, ...] = Field(default=(), alias="season")
    stages: tuple[Stage, ...] = Field(default=(), alias="stage")
    history: tuple[History, ...] = ()
    planting: Planting = Planting()
    light: Light = Light()
    shelter: Shelter | None = None
    outlook: Outlook | None = None
    money: Money | None = None
    rate_zones: RateZones | None = None
    consents: tuple[Consent, ...] = Field(default=(), alias="consent")
    acknowledged: tuple[Acknowledged, ...] = ()

    @model_validator(mode="after")
    def _sound(self) -> Self:
        check_one_name(self.crops)
        for check in (
            _check_names,
            _check_features,
            _check_stands,
            _check_operations,
            _check_blocks,
            _check_seasons,
            _check_money,
            _check_stages,
            _check_rate_zones,
        ):
            check(self)
        return self

    @property
    def turning_radius(self) -> float:
        """The radius that every machine can turn at; 0 where none is stated. [m]"""
        return max((one.turning_radius or 0.0 for one in self.machines), default=0.0)

    @property
    def narrowest_pass(self) -> float:
        """Working width of the narrowest machine; 0 where there is none. [m]"""
        return min((one.working_width for one in self.machines), default=0.0)

    @property
    def sheet(self) -> CropSheet:
        """The crop sheet, with the plan's own crops over it."""
        return own_sheet(self.crops)

    def stand(self, name: str | None) -> Stand | None:
        """Return the stand of this name; None for bare ground."""
        return next((stand for stand in self.stands if stand.name == name), None)

    @property
    def units(self) -> Units:
        """Units that the farm reads figures in."""
        return UNITS[self.farm.units] if self.farm is not None else METRIC

    @property
    def printing(self) -> Printing:
        """Paper and language of the farm's sheets."""
        if self.farm is None:
            return PLAIN
        return Printing(PAPERS[self.farm.paper], self.farm.language)

    def pattern(self, name: str | None = None) -> Pattern:
        """Return the pattern of this name, or the only one."""
        if name is None:
            return self.patterns[0]
        return next(pattern for pattern in self.patterns if pattern.name == name)

    def machine(self, name: str) -> Machine:
        """Return the machine of this name."""
        return next(machine for machine in self.machines if machine.name == name)

    def operation(self, name: str) -> Operation:
        """Return the operation of this name."""
        return next(operation for operation in self.operations if operation.name == name)

    def ways_of(self, sowing: Sowing) -> int:
        """Return how often a sowing is sown, half the seed each time: 2 where it is crossed."""
        name = sowing.operation
        return 2 if name is not None and self.operation(name).crossed is not None else 1

    def season(self, year: int | None = None) -> Season | None:
        """
        Return the season of this year, the first one, or None where the plan has none.

        Raises
        ------
        PlanError
            If a year is asked for that the plan does not have.
        """
        if year is None:
            return self.seasons[0] if self.seasons else None
        for season in self.seasons:
            if season.year == year:
                return season
        years = ", ".join(str(season.year) for season in self.seasons) or "none"
        raise PlanError(
            f"Season {year} is asked for.",
            f"The plan's seasons are: {years}.",
            f"Add [[season]] year = {year}, or ask for one of these.",
        )

    def guide_of(self, block: Block | None) -> Guide:
        """
        Return the block's own guide, else the plan's.

        Raises
        ------
        PlanError
            If neither has one.
        """
        guide = (block.guide if block is not None else None) or self.guide
        if guide is None:
            where = f"Block {block.name}" if block is not None else "The plan"
            raise PlanError(
                f"{where} has no guide.",
                "Nothing says which way the rows run.",
                "Add [guide] with bearing, near_edge, points, line or choose.",
            )
        return guide

    def headland_width(self, headland: Headland) -> float:
        """Return the headland's width, from metres, passes of a machine or a turn. [m]"""
        if headland.where == "none":
            return 0.0
        if headland.turn is not None:
            machine = self.machine(headland.turn.machine)
            radius = machine.turning_radius or 0.0
            step, way = headland.turn.step, headland.turn.way
            return headland_for_turn(radius, step, machine.working_width, way)
        if headland.passes is not None and headland.machine is not None:
            return headland.passes * self.machine(headland.machine).working_width
        return headland.width or 0.0


def _check_names(plan: Plan) -> None:
    """Everything that can be pointed at has a name of its own."""
    lists: dict[str, tuple[Stand | Pattern | Machine | Operation | Block, ...]] = {
        "stand": plan.stands,
        "pattern": plan.patterns,
        "machine": plan.machines,
        "operation": plan.operations,
        "block": plan.blocks,
    }
    for noun, values in lists.items():
        names = [value.name for value in values]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise PlanError(
                f"Two {noun}s are called {twice[0]!r}.",
                "Others could not say which of the two they mean.",
                f"Give each {noun} its own name.",
            )
    years = [season.year for season in plan.seasons]
    if len(set(years)) != len(years):
        raise PlanError(
            "Two seasons have the same year.",
            "A harvest year has one season.",
            "Mend the year of one of them.",
        )


def _check_features(plan: Plan) -> None:
    """Distances that the law or a danger asks for are said, and consents speak of features."""
    for feature in plan.features:
        if KINDS[feature.kind].protected and feature.keep_clear is None:
            _check_default(feature, plan.field.country)
    known = [name for feature in plan.features for name in (feature.label, feature.kind)]
    for consent in plan.consents:
        _must_be(consent.feature, known, consent.label)


def _check_default(feature: FeatureSource, country: str | None) -> None:
    """A feature without a distance has one by default where it lies, from the same edge."""
    default = default_for(country, feature.kind)
    if default is None:
        there = f", and no default for {country} is known here" if country else ""
        raise PlanError(
            f"{feature.label} has no keep_clear.",
            f"It is usually protected by law or dangerous, and the distance is local{there}.",
            "Ask whoever owns or watches over it, and write keep_clear in metres (0 allowed).",
        )
    if feature.measured_from not in (None, default.measured_from):
        raise PlanError(
            f"{feature.label} is measured_from {feature.measured_from!r} and has no keep_clear.",
            f"The default for {default.called} counts from the {default.measured_from}.",
            "Write keep_clear in metres, or take measured_from away.",
        )


def _must_be(name: str | None, known: list[str], what: str) -> None:
    """Raise if a name points at nothing, listing the near ones."""
    if name is None or name in known:
        return
    raise PlanError(
        f"{what} names {name!r}.",
        "The plan has nothing of that name.",
        near_names(name, known),
    )


def _check_stages(plan: Plan) -> None:
    """Stages, and operations that wait for one, are of crops sown; the past is of blocks there."""
    known = [
        name for stand in plan.stands for one in stand.sowing for name in (one.crop, one.label)
    ]
    for stage in plan.stages:
        _must_be(stage.crop, known, stage.label)
    for operation in plan.operations:
        if operation.when is not None:
            _must_be(operation.when.crop, known, f"Operation {operation.name}")
    blocks = [block.name for block in plan.blocks]
    for past in plan.history:
        _must_be(past.block, blocks, f"The history of {past.year}")


def _check_stands(plan: Plan) -> None:
    """Bands, headland, margin, rest and trials grow stands that the plan has."""
    known = [*(stand.name for stand in plan.stands), "none"]
    for pattern in plan.patterns:
        for band in pattern.bands:
            _must_be(band.stand, known, f"Band {band.name} of pattern {pattern.name}")
        _must_be(pattern.rest, known, f"rest of pattern {pattern.name}")
        if pattern.trial is not None:
            for treatment in pattern.trial.treatments:
                _must_be(treatment, known, f"The trial of pattern {pattern.name}")
            _must_be(pattern.trial.rest, known, f"The trial's rest of pattern {pattern.name}")
    headlands = [plan.headland, *(b.headland for b in plan.blocks if b.headland is not None)]
    for headland in headlands:
        for stand in (headland.stand, *(edge.stand for edge in headland.edges)):
            _must_be(stand, known, "The headland")
        _check_headland_machine(plan, headland)
    if plan.margin is not None:
        _must_be(plan.margin.stand, known, "The margin")


def _check_headland_machine(plan: Plan, headland: Headland) -> None:
    """A headland's passes are of a machine the plan has, and agree with its width."""
    turning = headland.turn.machine if headland.turn is not None else None
    for name in (headland.machine, turning):
        _must_be(name, [machine.name for machine in plan.machines], "The headland")
    if headland.turn is not None and plan.machine(headland.turn.machine).turning_radius is None:
        raise PlanError(
            f"The headland holds a turn of {headland.turn.machine}, which has no turning_radius.",
            "Nothing says how deep its turn is.",
            "Measure the turn both ways and give turning_radius, in metres.",
        )
    if headland.passes is None or headland.machine is None or headland.width is None:
        return
    width = headland.passes * plan.machine(headland.machine).working_width
    if abs(width - headland.width) > 1e-6:
        raise PlanError(
            f"The headland is {headland.width:g} m wide and also {headland.passes} passes of "
            f"{headland.machine}, {width:g} m.",
            "The two widths differ.",
            "Keep one, or make them equal.",
        )


def _check_operations(plan: Plan) -> None:
    """Operations have machines; sowings and skips have operations."""
    machines = [machine.name for machine in plan.machines]
    operations = [operation.name for operation in plan.operations]
    gateways = [one.name for one in plan.features if one.kind == "gateway" and one.name]
    for operation in plan.operations:
        _must_be(operation.machine, machines, f"Operation {operation.name}")
        _must_be(operation.gateway, gateways, f"gateway of operation {operation.name}")
        for name in operation.stands:
            _must_be(name, [stand.name for stand in plan.stands], f"Operation {operation.name}")
    for stand in plan.stands:
        for sowing in stand.sowing:
            what = f"{sowing.label} in stand {stand.name}"
            _must_be(sowing.operation, operations, what)
            for skipped in sowing.skip:
                _must_be(skipped, operations, f"skip of {what}")
                _check_tracks(plan, skipped, what)
            if plan.ways_of(sowing) > 1 and (sowing.at or sowing.between is not None):
                raise no_crossing(what, "at" if sowing.at else "between", sowing.operation or "")


def _check_tracks(plan: Plan, operation: str, what: str) -> None:
    """Tracks can be left unsown only where the machine says where its wheels are."""
    machine = plan.machine(plan.operation(operation).machine)
    if machine.track_width is None or machine.tyre_width is None:
        raise PlanError(
            f"{what} leaves the tracks of {operation} unsown, and machine {machine.name} has no "
            "track_width or tyre_width.",
            "Nothing says where the wheels run.",
            f"Add both to machine {machine.name}, in metres.",
        )


def _check_blocks(plan: Plan) -> None:
    """Blocks name patterns; without blocks there is exactly one pattern."""
    patterns = [pattern.name for pattern in plan.patterns]
    stands = [*(stand.name for stand in plan.stands), "none"]
    for block in plan.blocks:
        _must_be(block.pattern, patterns, f"Block {block.name}")
        if block.tiers is not None:
            _must_be(block.tiers.stand, stands, f"The tiers of block {block.name}")
        _check_tier_names(plan, block)
    if not plan.blocks and len(patterns) > 1:
        raise PlanError(
            f"The plan has {len(patterns)} patterns ({', '.join(patterns)}) and no blocks.",
            "Nothing says which pattern goes where.",
            "Add a [[block]] for each, or keep one pattern.",
        )
    if sum(block.rest for block in plan.blocks) > 1:
        raise PlanError(
            "Two blocks have rest = true.",
            "Only one can be the land that the others leave.",
            "Give one of them land, part or piece.",
        )


def _check_tier_names(plan: Plan, block: Block) -> None:
    """No other block is called like a tier of this one."""
    others = {other.name for other in plan.blocks if other is not block}
    same = sorted(others.intersection(block.names))
    if same:
        raise PlanError(
            f"Block {same[0]!r} is called like a tier of block {block.name}.",
            "Seasons could not say which of the two they mean.",
            "Give it another name.",
        )


def _check_seasons(plan: Plan) -> None:
    """Seasons speak of bands and stands that the plan has, and never move trees."""
    bands = _season_keys(plan)
    stands = [*(stand.name for stand in plan.stands), "none"]
    for season in plan.seasons:
        for band, stand in season.grows.items():
            _must_be(band, bands, f"grows of season {season.year}")
            _must_be(stand, stands, f"grows of season {season.year}")
        if season.moves and any(pattern.has_trees for pattern in plan.patterns):
            raise PlanError(
                f"Season {season.year} shifts the bands, and the plan has bands with trees.",
                "Trees stay where they stand.",
                "Take the shift away; let the stands move with grows.",
            )


def _check_money(plan: Plan) -> None:
    """Prices speak of crops, stands, operations and trees that the plan has."""
    if plan.money is None:
        return
    planted = [band.trees for pattern in plan.patterns for band in pattern.bands if band.trees]
    plan.money.check_names(
        {
            "crop": [sowing.crop for stand in plan.stands for sowing in stand.sowing],
            "stand": [stand.name for stand in plan.stands],
            "operation": [operation.name for operation in plan.operations],
            "species": [name for trees in planted for name in trees.species_names],
        }
    )


def _check_rate_zones(plan: Plan) -> None:
    """Rate zones speak of sowings and machines that the plan has."""
    if plan.rate_zones is not None:
        check_rate_zones(plan.rate_zones, plan.stands, plan.machines)


def _season_keys(plan: Plan) -> list[str]:
    """Return the ways a season can name a band: the band, or block/band."""
    names = {pattern.name: _names_in(pattern) for pattern in plan.patterns}
    keys = [name for own in names.values() for name in own]
    for block in plan.blocks:
        keys += [f"{own}/{name}" for own in block.names for name in names[block.pattern]]
    return list(dict.fromkeys(keys))


def _names_in(pattern: Pattern) -> list[str]:
    """Return what a season can call the ground of a pattern; a trial's plots by treatment."""
    names = [band.name for band in pattern.bands]
    if pattern.trial is not None:
        names += pattern.trial.treatments
    beyond = pattern.rest if pattern.trial is None else pattern.trial.rest
    return [*names, *(["rest"] if beyond is not None else [])]
