"""Trees of a band: how far apart, how far from other things, which kinds, what is done later."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.land.kinds import KINDS
from geolayout.plan.near import near_names
from geolayout.plan.trees.growth import Growth
from geolayout.plan.trees.kinds import Mixing, Pollination, Thinning
from geolayout.plan.value import Count, Distance, Length, LonLat, Name, Value

__all__ = ["BandTrees", "SetOut", "Setback", "TreeGap"]

SetOut = Literal["from start", "centred", "equalised", "aligned"]
"""How trees are set out along a piece of row."""

Heights = Annotated[float, Field(strict=True, gt=0, le=20, allow_inf_nan=False)]

PLACES = ("boundary", "headland", "feature")
"""What a setback is from, beside the kinds of features."""


class Setback(Value):
    """
    How far trees stay from other things; the greatest of several distances holds.

    Attributes
    ----------
    boundary, headland, feature : float
        Least distance from the field's edge, the headland, and any feature's drawn shape. [m]
    kinds : mapping of kind to float
        Least distance from features of one kind. [m]
    mature : mapping of kind, "boundary", "headland" or "feature" to float
        The same as multiples of the height when grown. [-]
    """

    boundary: Distance = 0.0
    headland: Distance = 0.0
    feature: Distance = 0.0
    kinds: dict[str, Distance] = Field(default_factory=dict)
    mature: dict[str, Heights] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        known = {"kinds": tuple(KINDS), "mature": (*PLACES, *KINDS)}
        for key, names in known.items():
            for name in getattr(self, key):
                if name not in names:
                    raise PlanError(
                        f"A setback of trees has {key} = {{ {name!r} = ... }}.",
                        "That is no kind of feature that is known.",
                        near_names(name, names),
                    )
        return self

    def in_metres(self, mature_height: float) -> "Setback":
        """Return the same setback of trees that grow so high, with no multiples left."""
        far = {name: times * mature_height for name, times in self.mature.items()}
        kinds = sorted({*self.kinds, *far} - set(PLACES))
        return Setback(
            **{place: max(getattr(self, place), far.get(place, 0.0)) for place in PLACES},
            kinds={name: max(self.kinds.get(name, 0.0), far.get(name, 0.0)) for name in kinds},
        )


class TreeGap(Value):
    """
    A way through the tree rows that no tree stands in.

    Attributes
    ----------
    at : (float, float)
        A place on the way: longitude and latitude. It crosses every row square there. [degrees]
    width : float
        Between the trees on both sides, at least. [m]
    """

    at: LonLat
    width: Length


class BandTrees(Value):
    """
    Trees standing in a band.

    Attributes
    ----------
    in_row_spacing : float
        Between neighbouring trees of one row. [m]
    at : tuple of float, optional
        Places of the tree rows from the band edge nearer `from`; the middle if nothing is said. [m]
    rows : int, optional
        Number of tree rows, centred in the band.
    row_spacing : float, optional
        Between tree rows of this band, centre to centre. [m]
    arrangement : {"square", "staggered", "triangular"}
        Staggered shifts even rows by half a step; triangular also sets the row spacing.
    set_out : {"from start", "centred", "equalised", "aligned"}
        Fixed steps from the row's start; fixed steps with what is left over at both ends alike;
        steps stretched until the last tree has its distance; or fixed steps counted from the
        guide's anchor, so that the trees of all rows stand abreast.
    first : float, optional
        From the row's start to the first tree; half the spacing if nothing is said. Where trees
        are centred or aligned, the least distance. [m]
    last : float, optional
        Least distance from the last tree to the row's end; `first` if nothing is said. [m]
    setback : Setback
        How far trees stay from boundary, headland and features.
    gaps : tuple of TreeGap
        Ways through the tree rows.
    species : str or tuple of str
        What is planted.
    mixing : Mixing
        By which rule several species take turns.
    pollination : tuple of Pollination
        When species flower, and which pollinators they need.
    thinning : tuple of Thinning
        Trees taken out in later years.
    mature_height : float, optional
        Height when grown. [m]
    guard_radius : float, optional
        Radius of the guard round a young tree. [m]
    growth : Growth
        How they grow, for the light between them.
    """

    in_row_spacing: Length
    at: tuple[Distance, ...] | None = None
    rows: Count | None = None
    row_spacing: Length | None = None
    arrangement: Literal["square", "staggered", "triangular"] = "square"
    set_out: SetOut = "from start"
    first: Distance | None = None
    last: Distance | None = None
    setback: Setback = Setback()
    gaps: tuple[TreeGap, ...] = ()
    species: Name | Annotated[tuple[Name, ...], Field(min_length=1)] = "tree"
    mixing: Mixing = Mixing()
    pollination: tuple[Pollination, ...] = ()
    thinning: tuple[Thinning, ...] = ()
    mature_height: Length | None = None
    guard_radius: Distance | None = None
    growth: Growth = Growth()

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for check in (_check_rows, _check_setback, _check_mixing, _check_pollination, _check_years):
            check(self)
        return self

    @property
    def first_distance(self) -> float:
        """From the row's start to its first tree. [m]"""
        return self.in_row_spacing / 2 if self.first is None else self.first

    @property
    def last_distance(self) -> float:
        """Least distance from the last tree to the row's end. [m]"""
        return self.first_distance if self.last is None else self.last

    @property
    def row_step(self) -> float:
        """Between tree rows of the band. [m]"""
        if self.arrangement == "triangular" and self.row_spacing is None:
            return self.in_row_spacing * 3**0.5 / 2
        return self.row_spacing or 0.0

    @property
    def species_names(self) -> tuple[str, ...]:
        """Its species, one or several."""
        return (self.species,) if isinstance(self.species, str) else self.species

    @property
    def distances(self) -> Setback:
        """Its setback with every multiple of the height turned into metres."""
        return self.setback.in_metres(self.mature_height or 0.0)

    @property
    def rows_in_band(self) -> int:
        """How many tree rows the band has."""
        return len(self.at) if self.at is not None else self.rows or 1


def _check_rows(trees: BandTrees) -> None:
    """The places of tree rows are said once, and rows have a spacing."""
    if trees.at is not None and (trees.rows is not None or trees.row_spacing is not None):
        raise PlanError(
            "Trees have `at` beside rows or row_spacing.",
            "The places of the tree rows would be said twice.",
            "Keep either at, or rows and row_spacing.",
        )
    if trees.at is not None and (not trees.at or list(trees.at) != sorted(set(trees.at))):
        raise PlanError(
            f"Trees have `at = {list(trees.at)}`.",
            "The places must be one or more, growing, none of them twice.",
            "Write them from the band's edge outwards, such as at = [1.5].",
        )
    needs_spacing = (trees.rows or 1) > 1 and trees.arrangement != "triangular"
    if needs_spacing and trees.row_spacing is None:
        raise PlanError(
            f"Trees have rows = {trees.rows} and no row_spacing.",
            "Nothing says how far apart the tree rows stand.",
            "Add row_spacing in metres.",
        )


def _check_setback(trees: BandTrees) -> None:
    """Multiples of the height need a height."""
    if trees.setback.mature and trees.mature_height is None:
        raise PlanError(
            "Trees have a setback by mature height and no mature_height.",
            "Nothing says how high they grow.",
            "Add mature_height in metres, or give the setback in metres.",
        )


def _check_mixing(trees: BandTrees) -> None:
    """Shares are as many as species, of which one may come twice."""
    names = trees.species_names
    shares = trees.mixing.shares
    if shares is not None and len(shares) != len(names):
        raise PlanError(
            f"Trees have {len(names)} species and {len(shares)} shares.",
            "Each species has its part, in the order of `species`.",
            "Give as many shares as species.",
        )


def _check_pollination(trees: BandTrees) -> None:
    """What is known is known of species that are planted."""
    told = [one.species for one in trees.pollination]
    twice = sorted({name for name in told if told.count(name) > 1})
    if twice:
        raise PlanError(
            f"The pollination of a band's trees names {twice[0]!r} twice.",
            "Its flower and its needs are said once.",
            "Keep one of the two.",
        )
    for one in trees.pollination:
        for name in (one.species, *one.needs):
            if name not in trees.species_names:
                raise PlanError(
                    f"The pollination of a band's trees names {name!r}.",
                    "It is not among the species of the band.",
                    near_names(name, trees.species_names),
                )


def _check_years(trees: BandTrees) -> None:
    """Thinnings follow each other."""
    years = [one.year for one in trees.thinning]
    if years != sorted(set(years)):
        raise PlanError(
            f"Trees are thinned in the years {years}.",
            "Years grow, and none comes twice.",
            "Write the thinnings in order.",
        )
