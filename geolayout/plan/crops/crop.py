"""
What is known of a crop: how it is sown and what it is, each value with where it comes from.

The sheet that comes with the package is data, `crops.toml`; a user's file or plan adds crops to it
and puts values over it.
"""

from typing import Annotated, Literal, Self, get_args

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.crops.seedlot import Seed
from geolayout.plan.near import near_names
from geolayout.plan.stand import Rate, check_no_share
from geolayout.plan.value import Name, Value

__all__ = [
    "FACTS",
    "FIGURES",
    "HEIGHTS",
    "OWN",
    "Crop",
    "CropFile",
    "Fact",
    "Figure",
    "Source",
    "Window",
    "over",
]

OWN = "the user's own"
"""Source of a value that a user wrote without one."""

HEIGHTS = ("low", "medium", "tall")
"""Classes of height; what they mean is on the page of the crop sheet."""

FIGURES = (
    "row_spacing",
    "plants_per_m2",
    "tgw",
    "establishment",
    "depth",
    "kg_per_ha",
)
"""Values that are a range of numbers."""

FACTS = ("family", "height_class", "nitrogen_fixing", "harvested")
"""Values that are a word, or yes or no."""

Source = Annotated[str, Field(min_length=1, max_length=400)]
Number = Annotated[float, Field(strict=True, ge=0, le=1e9, allow_inf_nan=False)]
Month = Annotated[int, Field(strict=True, ge=1, le=12)]
Kind = Literal["field crop", "companion", "tree"]


class Figure(Value):
    """
    A range of numbers and where it comes from.

    Attributes
    ----------
    low, high : float
        Least and most, in the unit of the key.
    source : str
        Title and year, or who says so.
    """

    low: Number
    high: Number
    source: Source = OWN

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.low > self.high:
            raise PlanError(
                f"A range runs from {self.low:g} to {self.high:g}.",
                "Its low is more than its high.",
                "Exchange the two.",
            )
        return self


class Window(Value):
    """
    Months in which a crop is sown in one region; November to February runs over the year's end.

    Attributes
    ----------
    hemisphere : {"north", "south"}
        Which half of the earth.
    region : str, optional
        Where, more closely.
    first, last : int
        The months, from 1 to 12.
    source : str
        Title and year, or who says so.
    """

    hemisphere: Literal["north", "south"]
    region: Name | None = None
    first: Month
    last: Month
    source: Source = OWN

    @property
    def months(self) -> tuple[int, ...]:
        """
        The months, in the order they come.

        Examples
        --------
        >>> Window(hemisphere="south", first=11, last=2).months
        (11, 12, 1, 2)
        """
        count = (self.last - self.first) % 12 + 1
        return tuple((self.first - 1 + i) % 12 + 1 for i in range(count))


class Fact(Value):
    """
    A word, or yes or no, and where it comes from.

    Attributes
    ----------
    value : str or bool
        The word, or true or false.
    source : str
        Title and year, or who says so.
    """

    value: Annotated[bool, Field(strict=True)] | Name
    source: Source = OWN


class Crop(Value):
    """
    One crop or kind of tree.

    Attributes
    ----------
    name : str
        What plans call it.
    also : tuple of str
        Other names it goes by.
    kind : {"field crop", "companion", "tree"}
        What it is grown for, usually.
    row_spacing : Figure, optional
        Between neighbouring rows; of trees, between tree rows. [m]
    plants_per_m2 : Figure, optional
        Plants wanted when grown alone. [1/m2]
    tgw : Figure, optional
        Thousand grain weight. [g]
    establishment : Figure, optional
        Seeds that become plants; of trees, what lives after planting. [%]
    depth : Figure, optional
        How deep it is sown. [m]
    kg_per_ha : Figure, optional
        Seed usually sown when grown alone. [kg/ha]
    windows : tuple of Window
        When it is sown, by region.
    family, height_class, nitrogen_fixing, harvested : Fact, optional
        Its botanical family, one of ``HEIGHTS``, whether it fixes nitrogen, whether it is taken
        to market.
    sole_rate : Rate, optional
        The user's own rate when grown alone, for rates given as a share.
    seed : Seed, optional
        The user's own lot.
    """

    name: Name
    also: tuple[Name, ...] = ()
    kind: Kind | None = None
    row_spacing: Figure | None = None
    plants_per_m2: Figure | None = None
    tgw: Figure | None = None
    establishment: Figure | None = None
    depth: Figure | None = None
    kg_per_ha: Figure | None = None
    windows: tuple[Window, ...] = Field(default=(), alias="window")
    family: Fact | None = None
    height_class: Fact | None = None
    nitrogen_fixing: Fact | None = None
    harvested: Fact | None = None
    sole_rate: Rate | None = None
    seed: Seed | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for check in (_check_words, _check_truths, _check_percent):
            check(self)
        check_no_share(self.name, self.sole_rate)
        return self

    @property
    def names(self) -> tuple[str, ...]:
        """All names that it goes by."""
        return (self.name, *self.also)


class CropFile(Value):
    """
    A file of crops.

    Attributes
    ----------
    sources : mapping of str to str
        Short names of sources that values of the file may use, and what they stand for.
    crops : tuple of Crop
        The crops (`crop` in the file).
    """

    sources: dict[Name, Source] = Field(default_factory=dict)
    crops: tuple[Crop, ...] = Field(default=(), alias="crop")

    @model_validator(mode="after")
    def _sound(self) -> Self:
        check_one_name(self.crops)
        return self

    def with_sources(self) -> tuple[Crop, ...]:
        """Return the crops, short names of sources written out."""
        return tuple(_written_out(crop, self.sources) for crop in self.crops)


def check_one_name(crops: tuple[Crop, ...]) -> None:
    """Raise if two crops go by one name."""
    seen: dict[str, str] = {}
    for crop in crops:
        for name in {name.lower() for name in crop.names}:
            if name in seen:
                raise PlanError(
                    f"Crop {name!r} is described twice, under {seen[name]} and {crop.name}.",
                    "Nothing says which of the two holds.",
                    "Keep one, or take the name from `also` of the other.",
                )
            seen[name] = crop.name


def over(known: Crop, own: Crop) -> Crop:
    """Return a crop with the values that a user gave put over those that are known."""
    given = {name: getattr(own, name) for name in own.model_fields_set if name != "name"}
    given["also"] = tuple(dict.fromkeys((*known.also, *own.also)))
    return known.model_copy(update=given)


def _check_words(crop: Crop) -> None:
    """The height is one of its classes, and the family a word."""
    for key, known in (("height_class", HEIGHTS), ("family", ())):
        fact = getattr(crop, key)
        if fact is None:
            continue
        if isinstance(fact.value, bool) or (known and fact.value not in known):
            raise PlanError(
                f"Crop {crop.name} has {key} {fact.value!r}.",
                f"It is one of {', '.join(known)}." if known else "A family has a name.",
                near_names(str(fact.value), known) if known else "Write it as words in quotes.",
            )


def _check_truths(crop: Crop) -> None:
    """Whether it fixes nitrogen or is harvested is yes or no."""
    for key in ("nitrogen_fixing", "harvested"):
        fact = getattr(crop, key)
        if fact is not None and not isinstance(fact.value, bool):
            raise PlanError(
                f"Crop {crop.name} has {key} {fact.value!r}.",
                "It is yes or no.",
                "Write value = true or value = false, without quotes.",
            )


def _check_percent(crop: Crop) -> None:
    """Establishment is a percentage; the other figures are more than nought."""
    if crop.establishment is not None:
        low, high = crop.establishment.low, crop.establishment.high
        if low < 1.0 or high > 100.0:
            raise PlanError(
                f"Crop {crop.name} has an establishment of {low:g} to {high:g}.",
                "It is in per cent, from 1 to 100.",
                "Write 85 for 85 %.",
            )
    for key in FIGURES:
        figure = getattr(crop, key)
        if figure is not None and figure.low == 0.0 and key != "depth":
            raise PlanError(
                f"Crop {crop.name} has a {key} from 0.",
                "A crop that is sown has more than none.",
                f"Change the low of {key}.",
            )


def _written_out(crop: Crop, sources: dict[str, str]) -> Crop:
    """Return a crop whose sources are written out."""

    def told(value: Figure | Fact | Window) -> Figure | Fact | Window:
        found = "; ".join(sources.get(part, part) for part in value.source.split("; "))
        return value.model_copy(update={"source": found}) if found != value.source else value

    update: dict[str, object] = {
        key: told(getattr(crop, key))
        for key in (*FIGURES, *FACTS)
        if getattr(crop, key) is not None
    }
    if crop.windows:
        update["windows"] = tuple(told(window) for window in crop.windows)
    return crop.model_copy(update=update)


KINDS: tuple[str, ...] = get_args(Kind)
"""What a crop is grown for, usually."""
