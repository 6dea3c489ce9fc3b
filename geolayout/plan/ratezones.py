"""
Rate zones: ground sown at more or less than the plan's rate, by a map of the soil or the crop.

Every rate of a class becomes a factor on the sowing's own rate, so that whatever is reckoned from
that rate (seeds, kilograms, a prescription) is reckoned in one way with zones and without.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Annotated, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.machines import Machine
from geolayout.plan.near import near_names
from geolayout.plan.stand import Amount, Sowing, Stand, rate_of
from geolayout.plan.value import Distance, Name, Value

__all__ = ["RateZones", "ZoneRate", "check_rate_zones"]

Factor = Annotated[float, Field(strict=True, gt=0, le=1e6, allow_inf_nan=False)]
Limit = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Part = Annotated[float, Field(strict=True, gt=0, lt=1, allow_inf_nan=False)]
Area = Annotated[float, Field(strict=True, ge=0, le=1e6, allow_inf_nan=False)]

WAYS = ("factor", "plants_per_ha", "seeds_per_m2", "kg_per_ha")
"""How the rates of the classes may be given."""


class ZoneRate(Value):
    """
    The rates of one sowing, class by class, in exactly one of four ways.

    Attributes
    ----------
    sowing : str
        The crop, or the sowing's own name.
    factor : mapping of str to float
        By class, times the sowing's own rate. [-]
    plants_per_ha, seeds_per_m2, kg_per_ha : mapping of str to float
        By class, in the unit of the sowing's own rate.
    """

    sowing: Name
    factor: dict[Name, Factor] = Field(default_factory=dict)
    plants_per_ha: dict[Name, Amount] = Field(default_factory=dict)
    seeds_per_m2: dict[Name, Amount] = Field(default_factory=dict)
    kg_per_ha: dict[Name, Amount] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        given = [way for way in WAYS if getattr(self, way)]
        if len(given) != 1:
            raise PlanError(
                f"The rates of {self.sowing} in the rate zones are given in {len(given)} ways.",
                "Two ways may disagree, and none says nothing.",
                f"Give one of {', '.join(WAYS)}, each with a figure for every class.",
            )
        return self

    @property
    def unit(self) -> str:
        """The key that was given."""
        return next(way for way in WAYS if getattr(self, way))

    @property
    def by_class(self) -> dict[str, float]:
        """The figures that were given, by class."""
        figures: dict[str, float] = getattr(self, self.unit)
        return figures

    def speaks_of(self, sowing: Sowing) -> bool:
        """Whether it holds the rates of this sowing."""
        return self.sowing in (sowing.label, sowing.crop)


class RateZones(Value):
    """
    A map, its classes and what is sown on each.

    Attributes
    ----------
    source : str
        File of polygons or a raster, beside the plan.
    layer, crs : str, optional
        Layer of the file, and coordinate system of one that states none.
    column : str, optional
        Of polygons: the column with the quantity, or with the names of the classes.
    quantity, unit : str
        What was mapped, and in which unit.
    classes : tuple of str
        Names of the classes, the lowest value first.
    limits : tuple of float
        Values between neighbouring classes; a value on a limit is in the higher class.
    quantiles : tuple of float
        Shares of the field's ground below each limit, instead of the limits. [-]
    narrowest : float, optional
        No zone may be narrower; 0 leaves the map as it is. [m]
    machine : str, optional
        Machine whose working width is the narrowest, instead.
    smallest : float, optional
        No zone may be smaller; a square of the narrowest if nothing is said. [m2]
    outside : str, optional
        Class of land that the map does not cover.
    rates : tuple of ZoneRate
        What is sown by class (`rate` in the file).
    """

    source: Name
    layer: Name | None = None
    crs: Name | None = None
    column: Name | None = None
    quantity: Name = "value"
    unit: Annotated[str, Field(max_length=40)] = ""
    classes: Annotated[tuple[Name, ...], Field(min_length=2, max_length=20)]
    limits: tuple[Limit, ...] = ()
    quantiles: tuple[Part, ...] = ()
    narrowest: Distance | None = None
    machine: Name | None = None
    smallest: Area | None = None
    outside: Name | None = None
    rates: Annotated[tuple[ZoneRate, ...], Field(min_length=1)] = Field(alias="rate")

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_classes(self.classes)
        _check_limits(self)
        if (self.narrowest is None) == (self.machine is None):
            raise PlanError(
                "The rate zones have both narrowest and machine, or neither.",
                "No zone may be narrower than a pass, and that is one width.",
                'Give machine = "drill", or narrowest = 24.0 in metres.',
            )
        if self.outside is not None and self.outside not in self.classes:
            raise PlanError(
                f"The rate zones have outside = {self.outside!r}.",
                "That is none of their classes.",
                near_names(self.outside, list(self.classes)),
            )
        for rate in self.rates:
            _check_covered(rate, self.classes)
        return self

    @property
    def by_words(self) -> bool:
        """Whether the map names its classes and holds no numbers."""
        return not (self.limits or self.quantiles)

    def rate_for(self, sowing: Sowing) -> ZoneRate | None:
        """Return the rates of a sowing; those of its own name go before those of its crop."""
        mine = [rate for rate in self.rates if rate.speaks_of(sowing)]
        return next((rate for rate in mine if rate.sowing == sowing.label), next(iter(mine), None))

    def factors(self, sowing: Sowing) -> tuple[float, ...]:
        """
        Return by what the rate of a sowing is multiplied in each class; 1 if nothing is said.

        Parameters
        ----------
        sowing : Sowing
            A sowing of the plan that was checked with these zones.

        Returns
        -------
        factors : tuple of float
            In the order of the classes. [-]
        """
        rate = self.rate_for(sowing)
        if rate is None:
            return (1.0,) * len(self.classes)
        own = rate_of(sowing)
        plain = 1.0 if rate.unit == "factor" or own is None else own.amount
        return tuple(rate.by_class[name] / plain for name in self.classes)


def _check_classes(classes: Sequence[str]) -> None:
    """Classes are told apart by their names."""
    twice = next((name for name in classes if classes.count(name) > 1), None)
    if twice is not None:
        raise PlanError(
            f"Two classes of the rate zones are called {twice!r}.",
            "Their rates could not be told apart.",
            "Give each class its own name.",
        )


def _check_limits(zones: RateZones) -> None:
    """Limits or quantiles lie between the classes, the lowest first."""
    if zones.limits and zones.quantiles:
        raise PlanError(
            "The rate zones have both limits and quantiles.",
            "Each says where a class ends.",
            "Keep one of the two.",
        )
    one = "limit" if zones.limits else "quantile"
    values = zones.limits or zones.quantiles
    if not values:
        return
    wanted = len(zones.classes) - 1
    given = f"{len(values)} {one}{'s' if len(values) > 1 else ''}"
    if len(values) != wanted:
        raise PlanError(
            f"The rate zones have {len(zones.classes)} classes and {given}.",
            f"Between {len(zones.classes)} classes {'there are' if wanted > 1 else 'is'} {wanted}.",
            f"Give as many {one}s, or other classes.",
        )
    falling = next(((a, b) for a, b in pairwise(values) if b <= a), None)
    if falling is not None:
        raise PlanError(
            f"The {one}s of the rate zones go from {falling[0]:g} to {falling[1]:g}.",
            "Classes are named from the lowest value to the highest.",
            f"Put the {one}s in rising order, each once.",
        )


def _check_covered(rate: ZoneRate, classes: Sequence[str]) -> None:
    """Every class has its rate, and every rate its class."""
    missing = [name for name in classes if name not in rate.by_class]
    if missing:
        raise PlanError(
            f"The rates of {rate.sowing} in the rate zones have none for class {missing[0]!r}.",
            "Nothing says what is sown on its ground.",
            "Give a figure for every class, that of the plan where nothing changes.",
        )
    for name in rate.by_class:
        if name not in classes:
            raise PlanError(
                f"The rates of {rate.sowing} in the rate zones have one for class {name!r}.",
                "The rate zones have no class of that name.",
                near_names(name, list(classes)),
            )


def check_rate_zones(
    zones: RateZones, stands: Sequence[Stand], machines: Sequence[Machine]
) -> None:
    """
    Hold rate zones against the rest of their plan.

    Raises
    ------
    PlanError
        If they name a sowing or machine that is not there, a sowing twice, or rates in another
        unit than the sowing's own.
    """
    known = [one.name for one in machines]
    if zones.machine is not None and zones.machine not in known:
        raise _unknown("The rate zones name", zones.machine, known)
    named = [rate.sowing for rate in zones.rates]
    twice = next((name for name in named if named.count(name) > 1), None)
    if twice is not None:
        raise PlanError(
            f"The rate zones have rates of {twice} twice.",
            "Its ground would have two rates.",
            "Keep one of them.",
        )
    sowings = [sowing for stand in stands for sowing in stand.sowing]
    for rate in zones.rates:
        _check_rate(rate, sowings)


def _check_rate(rate: ZoneRate, sowings: Sequence[Sowing]) -> None:
    """Rates of classes are of a sowing that has a rate, in its own unit."""
    mine = [sowing for sowing in sowings if rate.speaks_of(sowing)]
    if not mine:
        names = list(dict.fromkeys(_names(sowings)))
        raise _unknown("The rate zones have rates of", rate.sowing, names)
    for sowing in mine:
        own = rate_of(sowing) if rate.unit != "factor" else sowing.rate
        if own is None:
            raise PlanError(
                f"The rate zones have rates of {sowing.label}, which has no rate of its own.",
                "Theirs are held against it, and it stands where there is no map.",
                "Give the sowing a rate, the one for the middle of the field.",
            )
        if rate.unit not in ("factor", own.unit):
            raise PlanError(
                f"The rate zones have {rate.unit} of {sowing.label}, whose own rate is in "
                f"{own.unit}.",
                "Two units of one product cannot be held against each other.",
                f"Give the classes {own.unit}, or factor.",
            )


def _names(sowings: Sequence[Sowing]) -> Iterator[str]:
    """Yield what sowings can be called."""
    for sowing in sowings:
        yield sowing.label
        yield sowing.crop


def _unknown(begin: str, name: str, known: list[str]) -> PlanError:
    """Say that a name points at nothing."""
    return PlanError(
        f"{begin} {name!r}.", "The plan has nothing of that name.", near_names(name, known)
    )
