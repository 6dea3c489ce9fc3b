"""Prices and yields, as the user knows them: every one with its unit and its day."""

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.near import near_names
from geolayout.plan.value import Name, Value

__all__ = ["Cost", "Flow", "Money", "Price", "Product", "SeedPrice", "Sole", "Work"]

Amount = Annotated[float, Field(strict=True, ge=0, le=1e12, allow_inf_nan=False)]
"""A sum of money, or an amount of something, nought or more."""

Range = Amount | tuple[Amount, Amount]
"""One figure, or the least and the most it may be."""

Year = Annotated[int, Field(strict=True, ge=0, le=200)]
"""Years after planting."""


class Price(Value):
    """
    What one of something costs or brings.

    Attributes
    ----------
    amount : float
        In the plan's coin.
    per : str
        One of what.
    date : date, optional
        The day of the price; that of all prices if nothing is said.
    source : str, optional
        Who said it.
    """

    amount: Amount
    per: Literal["t", "kg", "pack", "1000 seeds", "ha", "pass", "km", "hour", "tree", "field"]
    date: dt.date | None = None
    source: Name | None = None


class Product(Value):
    """
    What is sold of a crop.

    Attributes
    ----------
    crop : str
        The crop, as sowings name it.
    stand : str, optional
        Only where it grows in this stand.
    name : str, optional
        What is sold of it, where that is not all one: grain, straw.
    yields : float or (float, float)
        Yield of a hectare of the ground that the crop stands on (`yield` in the file). [t/ha]
    price : Price, optional
        By the tonne or kilogram.
    share : float, optional
        The part of a stand's ground reckoned as this crop's, where crops share it.
    """

    crop: Name
    stand: Name | None = None
    name: Name | None = None
    yields: Range = Field(alias="yield")
    price: Price | None = None
    share: Annotated[float, Field(strict=True, gt=0, le=1)] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_range(self.yields, f"The yield of {self.crop}")
        _check_per(self.price, ("t", "kg"), f"The product of {self.crop}")
        return self


class SeedPrice(Value):
    """
    What seed costs.

    Attributes
    ----------
    crop : str
        The crop, as sowings name it.
    variety : str, optional
        Only of this variety.
    price : Price
        By the kilogram, tonne, pack or thousand seeds.
    """

    crop: Name
    variety: Name | None = None
    price: Price

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_per(self.price, ("kg", "t", "pack", "1000 seeds"), f"The seed of {self.crop}")
        return self


class Cost(Value):
    """
    A variable cost other than seed and work.

    Attributes
    ----------
    name : str
        What it is for.
    price : Price
        By the hectare, by the tonne harvested, or once for the field.
    crop : str, optional
        Only for this crop.
    stand : str, optional
        Only on the ground of this stand.
    times : float
        How often it comes in the season.
    """

    name: Name
    price: Price
    crop: Name | None = None
    stand: Name | None = None
    times: Annotated[float, Field(strict=True, gt=0, le=1000)] = 1.0

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_per(self.price, ("ha", "t", "field"), f"The cost {self.name}")
        if self.price.per == "t" and self.crop is None:
            raise PlanError(
                f"The cost {self.name} is by the tonne and names no crop.",
                "Tonnes of different crops are not added up.",
                "Add crop, one entry for each.",
            )
        return self


class Work(Value):
    """
    What an operation costs, by a contractor's list or one's own reckoning.

    Attributes
    ----------
    operation : str
        The operation.
    price : Price
        By the hectare, pass, kilometre, hour, or once for the field.
    hours : float or (float, float), optional
        How long it takes, for a price by the hour. [h]
    """

    operation: Name
    price: Price
    hours: Range | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_per(self.price, ("ha", "pass", "km", "hour", "field"), f"Work {self.operation}")
        if self.hours is not None:
            _check_range(self.hours, f"hours of {self.operation}")
        return self


class Sole(Value):
    """
    A crop grown alone on the same land, to compare with.

    Attributes
    ----------
    crop : str
        The crop, as sowings name it.
    yields : float or (float, float)
        Its yield alone (`yield` in the file). [t/ha]
    price : Price, optional
        By the tonne or kilogram; that of the crop's product if nothing is said.
    costs : Price, optional
        All its variable costs, by the hectare.
    """

    crop: Name
    yields: Range = Field(alias="yield")
    price: Price | None = None
    costs: Price | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_range(self.yields, f"The yield of {self.crop} alone")
        _check_per(self.price, ("t", "kg"), f"{self.crop} alone")
        _check_per(self.costs, ("ha",), f"The costs of {self.crop} alone")
        return self


class Flow(Value):
    """
    What trees cost or bring in one year or several.

    Attributes
    ----------
    name : str
        What for.
    kind : {"cost", "income"}
        Which of the two.
    price : Price
        By the tree that stands, by the hectare of tree bands, or once for the field.
    year : int or (int, int)
        Years after planting, 0 is the planting itself; or the first and the last.
    species : str, optional
        Only of these trees.
    """

    name: Name
    kind: Literal["cost", "income"]
    price: Price
    year: Year | tuple[Year, Year]
    species: Name | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_per(self.price, ("tree", "ha", "field"), f"The flow {self.name}")
        _check_range(self.year, f"year of the flow {self.name}")
        if self.species is not None and self.price.per != "tree":
            raise PlanError(
                f"The flow {self.name} names a species and is by the {self.price.per}.",
                "Only trees are counted by species.",
                'Make it per = "tree", or take species away.',
            )
        return self

    @property
    def years(self) -> range:
        """The years in which it comes."""
        first, last = self.year if isinstance(self.year, tuple) else (self.year, self.year)
        return range(first, last + 1)


class Money(Value):
    """
    Everything that the user says of money; nothing of it is ever guessed.

    Attributes
    ----------
    coin : str
        The money, in plain words or letters.
    date : date
        The day of every price that has none of its own.
    discount : float, optional
        Yearly rate for sums of later years, above inflation. [%]
    years : int, optional
        Years after planting to look ahead; to the last flow if nothing is said.
    products, seeds, costs, works, soles, flows : tuple
        The lists below (`product`, `seed`, `cost`, `work`, `sole`, `flow` in the file).
    """

    coin: Name
    date: dt.date
    discount: Annotated[float, Field(strict=True, ge=0, le=50)] | None = None
    years: Annotated[int, Field(strict=True, ge=1, le=200)] | None = None
    products: tuple[Product, ...] = Field(default=(), alias="product")
    seeds: tuple[SeedPrice, ...] = Field(default=(), alias="seed")
    costs: tuple[Cost, ...] = Field(default=(), alias="cost")
    works: tuple[Work, ...] = Field(default=(), alias="work")
    soles: tuple[Sole, ...] = Field(default=(), alias="sole")
    flows: tuple[Flow, ...] = Field(default=(), alias="flow")

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _check_once("products", ((p.crop, p.stand, p.name) for p in self.products))
        _check_once("seed prices", ((s.crop, s.variety) for s in self.seeds))
        _check_once("prices of work", ((work.operation,) for work in self.works))
        _check_once("sole crops", ((sole.crop,) for sole in self.soles))
        _check_once("costs", ((c.name, c.crop, c.stand) for c in self.costs))
        return self

    def day(self, price: Price) -> dt.date:
        """Return the day of a price."""
        return price.date or self.date

    def products_of(self, crop: str, stand: str) -> tuple[Product, ...]:
        """Return what is sold of a crop in a stand; what names the stand wins, name by name."""
        mine = [one for one in self.products if one.crop == crop and one.stand in (None, stand)]
        own = {one.name for one in mine if one.stand is not None}
        return tuple(one for one in mine if one.stand is not None or one.name not in own)

    def check_names(self, known: Mapping[str, Collection[str]]) -> None:
        """
        See that every price speaks of something the plan has.

        Parameters
        ----------
        known : mapping of str to names
            What the plan has, under "crop", "stand", "operation" and "species".

        Raises
        ------
        PlanError
            If a price speaks of something else.
        """
        for key, name in self._names():
            if name is not None and name not in known[key]:
                raise PlanError(
                    f"[money] names {key} {name!r}.",
                    "The plan has nothing of that name.",
                    near_names(name, known[key]),
                )

    def _names(self) -> Iterator[tuple[str, str | None]]:
        """Yield every name that points at something of the plan."""
        for product in self.products:
            yield "crop", product.crop
            yield "stand", product.stand
        for cost in self.costs:
            yield "crop", cost.crop
            yield "stand", cost.stand
        for seed in self.seeds:
            yield "crop", seed.crop
        for sole in self.soles:
            yield "crop", sole.crop
        for work in self.works:
            yield "operation", work.operation
        for flow in self.flows:
            yield "species", flow.species


def _check_range(value: object, what: str) -> None:
    """Raise if a range runs backwards."""
    if isinstance(value, tuple) and value[0] > value[1]:
        raise PlanError(
            f"{what} runs from {value[0]:g} to {value[1]:g}.",
            "Its least is more than its most.",
            "Exchange the two.",
        )


def _check_per(price: Price | None, units: tuple[str, ...], what: str) -> None:
    """Raise if a price is by something that is not counted there."""
    if price is None or price.per in units:
        return
    listed = ", ".join(f'"{unit}"' for unit in units)
    raise PlanError(
        f'{what} has a price per "{price.per}".',
        f"It can be reckoned per {listed}.",
        "Mend per, or reckon the amount for one of these.",
    )


def _check_once(what: str, keys: Iterable[tuple[str | None, ...]]) -> None:
    """Raise if two entries say the same thing."""
    seen: set[tuple[str | None, ...]] = set()
    for key in keys:
        if key in seen:
            named = ", ".join(word for word in key if word is not None)
            raise PlanError(
                f"[money] has two {what} of {named}.",
                "Nothing says which of them holds.",
                "Keep one, or name the stand or the variety that each is for.",
            )
        seen.add(key)
